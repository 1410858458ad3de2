"""One call per question of a worksheet, whoever runs the cell.

By hand it shows the answer field, or what is known of the line of Python in the cell above. Under
nbgrader's validation it checks that an answer of the right form is there, and nothing more: a check
of the answer itself would be an oracle. Under nbgrader's autograding it prints the feedback and
returns the points; under the course's own marking a learner's function is only tried, and its
results leave as plain data.
"""

import os
from collections.abc import Callable
from typing import Any

from IPython import get_ipython
from IPython.display import display

from cubital.handin import trial
from cubital.handin.marks import mark, mark_cell, mark_code
from cubital.handin.results import ItemResult, as_html, as_text
from cubital.handin.trial import RUN_TYPE, CodeRun, run_as_data, try_function
from cubital.items import CodeItem, UnreadableAnswerError
from cubital.items.kinds.python_cell import NotWrittenError
from cubital.worksheet.line import line_note, note
from cubital.worksheet.sitting import Sitting, sitting


class NotAnsweredError(AssertionError):
    """Validation found no answer, or none of the right form."""


def ask(item_id: str, function: Callable[..., Any] | None = None) -> Any:
    """Ask one question; give a code item's function along."""
    if trial.taker is not None:
        return trial.taker(item_id, function)
    execution = os.environ.get("NBGRADER_EXECUTION", "")
    here = sitting()
    if execution == "autograde":
        return _autograde(here, item_id, function)
    if execution == "validate":
        return _validate(here, item_id, function)
    return _by_hand(here, item_id, function)


def _tried(
    here: Sitting, item: CodeItem, function: Callable[..., Any] | None
) -> tuple[CodeRun, ItemResult]:
    seal = here.release.name  # no secret is at hand where learners' code runs
    question = here.release.question(item, here.learner, seal)
    run = try_function(function, item.cases(question.values, seal))
    return run, mark_code(question, run)


def _autograde(here: Sitting, item_id: str, function: Callable[..., Any] | None) -> float | None:
    item = here.release.item(item_id)
    question = here.release.question(item, here.learner, here.release.name)
    entry = here.store.read().last(item_id)
    data = {}
    if isinstance(item, CodeItem):
        run, result = _tried(here, item, function)
        data = {RUN_TYPE: run_as_data(item.id, run)}
    elif entry is None and question.form.in_cell and (code := here.saved_code(item_id)) is not None:
        result = mark_cell(question, code)
    else:
        result = mark(question, entry, here.truths)
    shown = {"text/plain": as_text(question, result), "text/html": as_html(question, result)}
    display(shown | data, raw=True)
    return None if question.form.by_hand else float(result.points or 0.0)


def _validate(here: Sitting, item_id: str, function: Callable[..., Any] | None) -> None:
    item = here.release.item(item_id)
    if isinstance(item, CodeItem):
        values = here.release.values(item, here.learner)
        run = try_function(function, [values])
        if run.error:
            raise NotAnsweredError(f"{item.title}: {run.error}")
        return
    if here.store.read().last(item_id) is not None:
        return
    form = item.form(here.release.values(item, here.learner))
    fault = "no answer is saved yet"
    if form.in_cell and (code := here.saved_code(item_id)) is not None:
        try:
            form.read_cell(code)
        except NotWrittenError as error:
            fault = str(error)
        except UnreadableAnswerError as error:
            raise NotAnsweredError(f"{item.title}: {error}") from None
        else:
            return
    if not item.optional:
        raise NotAnsweredError(f"{item.title}: {fault}")


def _by_hand(here: Sitting, item_id: str, function: Callable[..., Any] | None) -> Any:
    from cubital.worksheet import fields  # noqa: PLC0415 - graders run without ipywidgets

    item = here.release.item(item_id)
    if isinstance(item, CodeItem):
        display({"text/html": _code_note(here, item, function)}, raw=True)
        return None
    question = here.release.question(item, here.learner)
    if question.form.in_cell and (code := here.saved_code(item_id)) is not None:
        display({"text/html": line_note(question, code, here.release.feedback)}, raw=True)
        return None
    return fields.field(here, item)


def _code_note(here: Sitting, item: CodeItem, function: Callable[..., Any] | None) -> str:
    values = here.release.values(item, here.learner)
    run = try_function(function, [values])
    if fault := _fault_in_cell(item):
        state = f"This is not valid Python: {fault}. Until it is, the line above does not count."
    elif run.error:
        state = run.error
    else:
        state = f"On your values it gives {run.results[0]}."
        if here.release.feedback == "at once":
            state += " " + _tried(here, item, function)[1].message
    return note(item.ask(values), state)


def _fault_in_cell(item: CodeItem) -> str:
    """Say what keeps the latest cell with an item's function from being Python; empty if it is.

    Such a cell changes nothing when it is run, so that an earlier function would be tried.
    """
    shell = get_ipython()
    before = shell.history_manager.input_hist_raw[:-1] if shell else []
    for source in reversed(before):
        if f"{item.function}(" not in source:
            continue
        try:
            compile(shell.transform_cell(source), item.function, "exec")
        except SyntaxError as error:
            return f"{error.msg} in line {error.lineno}" if error.lineno else str(error.msg)
        except ValueError as error:
            return str(error)
        if f"def {item.function}" in source:
            break
    return ""
