"""Decide the marks of all hand-ins: run their cells elsewhere, and check what comes of it.

Nothing is written here, so that no cell meets a gradebook that is being written.
"""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from pathlib import Path

from cubital.handin.cells import with_answers
from cubital.handin.files import read_json
from cubital.handin.released import pictures
from cubital.handin.released.release import Release
from cubital.handin.released.sealed import AllAsked, answered, folder_of, read_sealed
from cubital.handin.results import NOT_RUN, ItemResult, SubmissionResult
from cubital.handin.trial import CodeRun
from cubital.items.kinds.code import CodeKey
from cubital.marking import notebooks
from cubital.marking.cells.places import NotRunError
from cubital.marking.cells.running import place_for, run_code
from cubital.marking.cohort.course import Course, Progress
from cubital.marking.errors import CourseError
from cubital.marking.marks import checker
from cubital.marking.marks.inspecting import Submission

_AT_ONCE = 200  # hand-ins: their questions are held in memory


class Bases:
    """What each release's hand-ins are marked by, read once."""

    def __init__(self, course: Course) -> None:
        self._course = course
        self._read: dict[str, checker.Basis] = {}

    def of(self, release: Release) -> checker.Basis:
        """Return the basis of a release, or raise ValueError with what is missing."""
        if release.name not in self._read:
            self._read[release.name] = basis_of(self._course.workspace, release)
        return self._read[release.name]


def basis_of(workspace: Path, release: Release) -> checker.Basis:
    """Read what the hand-ins of a release are marked by.

    Raises
    ------
    ValueError
        Something of it is missing or broken; the text names the file.
    """
    worksheet, name = release.worksheet, release.name
    return checker.Basis(
        release=release,
        sealed=read_sealed(workspace, worksheet, name),
        released=released_notebook(workspace, worksheet, name),
        truths=pictures.sealed_truths(workspace, worksheet, name),
    )


def released_notebook(workspace: Path, worksheet: str, release: str) -> notebooks.Notebook:
    """Return the notebook that learners got, or raise CourseError."""
    path = folder_of(workspace, worksheet, release) / f"{worksheet}.ipynb"
    if not path.is_file():
        raise CourseError(f"{path} is missing: release “{worksheet}” again under the same name")
    notebook: notebooks.Notebook = read_json(path)
    return notebook


@dataclass(frozen=True)
class Decided:
    """What was decided of a hand-in: its result, what it was asked, and its notebook.

    The notebook is mended, with the saved answers in their cells.
    """

    result: SubmissionResult
    asked: AllAsked = field(default_factory=dict)
    notebook: notebooks.Notebook = field(default_factory=dict)


def runs_cells(bases: Bases, ready: Sequence[Submission]) -> bool:
    """Tell whether code is run to mark some of these hand-ins."""
    for release in {submission.release.name: submission.release for submission in ready}.values():
        try:
            forms = bases.of(release).sealed.papers.forms
        except (ValueError, OSError):  # told where its hand-ins are marked
            continue
        if any(form["kind"] == CodeKey.kind for paper in forms.values() for form in paper.values()):
            return True
    return False


def decide_in_parts(
    bases: Bases,
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
            decided.append(_decided(bases, submission, lambda *_: {}))
            if ran is not None:
                ran(number, len(ready), submission.learner)
        yield decided


def decide_all(
    course: Course,
    bases: Bases,
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
    bases
        What the hand-ins of each release are marked by.
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
    decided: list[Decided] = []
    with place_for(course.workspace, unprotected=unprotected) as place:

        def run(
            submission: Submission, notebook: notebooks.Notebook, asked: AllAsked
        ) -> dict[str, CodeRun]:
            cases = checker.cases_of(asked)
            return run_code(submission.learner, notebook, cases, place=place, timeout_s=timeout_s)

        def watched(submission: Submission) -> Decided:
            with place.guarded(submission.learner):
                return _decided(bases, submission, run, note=place.note)

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
    bases: Bases,
    submission: Submission,
    run: Callable[[Submission, notebooks.Notebook, AllAsked], dict[str, CodeRun]],
    *,
    note: str = "",
) -> Decided:
    """Run and check one hand-in; what that does to us is this learner's state and nobody else's.

    ``note`` is what the results of items with code say of how it was run.
    """
    try:
        basis = bases.of(submission.release)
        notebook = notebooks.mend(submission.notebook, basis.released)
        asked = basis.sealed.all_asked(submission.learner, submission.answers)
        notebook = with_answers(notebook, answered(asked))
        given: dict[str, CodeRun] = {}
        refused = None
        try:
            given = run(submission, notebook, asked)
        except NotRunError as error:
            refused = error
        result = checker.check(submission, notebook, given, basis, asked)
        if refused is not None or note:
            coded = checker.cases_of(asked)
            rows = (_told(row, note, refused) if row.item in coded else row for row in result.items)
            result = replace(result, items=tuple(rows))
        return Decided(result, asked, notebook)
    except Exception as error:
        at = submission.submitted_at
        return Decided(checker.system_error(submission.learner, submission.release, error, at))


def _told(row: ItemResult, note: str, refused: NotRunError | None) -> ItemResult:
    """Say of an item with code how it was run, or that it was not, which is no mark."""
    if refused is None:
        return replace(row, message=f"{row.message} ({note})")
    message = f"The function was not run, so there is no mark: {refused.reason}."
    return replace(row, outcome=NOT_RUN, points=None, message=message, action=refused.action)
