"""The last lines of a worksheet: what is answered, and a button that makes the file to hand in."""

import os
from html import escape
from typing import Any

from cubital.handin import trial
from cubital.handin.bundle import hand_in
from cubital.handin.cells import is_written
from cubital.handin.released.release import AT_ONCE
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
    open_ = {
        form.id: f"{number} ({form.title})"
        for number, form in enumerate(listed, 1)
        if answers.last(form.id) is None
    }
    cells = {form.id: here.saved_code(form.id) for form in listed if form.in_code}
    in_page = {
        form: cell
        for form in listed
        if form.id in open_ and is_written(cell := cells.get(form.id) or "")
    }
    for form in in_page:
        del open_[form.id]
    left = [open_.pop(form.id) for form in listed if form.optional and form.id in open_]
    count = sum(not form.optional for form in listed)
    if open_:
        words = (
            f"<p><strong>{len(open_)} of {count} questions are not answered:</strong> "
            f"{escape(', '.join(open_.values()))}.</p>"
        )
    else:
        words = f"<p><strong>All {count} questions are answered.</strong></p>"
    if left:
        words += f"<p>Nobody has to answer: {escape(', '.join(left))}.</p>"
    return words + "".join(_in_page(form, cell) for form, cell in in_page.items())


def _in_page(form: Form, cell: str) -> str:
    """Say what was written into the page's own cell, which counts as nothing else was saved."""
    line = cell.strip().splitlines()[-1].strip()
    if form.in_cell:
        try:
            line = str(form.entered(form.read_cell(cell)))
        except UnreadableAnswerError as error:
            return (
                f"<p>{escape(form.title)}: what was written into the page does not count. "
                f"{escape(str(error))}</p>"
            )
    return (
        f"<p>{escape(form.title)}: what was written into the page counts, as it was last saved: "
        f"<code>{escape(line)}</code>.</p>"
    )
