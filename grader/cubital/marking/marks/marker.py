"""Mark a worksheet: inspect each hand-in, run its code elsewhere, check it, write the gradebook."""

import shutil
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from typing import Any

from nbgrader.api import MissingEntry
from nbgrader.converters import Autograde
from nbgrader.preprocessors import Execute

from cubital.handin import pictures
from cubital.handin.files import close_folder, printable, read_json
from cubital.handin.ids import canonical_id
from cubital.handin.release import Release
from cubital.handin.results import (
    HELD,
    MARKED,
    SYSTEM_ERROR,
    UNREADABLE,
    SubmissionResult,
    write_result,
)
from cubital.marking import notebooks
from cubital.marking.cells import surviving
from cubital.marking.cells.guarding import Guard
from cubital.marking.cells.running import TIMEOUT_S, Runs, run_code
from cubital.marking.cells.surviving import SCRATCH
from cubital.marking.cohort.collecting import SUBMITTED, Problem, read_problems, write_problems
from cubital.marking.cohort.course import Course, CourseError
from cubital.marking.feedback.converting import convert
from cubital.marking.feedback.preprocessors import WriteMarks
from cubital.marking.feedback.showing import shown
from cubital.marking.marks import checker, gradebook, hand_marks
from cubital.marking.marks.inspecting import AGAIN, Inspection, Submission, inspect

Progress = Callable[[int, int, str], None]


def mark(
    course: Course,
    worksheet: str,
    progress: Progress | None = None,
    *,
    ran: Progress | None = None,
    timeout_s: float = TIMEOUT_S,
    workers: int = 2,
) -> list[SubmissionResult]:
    """Mark all hand-ins of a worksheet and return the result of each learner on the roster.

    Parameters
    ----------
    progress
        Called after each hand-in that is marked with how many are, of how many, and whose it was.
    ran
        Called in the same way before, when its code cells have run.
    timeout_s
        How long one hand-in's code cells may run [s].
    workers
        How many hand-ins' code cells run at the same time.

    What cannot be marked is held or unreadable with the reason, and the others are marked. No mark
    is written before all cells have run.

    Raises
    ------
    CourseError
        Somebody else is at work in this workspace, or a file of it changed while cells ran.
    """
    scratch = course.workspace / SCRATCH
    with course.at_work(f"marking “{worksheet}”"):
        left = surviving.clear(course)
        release = course.release(worksheet)
        released = _released(course, worksheet)
        found = _inspect_all(course, release, left)
        booked = gradebook.marked(course, worksheet)
        ready = [seen.submission for seen in found.values() if seen.submission is not None]
        work = partial(_run_and_check, course, release, released, timeout_s=timeout_s)
        guard = Guard(course.workspace)
        try:
            guard.keep(scratch / surviving.GUARDED_FILE)
            checked = _all_done(work, guard, ready, workers, ran)
        finally:
            shutil.rmtree(scratch, ignore_errors=True)
        _forget_results(course, worksheet, found)
        for learner, seen in found.items():
            if seen.submission is None:
                _keep(course, _not_marked(learner, release, seen, earlier=learner in booked))
        for number, (submission, result) in enumerate(zip(ready, checked, strict=True), 1):
            _write(course, release, submission, result)
            if progress is not None:
                progress(number, len(ready), submission.learner)
        return gradebook.results(course, worksheet)


def _all_done(
    work: Callable[[Runs, Submission], SubmissionResult],
    guard: Guard,
    ready: list[Submission],
    workers: int,
    ran: Progress | None,
) -> list[SubmissionResult]:
    """Run and check all hand-ins; when this returns, nothing that their cells started is left.

    Nothing is written before, so that no cell meets a gradebook that is being written.
    """

    def watched(submission: Submission) -> SubmissionResult:
        with guard.running(submission.learner):
            return work(runs, submission)

    checked = []
    with Runs() as runs, ThreadPoolExecutor(workers) as pool:
        try:
            for result in pool.map(watched, ready):
                checked.append(result)
                if ran is not None:
                    ran(len(checked), len(ready), result.learner)
        except BaseException:
            runs.stop()
            pool.shutdown(wait=False, cancel_futures=True)
            raise
    return checked


def _released(course: Course, worksheet: str) -> notebooks.Notebook:
    path = course.released(worksheet) / f"{worksheet}.ipynb"
    if not path.is_file():
        raise CourseError(f"{path} is missing: release “{worksheet}” again under the same name")
    return read_json(path)


def _inspect_all(
    course: Course, release: Release, told: Iterable[Problem]
) -> dict[str, Inspection]:
    """Inspect the roster's submissions; keep who is unknown, or sent what nobody could read."""
    roster = course.roster()
    worksheet = release.worksheet
    found: dict[str, Inspection] = {}
    problems = [*told]
    for name in _submitters(course, worksheet):
        if name in roster:
            found[name] = _inspected(course, name, release)
        else:
            problems.append(_unknown(name))
    gone = gradebook.marked(course, worksheet) - roster.keys()
    problems.extend(map(_left_the_roster, sorted(gone)))
    write_problems(course, worksheet, SUBMITTED, problems)
    for problem in read_problems(course, worksheet):
        if problem.learner in roster and problem.learner not in found:
            found[problem.learner] = Inspection(
                problem.state, f"{problem.file}: {problem.reason}", problem.action
            )
    return dict(sorted(found.items()))


def _inspected(course: Course, learner: str, release: Release) -> Inspection:
    """Inspect one submission; what that does to us is this learner's state and nobody else's."""
    folder = course.submitted(learner, release.worksheet)
    where = f"{SUBMITTED}/{learner}/{release.worksheet}"
    try:
        return inspect(folder, learner, release)
    except (OSError, UnicodeError, OverflowError, RecursionError) as error:
        return Inspection(UNREADABLE, f"{where} cannot be read: {error}", AGAIN)
    except Exception as error:
        reason = f"{where}: {type(error).__name__}: {error}"
        return Inspection(SYSTEM_ERROR, reason, checker.REPORT_IT)


def _forget_results(course: Course, worksheet: str, found: Mapping[str, Inspection]) -> None:
    """Take out the results of who is on the roster and has handed in nothing any more."""
    roster = course.roster()
    for path in (course.results_folder / worksheet).glob("*.json"):
        if path.stem in roster and path.stem not in found:
            path.unlink()


def _submitters(course: Course, worksheet: str) -> Iterator[str]:
    for folder in sorted((course.workspace / "submitted").glob("*")):
        inside = folder / worksheet
        if not folder.name.startswith(".") and (inside.exists() or inside.is_symlink()):
            yield folder.name


def _unknown(name: str) -> Problem:
    try:
        canonical = canonical_id(name) == name
    except ValueError:
        canonical = False
    return Problem(
        f"{SUBMITTED}/{printable(name)}",
        None,
        HELD,
        f"learner “{printable(name):.60}” is not on the roster, so nothing of theirs is marked",
        "Add the learner to roster.csv if the id is right, else rename or remove the folder."
        if canonical
        else "Rename the folder to the learner's id on the roster, or remove it.",
    )


def _left_the_roster(learner: str) -> Problem:
    return Problem(
        f"gradebook.db: {learner}",
        None,
        HELD,
        f"learner “{learner}” has marks and is not on the roster any more: the report leaves them "
        "out, and the gradebook keeps them",
        "Put the learner back on roster.csv, or take them out of the gradebook by "
        f"“nbgrader db student remove {learner} --force”.",
    )


def _not_marked(
    learner: str, release: Release, seen: Inspection, *, earlier: bool
) -> SubmissionResult:
    kept = " Until then the marks of an earlier hand-in stay in the gradebook." if earlier else ""
    return SubmissionResult(
        learner=learner,
        worksheet=release.worksheet,
        release=release.name,
        state=seen.state,
        reason=printable(seen.reason),
        action=seen.action + kept,
        submitted_at=seen.submitted_at,
    )


def _write(
    course: Course, release: Release, submission: Submission, result: SubmissionResult
) -> None:
    """Write one hand-in's marks; what fails in that is this learner's state and nobody else's."""
    try:
        _keep(course, _into_gradebook(course, release, submission, result))
    except Exception as error:
        _keep(
            course,
            checker.system_error(submission.learner, release, error, submission.submitted_at),
        )


def _keep(course: Course, result: SubmissionResult) -> None:
    write_result(course.results_folder, result)


def _run_and_check(
    course: Course,
    release: Release,
    released: notebooks.Notebook,
    runs: Runs,
    submission: Submission,
    *,
    timeout_s: float,
) -> SubmissionResult:
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
        return checker.check(
            submission,
            notebook,
            released,
            release=pictures.asked(course.workspace, release, submission.answers),
            runs=given,
            seal=seal,
            truths=course.truths(release),
        )
    except Exception as error:
        return checker.system_error(submission.learner, release, error, submission.submitted_at)


def _into_gradebook(
    course: Course, release: Release, submission: Submission, result: SubmissionResult
) -> SubmissionResult:
    """Have nbgrader write the marks and the marked notebook; a failure is told in the result."""
    if result.state != MARKED:
        return result
    learner, worksheet = submission.learner, release.worksheet
    known = True
    try:
        steps = [
            WriteMarks(release, result, shown(course, release, submission))
            if step is Execute
            else step
            for step in _autograde_steps(course)
        ]
        known = _book_learner(course, worksheet, learner)
        hand_marks.ask_again(course, worksheet, learner)
        convert(course, Autograde, worksheet, learner, force=True, autograde_preprocessors=steps)
        close_folder(course.autograded(learner, worksheet).parent)
        hand_marks.settle(course, worksheet, learner)
    except Exception as error:  # a locked gradebook too must not cost anybody points
        if not known:
            _forget(course, worksheet, learner)
        return checker.system_error(learner, release, error, submission.submitted_at)
    return result


def _autograde_steps(course: Course) -> list[Any]:
    own = course.config.Autograde.get("autograde_preprocessors")
    return list(own or Autograde.autograde_preprocessors.default_args[0])


def _book_learner(course: Course, worksheet: str, learner: str) -> bool:
    """Put the learner's name into the gradebook; tell whether it has a submission already."""
    row = course.roster()[learner]
    with course.gradebook() as book:
        book.update_or_create_student(
            learner, first_name=row.first_name or None, last_name=row.last_name or None
        )
        try:
            book.find_submission(worksheet, learner)
        except MissingEntry:
            return False
        return True


def _forget(course: Course, worksheet: str, learner: str) -> None:
    """Take out the empty submission that a failed conversion leaves: it would read as 0."""
    with course.gradebook() as book:
        try:
            book.remove_submission(worksheet, learner)
        except MissingEntry:
            return
