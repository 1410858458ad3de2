"""Mark a worksheet: inspect each hand-in, run its code elsewhere, check it, write the gradebook."""

import shutil
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from typing import Any

from nbgrader.api import MissingEntry
from nbgrader.converters import Autograde
from nbgrader.preprocessors import Execute

from cubital.handin.files import read_json
from cubital.handin.ids import canonical_id
from cubital.handin.release import Release
from cubital.handin.results import HELD, MARKED, SubmissionResult, write_result
from cubital.marking import checker, gradebook, hand_marks, notebooks
from cubital.marking.collecting import SUBMITTED, Problem, read_problems, write_problems
from cubital.marking.converting import convert
from cubital.marking.course import Course, CourseError
from cubital.marking.inspecting import Inspection, Submission, inspect
from cubital.marking.preprocessors import WriteMarks
from cubital.marking.running import TIMEOUT_S, run_code
from cubital.marking.showing import shown

Progress = Callable[[int, int, str], None]
_SCRATCH = ".running"


def mark(
    course: Course,
    worksheet: str,
    progress: Progress | None = None,
    *,
    timeout_s: float = TIMEOUT_S,
    workers: int = 2,
) -> list[SubmissionResult]:
    """Mark all hand-ins of a worksheet and return the result of each learner on the roster.

    Parameters
    ----------
    progress
        Called after each hand-in with how many are done, of how many, and whose it was.
    timeout_s
        How long one hand-in's code cells may run [s].
    workers
        How many hand-ins' code cells run at the same time.

    What cannot be marked is held or unreadable with the reason, and the others are marked.
    """
    release = course.release(worksheet)
    released = _released(course, worksheet)
    found = _inspect_all(course, release)
    booked = gradebook.marked(course, worksheet)
    for learner, seen in found.items():
        if seen.submission is None:
            _keep(course, _not_marked(learner, release, seen, earlier=learner in booked))
    ready = [seen.submission for seen in found.values() if seen.submission is not None]
    work = partial(_run_and_check, course, release, released, timeout_s)
    try:
        with ThreadPoolExecutor(workers) as pool:
            for number, (submission, result) in enumerate(
                zip(ready, pool.map(work, ready), strict=True), 1
            ):
                _keep(course, _into_gradebook(course, release, submission, result))
                if progress is not None:
                    progress(number, len(ready), submission.learner)
    finally:
        shutil.rmtree(course.workspace / _SCRATCH, ignore_errors=True)
    return gradebook.results(course, worksheet)


def _released(course: Course, worksheet: str) -> notebooks.Notebook:
    path = course.released(worksheet) / f"{worksheet}.ipynb"
    if not path.is_file():
        raise CourseError(f"{path} is missing: release “{worksheet}” again under the same name")
    return read_json(path)


def _inspect_all(course: Course, release: Release) -> dict[str, Inspection]:
    """Inspect the roster's submissions; keep who is unknown, or sent what nobody could read."""
    roster = course.roster()
    worksheet = release.worksheet
    found: dict[str, Inspection] = {}
    problems = []
    for name in _submitters(course, worksheet):
        if name in roster:
            found[name] = inspect(course.submitted(name, worksheet), name, release)
        else:
            problems.append(_unknown(name))
    write_problems(course, worksheet, SUBMITTED, problems)
    for problem in read_problems(course, worksheet):
        if problem.learner in roster and problem.learner not in found:
            found[problem.learner] = Inspection(problem.state, problem.reason, problem.action)
    for path in (course.results_folder / worksheet).glob("*.json"):
        if path.stem not in found:  # neither handed in any more nor tried to
            path.unlink()
    return dict(sorted(found.items()))


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
        f"{SUBMITTED}/{name}",
        None,
        HELD,
        f"learner {name!r:.60} is not on the roster",
        "Add the learner to roster.csv if the id is right, else rename or remove the folder."
        if canonical
        else "Rename the folder to the learner's id on the roster, or remove it.",
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
        reason=seen.reason,
        action=seen.action + kept,
        submitted_at=seen.submitted_at,
    )


def _keep(course: Course, result: SubmissionResult) -> None:
    write_result(course.results_folder, result)


def _run_and_check(
    course: Course,
    release: Release,
    released: notebooks.Notebook,
    timeout_s: float,
    submission: Submission,
) -> SubmissionResult:
    try:
        notebook = notebooks.mend(submission.notebook, released)
        seal = course.seal(release.worksheet)
        runs = run_code(
            submission,
            notebook,
            release,
            seal,
            scratch=course.workspace / _SCRATCH,
            timeout_s=timeout_s,
        )
        return checker.check(
            submission,
            notebook,
            released,
            release=release,
            runs=runs,
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
