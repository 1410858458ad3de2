"""Decide the marks of all hand-ins: run their cells elsewhere, and check what comes of it.

Nothing is written here, so that no cell meets a gradebook that is being written.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace

from cubital.handin import pictures
from cubital.handin.files import read_json
from cubital.handin.questions import Question
from cubital.handin.release import Release
from cubital.handin.results import NOT_RUN, ItemResult, SubmissionResult
from cubital.handin.trial import CodeRun
from cubital.marking import notebooks
from cubital.marking.cells.places import NotRunError
from cubital.marking.cells.running import items_to_run, place_for, run_code
from cubital.marking.cohort.course import Course, Progress
from cubital.marking.errors import CourseError
from cubital.marking.marks import checker
from cubital.marking.marks.inspecting import Submission

_AT_ONCE = 200  # hand-ins: their questions are held in memory


def released_notebook(course: Course, worksheet: str) -> notebooks.Notebook:
    """Return the notebook that learners got.

    Raises
    ------
    CourseError
        It is not there.
    """
    path = course.released(worksheet) / f"{worksheet}.ipynb"
    if not path.is_file():
        raise CourseError(f"{path} is missing: release “{worksheet}” again under the same name")
    notebook: notebooks.Notebook = read_json(path)
    return notebook


@dataclass(frozen=True)
class Decided:
    """What was decided of a hand-in: its result, its questions by item, its notebook, mended."""

    result: SubmissionResult
    asked: Mapping[str, Question] = field(default_factory=dict)
    notebook: notebooks.Notebook = field(default_factory=dict)


def runs_cells(release: Release) -> bool:
    """Whether the hand-ins of a release hold code that is run to mark them."""
    return bool(items_to_run(release))


def decide_in_parts(
    course: Course,
    release: Release,
    released: notebooks.Notebook,
    ready: Sequence[Submission],
    *,
    ran: Progress | None = None,
) -> Iterator[list[Decided]]:
    """Check hand-ins of which no cell is run, and yield what is decided, some at a time.

    ``ran`` is called after each, see `Progress`.
    """
    for start in range(0, len(ready), _AT_ONCE):
        decided = []
        for number, submission in enumerate(ready[start : start + _AT_ONCE], start + 1):
            decided.append(_decided(course, release, released, submission, lambda *_: {}))
            if ran is not None:
                ran(number, len(ready), submission.learner)
        yield decided


def decide_all(
    course: Course,
    release: Release,
    released: notebooks.Notebook,
    ready: Sequence[Submission],
    *,
    timeout_s: float,
    workers: int,
    ran: Progress | None = None,
    unprotected: bool = False,
) -> list[Decided]:
    """Run and check hand-ins, and return what is decided in the same order.

    When this returns, nothing that their cells started is left.

    Parameters
    ----------
    timeout_s
        How long one hand-in's code cells may run [s].
    workers
        How many hand-ins' code cells run at the same time.
    ran
        Called after each hand-in, see `Progress`.
    unprotected
        Whether cells run without a sandbox, with the rights of whoever marks; each result says so.

    Raises
    ------
    TamperedError
        A file of the workspace changed while cells ran unprotected.
    """
    seal = course.seal(release.worksheet)
    decided: list[Decided] = []
    with place_for(course.workspace, unprotected=unprotected) as place:

        def run(submission: Submission, notebook: notebooks.Notebook) -> dict[str, CodeRun]:
            return run_code(
                submission.learner, notebook, release, seal, place=place, timeout_s=timeout_s
            )

        def watched(submission: Submission) -> Decided:
            with place.guarded(submission.learner):
                return _decided(course, release, released, submission, run, note=place.note)

        with ThreadPoolExecutor(workers) as pool:
            try:
                for submission, found in zip(ready, pool.map(watched, ready), strict=True):
                    decided.append(found)
                    if ran is not None:
                        ran(len(decided), len(ready), submission.learner)
            except BaseException:
                place.stop()
                pool.shutdown(wait=False, cancel_futures=True)
                raise
    return decided


def _decided(
    course: Course,
    release: Release,
    released: notebooks.Notebook,
    submission: Submission,
    run: Callable[[Submission, notebooks.Notebook], dict[str, CodeRun]],
    *,
    note: str = "",
) -> Decided:
    """Run and check one hand-in; what that does to us is this learner's state and nobody else's.

    ``note`` is what the results of items with code say of how it was run.
    """
    asked: dict[str, Question] = {}
    try:
        notebook = notebooks.mend(submission.notebook, released)
        given: dict[str, CodeRun] = {}
        refused = None
        try:
            given = run(submission, notebook)
        except NotRunError as error:
            refused = error
        basis = checker.Basis(
            release=pictures.asked(course.workspace, release, submission.answers),
            released=released,
            seal=course.seal(release.worksheet),
            truths=course.truths(release),
        )
        result = checker.check(submission, notebook, given, basis, asked=asked)
        if refused is not None or note:
            coded = {item.id for item in items_to_run(release)}
            rows = (_told(row, note, refused) if row.item in coded else row for row in result.items)
            result = replace(result, items=tuple(rows))
        return Decided(result, asked, notebook)
    except Exception as error:
        failed = checker.system_error(submission.learner, release, error, submission.submitted_at)
        return Decided(failed)


def _told(row: ItemResult, note: str, refused: NotRunError | None) -> ItemResult:
    """Say of an item with code how it was run, or that it was not, which is no mark."""
    if refused is None:
        return replace(row, message=f"{row.message} ({note})")
    message = f"The function was not run, so there is no mark: {refused.reason}."
    return replace(row, outcome=NOT_RUN, points=None, message=message, action=refused.action)
