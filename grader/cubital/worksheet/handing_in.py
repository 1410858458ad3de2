"""The last lines of a worksheet: what is answered, what would be handed in, and the form for it."""

import os
from dataclasses import dataclass
from typing import Any

from cubital.handin import trial
from cubital.handin.answers import LEVELS, Answers, Entry
from cubital.handin.cells import is_written
from cubital.items import Form, UnreadableAnswerError
from cubital.worksheet.sitting import Sitting, sitting


@dataclass(frozen=True)
class Standing:
    """How a worksheet stands: its questions by number and title, and which of them are open.

    ``partly`` says of those that are answered in part what is missing. ``told`` is a row a question
    of what would be handed in: its number and title, the answer, how sure. ``lines`` says of each
    line of Python what stands there or is wrong with it.
    """

    titles: dict[str, str]
    count: int
    open: tuple[str, ...]
    left: tuple[str, ...]
    partly: tuple[tuple[str, str], ...]
    told: tuple[tuple[str, str, str], ...]
    lines: tuple[str, ...]
    answers: Answers


def hand_in_here() -> Any:
    """Show the form that makes the zip of this worksheet; nothing where a grader runs this."""
    if trial.taker is not None or os.environ.get("NBGRADER_EXECUTION"):
        return None
    from cubital.worksheet.hand_in_form import hand_in_form  # noqa: PLC0415 - graders do without

    return hand_in_form(sitting())


def standing(here: Sitting) -> Standing:
    """Return what is answered and what is not.

    Raises
    ------
    ValueError
        The answers are another learner's, of another release, or broken.
    """
    answers = here.store.read()
    forms = [here.store.form(item_id) for item_id in here.listed()]
    titles = {form.id: f"{number}. {form.title}" for number, form in enumerate(forms, 1)}
    cells = {form.id: here.saved_code(form.id) or "" if form.in_code else "" for form in forms}
    given = {form.id: answers.last(form.id) for form in forms}
    missing = [form for form in forms if given[form.id] is None and not is_written(cells[form.id])]
    return Standing(
        titles=titles,
        count=sum(not form.optional for form in forms),
        open=tuple(form.id for form in missing if not form.optional),
        left=tuple(form.id for form in missing if form.optional),
        partly=tuple(
            (form.id, lacks)
            for form in forms
            if (entry := given[form.id]) is not None and (lacks := form.missing(entry.answer))
        ),
        told=tuple(
            (
                titles[form.id],
                _in_words(form, given[form.id], cells[form.id]),
                _sure(given[form.id]),
            )
            for form in forms
        ),
        lines=tuple(
            _in_page(form, cells[form.id])
            for form in forms
            if given[form.id] is None and is_written(cells[form.id])
        ),
        answers=answers,
    )


def _in_words(form: Form, entry: Entry | None, cell: str) -> str:
    if entry is not None:
        return form.in_words(entry.answer)
    return _last_line(cell) if is_written(cell) else "nothing"


def _sure(entry: Entry | None) -> str:
    if entry is None or entry.confidence is None:
        return "not said"
    return next((words for share, words in LEVELS if share == entry.confidence), "not said")


def _last_line(cell: str) -> str:
    return cell.strip().splitlines()[-1].strip()


def _in_page(form: Form, cell: str) -> str:
    """Say what was written into the page's own cell, which counts as nothing else was saved."""
    line = _last_line(cell)
    if form.in_cell:
        try:
            line = str(form.entered(form.read_cell(cell)))
        except UnreadableAnswerError as error:
            return f"{form.title}: what was written into the page does not count. {error}"
    return f"{form.title}: what was written into the page counts, as it was last saved: {line}."
