"""The last lines of a worksheet: what is answered, and a button that makes the file to hand in."""

import os
from html import escape
from typing import Any

from cubital.handin import trial
from cubital.handin.bundle import hand_in
from cubital.handin.released.release import AT_ONCE
from cubital.handin.released.stubs import CODE_STUB
from cubital.items import Form, UnreadableAnswerError
from cubital.worksheet.sitting import Sitting, sitting

HANDED_IN = "handed-in"
_TRAVELS = (
    "<p>The file holds your id, the time, your last answer to each question, and this page. Your "
    "earlier tries stay with you.</p>"
)


def hand_in_here() -> Any:
    """Show the button that makes the zip of this worksheet; nothing where a grader runs this."""
    if trial.taker is not None or os.environ.get("NBGRADER_EXECUTION"):
        return None
    import ipywidgets  # noqa: PLC0415 - graders run without it

    here = sitting()
    if here.release.feedback == AT_ONCE:
        words = (
            "This is practice: there is nothing to hand in. For new values, close the page and "
            f"open it again with: cubital open {here.release.worksheet} --again"
        )
        return ipywidgets.HTML(f"<p>{escape(words)}</p>")
    button = ipywidgets.Button(
        description="Make the file to hand in",
        layout=ipywidgets.Layout(width="16rem", height="auto"),
    )
    sure = ipywidgets.Checkbox(
        description="My educator may see how sure I said I was; it never counts",
        indent=False,
        layout=ipywidgets.Layout(width="auto"),
    )
    state = ipywidgets.HTML(f"<div role='status'>{_overview(here)}</div>")

    def make(_button: Any) -> None:
        try:
            destination = here.folder.parent / HANDED_IN
            path = hand_in(here.folder, here.learner, destination, sure=sure.value)
            words = (
                f"{_overview(here)}<p><strong>Made:</strong> the file {escape(path.name)} in the "
                f"folder {escape(HANDED_IN)} of your course folder, {escape(str(path.parent))}.</p>"
                "<p>Give this file to your educator. You may still change answers and make it "
                "again; the latest one counts.</p>"
            )
        except (ValueError, OSError) as error:
            words = f"<p><strong>Not made.</strong> {escape(str(error))}</p>"
        state.value = f"<div role='status'>{words}</div>"

    button.on_click(make)
    return ipywidgets.VBox([ipywidgets.HTML(_TRAVELS), sure, button, state])


def _overview(here: Sitting) -> str:
    """Say in HTML what is answered and what is not."""
    answers = here.store.read()
    listed = [here.store.form(item_id) for item_id in here.listed()]
    cells = {form.id: here.saved_code(form.id) for form in listed}
    code = {form.id: cell for form in listed if (cell := cells[form.id]) is not None}
    unanswered = {
        form.id: f"{number} ({form.title})"
        for number, form in enumerate(listed, 1)
        if answers.last(form.id) is None and not _is_written(code.get(form.id, ""))
    }
    left = [unanswered.pop(form.id) for form in listed if form.optional and form.id in unanswered]
    count = sum(not form.optional for form in listed)
    if unanswered:
        words = (
            f"<p><strong>{len(unanswered)} of {count} questions are not answered:</strong> "
            f"{escape(', '.join(unanswered.values()))}.</p>"
        )
    else:
        words = f"<p><strong>All {count} questions are answered.</strong></p>"
    if left:
        words += f"<p>Nobody has to answer: {escape(', '.join(left))}.</p>"
    for form in listed:
        if _is_written(code.get(form.id, "")):
            words += _line_words(form, code[form.id])
    if not code:
        return words
    return f"{words}<p>If you changed the line of Python, save the page first (Ctrl + S).</p>"


def _is_written(cell: str) -> bool:
    return bool(cell.strip()) and CODE_STUB not in cell


def _line_words(form: Form, cell: str) -> str:
    """Say which line of Python stands in a cell, and what is wrong with it."""
    line = cell.strip().splitlines()[-1].strip()
    if form.in_cell:
        try:
            line = str(form.entered(form.read_cell(cell)))
        except UnreadableAnswerError as error:
            return f"<p>Your line of Python does not count yet. {escape(str(error))}</p>"
    return f"<p>Your line of Python, as this page was last saved: <code>{escape(line)}</code>.</p>"
