"""A form of a page: Python says what stands in it, the page sends back what was done there."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from cubital.tables.files import script, style

Block = dict[str, Any]
_SAID = ("text", "legend", "caption", "label", "summary")


class CourseForm(anywidget.AnyWidget):
    """A form drawn from plain blocks; a subclass says what stands in it and takes what is done.

    ``file`` is what a block of the kind ``download`` gives out. ``goes_to`` is the address of the
    page that the form leads to once it has one. ``stamp`` counts what was done, so that the page
    hears of the end of what changed nothing. ``fault`` says why the last thing asked for was not
    done.
    """

    _esm = script(Path(__file__).parent / "form.js")
    _css = style("course.css")

    title = traitlets.Unicode().tag(sync=True)
    blocks: traitlets.List[Block] = traitlets.List().tag(sync=True)
    spoken = traitlets.Unicode().tag(sync=True)
    file = traitlets.Bytes(b"").tag(sync=True)
    goes_to = traitlets.Unicode().tag(sync=True)
    stamp = traitlets.Int(0).tag(sync=True)

    def __init__(self, folder: Path | None = None) -> None:
        super().__init__()
        self.folder = folder or Path.cwd()
        self.fault = ""
        self._pieces: list[bytes] = []
        self.look()
        self.on_msg(self._received)

    def draw(self) -> list[Block]:
        """What stands in the form now."""
        raise NotImplementedError

    def take(self, name: str, value: Any) -> str:
        """Take what was chosen, pressed or typed; return what to say of it."""
        raise NotImplementedError

    def take_file(self, name: str, data: bytes) -> str:
        """Take a file of this name; return what to say of it."""
        raise NotImplementedError

    def look_again(self) -> None:
        """Draw the form anew, since a file that it follows has changed."""
        self.look()

    def look(self) -> None:
        """Draw the form anew, with the reason if the last thing asked for was not done."""
        try:
            blocks = self.draw()
        except (ValueError, OSError) as error:
            blocks = [say(sentence(error), kind="care")]
        self.blocks = [*blocks, *([say(self.fault, kind="care")] if self.fault else [])]

    def _received(self, _widget: object, content: Mapping[str, Any], buffers: list[Any]) -> None:
        if "piece" in content:
            self._receive_piece(content, buffers)
            return
        self._do(lambda: self.take(content["name"], content["value"]))

    def _receive_piece(self, content: Mapping[str, Any], buffers: list[Any]) -> None:
        """Keep a piece of a file; the connection takes no large message."""
        if content["piece"] == 0:
            self._pieces = []
        self._pieces.append(bytes(buffers[0]))
        if content["piece"] + 1 == content["pieces"]:
            data, self._pieces = b"".join(self._pieces), []
            self._do(lambda: self.take_file(content["file"], data))

    def _do(self, what: Any) -> None:
        self.fault = ""
        try:
            spoken = what()
        except (ValueError, OSError) as error:
            spoken = self.fault = sentence(error)
        self.look()
        self.spoken = spoken
        self.stamp += 1

    def words(self) -> str:
        """The form as plain text, for paper and for pages without a running kernel."""
        return "\n".join(line for line in [self.title, *_words(self.blocks)] if line)

    def _repr_mimebundle_(self, **kwargs: Any) -> tuple[dict[Any, Any], dict[Any, Any]]:
        shown = super()._repr_mimebundle_(**kwargs)
        data, metadata = shown or ({}, {})
        words = self.words()
        html = "<br>".join(escape(line) for line in words.splitlines())
        return {**data, "text/plain": words, "text/html": f"<p>{html}</p>"}, metadata


def say(text: str, *, kind: str = "") -> Block:
    """Return a paragraph; of the kind ``strong``, ``quiet``, ``good`` or ``care``."""
    return {"kind": "say", "text": text, "as": kind}


def sentence(error: BaseException) -> str:
    """Return what an error says, as a sentence, without the system's numbers for it."""
    text = (isinstance(error, OSError) and error.strerror) or str(error)
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?", "!")) else f"{text}."


def _words(blocks: list[Block]) -> list[str]:
    lines = []
    for block in blocks:
        lines.append(next((str(block[key]) for key in _SAID if block.get(key)), ""))
        lines += [" | ".join(cell["text"] for cell in row) for row in block.get("rows", ())]
        lines += [f"( ) {words}" for _, words in block.get("options", ())]
        lines += [words for _, words in block.get("questions", ())]
        for stop in block.get("stops", ()):
            lines += ["".join(part["text"] for part in line) for line in stop["lines"]]
        lines += _words(block.get("blocks", []))
    return lines
