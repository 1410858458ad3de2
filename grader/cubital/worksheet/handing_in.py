"""The last lines of a worksheet: what is answered, and a button that makes the file to hand in."""

import os
import re
from html import escape
from typing import Any

from cubital.handin.bundle import hand_in
from cubital.handin.files import read_json
from cubital.handin.release import AT_ONCE
from cubital.handin.stubs import CODE_STUB
from cubital.items import CodeItem
from cubital.worksheet.sitting import Sitting, sitting

HANDED_IN = "handed-in"


def hand_in_here() -> Any:
    """Show the button that makes the zip of this worksheet; nothing where a grader runs this."""
    if os.environ.get("NBGRADER_EXECUTION"):
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
    state = ipywidgets.HTML(f"<div role='status'>{_overview(here)}</div>")

    def make(_button: Any) -> None:
        try:
            path = hand_in(here.folder, here.learner, here.folder.parent / HANDED_IN)
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
    return ipywidgets.VBox([button, state])


def _overview(here: Sitting) -> str:
    """Say in HTML what is answered and what is not."""
    answers = here.store.read()
    listed = here.release.listed()
    line = _python_line(here)
    written = bool(line) and CODE_STUB not in line
    numbers = [
        f"{number} ({item.title})"
        for number, item in enumerate(listed, 1)
        if not (written if isinstance(item, CodeItem) else answers.last(item.id))
    ]
    if numbers:
        words = (
            f"<p><strong>{len(numbers)} of {len(listed)} questions are not answered:</strong> "
            f"{escape(', '.join(numbers))}.</p>"
        )
    else:
        words = f"<p><strong>All {len(listed)} questions are answered.</strong></p>"
    if written:
        words += (
            f"<p>Your line of Python, as this page was last saved: <code>{escape(line)}</code>.</p>"
        )
    if not any(isinstance(item, CodeItem) for item in listed):
        return words
    return f"{words}<p>If you changed the line of Python, save the page first (Ctrl + S).</p>"


def _python_line(here: Sitting) -> str:
    """Return the learner's line as it stands in the saved notebook."""
    functions = [item.function for item in here.release.listed() if isinstance(item, CodeItem)]
    notebook = read_json(here.folder / f"{here.release.worksheet}.ipynb", largest=8_000_000)
    for cell in notebook["cells"]:
        source = "".join(cell["source"])
        for name in functions:
            if re.search(rf"^def {name}\(", source, re.MULTILINE):
                return source.strip().splitlines()[-1].strip()
    return ""
