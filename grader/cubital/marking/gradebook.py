"""Marks in nbgrader's gradebook: given by hand there, read back with the computed ones."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from nbgrader.api import MissingEntry

from cubital.handin.files import read_json
from cubital.handin.results import (
    HELD,
    MARKED,
    MISSING,
    ItemResult,
    SubmissionResult,
    read_result,
)
from cubital.marking.course import Course, CourseError
from cubital.marking.notebooks import answer_cells, marks_of

LOOK_AGAIN = "Marked by hand before the last hand-in: to be looked at again."


def results(course: Course, worksheet: str) -> list[SubmissionResult]:
    """Return one result for each learner of the roster, hand-given marks and comments included.

    Who handed in nothing is `missing`; nobody gets marks that were not given.
    """
    cells = _comment_cells(course, worksheet)
    with course.gradebook() as book:
        return [_result(course, book, worksheet, learner, cells) for learner in course.roster()]


def _result(
    course: Course, book: Any, worksheet: str, learner: str, cells: Mapping[str, str]
) -> SubmissionResult:
    path = course.results_folder / worksheet / f"{learner}.json"
    if path.is_file():
        stored = read_result(path)
        return _with_manual(stored, book, cells) if stored.state == MARKED else stored
    release = course.release(worksheet).name
    if course.submitted(learner, worksheet).exists():
        return SubmissionResult(
            learner, worksheet, release, HELD, "handed in, not marked yet", "Mark the worksheet."
        )
    return SubmissionResult(
        learner,
        worksheet,
        release,
        MISSING,
        "nothing was handed in",
        "Ask the learner, and collect and mark again when it is there.",
    )


def _with_manual(stored: SubmissionResult, book: Any, cells: Mapping[str, str]) -> SubmissionResult:
    try:
        notebook = book.find_submission_notebook(stored.worksheet, stored.worksheet, stored.learner)
    except MissingEntry:
        return stored
    grades = {grade.name: grade for grade in notebook.grades}
    comments = {comment.name: comment.manual_comment for comment in notebook.comments}
    return replace(
        stored,
        items=tuple(
            _row(row, grades.get(row.item), comments.get(cells.get(row.item)))
            for row in stored.items
        ),
    )


def _row(row: ItemResult, grade: Any, comment: str | None) -> ItemResult:
    if grade is None or (grade.manual_score is None and grade.extra_credit is None):
        return row
    message = LOOK_AGAIN if grade.needs_manual_grade else comment or "Marked by hand."
    points = float(grade.score)
    outcome = row.outcome
    if grade.manual_score is not None:
        blank = row.outcome == "blank" and not points
        outcome = "right" if points >= row.max_points else "blank" if blank else "wrong"
    return replace(row, points=points, message=message, outcome=outcome, slip=None, manual=True)


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
        try:
            return {row.student_id for row in book.assignment_submissions(worksheet)}
        except MissingEntry:
            return set()


def settled(course: Course, worksheet: str, learner: str, submitted_at: str) -> set[str]:
    """Return the items that a person marked in this very hand-in and need not look at again."""
    with course.gradebook() as book:
        try:
            submission = book.find_submission(worksheet, learner)
        except MissingEntry:
            return set()
        at = submission.timestamp
        if at is None or f"{at:%Y-%m-%dT%H:%M:%S}+00:00" != submitted_at:
            return set()
        return {
            grade.name
            for notebook in submission.notebooks
            for grade in notebook.grades
            if grade.manual_score is not None and not grade.needs_manual_grade
        }


def settle(course: Course, worksheet: str, learner: str, names: set[str]) -> None:
    """Take back nbgrader's wish to have these looked at again: nothing in them changed."""
    if not names:
        return
    with course.gradebook() as book:
        for name in names:
            grade = book.find_grade(name, worksheet, worksheet, learner)
            grade.needs_manual_grade = False
        book.db.commit()


def _comment_cells(course: Course, worksheet: str) -> dict[str, str]:
    """Return the grade_id of the cell that takes an item's comment."""
    notebook = read_json(course.source(worksheet) / f"{worksheet}.ipynb")
    holders = answer_cells(notebook)
    return {item: str(marks_of(cell)["grade_id"]) for item, cell in holders.items()}
