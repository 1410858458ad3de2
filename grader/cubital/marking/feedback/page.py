"""What a learner's feedback page says, as plain words for its template to escape.

Rows come from the results of marking alone; no text that a notebook shows becomes one.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from cubital.handin.objectives import COMPETENCE_NOTE, is_right, knowledge_of
from cubital.handin.passing import Decision, in_words
from cubital.handin.principles.retakes import attempt_of, is_retake, principle_of
from cubital.handin.principles.standing import Standing as PrincipleStanding
from cubital.handin.principles.standing import since
from cubital.handin.released.questions import Question
from cubital.handin.released.stubs import CODE_STUB
from cubital.handin.results import (
    MARKED,
    NOT_RUN,
    REFUSED,
    ItemResult,
    Row,
    SubmissionResult,
    feedback,
    mark_in_words,
)
from cubital.handin.standard import Standard
from cubital.items.principles.course import PRINCIPLES
from cubital.marking import notebooks
from cubital.marking.feedback import next_steps
from cubital.marking.feedback.critical import Critical, lost
from cubital.marking.feedback.next_steps import Link, Step
from cubital.marking.feedback.showing import Asked
from cubital.marking.feedback.standing import Standing, of_retake, standing
from cubital.marking.marks.hand_marks import Hand, with_hand
from cubital.tables import Objective

Picture = tuple[str, str]


@dataclass
class Part:
    """One item on the page; ``picture`` holds a JPEG in base 64 and the same in words.

    ``state`` is how it stands, for the page's look, which ``sign`` and ``word`` say as well.
    """

    id: str
    title: str
    mark: str
    state: str
    sign: str
    word: str
    full: bool = False
    rows: list[Row] = field(default_factory=list)
    confidence: float | None = None
    line: str = ""
    comment: str = ""
    comment_label: str = "The marker writes"
    picture: Picture | None = None


@dataclass
class Sheet:
    """The whole page; ``sure`` tells how sure, how many answers, and how many of them right.

    ``course`` says what the course decides on the learner, empty where that is not known.
    ``of`` says whose hand-in it is about, of which release, and when it was handed in and marked;
    ``principles`` each one's title, how the learner stands on it, and what it says.
    """

    title: str
    learner: str
    of: str
    competence: str
    standing: Standing
    course: str
    score: str
    waiting: str
    critical: list[Critical]
    steps: list[Step]
    parts: list[Part]
    sure: list[tuple[str, int, int]]
    principles: list[tuple[str, str, str]]


@dataclass(frozen=True)
class Days:
    """The days of a hand-in, in UTC: when it says to be handed in, and when it was marked."""

    handed_in: date | None
    marked: date

    @property
    def in_words(self) -> str:
        """Both days."""
        marked = f"marked on {_day(self.marked)}"
        if self.handed_in is None:
            return marked
        if self.handed_in == self.marked:
            return f"handed in and {marked}"
        return f"handed in on {_day(self.handed_in)}, {marked}"


def page(
    notebook: Any,
    asked: Asked,
    *,
    objectives: tuple[Objective, ...],
    standard: Standard | None,
    decision: Decision | None = None,
    days: Days,
    computed: Mapping[str, ItemResult],
    hands: Mapping[str, Hand],
    comments: Mapping[str, str],
    pictures: Mapping[str, Picture],
    principles: Sequence[PrincipleStanding] = (),
) -> Sheet:
    """Put the page together.

    Parameters
    ----------
    notebook
        The marked notebook, for the order of the questions and the learner's line.
    asked
        What the learner was asked.
    objectives
        The release's rule: what it gives evidence for, and what shows it.
    standard
        The worksheet's pass mark, if it has one.
    decision
        What the course decides on the learner, if that is known.
    days
        When it was handed in and marked.
    computed, hands
        The results that were computed, and what the gradebook holds of each by hand, by item.
    comments
        What the marker wrote, by the answer cell's grade_id.
    pictures
        The picture of each item on one, in base 64, and the same in words.
    principles
        How the learner stands on those that the worksheet asks for. A question whose principle
        was passed since is none any more that must be right.
    """
    parts: list[Part] = []
    found: list[next_steps.Answered] = []
    critical = {key for one in objectives for key in one.critical}
    counts = since(principles)
    holders = notebooks.answer_cells(notebook)
    for cell in notebook["cells"]:
        if not notebooks.is_grade(cell):
            continue
        item_id = str(notebooks.marks_of(cell)["grade_id"])
        row = with_hand(computed[item_id], hands.get(item_id))
        question, _ = asked.questions[item_id]
        passed_since = counts.get(item_id, False) and not is_right(row)
        must = (question.key.critical or item_id in critical) and not passed_since
        link = Link(item_id, f"{len(parts) + 1}. {question.form.title}")
        one = next_steps.Answered(question, row, must, link)
        part = _part(one)
        if row.manual and not question.form.by_hand:
            part.rows = _changed(question, computed[item_id], row)
        _add_cells(part, row, holders.get(item_id), comments)
        part.picture = pictures.get(item_id)
        parts.append(part)
        found.append(one)
    rows = {one.row.item: one.row for one in found}
    known = knowledge_of(_result(asked, tuple(rows.values())), objectives, counts)
    stands = standing(known, {one.row.item: one for one in found}, standard)
    if is_retake(asked.release.worksheet):
        stands = of_retake(stands)
    score, waiting = _score(tuple(rows.values()))
    return Sheet(
        title=_title(asked.release.worksheet),
        learner=asked.learner,
        of=_of(asked, days, by_hand=any(row.manual for row in rows.values())),
        competence=COMPETENCE_NOTE,
        standing=stands,
        course=in_words(decision) if decision is not None else "",
        score=score,
        waiting=waiting,
        critical=lost(found),
        steps=_steps(asked.release.worksheet, found, stands.overall.state),
        parts=parts,
        sure=_sure(parts),
        principles=[(one.title, one.in_words, one.rule) for one in principles],
    )


def _title(worksheet: str) -> str:
    """Return what a worksheet is called; a retake goes by its principle."""
    key = principle_of(worksheet)
    if key is not None:
        return f"Retake, attempt {attempt_of(worksheet)}: {PRINCIPLES[key].title}"
    return f"Worksheet: {worksheet.replace('-', ' ')}"


def _steps(worksheet: str, found: list[next_steps.Answered], state: str) -> list[next_steps.Step]:
    """Return what comes next; a second retake is not the learner's to ask for."""
    steps = next_steps.next_steps(found, state)
    if is_retake(worksheet):
        return [step for step in steps if step.words != next_steps.ANOTHER]
    return steps


def _result(asked: Asked, rows: tuple[ItemResult, ...]) -> SubmissionResult:
    release = asked.release
    return SubmissionResult(asked.learner, release.worksheet, release.name, MARKED, items=rows)


def _score(rows: tuple[ItemResult, ...]) -> tuple[str, str]:
    """Say the points, and how many of them wait."""
    points, most = sum(row.points or 0.0 for row in rows), sum(row.max_points for row in rows)
    pending = sum(row.max_points for row in rows if row.points is None)
    optional = sum(row.max_points for row in rows if row.optional)
    score = f"{points:g} of {most:g} points" + (" so far" if pending else "")
    score += f"; {optional:g} of the {most:g} are optional" if optional else ""
    return score, f"{pending:g} of these points wait to be marked by hand." if pending else ""


def _of(asked: Asked, days: Days, *, by_hand: bool) -> str:
    """Say what this page is about, and as of when."""
    later = "; marks given by hand since then count" if by_hand else ""
    which = f"Attempt {asked.release.attempt} at this worksheet, release “{asked.release.name}”"
    return f"{which}: {days.in_words}{later}."


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def _part(one: next_steps.Answered) -> Part:
    must = " (must be right to pass)" if one.critical else ""
    state, sign, word = _stands(one)
    return Part(
        id=one.row.item,
        title=f"{one.link.title}{must}",
        mark=mark_in_words(one.row),
        state=state,
        sign=sign,
        word=word,
        full=one.row.points is not None and one.row.points >= one.row.max_points,
        rows=feedback(one.question, one.row),
        confidence=one.row.confidence,
    )


def _stands(one: next_steps.Answered) -> tuple[str, str, str]:
    """Return how a question stands: what the page looks like there, a sign and a word."""
    row = one.row
    if row.points is None:
        return "waits", "…", "not run" if row.outcome == NOT_RUN else "waits"
    if is_right(row):
        return "right", "✓", "right"
    state = "harm" if one.lost else "care"
    if row.outcome == REFUSED:
        return state, "⊘", "refused"
    if row.outcome == "blank":
        return ("open" if row.optional else state), "–", "not answered"
    return (state, "◐", "partly right") if row.points else (state, "≠", "not right yet")


def _changed(question: Question, computed: ItemResult, row: ItemResult) -> list[Row]:
    """Return the rows of a computed mark that a person changed: its reasons, and both marks."""
    rows = feedback(question, replace(computed, points=row.points))
    was = f"{computed.points or 0:g} of {computed.max_points:g}"
    if computed.points != row.points:
        rows.append(Row("Changed by the marker", f"The computed mark was {was}."))
    return rows


def _add_cells(part: Part, row: ItemResult, holder: Any, comments: Mapping[str, str]) -> None:
    """Add what stands in the answer's cell: the learner's line, and the marker's comment."""
    if holder is None:
        return
    part.comment = comments.get(str(notebooks.marks_of(holder)["grade_id"]), "")
    if row.earlier is not None:
        part.comment_label = f"The marker wrote on an earlier {'text' if row.is_text else 'answer'}"
    line = "" if row.is_text else notebooks.source_text(holder)
    part.line = "" if CODE_STUB in line else line


def _sure(parts: list[Part]) -> list[tuple[str, int, int]]:
    """Count answers and right ones by how sure the learner was, the least sure first."""
    found: dict[float, list[bool]] = {}
    for part in parts:
        if part.confidence is not None:
            found.setdefault(part.confidence, []).append(part.full)
    return [(f"{100 * said:.0f} %", len(full), sum(full)) for said, full in sorted(found.items())]
