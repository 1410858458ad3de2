"""Play the cohort through the same steps that people use, and compare the marks with the play."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import nbformat
from tqdm import tqdm

from cubital import tables
from cubital.demo import play
from cubital.handin.bundle import hand_in
from cubital.handin.files import read_json, write_json
from cubital.handin.results import HELD, MARKED, MISSING, UNREADABLE, SubmissionResult
from cubital.items import CodeItem, find
from cubital.marking.cohort import collecting, course, releasing
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook, marker
from cubital.records.reporting import Reported, report_on
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


def run(workspace: Path | None = None, *, learners: int = 24, seed: int = 1) -> int:
    """Play a cohort and return 0 if every mark is what the play put in, else 1.

    Raises
    ------
    ValueError
        The workspace holds something other than a demo, or the number of learners is impossible.
    """
    play.check_number(learners)
    workspace = _workspace(workspace)
    demo = tables.demo_cohort()
    cohort, release = _release(workspace, demo["release"], learners, seed)
    parts = play.cast(release, learners, seed)
    course.write_roster(
        cohort.roster_file,
        [course.Learner(part.learner, part.given_name, part.family_name) for part in parts],
    )
    with tqdm(total=3 * len(parts), desc="Answering", unit="step") as bar:
        for part in parts:
            _answer(cohort, part, parts)
            bar.update()
        collecting.collect(cohort, WORKSHEET)
        bar.set_description("Marking")
        marker.mark(cohort, WORKSHEET, progress=lambda *_: bar.update())
        _mark_by_hand(cohort, parts)
        bar.set_description("Feedback")
        pages = returning.feedback(cohort, WORKSHEET, progress=lambda *_: bar.update())
        bar.update(bar.total - bar.n)
        bar.set_description("Done")
    results = gradebook.results(cohort, WORKSHEET)
    report = report_on(cohort, WORKSHEET, made_at=datetime.now(UTC), invented=True)
    differences = compare(parts, results)
    _summary(cohort, results, pages, report, differences)
    return 1 if differences else 0


def _workspace(workspace: Path | None) -> Path:
    if workspace is None:
        moment = f"{datetime.now(UTC):%Y%m%d-%H%M%S}"
        return folders.default_workspace() / f"demo-{moment}"
    workspace = workspace.expanduser()
    if workspace.is_dir() and any(workspace.iterdir()) and not (workspace / _PLAY_FILE).is_file():
        raise ValueError(f"{workspace} holds something other than a demo: name a new folder")
    return workspace


def _release(workspace: Path, name: str, learners: int, seed: int):
    workspace.mkdir(parents=True, exist_ok=True)
    cohort_play = {"invented": True, "learners": learners, "seed": seed}
    path = workspace / _PLAY_FILE
    if path.is_file() and read_json(path) != cohort_play:
        raise ValueError(
            f"{workspace} holds a demo with other learners or another seed: name a new folder"
        )
    if not (workspace / course.CONFIG_FILE).is_file():
        course.create(workspace)
    write_json(path, cohort_play)
    cohort = course.Course(workspace)
    releasing.release(cohort, WORKSHEET, name)
    return cohort, cohort.release(WORKSHEET)


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
        item = find(act.item)
        if isinstance(item, CodeItem):
            _write_line(opened.notebook, item.function, act.entered)
        else:
            here.store.save(item, act.entered, confidence=act.confidence)
    if part.arrives == play.STANDARD:
        hand_in(here.folder, part.learner, cohort.inbox)
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


def _write_line(path: Path, function: str, line: str) -> None:
    """Write a learner's line into the notebook, as typing it would."""
    notebook = nbformat.read(path, as_version=4)
    for cell in notebook.cells:
        if cell.source.startswith(f"def {function}("):
            cell.source = f"{cell.source.splitlines()[0]}\n    {line}"
    nbformat.write(notebook, path)


def _mark_by_hand(cohort: course.Course, parts: list[play.Part]) -> None:
    """Give the points for texts that the invented assessor gives."""
    for part in parts:
        if part.arrives != play.STANDARD:
            continue
        for act in part.acts:
            if act.outcome == "waiting" and act.points is not None:
                gradebook.set_manual(cohort, WORKSHEET, part.learner, act.item, act.points)


# ------------------------------------------------------------------------------- afterwards


def compare(parts: list[play.Part], results: list[SubmissionResult]) -> list[str]:
    """Return every difference between what the play put in and what marking made of it."""
    found = {result.learner: result for result in results}
    differences = []
    for part in parts:
        result = found.get(part.learner)
        state = result.state if result else "no result"
        if state != _STATES[part.arrives]:
            differences.append(f"{part.learner}: {state}, not {_STATES[part.arrives]}")
        elif state == MARKED:
            differences += _compare_items(part, result)
        elif result.items:
            differences.append(f"{part.learner}: {state}, and yet has marks")
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


def _summary(
    cohort: course.Course,
    results: list[SubmissionResult],
    pages: list[Path],
    report: Reported,
    differences: list[str],
) -> None:
    states = dict.fromkeys((MARKED, HELD, UNREADABLE, MISSING), 0)
    for result in results:
        states[result.state] = states.get(result.state, 0) + 1
    waiting = sum(bool(result.waiting) for result in results)
    counted = ", ".join(f"{number} {state}" for state, number in states.items() if number)
    print(
        f"\n{len(results)} invented learners: {counted}; {waiting} of the texts "
        "still waiting for hand-marking."
    )
    if differences:
        print(f"{len(differences)} marks differ from what was put in:")
        print("\n".join(f"  {line}" for line in differences[:20]))
    else:
        print("Every mark equals what was put in.")
    example = pages[0] if pages else "none"
    print(
        f"\n  report    {report.page}\n"
        f"  overview  {report.overview}\n"
        f"  marks     {report.marks}\n"
        f"  feedback  {example}\n"
        f"            and {max(0, len(pages) - 1)} more\n"
        f"  course    {cohort.workspace} (an nbgrader course with its gradebook)\n"
        f"  handout   {cohort.handout(WORKSHEET)}"
    )
