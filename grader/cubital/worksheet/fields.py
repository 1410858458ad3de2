"""The form under a question: checks what is entered and saves it at once."""

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

import anywidget
import numpy as np
import traitlets

from cubital.handin import pictures
from cubital.handin.answers import LEVELS, BrokenAnswersError, Entry, OtherLearnerError
from cubital.handin.marks import mark
from cubital.handin.mending import where_to_read
from cubital.handin.release import AT_ONCE
from cubital.handin.results import ItemResult
from cubital.handin.reviews import WORKSHEET as REVIEWS
from cubital.items import (
    AskedBackError,
    Item,
    NumberItem,
    PictureItem,
    PlaceItem,
    SeriesItem,
    TableItem,
)
from cubital.tables.files import script
from cubital.worksheet.reviewing import keep_review, waiting_words
from cubital.worksheet.sitting import Sitting

_HERE = Path(__file__).parent
_TRIES = 3  # in practice, the way to the answer is told after as many that are not right


class AnswerField(anywidget.AnyWidget):
    """A question with this learner's values, and the form that takes the answer.

    ``kind`` is the item's and chooses the form. ``state`` is ``empty``, ``saved``, ``typing`` (not
    whole yet), ``refused`` (what is entered is no answer; the one saved before stays) or
    ``blocked`` (nothing can be saved here). ``entered`` is the saved answer as it was entered.
    ``once`` tells that the first answer alone counts, and is given by a button of its own.
    ``meant`` is what is asked back after a refusal, to be taken over at one press; else empty.
    """

    _esm = "\n".join(
        [
            script(_HERE / "listing.js"),
            *((_HERE / name).read_text(encoding="utf-8") for name in ("placing.js", "field.js")),
        ]
    )
    _css = "\n".join(
        (_HERE / name).read_text(encoding="utf-8") for name in ("field.css", "placing.css")
    )

    item = traitlets.Unicode().tag(sync=True)
    kind = traitlets.Unicode().tag(sync=True)
    question = traitlets.Unicode().tag(sync=True)
    label = traitlets.Unicode().tag(sync=True)
    hint = traitlets.Unicode().tag(sync=True)
    parts = traitlets.Dict().tag(sync=True)
    levels = traitlets.List().tag(sync=True)
    entered = traitlets.Any(None, allow_none=True).tag(sync=True)
    confidence = traitlets.Float(None, allow_none=True).tag(sync=True)
    state = traitlets.Unicode("empty").tag(sync=True)
    status = traitlets.Unicode().tag(sync=True)
    meant = traitlets.Unicode().tag(sync=True)
    stamp = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    once = traitlets.Bool(False).tag(sync=True)
    there = traitlets.List().tag(sync=True)

    def __init__(self, here: Sitting, item: Item) -> None:
        self._here = here
        self._item = item
        self._values = here.release.values(item, here.learner)
        fault = ""
        try:
            parts = _parts(here, item, self._values)
        except (ValueError, OSError) as error:
            parts, fault = {}, str(error)
        super().__init__(
            item=item.id,
            kind="" if fault else item.kind,
            question=item.ask(self._values),
            label=f"Your answer: {item.title}" + _in_unit(item),
            hint=_hint(item),
            parts=parts,
            once=here.release.worksheet == REVIEWS,
            levels=[] if item.kind == "text" else [[share, words] for share, words in LEVELS],
        )
        self._fault = fault
        self.look()
        self.on_msg(self._receive)

    def look(self) -> None:
        """Show what is saved now; another window may have saved since."""
        if self._fault:
            self._say("blocked", f"Nothing can be answered here: {self._fault}.")
            return
        try:
            entry = self._here.store.read().last(self._item.id)
        except (OtherLearnerError, BrokenAnswersError) as error:
            self._say("blocked", _blocked(error))
            return
        if entry is None:
            self._say("empty", "Not answered yet.")
        else:
            self._show(entry)

    def enter(self, entered: Any, *, final: bool = True, confidence: float | None = None) -> None:
        """Save what was entered; while the learner still types, leave a refusal unsaid."""
        try:
            entry = self._here.store.save(self._item, entered, confidence=confidence)
        except (OtherLearnerError, BrokenAnswersError) as error:
            self._say("blocked", _blocked(error))
        except ValueError as error:
            self._refuse(error, final=final)
        except OSError as error:
            self._say("refused", f"Not saved: the file could not be written ({error.strerror}).")
        else:
            self._show(entry, keep_review(self._here, self._item, entry, final=final))

    def _show(self, entry: Entry, more: str = "") -> None:
        self.entered = _entered(entry)
        self.confidence = entry.confidence
        self._say("saved", self._saved_words(entry) + more)

    def _refuse(self, error: ValueError, *, final: bool) -> None:
        if not final:
            self._say("typing", "Not saved yet.")
            return
        earlier = self._here.store.read().last(self._item.id)
        stays = ""
        if earlier is not None:
            words = self._item.in_words(self._values, earlier.answer)
            stays = f" Your earlier answer stays: {words}"
            stays += "" if words.endswith((".", "”")) else "."
        why = f" {_sentence(str(error))}"
        if isinstance(error, AskedBackError):  # the question last, above the button that answers it
            self._say("refused", f"Not saved.{stays}{why}", error.meant)
        else:
            self._say("refused", f"Not saved.{why}{stays}")

    def _saved_words(self, entry: Entry) -> str:
        moment = datetime.fromisoformat(entry.at).astimezone()
        words = f"Saved at {moment:%H:%M}" + _saved_as(self._item, self._values, entry)
        if self._here.release.feedback != AT_ONCE:
            return f"{words}, not marked yet."
        if to_do := waiting_words(self._here, self._item):
            return f"{words}. {to_do}"
        result = mark(self._here.release, self._item, self._here.learner, entry, self._here.truths)
        return f"{words}. {self._told_at_once(result)}"

    def _told_at_once(self, result: ItemResult) -> str:
        words = "Not right yet. " if result.outcome == "slip" else ""
        words += result.message
        if result.outcome in {"slip", "wrong"}:
            words += f" Read again: {where_to_read(self._item)}."
        tries = len(self._here.store.read().items.get(self._item.id, ()))
        if result.route and (result.outcome == "right" or tries >= _TRIES):
            words += f" The way to it: {_sentence(result.route)}"
        return words

    def _say(self, state: str, status: str, meant: str = "") -> None:
        with self.hold_sync():
            self.state = state
            self.status = status
            self.meant = meant
            self.stamp += 1

    def _receive(self, _widget: Any, content: dict[str, Any], _buffers: Any) -> None:
        if content.get("look"):
            self.look()
            self.send_state(["entered", "confidence", "state", "status", "meant", "stamp"])
        elif content.get("reveal"):
            self._reveal()
        else:
            self.heard = max(self.heard, int(content.get("turn", 0)))
            confidence = content.get("confidence")
            self.enter(content.get("entered"), final=bool(content["final"]), confidence=confidence)

    def _reveal(self) -> None:
        """In practice, once something is answered, show what is there over the picture."""
        item, saved = self._item, self._here.store.read().last(self._item.id)
        if saved is None or self._here.release.feedback != AT_ONCE:
            return
        told = self._here.truths(self._values["picture"])
        self.there = pictures.places_there(item, told["truth"])


def field(here: Sitting, item: Item) -> AnswerField:
    """Return the field of one item in a learner's sitting."""
    return AnswerField(here, item)


def _parts(here: Sitting, item: Item, values: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the form shows beside the question: options, steps, rows, picture."""
    if isinstance(item, PictureItem):
        return _picture_parts(here, item, values)
    if item.kind == "choice":
        return {"options": _options(item, values)}
    if item.kind == "order":
        texts = {step.key: step.text for step in item.steps(values)}
        return {"steps": [{"key": key, "text": texts[key]} for key in values["shown"]]}
    if isinstance(item, TableItem):
        return {
            "rows": [{"key": row.key, "text": row.text} for row in item.rows(values)],
            "columns": [{"key": one.key, "text": one.text} for one in item.columns(values)],
        }
    return {}


def _picture_parts(here: Sitting, item: PictureItem, values: Mapping[str, Any]) -> dict[str, Any]:
    found = pictures.frames(here.folder, item, values["picture"])
    count, height, width = found.shape
    parts = {
        "width": width,
        "height": height,
        "frames": count,
        "grey": np.ascontiguousarray(found).data,
        "most": 1 if isinstance(item, SeriesItem) else 0,
        "none": f"There is no {item.one} in the picture" if isinstance(item, PlaceItem) else "",
        "reveal": here.release.feedback == AT_ONCE,
        "words": _in_words(here, values["picture"]),
    }
    if isinstance(item, SeriesItem):
        parts["options"] = _options(item, values)
    return parts


def _in_words(here: Sitting, name: str) -> str:
    """Return the described version: as given out with a release, always in practice."""
    if here.release.feedback == AT_ONCE:
        return pictures.described(here.truths(name))
    return pictures.in_words(here.folder, name)


def _options(item: Any, values: Mapping[str, Any]) -> list[dict[str, str]]:
    return [{"key": option.key, "text": option.text} for option in item.options(values)]


def _entered(entry: Entry) -> Any:
    """Return a saved answer as it was entered."""
    answer = entry.answer
    for key in ("typed", "choice", "text", "order", "cells", "marks"):
        if key in answer:
            return answer[key]
    return dict(answer)


def _saved_as(item: Item, values: Mapping[str, Any], entry: Entry) -> str:
    """Say after the time what was saved, where the form does not show it as it is read."""
    if isinstance(item, NumberItem):
        return f" as {item.in_words(values, entry.answer)}"
    if isinstance(item, TableItem):
        return f", {len(entry.answer['cells'])} of {len(item.rows(values))} rows filled in"
    if isinstance(item, PlaceItem):
        number = len(entry.answer["marks"])
        return f": {number} {'mark' if number == 1 else 'marks'}" if number else ": there is none"
    return ""


def _in_unit(item: Item) -> str:
    unit = getattr(item, "unit", "")
    return f", in {unit}" if unit else ""


def _hint(item: Item) -> str:
    if isinstance(item, NumberItem):
        return (
            f"A number with its unit, for example {item.example}."
            if item.unit
            else (f"A number, for example {item.example}.")
        )
    return {
        "text": "Marked by your educator.",
        "order": "First at the top. Move a step with its two buttons.",
        "table": "One answer a row.",
        "place": "A mark a place. Marks where nothing is count against you.",
        "series": "What happens; and, if something does, from which frame on and where.",
    }.get(item.kind, "")


def _blocked(error: ValueError) -> str:
    if isinstance(error, BrokenAnswersError):
        return (
            f"Nothing can be saved: {error}. Nothing was written over it. Ask your educator, or "
            "rename the file answers.json, run all cells again and answer afresh."
        )
    return f"Nothing can be saved: {error}."


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?", "!")) else f"{text}."
