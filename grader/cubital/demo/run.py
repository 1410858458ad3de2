"""Play the cohort through the same steps that people use, and compare the marks with the play."""

import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from cubital import tables
from cubital.demo import play
from cubital.educator.collect import collect
from cubital.educator.create import create
from cubital.educator.feedback import write_feedback
from cubital.educator.give_points import give_points
from cubital.educator.mark import mark
from cubital.educator.release import release
from cubital.educator.report import Reported, report
from cubital.handin.bundle import hand_in
from cubital.handin.files import read_json, write_json
from cubital.handin.results import HELD, MARKED, MISSING, UNREADABLE, SubmissionResult
from cubital.marking.cohort import course
from cubital.marking.cohort.roster import Learner, write_roster
from cubital.marking.marks import gradebook
from cubital.study import folders
from cubital.worksheet.sitting import sitting

WORKSHEET = "catheter-sizing"
_PLAY_FILE = "invented-cohort.json"
_STATES = {
    play.STANDARD: MARKED,
    play.CORRUPT: UNREADABLE,
    play.ABSENT: MISSING,
    play.COPIED: HELD,
}
Progress = Callable[[int, int, str], None]


@dataclass(frozen=True)
class Played:
    """What came of a play.

    Attributes
    ----------
    workspace, handout
        The cohort's folder, and the file that its learners got.
    learners, states, waiting
        How many they are, how many are in each state, and how many have a text that waits.
    differences
        Every mark that is not what the play put in, in words.
    pages, reported
        The feedback pages, and where the reports are.
    """

    workspace: Path
    handout: Path
    learners: int
    states: Mapping[str, int]
    waiting: int
    differences: tuple[str, ...]
    pages: tuple[Path, ...]
    reported: Reported


def run(
    workspace: Path | None = None,
    *,
    learners: int = 24,
    seed: int = 1,
    progress: Progress | None = None,
) -> Played:
    """Play a cohort, and compare every mark with what the play put in.

    ``progress`` is called after each step with how many are done, of how many, and which part of
    the play is under way.

    Raises
    ------
    ValueError
        The workspace holds something other than a demo, or the number of learners is impossible.
    """
    play.check_number(learners)
    cohort = _released(_workspace(workspace), learners, seed)
    sealed = cohort.sealed(cohort.release(WORKSHEET))
    parts = play.cast(sealed, learners, seed)
    steps = _Steps(3 * len(parts), progress)  # each is to answer, to be marked and to get a page
    steps.begin("Answering")
    for part in parts:
        _answer(cohort, part, parts)
        steps.done()
    collect(cohort.workspace, WORKSHEET)
    steps.begin("Marking")
    mark(cohort.workspace, WORKSHEET, progress=steps.done)
    _mark_by_hand(cohort, parts)
    steps.begin("Feedback")
    returned = write_feedback(cohort.workspace, WORKSHEET, progress=steps.done)
    steps.end("Done")
    results = gradebook.results(cohort, WORKSHEET)
    return Played(
        workspace=cohort.workspace,
        handout=cohort.handout(WORKSHEET),
        learners=len(results),
        states=_counted(results),
        waiting=sum(bool(result.waiting) for result in results),
        differences=tuple(compare(parts, results)),
        pages=returned.pages,
        reported=report(cohort.workspace, WORKSHEET, invented=True),
    )


class _Steps:
    """How far the play is, told to who wants to know."""

    def __init__(self, total: int, progress: Progress | None) -> None:
        self._total, self._progress = total, progress
        self._done, self._part = 0, ""

    def begin(self, part: str) -> None:
        """Begin a part of the play."""
        self._part = part
        self._tell()

    def done(self, *_told: object) -> None:
        """Count one step more."""
        self._done += 1
        self._tell()

    def end(self, part: str) -> None:
        """Count all steps, those too that nobody needed: who is not marked has no page."""
        self._done = self._total
        self.begin(part)

    def _tell(self) -> None:
        if self._progress is not None:
            self._progress(self._done, self._total, self._part)


def _workspace(workspace: Path | None) -> Path:
    if workspace is None:
        moment = f"{datetime.now(UTC):%Y%m%d-%H%M%S}"
        return folders.default_workspace() / f"demo-{moment}"
    workspace = workspace.expanduser()
    if workspace.is_dir() and any(workspace.iterdir()) and not (workspace / _PLAY_FILE).is_file():
        raise ValueError(f"{workspace} holds something other than a demo: name a new folder")
    return workspace


def _released(workspace: Path, learners: int, seed: int) -> course.Course:
    """Lay out the cohort's folder and release its worksheet; a second time harms nothing."""
    workspace.mkdir(parents=True, exist_ok=True)
    cohort_play = {"invented": True, "learners": learners, "seed": seed}
    path = workspace / _PLAY_FILE
    if path.is_file() and read_json(path) != cohort_play:
        raise ValueError(
            f"{workspace} holds a demo with other learners or another seed: name a new folder"
        )
    create(workspace)
    write_json(path, cohort_play)
    cohort = course.Course(workspace)
    write_roster(cohort.roster_file, [Learner(*names) for names in play.names(learners)])
    cohort.make_seal(WORKSHEET, f"invented, {seed}")  # so that a seed plays the same everywhere
    release(workspace, WORKSHEET, tables.demo_cohort()["release"])
    return cohort


# ---------------------------------------------------------------------------------- learners


def _answer(cohort: course.Course, part: play.Part, parts: list[play.Part]) -> None:
    """Let one learner answer in a folder of their own and hand in."""
    if part.arrives == play.ABSENT:
        return
    learners = cohort.workspace / "learners"
    opened = folders.lay_out(learners, part.learner, str(cohort.handout(WORKSHEET)))
    here = sitting(opened.notebook.parent)
    for act in part.acts:
        if act.entered is None:
            continue
        here.store.save(act.item, act.entered, confidence=act.confidence)
    if part.arrives == play.STANDARD:
        hand_in(here.folder, part.learner, cohort.inbox, sure=True)
        return
    # The other two did not come by `cubital hand-in`, which would have refused them.
    submitted = cohort.submitted(part.learner, WORKSHEET)
    shutil.copytree(here.folder, submitted, dirs_exist_ok=True)
    if part.arrives == play.CORRUPT:
        notebook = submitted / opened.notebook.name
        whole = opened.notebook.read_bytes()
        notebook.write_bytes(whole[: len(whole) // 2])
    else:
        other = next(one for one in parts if one.arrives == play.STANDARD)
        shutil.copy(learners / other.learner / WORKSHEET / "answers.json", submitted)


def _mark_by_hand(cohort: course.Course, parts: list[play.Part]) -> None:
    """Give the points for texts that the invented assessor gives."""
    for part in parts:
        if part.arrives != play.STANDARD:
            continue
        for act in part.acts:
            if act.outcome == "waiting" and act.points is not None:
                give_points(cohort.workspace, WORKSHEET, part.learner, act.item, points=act.points)


# ------------------------------------------------------------------------------- afterwards


def compare(parts: list[play.Part], results: list[SubmissionResult]) -> list[str]:
    """Return every difference between what the play put in and what marking made of it."""
    found = {result.learner: result for result in results}
    differences = []
    for part in parts:
        result = found.get(part.learner)
        if result is None or result.state != _STATES[part.arrives]:
            state = result.state if result else "no result"
            differences.append(f"{part.learner}: {state}, not {_STATES[part.arrives]}")
        elif result.state == MARKED:
            differences += _compare_items(part, result)
        elif result.items:
            differences.append(f"{part.learner}: {result.state}, and yet has marks")
    return differences


def _compare_items(part: play.Part, result: SubmissionResult) -> list[str]:
    rows = {row.item: row for row in result.items}
    differences = []
    for act in part.acts:
        row = rows.get(act.item)
        wanted = (act.points, act.slip, act.confidence)
        given = (row.points, row.slip, row.confidence) if row else None
        if given != wanted:
            differences.append(f"{part.learner}, {act.item}: {given}, not {wanted}")
    return differences


def _counted(results: list[SubmissionResult]) -> dict[str, int]:
    """Count the learners in each state, the usual ones first."""
    states = dict.fromkeys((MARKED, HELD, UNREADABLE, MISSING), 0)
    for result in results:
        states[result.state] = states.get(result.state, 0) + 1
    return states
