"""What a learner's feedback page says, as plain words for its template to escape.

Rows come from the results of marking alone; no text that a notebook shows becomes one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from cubital.handin.released.questions import Question
from cubital.handin.released.stubs import CODE_STUB
from cubital.handin.results import ItemResult, Row, feedback, mark_in_words
from cubital.marking import notebooks
from cubital.marking.feedback.showing import Asked
from cubital.marking.marks.booking import NO_RESPONSE
from cubital.marking.marks.hand_marks import Hand, with_hand

Picture = tuple[str, str]


@dataclass
class Part:
    """One item on the page; ``picture`` holds a JPEG in base 64 and the same in words."""

    id: str
    title: str
    mark: str
    full: bool = False
    rows: list[Row] = field(default_factory=list)
    confidence: float | None = None
    line: str = ""
    comment: str = ""
    comment_label: str = "The marker writes"
    picture: Picture | None = None


@dataclass
class Sheet:
    """The whole page; ``sure`` tells how sure, how many answers, and how many of them right."""

    title: str
    learner: str
    release: str
    score: str
    waiting: str
    parts: list[Part]
    sure: list[tuple[str, int, int]]


def page(
    notebook: Any,
    asked: Asked,
    *,
    computed: Mapping[str, ItemResult],
    hands: Mapping[str, Hand],
    pictures: Mapping[str, Picture],
) -> Sheet:
    """Put the page together.

    Parameters
    ----------
    notebook
        The marked notebook, for the order of the questions, the learner's line and comments.
    asked
        What the learner was asked.
    computed, hands
        The results that were computed, and what the gradebook holds of each by hand, by item.
    pictures
        The picture of each item on one, in base 64, and the same in words.
    """
    parts: list[Part] = []
    points = most = pending = optional = 0.0
    holders = notebooks.answer_cells(notebook)
    for cell in notebook.cells:
        if not notebooks.is_grade(cell):
            continue
        item_id = cell.metadata.nbgrader.grade_id
        row = with_hand(computed[item_id], hands.get(item_id))
        question, _ = asked.questions[item_id]
        part = _part(len(parts) + 1, question, row, feedback(question, row))
        if row.manual and not question.form.by_hand:
            part.rows = _changed(question, computed[item_id], row)
        _add_cells(part, row, holders.get(item_id))
        part.picture = pictures.get(item_id)
        parts.append(part)
        points, most = points + (row.points or 0.0), most + row.max_points
        pending += row.max_points if row.points is None else 0.0
        optional += row.max_points if row.optional else 0.0
    return Sheet(
        title=f"Worksheet: {asked.release.worksheet.replace('-', ' ')}",
        learner=asked.learner,
        release=asked.release.name,
        score=f"{points:g} of {most:g} points"
        + (" so far" if pending else "")
        + (f"; {optional:g} of the {most:g} are optional" if optional else ""),
        waiting=f"{pending:g} of these points wait to be marked by hand." if pending else "",
        parts=parts,
        sure=_sure(parts),
    )


def _part(number: int, question: Question, row: ItemResult, rows: list[Row]) -> Part:
    must = " (must be right to pass)" if question.key.critical else ""
    return Part(
        id=row.item,
        title=f"{number}. {question.form.title}{must}",
        mark=mark_in_words(row),
        full=row.points is not None and row.points >= row.max_points,
        rows=rows,
        confidence=row.confidence,
    )


def _changed(question: Question, computed: ItemResult, row: ItemResult) -> list[Row]:
    """Return the rows of a computed mark that a person changed: its reasons, and both marks."""
    rows = feedback(question, replace(computed, points=row.points))
    was = f"{computed.points or 0:g} of {computed.max_points:g}"
    if computed.points != row.points:
        rows.append(Row("Changed by the marker", f"The computed mark was {was}."))
    return rows


def _add_cells(part: Part, row: ItemResult, holder: Any) -> None:
    """Add what stands in the answer's cell: the learner's line, and the marker's comment."""
    if holder is None:
        return
    comment = notebooks.marks_of(holder).get("comment") or ""
    part.comment = "" if comment == NO_RESPONSE else comment
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
