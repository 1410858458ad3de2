"""Marks in nbgrader's gradebook: given by hand there, read back with the computed ones."""

from collections.abc import Mapping
from dataclasses import replace

from nbgrader.api import Assignment, MissingEntry, SubmittedAssignment
from sqlalchemy import select

from cubital.handin.files import read_json
from cubital.handin.results import HELD, MARKED, MISSING, NOTHING, SubmissionResult
from cubital.handin.results import LATE as LATE_STATE
from cubital.marking.cohort import problems
from cubital.marking.cohort.collecting import UNPACK
from cubital.marking.cohort.course import Course
from cubital.marking.counting.looking import what_to_do
from cubital.marking.counting.rule import LATE, Standing
from cubital.marking.counting.standings import standings
from cubital.marking.errors import CourseError
from cubital.marking.marks.hand_marks import Hand, comments, hands, with_hand
from cubital.marking.marks.store import Store
from cubital.marking.notebooks import answer_cells, marks_of

_MOST_NAMED = 3
EARLIER_STAY = (
    " Until then the marks of an earlier marking stay in the gradebook, and “cubital cohort "
    "feedback” moves the page that was written of them into the folder “feedback-before”."
)


def results(
    course: Course, worksheet: str, standing: Mapping[str, Standing] | None = None
) -> list[SubmissionResult]:
    """Return one result for each learner of the roster, hand-given marks and comments included.

    Who handed in nothing is `missing`; nobody gets marks that were not given. ``standing`` is how
    the hand-ins stand, if that was read already.
    """
    cells = _comment_cells(course, worksheet)
    with course.gradebook() as book:
        given, written = hands(book, worksheet), comments(book, worksheet)
    kept = Store(course.workspace).results(worksheet)
    standing = standings(course, worksheet) if standing is None else standing
    release, booked = course.release(worksheet).name, marked(course, worksheet)
    unread = problems.unread(course, worksheet)
    found = []
    for learner in course.roster():
        result = kept.get(learner)
        of_learner = standing.get(learner, Standing(learner))
        if result is None:
            known = (course, worksheet, of_learner, release, unread)
            result = _without_result(*known, booked=learner in booked)
        if result.state == MARKED:
            said = {item: written.get(learner, {}).get(cell, "") for item, cell in cells.items()}
            result = _with_hands(result, given.get(learner, {}), said)
        found.append(_counted(result, of_learner))
    return found


def _counted(result: SubmissionResult, standing: Standing) -> SubmissionResult:
    """Return a result with which attempt it is, of how many hand-ins, and why that one counts."""
    whole = [row for row in standing.seen if row.attempt.sha256]
    shown = next((row for row in whole if row.shown), standing.counts)
    why = standing.why
    if shown is not None and shown != standing.counts:
        why = f"marked before that; now {why}: mark again" if why else ""
    number = shown.attempt.number if shown is not None else None
    arrived = shown.arrived.isoformat() if shown is not None else ""
    return replace(result, attempt=number, hand_ins=len(whole), counts=why, arrived_at=arrived)


def _without_result(
    course: Course,
    worksheet: str,
    standing: Standing,
    release: str,
    unread: list[str],
    *,
    booked: bool,
) -> SubmissionResult:
    learner = standing.learner
    if standing.counts is None and standing.rule:
        return _none_counts(course, worksheet, standing, booked=booked)
    if standing.counts is not None or course.submitted(learner, worksheet).exists():
        return SubmissionResult(
            learner, worksheet, release, HELD, "handed in, not marked yet", "Mark the worksheet."
        )
    if unread:
        named = ", ".join(unread[:_MOST_NAMED]) + (", ..." if unread[_MOST_NAMED:] else "")
        reason = f"no hand-in was found, and something unread lies in the inbox: {named}"
        return SubmissionResult(learner, worksheet, release, MISSING, reason, UNPACK)
    return SubmissionResult(
        learner,
        worksheet,
        release,
        MISSING,
        NOTHING,
        "Ask the learner, and collect and mark again when it is there.",
    )


def _none_counts(
    course: Course, worksheet: str, standing: Standing, *, booked: bool
) -> SubmissionResult:
    """Return the result of who handed in, and of whose hand-ins none counts."""
    learner = standing.learner
    back = problems.command(course, "choose", worksheet, learner, "rule", "--reason", "taken-back")
    last = [row for row in standing.seen if row.attempt.sha256][-1].attempt
    late = standing.rule == LATE
    return SubmissionResult(
        standing.learner,
        worksheet,
        last.release,
        LATE_STATE if late else HELD,
        f"late: {standing.why}" if late else standing.why,
        (
            what_to_do(course, worksheet, standing)
            if late
            else f"{back} lets hand-ins count by date again."
        )
        + (EARLIER_STAY if booked else ""),
        last.said_at,
    )


def _with_hands(
    result: SubmissionResult, given: Mapping[str, Hand], said: Mapping[str, str]
) -> SubmissionResult:
    rows = (with_hand(row, given.get(row.item), said.get(row.item, "")) for row in result.items)
    return replace(result, items=tuple(rows))


def set_manual(  # noqa: PLR0917 - the fields of a form, in its order
    course: Course, worksheet: str, learner: str, item: str, points: float, comment: str = ""
) -> None:
    """Give an item's points by hand, as nbgrader's form grader does.

    Raises
    ------
    CourseError
        The learner's hand-in is not marked, the points are not from 0 to the item's, or the
        item has no cell that takes a comment.
    """
    most = course.release(worksheet).item(item).points
    if isinstance(points, bool) or not 0 <= points <= most:
        raise CourseError(f"{points!r} points for “{item}”: they must be from 0 to {most:g}")
    with course.gradebook() as book:
        try:
            grade = book.find_grade(item, worksheet, worksheet, learner)
        except MissingEntry as error:
            raise CourseError(
                f"“{learner}” has no marked hand-in of “{worksheet}” with “{item}”: mark it first"
            ) from error
        grade.manual_score = float(points)
        grade.needs_manual_grade = False
        if comment:
            cell = _comment_cells(course, worksheet).get(item)
            if cell is None:
                raise CourseError(f"“{item}” is answered in a field; no cell takes a comment")
            book.find_comment(cell, worksheet, worksheet, learner).manual_comment = comment
        book.db.commit()


def marked(course: Course, worksheet: str) -> set[str]:
    """Return whose hand-in has marks in the gradebook."""
    with course.gradebook() as book:
        handed_in = (
            select(SubmittedAssignment.student_id)
            .join(Assignment, SubmittedAssignment.assignment_id == Assignment.id)
            .where(Assignment.name == worksheet)
        )
        return {*book.db.scalars(handed_in)}


def _comment_cells(course: Course, worksheet: str) -> dict[str, str]:
    """Return the grade_id of the cell that takes an item's comment."""
    notebook = read_json(course.source(worksheet) / f"{worksheet}.ipynb")
    holders = answer_cells(notebook)
    return {item: str(marks_of(cell)["grade_id"]) for item, cell in holders.items()}
