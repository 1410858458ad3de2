"""The questions that must be right to pass and are not: they come first on the page."""

from collections.abc import Sequence
from dataclasses import dataclass

from cubital.handin.mending import where_to_read
from cubital.handin.results import REFUSED, Row
from cubital.marking.feedback.next_steps import Answered, Link

NOTHING_SAVED = "No answer was saved."
_HARM = "Patients can be harmed where this is not known, so it must be right to pass."


@dataclass(frozen=True)
class Critical:
    """One such question: what was answered, why that can harm, and what to do instead."""

    link: Link
    rows: tuple[Row, ...]


def lost(asked: Sequence[Answered]) -> list[Critical]:
    """Return what the page says first of each such question, in the order of the paper."""
    return [Critical(one.link, tuple(_rows(one))) for one in asked if one.lost]


def _rows(one: Answered) -> list[Row]:
    row, key, form = one.row, one.question.key, one.question.form
    chosen = "What was chosen" if form.kind == "choice" else "What was answered"
    if row.outcome == "blank":
        rows = [Row(chosen, NOTHING_SAVED), Row("Why it matters", _HARM)]
    elif row.outcome == REFUSED:
        rows = [Row(chosen, row.answer), Row("Why it has no mark", row.message)]
        return [*rows, Row("What to do", row.action)] if row.action else rows
    else:
        rows = [Row(chosen, row.answer or NOTHING_SAVED), Row("Why it can harm", row.message)]
    instead = key.right_in_words(form) or row.route
    if instead:
        rows.append(Row("What to do instead", instead))
    return [*rows, Row("Read", where_to_read(row.item, key.section))]
