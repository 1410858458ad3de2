"""One call per question of a worksheet, whoever runs the cell.

By hand it shows the answer field. Under nbgrader's validation it checks that an answer of the right
form is there, and nothing more: a check of the answer itself would be an oracle. Under nbgrader's
autograding it prints the feedback and returns the points; under the course's own marking a
learner's function is only tried, and its results leave as plain data.
"""

import os
from collections.abc import Callable
from typing import Any

from IPython.display import display

from cubital.handin import trial
from cubital.handin.marks import mark, mark_cell, mark_code
from cubital.handin.results import as_shown
from cubital.handin.trial import RUN_TYPE, run_as_data, try_function
from cubital.items import UnreadableAnswerError
from cubital.items.kinds.code import CodeForm, CodeKey
from cubital.items.typed.python_cell import NotWrittenError
from cubital.worksheet.sitting import Marking, Sitting, marking, sitting


class NotAnsweredError(AssertionError):
    """Validation found no answer, or none of the right form."""


def ask(item_id: str, function: Callable[..., Any] | None = None) -> Any:
    """Ask one question; give a code item's function along."""
    if trial.taker is not None:
        return trial.taker(item_id, function)
    execution = os.environ.get("NBGRADER_EXECUTION", "")
    if execution == "autograde":
        return _autograde(marking(), item_id, function)
    if execution == "validate":
        return _validate(sitting(), item_id, function)
    return _by_hand(sitting(), item_id)


def _autograde(here: Marking, item_id: str, function: Callable[..., Any] | None) -> float | None:
    question, entry = here.asked(item_id)
    data = {}
    if isinstance(question.key, CodeKey):  # its hidden cases are at hand where nbgrader marks
        run = try_function(function, question.key.inputs())
        result = mark_code(question, run)
        data = {RUN_TYPE: run_as_data(item_id, run)}
    elif entry is None and question.form.in_cell and (code := here.saved_code(item_id)) is not None:
        result = mark_cell(question, code)
    else:
        result = mark(question, entry, here.truths)
    display(as_shown(question, result) | data, raw=True)
    return None if question.form.by_hand else float(result.points or 0.0)


def _validate(here: Sitting, item_id: str, function: Callable[..., Any] | None) -> None:
    form = here.store.form(item_id)
    if here.store.read().last(item_id) is not None:
        return
    if isinstance(form, CodeForm):
        run = try_function(function, [dict(form.inputs)])
        if run.error:
            raise NotAnsweredError(f"{form.title}: {run.error}")
        return
    fault = "no answer is saved yet"
    if form.in_cell and (code := here.saved_code(item_id)) is not None:
        try:
            form.read_cell(code)
        except NotWrittenError as error:
            fault = str(error)
        except UnreadableAnswerError as error:
            raise NotAnsweredError(f"{form.title}: {error}") from None
        else:
            return
    if not form.optional:
        raise NotAnsweredError(f"{form.title}: {fault}")


def _by_hand(here: Sitting, item_id: str) -> Any:
    from cubital.worksheet import fields  # noqa: PLC0415 - graders run without ipywidgets

    return fields.field(here, item_id)
