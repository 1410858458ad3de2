"""The box under a question: checks what is typed and saves it at once."""

from datetime import datetime
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from cubital.handin.answers import BrokenAnswersError, Entry, OtherLearnerError
from cubital.handin.marks import mark
from cubital.handin.release import AT_ONCE
from cubital.items import ChoiceItem, Item, NumberItem, TextItem
from cubital.worksheet.sitting import Sitting

_HERE = Path(__file__).parent


class AnswerField(anywidget.AnyWidget):
    """A question with this learner's values, and the field that takes the answer.

    ``state`` is ``empty``, ``saved``, ``typing`` (not whole yet), ``refused`` (what is typed is
    no answer; the one saved before stays) or ``blocked`` (nothing can be saved here).
    """

    _esm = _HERE / "field.js"
    _css = _HERE / "field.css"

    item = traitlets.Unicode().tag(sync=True)
    question = traitlets.Unicode().tag(sync=True)
    label = traitlets.Unicode().tag(sync=True)
    hint = traitlets.Unicode().tag(sync=True)
    long = traitlets.Bool(False).tag(sync=True)
    options = traitlets.List().tag(sync=True)
    typed = traitlets.Unicode().tag(sync=True)
    state = traitlets.Unicode("empty").tag(sync=True)
    status = traitlets.Unicode().tag(sync=True)
    stamp = traitlets.Int(0).tag(sync=True)

    def __init__(self, here: Sitting, item: Item) -> None:
        self._here = here
        self._item = item
        self._values = here.release.values(item, here.learner)
        super().__init__(
            item=item.id,
            question=item.ask(self._values),
            label=f"Your answer: {item.title}" + _in_unit(item),
            hint=_hint(item),
            long=isinstance(item, TextItem),
            options=_options(item, self._values),
        )
        self.look()
        self.on_msg(self._receive)

    def look(self) -> None:
        """Show what is saved now; another window may have saved since."""
        try:
            entry = self._here.store.read().last(self._item.id)
        except (OtherLearnerError, BrokenAnswersError) as error:
            self._say("blocked", _blocked(error))
            return
        if entry is None:
            self._say("empty", "Not answered yet.")
        else:
            self.typed = _typed(entry)
            self._say("saved", self._saved_words(entry))

    def enter(self, typed: str, *, final: bool = True) -> None:
        """Save what was typed; while the learner still types, leave a refusal unsaid."""
        try:
            entry = self._here.store.save(self._item, typed)
        except (OtherLearnerError, BrokenAnswersError) as error:
            self._say("blocked", _blocked(error))
        except ValueError as error:
            self._refuse(str(error), final=final)
        except OSError as error:
            self._say("refused", f"Not saved: the file could not be written ({error.strerror}).")
        else:
            self.typed = _typed(entry)
            self._say("saved", self._saved_words(entry))

    def _refuse(self, reason: str, *, final: bool) -> None:
        if not final:
            self._say("typing", "Not saved yet.")
            return
        earlier = self._here.store.read().last(self._item.id)
        stays = ""
        if earlier is not None:
            words = self._item.in_words(self._values, earlier.answer)
            stays = f" Your earlier answer stays: {words}"
            stays += "" if words.endswith((".", "”", ")")) else "."
        self._say("refused", f"Not saved. {_sentence(reason)}{stays}")

    def _saved_words(self, entry: Entry) -> str:
        moment = datetime.fromisoformat(entry.at).astimezone()
        words = f"Saved at {moment:%H:%M}"
        if isinstance(self._item, NumberItem):
            words += f" as {self._item.in_words(self._values, entry.answer)}"
        at_once = self._here.release.feedback == AT_ONCE
        words += "." if at_once else ", not marked yet."
        if at_once:
            result = mark(self._here.release, self._item, self._here.learner, entry)
            words += " Not right yet." if result.outcome == "slip" else ""
            words += f" {result.message}"
            if result.outcome in {"slip", "wrong"}:
                words += f" Read again: “{self._item.section}” in the lesson."
        return words

    def _say(self, state: str, status: str) -> None:
        with self.hold_sync():
            self.state = state
            self.status = status
            self.stamp += 1

    def _receive(self, _widget: Any, content: dict[str, Any], _buffers: Any) -> None:
        if content.get("look"):
            self.look()
            self.send_state(["typed", "state", "status", "stamp"])
        else:
            self.enter(str(content.get("typed", "")), final=bool(content.get("final")))


def field(here: Sitting, item: Item) -> AnswerField:
    """Return the field of one item for the learner who sits here."""
    return AnswerField(here, item)


def _typed(entry: Entry) -> str:
    answer = entry.answer
    return str(answer.get("typed") or answer.get("choice") or answer.get("text") or "")


def _options(item: Item, values: dict[str, Any]) -> list[dict[str, str]]:
    if not isinstance(item, ChoiceItem):
        return []
    return [{"key": option.key, "text": option.text} for option in item.options(values)]


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
    if isinstance(item, TextItem):
        return "Three or four sentences. Marked by your educator."
    return ""


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
