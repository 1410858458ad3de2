"""Enter marks in nbgrader's gradebook: the rows that nbgrader itself would write, in bulk.

Hand-ins are entered many at a time, in one transaction: all of them, or none. A new row's id is
made of course, worksheet, notebook, learner and cell, so that marking again somewhere else gives
equal rows; a row that is there keeps its id. What a person entered is never changed here.
"""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cached_property
from typing import Any, NamedTuple
from uuid import UUID, uuid5

from nbgrader.api import (
    Comment,
    Grade,
    GradeCell,
    MissingEntry,
    Notebook,
    SolutionCell,
    Student,
    SubmittedAssignment,
    SubmittedNotebook,
    TaskCell,
)
from sqlalchemy import insert, select, update

from cubital.marking.cohort.course import Course
from cubital.marking.errors import CourseError

NO_RESPONSE = "No response."  # nbgrader's own comment on an answer cell that did not change
_NAMESPACE = UUID("6f0c1a52-6d0b-5c34-9a7e-2f6f1d9a1c55")  # of this gradebook's rows alone
_Values = dict[str, Any]


class Given(NamedTuple):
    """What a gradebook holds of one cell: computed points, and those that a person gave."""

    auto: float | None
    manual: float | None
    extra: float | None

    @property
    def by_hand(self) -> bool:
        """Whether a person gave points, or extra ones."""
        return self.manual is not None or self.extra is not None

    @property
    def points(self) -> float:
        """The points that nbgrader counts."""
        base = self.auto if self.manual is None else self.manual
        return 0.0 if base is None else base + (self.extra or 0.0)


@dataclass(frozen=True)
class HandIn:
    """What is entered of one hand-in.

    Attributes
    ----------
    learner, first_name, last_name
        Whose it is, as the roster has it.
    handed_in
        The time that it says, in UTC; the time of an earlier one stays if it says none.
    scores
        The computed points of each grade cell; None where a person gives them.
    unanswered
        The answer cells that stand as they were released.
    asks
        Tells by a cell's name, and what the gradebook will hold of it, whether a person is to look
        at it.
    """

    learner: str
    first_name: str
    last_name: str
    handed_in: datetime | None
    scores: Mapping[str, float | None]
    unanswered: AbstractSet[str]
    asks: Callable[[str, Given], bool]


def enter(course: Course, worksheet: str, hand_ins: Sequence[HandIn]) -> None:
    """Enter the marks of hand-ins in one transaction.

    Raises
    ------
    CourseError
        The gradebook cannot be used, or does not have the worksheet.
    """
    with course.gradebook() as book:
        sheet = _Sheet.of(book, worksheet)
        entering = _Entering(book.db, sheet, _Late(course, sheet.due), hand_ins)
        for hand_in in hand_ins:
            entering.add(hand_in)
        entering.changes.apply(book.db)
        book.db.commit()


@dataclass(frozen=True)
class _Cells:
    """A notebook of a worksheet, and the ids of its cells that have points or comments by name."""

    id: str
    name: str
    graded: Mapping[str, str]
    commented: Mapping[str, str]


@dataclass(frozen=True)
class _Sheet:
    """What the gradebook holds of a worksheet itself."""

    course: str
    name: str
    id: str
    due: datetime | None
    notebooks: tuple[_Cells, ...]

    @classmethod
    def of(cls, book: Any, worksheet: str) -> "_Sheet":
        """Read it; CourseError if it is not there."""
        try:
            assignment = book.find_assignment(worksheet)
        except MissingEntry as error:
            raise CourseError(
                f"gradebook.db does not have “{worksheet}”: release it again under the same name"
            ) from error
        ids: dict[Any, defaultdict[str, dict[str, str]]] = {}
        for kind in (GradeCell, SolutionCell, TaskCell):
            ids[kind] = defaultdict(dict)
            for notebook, name, cell in book.db.execute(
                select(kind.notebook_id, kind.name, kind.id)
            ):
                ids[kind][notebook][name] = cell
        notebooks = select(Notebook.id, Notebook.name).where(
            Notebook.assignment_id == assignment.id
        )
        return cls(
            course=book.course_id,
            name=worksheet,
            id=assignment.id,
            due=assignment.duedate,
            notebooks=tuple(
                _Cells(
                    row.id,
                    row.name,
                    graded=ids[GradeCell][row.id] | ids[TaskCell][row.id],
                    commented=ids[SolutionCell][row.id] | ids[TaskCell][row.id],
                )
                for row in book.db.execute(notebooks)
            ),
        )

    def row_id(self, table: Any, learner: str, *parts: str) -> str:
        """Return the id of a new row, the same whenever and wherever it is made."""
        told = "\n".join((self.course, self.name, learner, table.__tablename__, *parts))
        return uuid5(_NAMESPACE, told).hex


class _Changes:
    """Rows to be added and rows to be changed, by table."""

    def __init__(self) -> None:
        self._added: defaultdict[Any, list[_Values]] = defaultdict(list)
        self._changed: defaultdict[Any, list[_Values]] = defaultdict(list)

    def put(self, table: Any, row_id: str, before: Any, **values: Any) -> None:
        """Add a row, or change the one that is there in what differs."""
        if before is None:
            self._added[table].append({"id": row_id, **values})
            return
        new = {name: value for name, value in values.items() if getattr(before, name) != value}
        if new:
            self._changed[table].append({"id": row_id, **new})

    def apply(self, db: Any) -> None:
        """Have the database make the changes, with one statement for all rows that are alike."""
        for table in (Student, SubmittedAssignment, SubmittedNotebook, Grade, Comment):
            if rows := self._added[table]:  # as rows: none of them becomes an object
                db.execute(insert(table.__table__), rows)
            alike: defaultdict[tuple[str, ...], list[_Values]] = defaultdict(list)
            for row in self._changed[table]:
                alike[tuple(row)].append(row)
            for rows in alike.values():
                db.execute(update(table), rows)


class _Entering:
    """The rows of some learners' hand-ins as they are, and the changes to be made in them."""

    def __init__(self, db: Any, sheet: _Sheet, late: "_Late", hand_ins: Sequence[HandIn]) -> None:
        self.sheet, self.late, self.changes = sheet, late, _Changes()
        learners = [row.learner for row in hand_ins]
        self.students = _by(db, Student, "id", Student.id.in_(learners))
        self.hand_ins = _by(
            db,
            SubmittedAssignment,
            "student_id",
            SubmittedAssignment.assignment_id == sheet.id,
            SubmittedAssignment.student_id.in_(learners),
        )
        own = [row.id for row in self.hand_ins.values()]
        within = SubmittedNotebook.assignment_id.in_(own)
        self.notebooks = _by(db, SubmittedNotebook, "assignment_id notebook_id", within)
        parts = [row.id for row in self.notebooks.values()]
        self.grades = _by(db, Grade, "notebook_id cell_id", Grade.notebook_id.in_(parts))
        self.comments = _by(db, Comment, "notebook_id cell_id", Comment.notebook_id.in_(parts))

    def add(self, hand_in: HandIn) -> None:
        """Put in what one hand-in changes."""
        learner, sheet = hand_in.learner, self.sheet
        self.changes.put(
            Student,
            learner,
            self.students.get(learner),
            first_name=hand_in.first_name or None,
            last_name=hand_in.last_name or None,
        )
        before = self.hand_ins.get(learner)
        row_id = before.id if before else sheet.row_id(SubmittedAssignment, learner)
        timestamp = before.timestamp if before else None
        if hand_in.handed_in is not None:  # nbgrader's times are in UTC and do not say it
            timestamp = hand_in.handed_in.astimezone(UTC).replace(tzinfo=None)
        self.changes.put(
            SubmittedAssignment,
            row_id,
            before,
            assignment_id=sheet.id,
            student_id=learner,
            timestamp=timestamp,
        )
        seconds = self.late.seconds(timestamp, before.extension if before else None)
        for cells in sheet.notebooks:
            self._add_notebook(hand_in, row_id, cells, seconds)

    def _add_notebook(self, hand_in: HandIn, whole: str, cells: _Cells, late_s: float) -> None:
        learner = hand_in.learner
        scores: Mapping[str, float | None] = hand_in.scores
        if cells.name != self.sheet.name:  # another notebook, which cannot be handed in here
            scores = dict.fromkeys(cells.graded, 0.0)
        before = self.notebooks.get((whole, cells.id))
        row_id = before.id if before else self.sheet.row_id(SubmittedNotebook, learner, cells.name)
        given: dict[str, Given] = {}
        for name, cell_id in cells.graded.items():
            grade = self.grades.get((row_id, cell_id))
            manual, extra = (grade.manual_score, grade.extra_credit) if grade else (None, None)
            given[name] = Given(scores.get(name), manual, extra)
            self.changes.put(
                Grade,
                grade.id if grade else self.sheet.row_id(Grade, learner, cells.name, name),
                grade,
                notebook_id=row_id,
                cell_id=cell_id,
                auto_score=given[name].auto,
                needs_manual_grade=hand_in.asks(name, given[name]),
            )
        for name, cell_id in cells.commented.items():
            comment = self.comments.get((row_id, cell_id))
            self.changes.put(
                Comment,
                comment.id if comment else self.sheet.row_id(Comment, learner, cells.name, name),
                comment,
                notebook_id=row_id,
                cell_id=cell_id,
                auto_comment=NO_RESPONSE if name in hand_in.unanswered else None,
            )
        points = sum(row.points for row in given.values())
        self.changes.put(
            SubmittedNotebook,
            row_id,
            before,
            assignment_id=whole,
            notebook_id=cells.id,
            late_submission_penalty=self.late.penalty(learner, points, late_s),
        )


def _by(db: Any, table: Any, key: str, *which: Any) -> dict[Any, Any]:
    """Read rows of a table as plain rows, by one or several of their columns."""
    names = key.split()
    rows = db.execute(select(*table.__table__.columns).where(*which))
    if len(names) == 1:
        return {getattr(row, key): row for row in rows}
    return {tuple(getattr(row, name) for name in names): row for row in rows}


class _Late:
    """nbgrader's rule for what comes after its due date, as the course's settings name it."""

    def __init__(self, course: Course, due: datetime | None) -> None:
        self._course, self._due = course, due

    def seconds(self, handed_in: datetime | None, extension: timedelta | None) -> float:
        """Return how late a hand-in is [s]."""
        if handed_in is None or self._due is None:
            return 0.0
        return max(0.0, (handed_in - self._due - (extension or timedelta())).total_seconds())

    def penalty(self, learner: str, points: float, late_s: float) -> float | None:
        """Return the points that are taken off, from none to all; None if the rule says nothing."""
        if late_s <= 0:
            return None
        said = self._rule.late_submission_penalty(learner, points, late_s)
        return None if said is None else min(max(said, 0), points)

    @cached_property
    def _rule(self) -> Any:
        from nbgrader.preprocessors import AssignLatePenalties  # noqa: PLC0415 - seldom asked for

        step = AssignLatePenalties(config=self._course.config)
        step.init_plugin()
        return step.plugin_inst
