"""The form under a question: checks what is entered and saves it at once."""

import errno
from datetime import datetime
from pathlib import Path
from typing import Any

import anywidget
import numpy as np
import traitlets

from cubital.forms.following import follow
from cubital.handin.answers import FILE, LEVELS, BrokenAnswersError, Entry, OtherLearnerError
from cubital.handin.cells import is_written
from cubital.handin.marks import mark, mark_cell, mark_code
from cubital.handin.mending import where_to_read
from cubital.handin.released import pictures
from cubital.handin.released.release import AT_ONCE
from cubital.handin.results import ItemResult
from cubital.handin.trial import CodeRun
from cubital.items import AskedBackError, Form, PictureForm, TrialsForm, UnreadableAnswerError
from cubital.items.kinds.code import CodeForm, CodeKey
from cubital.items.kinds.on_pictures.pictured import PictureKey
from cubital.items.kinds.on_pictures.placing import NEARLY
from cubital.refresh.reviews import WORKSHEET as REVIEWS
from cubital.tables.files import script, style
from cubital.worksheet import trying
from cubital.worksheet.reviewing import keep_review, waiting_words
from cubital.worksheet.sitting import Sitting

_HERE = Path(__file__).parent
_SCRIPTS = ("looking.js", "placing.js", "trials.js", "writing.js", "field.js")
_SAID = ("state", "status", "told_wrong", "meant", "stamp")
_TRIES = 3  # in practice, the way to the answer is told after as many that are not right


class AnswerField(anywidget.AnyWidget):
    """A question with this learner's values, and the form that takes the answer.

    ``kind`` is the form's and chooses the field. ``state`` is ``empty``, ``saved``, ``typing`` (not
    whole yet), ``refused`` (what is entered is no answer; the one saved before stays), ``trying``
    (it could not be written, and is given again) or ``blocked`` (nothing can be saved here).
    ``entered`` is the answer that the file holds, as it was entered; ``heard`` is the turn of what
    came from the page last.
    ``once`` tells that the first answer alone counts, and is given by a button of its own.
    ``meant`` is what is asked back after a refusal, to be taken over at one press; else empty.
    """

    _esm = "\n".join(
        [
            script(_HERE / "listing.js"),
            *((_HERE / name).read_text(encoding="utf-8") for name in _SCRIPTS),
        ]
    )
    _css = style("field.css", "placing.css")

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
    told_wrong = traitlets.Bool().tag(sync=True)  # of an answer that is marked at once
    meant = traitlets.Unicode().tag(sync=True)
    stamp = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    once = traitlets.Bool(False).tag(sync=True)
    there = traitlets.List().tag(sync=True)

    def __init__(self, here: Sitting, item_id: str) -> None:
        self._here = here
        self._at_once = here.release.feedback == AT_ONCE
        self._form = form = here.store.form(item_id)
        fault = ""
        try:
            parts = _parts(here, form)
        except (ValueError, OSError) as error:
            parts, fault = {}, str(error)
        super().__init__(
            item=form.id,
            kind="" if fault else form.kind,
            question=form.question,
            label=form.label,
            hint=form.hint,
            parts=parts,
            once=here.release.worksheet == REVIEWS,
            levels=[] if form.by_hand else [[share, words] for share, words in LEVELS],
        )
        self._fault = fault
        self._run: tuple[str, CodeRun] = ("", CodeRun())
        self._seen: Entry | None = None
        self.look()
        self.on_msg(self._receive)
        follow(here.folder / FILE, self)

    def look(self) -> None:
        """Show what is saved now; another window may have saved since."""
        if self._fault:
            self._say("blocked", f"Nothing can be answered here: {self._fault}.")
            return
        try:
            entry = self._held()
        except (OtherLearnerError, BrokenAnswersError) as error:
            self._say("blocked", _blocked(error))
            return
        self._seen = entry
        if entry is not None:
            self._show(entry)
        elif self._form.in_code and is_written(cell := self._here.saved_code(self._form.id) or ""):
            self._show_cell(cell)
        else:
            self.entered = None
            self._say("empty", "Not answered yet.")

    def look_again(self) -> None:
        """Show what the file holds, if it is not what was seen there last."""
        try:
            is_seen = self._held() == self._seen
        except (OtherLearnerError, BrokenAnswersError):
            is_seen = False
        if not is_seen or self.state == "blocked":
            self.look()

    def _held(self) -> Entry | None:
        """Return the answer that the file holds."""
        return self._here.store.read().last(self._form.id)

    def enter(self, entered: Any, *, final: bool = True, confidence: float | None = None) -> None:
        """Save what was entered; while the learner still types, leave a refusal unsaid."""
        try:
            entry = self._here.store.save(self._form.id, entered, confidence=confidence)
        except (OtherLearnerError, BrokenAnswersError) as error:
            self._say("blocked", _blocked(error))
        except ValueError as error:
            self._refuse(error, final=final)
        except OSError as error:
            self._say("trying", f"Not saved yet, trying again: {_unwritten(error)}.")
        else:
            more = keep_review(self._here, self._form.id, entry, final=final)
            self._seen = held = self._held() or entry  # what is said rests on the file
            self._show(held, more, final=final)

    def _show_cell(self, cell: str) -> None:
        """Show what was written into the notebook's own cell: it counts until a field saves."""
        form, told = self._form, ""
        if not form.in_cell:
            told = "What was written into this page counts, until you write in this box."
            self._say("empty", told)
            return
        try:
            answer = form.read_cell(cell)
        except UnreadableAnswerError as error:
            told = f"What was written into this page does not count. {error}"
            self._say("empty", told)
            return
        if self._at_once:
            told = f" {mark_cell(self._here.store.question(form.id), cell).message}"
        self.entered = form.entered(answer)
        words = "This line was written into the page; it counts until you type another."
        self._say("saved", f"{words} {form.gives(answer)}{told}")

    def _show(self, entry: Entry, more: str = "", *, final: bool = True) -> None:
        if isinstance(self._form, CodeForm) and final:
            self._try(self._form, entry)
        self.entered = self._form.entered(entry.answer)
        self.confidence = entry.confidence
        self._say("saved", self._saved_words(entry) + more, told_wrong=self._is_told_wrong(entry))

    def _refuse(self, error: ValueError, *, final: bool) -> None:
        if not final:
            self._say("typing", "Not saved yet.")
            return
        earlier = self._here.store.read().last(self._form.id)
        stays = ""
        if earlier is not None:
            words = self._form.in_words(earlier.answer)
            stays = f" Your earlier answer stays: {words}"
            stays += "" if words.endswith((".", "”")) else "."
        why = f" {_sentence(str(error))}"
        if isinstance(error, AskedBackError):  # the question last, above the button that answers it
            self._say("refused", f"Not saved.{stays}{why}", error.meant)
        else:
            self._say("refused", f"Not saved.{why}{stays}")

    def _saved_words(self, entry: Entry) -> str:
        moment = datetime.fromisoformat(entry.at).astimezone()
        words = f"Saved at {moment:%H:%M}" + self._form.saved_as(entry.answer)
        gives = self._gives(entry)
        if not self._at_once:
            return f"{words}, not marked yet.{gives}"
        if self._is_begun(entry):
            return f"{words}."
        if to_do := waiting_words(self._here, self._form.id):
            return f"{words}.{gives} {to_do}"
        return f"{words}.{gives} {self._told_at_once(entry)}"

    def _is_told_wrong(self, entry: Entry) -> bool:
        """Whether the learner is told at once that an answer is not right."""
        if not self._at_once or waiting_words(self._here, self._form.id) or self._is_begun(entry):
            return False
        return self._marked(entry).outcome in {"slip", "wrong"}

    def _is_begun(self, entry: Entry) -> bool:
        """Whether parts are missing of an answer that is told as a whole only."""
        return self._form.in_parts and bool(self._form.missing(entry.answer))

    def _gives(self, entry: Entry) -> str:
        """Say what a line or a function gives on the learner's own values; else nothing."""
        if not isinstance(self._form, CodeForm):
            told = self._form.gives(entry.answer)
        elif self._is_tried(entry):
            told = trying.gives(self._run[1])
        else:
            told = "The function is tried once you leave the box."
        return f" {told}" if told else ""

    def _is_tried(self, entry: Entry) -> bool:
        return self._run[0] == entry.answer.get("code")

    def _try(self, form: CodeForm, entry: Entry) -> None:
        """Run a function on the learner's own values, once for each text."""
        if not self._is_tried(entry):
            run = trying.tried(form, entry.answer, [dict(form.inputs)])
            self._run = (str(entry.answer.get("code")), run)

    def _marked(self, entry: Entry) -> ItemResult:
        """Mark an answer in practice, where its key is at hand; a function is run on its cases."""
        question, form = self._here.store.question(self._form.id), self._form
        if not isinstance(form, CodeForm) or not isinstance(question.key, CodeKey):
            return mark(question, entry, self._here.truths)
        run = self._run[1] if self._is_tried(entry) else None
        if run is not None and not run.error:
            run = trying.tried(form, entry.answer, question.key.inputs())
        return mark_code(question, run)

    def _told_at_once(self, entry: Entry) -> str:
        question = self._here.store.question(self._form.id)
        result = self._marked(entry)
        near = result.message.startswith(NEARLY)
        words = "Not right yet. " if result.outcome == "slip" and not near else ""
        words += result.message
        if result.outcome in {"slip", "wrong"}:
            words += f" Read again: {where_to_read(result.item, question.key.section)}."
        tries = len(self._here.store.read().items.get(self._form.id, ()))
        if result.route and (result.outcome == "right" or tries >= _TRIES):
            words += f" The way to it: {_sentence(result.route)}"
        return words

    def _say(self, state: str, status: str, meant: str = "", *, told_wrong: bool = False) -> None:
        with self.hold_sync():
            self.state = state
            self.status = status
            self.told_wrong = told_wrong
            self.meant = meant
            self.stamp += 1

    def _receive(self, _widget: Any, content: dict[str, Any], _buffers: Any) -> None:
        if content.get("look"):
            self.look()
            self.send_state([*_SAID, "entered", "confidence"])
        elif content.get("reveal"):
            self._reveal()
        else:
            confidence, turn = content.get("confidence"), int(content.get("turn", 0))
            with self.hold_sync():  # all of the reply at once, and none if there is no reply
                final = bool(content["final"])
                self.enter(content.get("entered"), final=final, confidence=confidence)
                self.heard = max(self.heard, turn)

    def _reveal(self) -> None:
        """In practice, once something is answered, show what is there over the picture."""
        form = self._form
        if not self._at_once or self._here.store.read().last(form.id) is None:
            return
        key = self._here.store.question(form.id).key
        if isinstance(form, PictureForm) and isinstance(key, PictureKey):
            self.there = key.there(form, self._here.truths(form.picture)["truth"])


def field(here: Sitting, item_id: str) -> AnswerField:
    """Return the field of one question in a learner's sitting."""
    return AnswerField(here, item_id)


def _parts(here: Sitting, form: Form) -> dict[str, Any]:
    """Return what the page shows beside the question: options, steps, rows, picture."""
    if isinstance(form, TrialsForm):
        return form.parts() | _trials(here, form)
    if not isinstance(form, PictureForm):
        return form.parts()
    found = pictures.frames(here.folder, form)
    count, height, width = found.shape
    return form.parts() | {
        "width": width,
        "height": height,
        "frames": count,
        "grey": np.ascontiguousarray(found).data,
        "reveal": here.release.feedback == AT_ONCE,
        "words": _in_words(here, form.picture),
    }


def _trials(here: Sitting, form: TrialsForm) -> dict[str, Any]:
    """Return the files of a form's trials as they are, for the page to decode, with their words."""
    files = [pictures.file_of(here.folder, name) for name in form.trials]
    return {
        "width": form.width_px,
        "height": form.height_px,
        "frames": form.frames,
        "files": [path.read_bytes() for path in files],
        "words": [_in_words(here, name) for name in form.trials],
    }


def _in_words(here: Sitting, name: str) -> str:
    """Return the described version: as given out with a release, always in practice."""
    if here.release.feedback == AT_ONCE:
        return pictures.described(here.truths(name))
    return pictures.in_words(here.folder, name)


def _blocked(error: ValueError) -> str:
    if isinstance(error, BrokenAnswersError):
        return (
            f"Nothing can be saved: {error}. Nothing was written over it. Ask your educator, or "
            "rename the file answers.json, load the page again and answer afresh."
        )
    return f"Nothing can be saved: {error}."


def _unwritten(error: OSError) -> str:
    if error.errno in {errno.ENOSPC, errno.EDQUOT}:
        return "there is no room left on the disk"
    return f"the file could not be written ({error.strerror or 'another program holds it'})"


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?", "!")) else f"{text}."
