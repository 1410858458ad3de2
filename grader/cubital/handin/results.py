"""What marking decided: one record per submission, read by feedback, report and export."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from html import escape
from pathlib import Path
from typing import Any

from cubital.handin.files import read_json, write_json
from cubital.handin.mending import where_to_read
from cubital.items import Item, Judgement

FORMAT = "cubital-result/1"

MARKED = "marked"
HELD = "held"
UNREADABLE = "unreadable"
SYSTEM_ERROR = "system_error"
MISSING = "missing"
STATES = (MARKED, HELD, UNREADABLE, SYSTEM_ERROR, MISSING)


@dataclass(frozen=True)
class ItemResult:
    """The mark of one item and its reason.

    ``points`` is None while a text waits for hand-marking. ``manual`` tells a mark that a
    person gave, in nbgrader's form grader, over or instead of the computed one. ``route`` says how
    the right answer comes about; ``confidence`` how sure the learner was, and never counts.
    """

    item: str
    outcome: str
    points: float | None
    max_points: float
    message: str
    answer: str = ""
    slip: str | None = None
    manual: bool = False
    route: str = ""
    confidence: float | None = None
    misconception: str = ""


@dataclass(frozen=True)
class SubmissionResult:
    """One learner's submission: its state, why, and what to do; the marks if it was marked."""

    learner: str
    worksheet: str
    release: str
    state: str
    reason: str = ""
    action: str = ""
    submitted_at: str = ""
    items: tuple[ItemResult, ...] = field(default=())

    @property
    def points(self) -> float:
        """Points given so far."""
        return sum(row.points or 0.0 for row in self.items)

    @property
    def max_points(self) -> float:
        """Points that could be had."""
        return sum(row.max_points for row in self.items)

    @property
    def waiting(self) -> tuple[str, ...]:
        """Items that wait for hand-marking."""
        return tuple(row.item for row in self.items if row.points is None)


def write_result(folder: Path, result: SubmissionResult) -> Path:
    """Write one result as ``<folder>/<worksheet>/<learner>.json`` and return the path."""
    path = folder / result.worksheet / f"{result.learner}.json"
    write_json(path, {"format": FORMAT} | asdict(result))
    return path


def read_results(folder: Path, worksheet: str) -> list[SubmissionResult]:
    """Read all results of a worksheet, by learner."""
    return [read_result(path) for path in sorted((folder / worksheet).glob("*.json"))]


def read_result(path: Path) -> SubmissionResult:
    """Read one result; one of another form raises ValueError."""
    data = read_json(path)
    if data.pop("format", None) != FORMAT:
        raise ValueError(f"{path} is not a marking result of format {FORMAT!r}")
    rows = tuple(ItemResult(**row) for row in data.pop("items"))
    return SubmissionResult(items=rows, **data)


def item_result(
    item: Item,
    judgement: Judgement,
    values: Mapping[str, Any],
    answer: Mapping[str, Any] | None,
    confidence: float | None = None,
) -> ItemResult:
    """Put a judgement and the answer it judges, in words, into a result."""
    words = ""
    if answer is not None and judgement.outcome != "refused":
        words = item.in_words(values, answer)
    return ItemResult(
        item=item.id,
        outcome=judgement.outcome,
        points=None if judgement.outcome == "waiting" else judgement.points,
        max_points=item.points,
        message=judgement.message,
        answer=words,
        slip=judgement.slip,
        route=item.route_to(values) if values else "",
        confidence=confidence,
        misconception=judgement.misconception,
    )


def as_text(item: Item, result: ItemResult, question: str) -> str:
    """Write the feedback on one item as plain text."""
    return "\n".join(f"{label}: {words}" for label, words in _lines(item, result, question))


def as_html(item: Item, result: ItemResult, question: str) -> str:
    """Write the feedback on one item as HTML, with everything escaped."""
    rows = "".join(
        f"<dt>{escape(label)}</dt><dd>{escape(words)}</dd>"
        for label, words in _lines(item, result, question)
    )
    return f'<dl class="cubital-feedback cubital-{escape(result.outcome)}">{rows}</dl>'


def _lines(item: Item, result: ItemResult, question: str) -> list[tuple[str, str]]:
    points = "waits for hand-marking" if result.points is None else f"{result.points:g}"
    lines = [
        ("Question", question),
        ("Your answer", result.answer or "none saved"),
        ("Mark", f"{points} of {result.max_points:g}" if result.points is not None else points),
        ("Why", result.message),
    ]
    if result.route:
        lines.append(("The way to it", result.route))
    if result.confidence is not None:
        lines.append(("How sure you were", f"{100 * result.confidence:.0f} %"))
    if result.outcome in {"slip", "wrong", "blank"}:
        lines.append(("Read again", where_to_read(item)))
    return lines
