"""Write what marking decided: results as files, marks by nbgrader's own step into its gradebook."""

from collections.abc import Mapping
from typing import Any

from nbgrader.api import MissingEntry
from nbgrader.converters import Autograde
from nbgrader.preprocessors import Execute

from cubital.handin.files import close_folder, printable
from cubital.handin.release import Release
from cubital.handin.results import MARKED, SubmissionResult, write_result
from cubital.marking.cohort.course import Course
from cubital.marking.feedback.converting import convert
from cubital.marking.feedback.preprocessors import WriteMarks
from cubital.marking.feedback.showing import shown
from cubital.marking.marks import checker, gradebook, hand_marks
from cubital.marking.marks.inspecting import Inspection, Submission


def write_unmarked(course: Course, release: Release, found: Mapping[str, Inspection]) -> None:
    """Write the results of who handed in and is not marked, and why.

    The result of who is on the roster and has handed in nothing any more is taken out.
    """
    roster = course.roster()
    booked = gradebook.marked(course, release.worksheet)
    for path in (course.results_folder / release.worksheet).glob("*.json"):
        if path.stem in roster and path.stem not in found:
            path.unlink()
    for learner, seen in found.items():
        if seen.submission is None:
            result = _not_marked(learner, release, seen, earlier=learner in booked)
            write_result(course.results_folder, result)


def _not_marked(
    learner: str, release: Release, seen: Inspection, *, earlier: bool
) -> SubmissionResult:
    """Return a result without marks; those of an earlier hand-in stay in the gradebook."""
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


def write_marks(
    course: Course, release: Release, submission: Submission, result: SubmissionResult
) -> None:
    """Write one hand-in's marks; what fails in that is this learner's state and nobody else's."""
    try:
        booked = _into_gradebook(course, release, submission, result)
        write_result(course.results_folder, booked)
    except Exception as error:
        failed = checker.system_error(submission.learner, release, error, submission.submitted_at)
        write_result(course.results_folder, failed)


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
