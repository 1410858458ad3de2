"""What marking decided: one record per submission, read by feedback, report and export."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from html import escape
from itertools import groupby
from typing import Any, NamedTuple

from cubital.handin.mending import where_to_read
from cubital.handin.released.questions import Question
from cubital.items.kinds.code import CodeForm
from cubital.items.kinds.form import Form
from cubital.items.kinds.key import Judgement
from cubital.items.kinds.text import TextKey

MARKED = "marked"
HELD = "held"
UNREADABLE = "unreadable"
SYSTEM_ERROR = "system_error"
LATE = "late"
MISSING = "missing"
NOTHING = "nothing was handed in"  # a reason of it
STATES = (MARKED, HELD, UNREADABLE, SYSTEM_ERROR, LATE, MISSING)

REFUSED = "refused"
WAITING = "waiting"
NOT_RUN = "not_run"
_LONGEST_SAVED = 200  # characters of an answer that is in no form of this item
_EMPTY = "an empty answer"


class Row(NamedTuple):
    """One row of the feedback on an item: its label, from this module alone, and the words."""

    label: str
    words: str


@dataclass(frozen=True)
class ItemResult:
    """The mark of one item and its reason.

    ``points`` is None while the item waits to be marked by hand, and where its code could not be
    run, which ``outcome`` tells as ``not_run``. ``manual`` tells a mark that a
    person gave, in nbgrader's form grader, over or instead of the computed one; ``earlier`` the
    points that a person gave for an earlier answer, which do not count for this one. ``outcome``
    is ``refused`` for an answer that was saved and cannot be taken; ``message`` says why, and
    ``action`` what to do. ``route`` says how the right answer comes about; ``confidence`` how sure
    the learner was, and never counts. ``described`` tells that the item was asked in the described
    version, ``optional`` that nobody had to answer it. ``tally`` counts the answers to short trials
    by band, as `cubital.items.kinds.on_pictures.tally` writes them, and never counts for a mark.
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
    action: str = ""
    earlier: float | None = None
    is_text: bool = False
    described: bool = False
    optional: bool = False
    tally: str = ""

    @property
    def state(self) -> str:
        """The item's state in a word or two."""
        if self.points is None and self.outcome == NOT_RUN:
            return "not run"
        if self.points is None:
            again = f"{WAITING} again" if self.earlier is not None else WAITING
            return f"{REFUSED}, {again}" if self.outcome == REFUSED else again
        return "marked by hand" if self.manual else self.outcome

    @property
    def reason(self) -> str:
        """Why the item has this state, and what to do where that is for the learner to do."""
        return f"{self.message} {self.action}".strip()


@dataclass(frozen=True)
class SubmissionResult:
    """One learner's submission: its state, why, and what to do; the marks if it was marked.

    ``attempt`` is the number of the attempt that its release's papers are for, ``hand_ins`` how
    many hand-ins the learner made, ``counts`` by which rule this one counts, or none does.
    ``submitted_at`` is what it says itself, ``arrived_at`` when it came, by the educator's clock.
    """

    learner: str
    worksheet: str
    release: str
    state: str
    reason: str = ""
    action: str = ""
    submitted_at: str = ""
    items: tuple[ItemResult, ...] = field(default=())
    attempt: int | None = None
    hand_ins: int = 0
    counts: str = ""
    arrived_at: str = field(default="", compare=False)

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


def item_result(
    question: Question,
    judgement: Judgement,
    answer: Mapping[str, Any] | None,
    confidence: float | None = None,
    *,
    action: str = "",
) -> ItemResult:
    """Put a judgement and the answer it judges, in words, into a result.

    A text that is refused waits for a person, like any other text: nbgrader asks for it too.
    """
    form = question.form
    refused = judgement.outcome == REFUSED
    waits = judgement.outcome == WAITING or (refused and form.by_hand)
    return ItemResult(
        item=form.id,
        outcome=judgement.outcome,
        points=None if waits else judgement.points,
        max_points=form.points,
        message=judgement.message,
        answer="" if answer is None else _saved(form, answer),
        slip=judgement.slip,
        route=question.key.route,
        confidence=confidence,
        misconception=judgement.misconception,
        action=action,
        is_text=form.by_hand,
        optional=form.optional,
        tally=judgement.tally,
    )


def _saved(form: Form, answer: Mapping[str, Any]) -> str:
    """Say a saved answer in words, of whatever form it is."""
    try:
        return form.in_words(answer) or _EMPTY
    except Exception:  # whatever another form than this makes of it
        return _as_it_is(answer)


def _as_it_is(answer: Mapping[str, Any]) -> str:
    said = answer.get("text", answer.get("typed", answer.get("choice")))
    try:
        words = said if isinstance(said, str) else json.dumps(answer, ensure_ascii=False)
    except (TypeError, ValueError, RecursionError):
        words = "an answer that cannot be shown"
    words = words.strip() or _EMPTY
    return words if len(words) <= _LONGEST_SAVED else f"{words[:_LONGEST_SAVED]} …"


def feedback(question: Question, result: ItemResult) -> list[Row]:
    """Return the rows of the feedback on one item."""
    rows = [
        Row("Question", question.form.question),
        Row("Your answer", result.answer or _no_answer(question.form, result)),
        Row("Mark", mark_in_words(result)),
        Row("Why", result.message),
    ]
    if result.action:
        rows.append(Row("What to do", result.action))
    if result.route:
        rows.append(Row("The way to it", result.route))
    if result.confidence is not None:
        rows.append(Row("How sure you were", f"{100 * result.confidence:.0f} %"))
    if is_to_read(question.form, result):
        rows.append(Row("Read again", where_to_read(result.item, question.key.section)))
    return rows


def mark_in_words(result: ItemResult) -> str:
    """Say how many points an item has, that it waits, and whether it was refused or optional."""
    refused = result.outcome == REFUSED
    if result.points is None and result.outcome == NOT_RUN:
        return "not run, so no mark yet"
    if result.points is None:
        return f"{'refused, ' if refused else ''}waits to be marked by hand"
    words = f"{result.points:g} of {result.max_points:g}{', refused' if refused else ''}"
    return f"{words}, optional" if result.optional else words


def _no_answer(form: Form, result: ItemResult) -> str:
    if result.outcome == "blank":
        return "no line written" if isinstance(form, CodeForm) or form.in_cell else "none saved"
    if not isinstance(form, CodeForm):
        return "none saved"
    return "not run" if result.outcome == NOT_RUN else "a line that gave no number"


def is_to_read(form: Form, result: ItemResult) -> bool:
    """Tell whether the item's section is to be read again."""
    if form.by_hand:
        return result.points is not None and result.points < result.max_points
    if form.optional and result.outcome == "blank":
        return False
    return result.outcome in {"slip", "wrong", "blank"}


def where_marked(question: Question, result: ItemResult) -> list[Row]:
    """Return the rows that a marked notebook shows of one item, to the person who marks.

    Of a text, which stands in a cell of its own and has its mark there, these are the question and
    the mark scheme.
    """
    if not isinstance(question.key, TextKey):
        return feedback(question, result)
    rows = [Row("Question", question.form.question)]
    rows += [Row("Mark scheme", line) for line in question.key.mark_scheme]
    if result.outcome == REFUSED:
        rows += [Row("Refused", result.message), Row("What to do", result.action)]
    return rows


def as_shown(question: Question, result: ItemResult) -> dict[str, str]:
    """Return what a marked notebook shows of one item, as a cell's output holds it.

    That is plain text, and the same as HTML with everything escaped.
    """
    rows = where_marked(question, result)
    told = "".join(
        f"<dt>{escape(label)}</dt>" + "".join(f"<dd>{escape(row.words)}</dd>" for row in under)
        for label, under in groupby(rows, key=lambda row: row.label)
    )
    return {
        "text/plain": "\n".join(f"{label}: {words}" for label, words in rows),
        "text/html": f'<dl class="cubital-feedback cubital-{escape(result.outcome)}">{told}</dl>',
    }
