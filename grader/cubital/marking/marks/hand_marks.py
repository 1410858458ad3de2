"""Marks given by hand, in nbgrader's gradebook: of which answer they are, and what they change.

nbgrader keeps the points and not what they were given for. So before a hand-in is marked again,
the answers that a person has marked are kept as check sums in ``hand-marks/``; only an answer
that is still the same has its mark afterwards, and any other is to be looked at again.
"""

import functools
import hashlib
import json
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypedDict

from nbgrader.api import (
    Assignment,
    Comment,
    Grade,
    GradeCell,
    SolutionCell,
    Student,
    SubmittedAssignment,
    SubmittedNotebook,
)
from sqlalchemy import or_

from cubital.handin.answers import Answers, BrokenAnswersError, read_answers
from cubital.handin.files import read_json, write_json
from cubital.handin.results import NOT_RUN, REFUSED, WAITING, ItemResult
from cubital.marking.cohort.course import Course
from cubital.marking.marks.booking import Given
from cubital.marking.notebooks import Cell, Notebook, answer_cells, source_text
from cubital.scene.files.picture_files import forget_halves

FORMAT = "cubital-hand-marks/1"
BY_HAND = "Marked by hand."
_WAITS = "Waits to be marked by hand."
_LARGEST_NOTEBOOK = 60_000_000  # bytes, with its pictures


class KeptMark(TypedDict):
    """A mark that a person gave, and the check sum of the answer that it was given for."""

    sha256: str
    points: float | None
    extra: float | None


@dataclass(frozen=True)
class Hand:
    """What the gradebook holds of one item: the marks, and whether a person is asked to look."""

    auto: float | None
    manual: float | None
    extra: float | None
    asked: bool

    @property
    def given(self) -> float | None:
        """Points as a person left them, extra ones included; None if nobody touched them."""
        if self.manual is None and self.extra is None:
            return None
        base = self.auto if self.manual is None else self.manual
        return None if base is None else base + (self.extra or 0.0)


def hands(book: Any, worksheet: str, learner: str | None = None) -> dict[str, dict[str, Hand]]:
    """Return what a gradebook holds of each learner's items, or of one learner's."""
    rows = _of(book, Grade, GradeCell, worksheet, learner).with_entities(
        Student.id,
        GradeCell.name,
        Grade.auto_score,
        Grade.manual_score,
        Grade.extra_credit,
        Grade.needs_manual_grade,
    )
    found: dict[str, dict[str, Hand]] = {}
    for who, item, auto, manual, extra, asked in rows:
        found.setdefault(who, {})[item] = Hand(auto, manual, extra, bool(asked))
    return found


def comments(book: Any, worksheet: str, learner: str | None = None) -> dict[str, dict[str, str]]:
    """Return the comments that persons wrote, by learner and cell, or one learner's."""
    rows = _of(book, Comment, SolutionCell, worksheet, learner).with_entities(
        Student.id, SolutionCell.name, Comment.manual_comment
    )
    found: dict[str, dict[str, str]] = {}
    for who, cell, comment in rows:
        if comment:
            found.setdefault(who, {})[cell] = comment
    return found


def _of(book: Any, table: Any, cell: Any, worksheet: str, learner: str | None) -> Any:
    query = (
        book.db.query(table)
        .join(cell, table.cell_id == cell.id)
        .join(SubmittedNotebook, table.notebook_id == SubmittedNotebook.id)
        .join(SubmittedAssignment, SubmittedNotebook.assignment_id == SubmittedAssignment.id)
        .join(Assignment, SubmittedAssignment.assignment_id == Assignment.id)
        .join(Student, SubmittedAssignment.student_id == Student.id)
        .filter(Assignment.name == worksheet)
    )
    return query if learner is None else query.filter(Student.id == learner)


def with_hand(row: ItemResult, hand: Hand | None, comment: str = "") -> ItemResult:
    """Return an item's result with what the gradebook holds of it by hand.

    An item that a person is asked to look at waits and has no points; a mark that was given for
    an earlier answer is named and does not count.
    """
    given = None if hand is None else hand.given
    if hand is None or (given is None and not hand.asked):
        return row
    if given is not None and not hand.asked:
        most = row.max_points
        blank = row.outcome == "blank" and not given
        outcome = "right" if given >= most else "blank" if blank else "wrong"
        return replace(
            row,
            points=given,
            message=comment or BY_HAND,
            outcome=outcome if hand.manual is not None else row.outcome,
            slip=None,
            action="",
            manual=True,
        )
    outcome = row.outcome if row.outcome in {REFUSED, NOT_RUN} else WAITING
    waits = replace(row, points=None, outcome=outcome, slip=None)
    if given is None:
        return waits if row.points is None else replace(waits, message=_WAITS)
    earlier = given if hand.manual is not None else hand.extra
    was = f"was {earlier:g} of {row.max_points:g}"
    words = was if hand.manual is not None else f"had {earlier:g} extra points"
    refused = f"{row.message} " if outcome == REFUSED else ""
    computed = "" if hand.auto is None else f" The computed mark is {hand.auto:g} now."
    thing = "text" if row.is_text else "answer"
    again = f"{refused}{_WAITS[:-1]} again: {words} for an earlier {thing}.{computed}"
    return replace(waits, message=again, earlier=earlier)


# ------------------------------------------------------------------- marking a hand-in again


def ask_again(course: Course, worksheet: str, learners: Collection[str]) -> None:
    """Keep which answers a person has marked, and have all of them looked at again.

    It is done before anything of a new marking is written, so that a marking that is cut off
    leaves no mark on an answer that it was not given for; what `asking` returns decides after.
    """
    forget_halves(_folder(course, worksheet))
    with course.gradebook() as book:
        for learner, grades in _touched(book, worksheet, learners).items():
            now = _answers_in(course.autograded(learner, worksheet), worksheet)
            marked = _kept(course, worksheet, learner)
            for item, grade in grades.items():
                if not grade.needs_manual_grade and item in now:
                    marked[item] = _mark(now[item], grade.manual_score, grade.extra_credit)
                grade.needs_manual_grade = True
            write_json(
                _file(course, worksheet, learner),
                {"format": FORMAT, "learner": learner, "worksheet": worksheet, "items": marked},
            )
        book.db.commit()


def asking(
    course: Course,
    worksheet: str,
    learner: str,
    notebook: Notebook,
    answers: Answers | None,
) -> Callable[[str, Given], bool]:
    """Return what tells whether a person is to look at an item of a hand-in.

    A person looks where no points are computed. Points that a person gave stand for the very
    answer that they were given for, and for no other.

    Parameters
    ----------
    notebook, answers
        What is marked now: the hand-in's notebook, mended, with the saved texts in their cells,
        and what was saved.
    """

    @functools.cache
    def known() -> tuple[dict[str, KeptMark], dict[str, str]]:
        return _kept(course, worksheet, learner), answer_sums(notebook, answers)

    def asks(item: str, given: Given) -> bool:
        if not given.by_hand:
            return given.auto is None
        marked, now = known()
        mark = _mark(now[item], given.manual, given.extra) if item in now else None
        same = mark is not None and marked.get(item) == mark
        text_alone = given.manual is None and given.auto is None
        return text_alone or not same

    return asks


def _touched(book: Any, worksheet: str, learners: Collection[str]) -> dict[str, dict[str, Any]]:
    """Return the grades that a person touched, by learner and item."""
    touched = or_(Grade.manual_score.is_not(None), Grade.extra_credit.is_not(None))
    rows = (
        _of(book, Grade, GradeCell, worksheet, None)
        .filter(touched, Student.id.in_(learners))
        .with_entities(Student.id, GradeCell.name, Grade)
    )
    found: dict[str, dict[str, Any]] = {}
    for learner, item, grade in rows:
        found.setdefault(learner, {})[item] = grade
    return found


def _mark(answer: str, points: float | None, extra: float | None) -> KeptMark:
    return {"sha256": answer, "points": points, "extra": extra}


def _file(course: Course, worksheet: str, learner: str) -> Path:
    return _folder(course, worksheet) / f"{learner}.json"


def _folder(course: Course, worksheet: str) -> Path:
    return course.workspace / "hand-marks" / worksheet


def _kept(course: Course, worksheet: str, learner: str) -> dict[str, KeptMark]:
    try:
        data = read_json(_file(course, worksheet, learner))
        return dict(data["items"]) if data["format"] == FORMAT else {}
    except (OSError, ValueError, KeyError, TypeError):
        return {}  # then a person looks again


def _answers_in(folder: Path, worksheet: str) -> dict[str, str]:
    """Return the check sums of the answers in a marked hand-in's folder; none if it is odd."""
    try:
        notebook = read_json(folder / f"{worksheet}.ipynb", largest=_LARGEST_NOTEBOOK)
        return answer_sums(notebook, read_answers(folder))
    except (OSError, ValueError, BrokenAnswersError):
        return {}


def answer_sums(notebook: Notebook, answers: Answers | None) -> dict[str, str]:
    """Return the check sum of each item's answer: what stands in its cell, and in its field."""
    holders = answer_cells(notebook)
    items = {*holders, *(answers.items if answers else ())}
    code = [source_text(cell) for cell in notebook["cells"] if cell["cell_type"] == "code"]
    return {item: _sum(item, holders, answers, code) for item in items}


def _sum(item: str, holders: Mapping[str, Cell], answers: Answers | None, code: list[str]) -> str:
    """Return a check sum of an answer; one in code is all the code, which it may call upon."""
    holder, entry = holders.get(item), answers.last(item) if answers else None
    told: list[Any] = [source_text(holder) if holder else None]
    told.append(dict(entry.answer) if entry else None)
    if holder is not None and holder["cell_type"] == "code":
        told.append(code)
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()
