"""What the page says under a line of Python that stands in a cell: nothing of it is run here."""

import re
from html import escape

from IPython import get_ipython

from cubital.handin.marks import mark_cell
from cubital.handin.released.questions import Question
from cubital.items import UnreadableAnswerError
from cubital.items.kinds.expression import ExpressionForm

AFTER_A_CHANGE = (
    "After a change, click into the line above, hold Shift and press Enter twice; then save the "
    "page (Ctrl + S)."
)


def line_note(form: ExpressionForm, saved: str, question: Question | None) -> str:
    """Return the question in HTML, and what the learner's line gives on their own values.

    Parameters
    ----------
    saved
        What stands in the cell, as the page was saved; it counts if no such cell was run since the
        page was opened.
    question
        With its key, in practice: then the mark is told as well.
    """
    cell = _run_last(form.function) or saved
    state = _state(form, cell)
    if question is not None:
        state += f" {mark_cell(question, cell).message}"
    return note(form.question, state)


def note(question: str, state: str) -> str:
    """Return a question on a line of Python and what is known of the line, in HTML."""
    return (
        f'<div class="cubital-question"><p>{escape(question)}</p>'
        f'<p role="status"><strong>{escape(state)}</strong> {AFTER_A_CHANGE}</p></div>'
    )


def _state(form: ExpressionForm, cell: str) -> str:
    try:
        answer = form.read_cell(cell)
    except UnreadableAnswerError as error:
        return str(error)
    try:
        return f"On your values it gives {form.value(answer):.6g}."
    except UnreadableAnswerError as error:
        return f"On your values it gives no number. {error}"


def _run_last(function: str) -> str:
    """Return the cell with a function that was run last, also one that is no Python; else empty."""
    shell = get_ipython()
    before = shell.history_manager.input_hist_raw[:-1] if shell else []
    defines = re.compile(rf"^\w+\s+{function}\s*\(", re.MULTILINE)
    return next((source for source in reversed(before) if defines.search(source)), "")
