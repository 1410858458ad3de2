"""Decide the marks of all hand-ins: run their cells elsewhere, and check what comes of it.

Nothing is written here, so that no cell meets a gradebook that is being written.
"""

import shutil
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import nullcontext

from cubital.handin import pictures
from cubital.handin.files import read_json
from cubital.handin.release import Release
from cubital.handin.results import SubmissionResult
from cubital.marking import notebooks
from cubital.marking.cells.guarding import Guard
from cubital.marking.cells.running import Runs, run_code
from cubital.marking.cells.surviving import GUARDED_FILE, SCRATCH
from cubital.marking.cohort.course import Course, Progress
from cubital.marking.errors import CourseError
from cubital.marking.marks import checker
from cubital.marking.marks.inspecting import Submission


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


def decide_all(
    course: Course,
    release: Release,
    released: notebooks.Notebook,
    ready: Sequence[Submission],
    *,
    timeout_s: float,
    workers: int,
    ran: Progress | None = None,
) -> list[SubmissionResult]:
    """Run and check hand-ins, and return their results in the same order.

    When this returns, nothing that their cells started is left.

    Parameters
    ----------
    timeout_s
        How long one hand-in's code cells may run [s].
    workers
        How many hand-ins' code cells run at the same time.
    ran
        Called after each hand-in, see `Progress`.

    Raises
    ------
    TamperedError
        A file of the workspace changed while cells ran.
    """
    scratch = course.workspace / SCRATCH
    guard = Guard(course.workspace)

    runs_cells = any(item.needs == "results" for item in release.listed())

    def watched(submission: Submission) -> SubmissionResult:
        with guard.running(submission.learner) if runs_cells else nullcontext():
            return _decided(course, release, released, runs, submission, timeout_s=timeout_s)

    decided = []
    try:
        guard.keep(scratch / GUARDED_FILE)
        with Runs() as runs, ThreadPoolExecutor(workers if runs_cells else 1) as pool:
            try:
                for result in pool.map(watched, ready):
                    decided.append(result)
                    if ran is not None:
                        ran(len(decided), len(ready), result.learner)
            except BaseException:
                runs.stop()
                pool.shutdown(wait=False, cancel_futures=True)
                raise
    finally:
        shutil.rmtree(scratch, ignore_errors=True)
    return decided


def _decided(
    course: Course,
    release: Release,
    released: notebooks.Notebook,
    runs: Runs,
    submission: Submission,
    *,
    timeout_s: float,
) -> SubmissionResult:
    """Run and check one hand-in; what that does to us is this learner's state and nobody else's."""
    try:
        notebook = notebooks.mend(submission.notebook, released)
        seal = course.seal(release.worksheet)
        given = run_code(
            submission,
            notebook,
            release,
            seal,
            runs=runs,
            scratch=course.workspace / SCRATCH,
            timeout_s=timeout_s,
        )
        basis = checker.Basis(
            release=pictures.asked(course.workspace, release, submission.answers),
            released=released,
            seal=seal,
            truths=course.truths(release),
        )
        return checker.check(submission, notebook, given, basis)
    except Exception as error:
        return checker.system_error(submission.learner, release, error, submission.submitted_at)
