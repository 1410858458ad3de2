"""Say what happens in a simulated series of frames, when it begins, and where."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Self

from cubital.items.kinds.base import Mistake, Values
from cubital.items.kinds.choice import THIS_CHOICE, Option
from cubital.items.kinds.form import Answer, keyed, renamed
from cubital.items.kinds.key import Believed, Judgement, Truth
from cubital.items.kinds.on_pictures.pictured import (
    SEALED,
    PictureForm,
    PictureItem,
    PictureKey,
    known,
)
from cubital.items.kinds.plain import Offered
from cubital.items.typed.quantity import UnreadableAnswerError
from cubital.scene.truth import scoring


@dataclass(frozen=True, kw_only=True)
class SeriesForm(PictureForm):
    """What may happen, a frame and a mark; with the option ``unseen`` the two do not count."""

    kind: ClassVar[str] = "series"
    most: ClassVar[int] = 1

    options: tuple[Offered, ...]
    unseen: str

    @property
    def hint(self) -> str:
        """The words that say how to answer."""
        return "What happens; and, if something does, from which frame on and where."

    @property
    def offered(self) -> tuple[str, ...]:
        """The options' texts."""
        return tuple(option.text for option in self.options)

    def parts(self) -> dict[str, object]:
        """Return also the options, and which of them has neither frame nor mark."""
        return super().parts() | {"options": keyed(self.options), "unseen": self.unseen}

    def keys(self) -> tuple[str, ...]:
        """Return the options' keys."""
        return tuple(option.key for option in self.options)

    def with_keys(self, names: Mapping[str, str]) -> Self:
        """Return the form with other keys for the options."""
        options = renamed(self.options, names)
        return replace(self, options=options, unseen=names.get(self.unseen, self.unseen))

    def read(self, typed: Any) -> dict[str, Any]:
        """Return what was chosen, with frame and mark as far as they are given."""
        if not isinstance(typed, Mapping) or not typed.get("what"):
            raise UnreadableAnswerError("Choose what happens.")
        what, frame, mark = typed["what"], typed.get("frame"), typed.get("mark")
        if what not in [option.key for option in self.options]:
            raise UnreadableAnswerError("Choose one of the options.")
        last = self.frames - 1
        if frame is not None and (
            isinstance(frame, bool) or not isinstance(frame, int) or not 0 <= frame <= last
        ):
            raise UnreadableAnswerError(
                f"The frame is {frame!r:.20}: it must be a whole number from 0 to {last}."
            )
        place = None if mark is None else self.checked_mark(mark)
        if what == self.unseen:
            frame = place = None
        return {"what": what, "frame": frame, "mark": place}

    def marks(self, answer: Answer) -> list[list[int]]:
        """Return the mark of a saved answer, if there is one."""
        mark = answer.get("mark")
        return [mark] if mark else []

    def entered(self, answer: Answer) -> dict[str, Any]:
        """Return a saved answer as it was entered."""
        return dict(answer)

    def missing(self, answer: Answer) -> str:
        """Name the frame and the mark, if something happens and they are not given."""
        if answer["what"] == self.unseen:
            return ""
        named = (("frame", "the frame"), ("mark", "the mark"))
        return " and ".join(words for key, words in named if answer.get(key) is None)

    def saved_as(self, answer: Answer) -> str:
        """Say what is still missing."""
        missing = self.missing(answer)
        return f", but {missing} {'are' if ' and ' in missing else 'is'} missing" if missing else ""

    def in_words(self, answer: Answer) -> str:
        """Say what was chosen, from which frame and where."""
        text = next(o.text for o in self.options if o.key == answer["what"]).rstrip(".")
        frame, mark = answer.get("frame"), answer.get("mark")
        text += "" if frame is None else f"; from frame {frame}"
        text += "" if mark is None else f"; at column {mark[0]}, row {mark[1]}"
        return text + "."


@dataclass(frozen=True, kw_only=True)
class SeriesKey(PictureKey):
    """The option that is right for each kind of event, and how near frame and mark must lie.

    ``believed`` says what is believed by who takes another option where one is right.
    """

    kind: ClassVar[str] = SeriesForm.kind

    happened: tuple[tuple[str, str], ...]
    unseen: str
    believed: tuple[Believed, ...]
    within_frames: int
    within_mm: float

    def right_key(self, truth: Truth) -> str:
        """Return the option that is right for a truth."""
        (event,) = truth["events"]
        return dict(self.happened)[event["kind"]] if event["visible"] else self.unseen

    def _judge(self, form: SeriesForm, answer: Answer, truth: Truth | None) -> Judgement:
        given, seen = form.read(answer), known(truth)
        right = self.right_key(seen)
        if given["what"] != right:
            return self.slipped(THIS_CHOICE, f"not-{right}", dict(self.believed)[right])
        if right == self.unseen:
            return self.judged("right", "Right: no frame shows it, and that rules nothing out.")
        (event,) = seen["events"]
        timed = given["frame"] is not None and (
            abs(given["frame"] - event["onset_frame"]) <= self.within_frames
        )
        placed = given["mark"] is not None and bool(
            scoring.score_marks([given["mark"]], seen, what="event", within_mm=self.within_mm).hits
        )
        if timed and placed:
            return self.judged("right", "Right: what, when and where.")
        said = [("when", timed, "frame"), ("where", placed, "mark")]
        words = " ".join(
            f"{name.capitalize()}: "
            + ("right." if good else "not given." if given[key] is None else "not right.")
            for name, good, key in said
        )
        points = round(self.points * (0.5 + (timed + placed) / 4), 2)  # 4: a quarter each
        return Judgement("wrong", points, f"What: right. {words}")

    def there(self, form: SeriesForm, truth: Truth) -> list[list[int]]:
        """Return the column and row of the event, if it has a place."""
        (event,) = truth["events"]
        return [] if event["column"] is None else [[round(event["column"]), round(event["row"])]]

    def frame_to_show(self, truth: Truth) -> int:
        """Return the last frame if something begins, since it shows most; else the first."""
        (event,) = truth["events"]
        return int(truth["frames"]) - 1 if event["onset_frame"] is not None else 0

    def happening(self, truth: Truth) -> str:
        """Say what the series shows and from when on."""
        (event,) = truth["events"]
        if not event["visible"]:
            return "No frame shows a change."
        return f"{event['seen']} It begins in frame {event['onset_frame']}."


@dataclass(frozen=True)
class SeriesItem(PictureItem):
    """Say what happens in a series of frames, when it begins, and where.

    ``options`` are what may happen; ``happened`` gives the right one's key for the kind of event
    in the truth. Where nothing is to be seen, that alone gives all points; else what gives half,
    when and where a quarter each, and only if what is right.
    """

    kind: ClassVar[str] = SeriesForm.kind
    size_name: ClassVar[str] = "series"

    options: Callable[[Values], Sequence[Option]] = lambda _values: ()
    happened: Mapping[str, str] | None = None
    unseen: str = "no-change"
    misconceptions: Mapping[str, str] | None = None
    within_frames: int = 4
    within_mm: float = 12.0

    def form(self, values: Values) -> SeriesForm:
        """Return the form at these values."""
        return SeriesForm(
            **self.form_parts(values),
            picture=values["picture"],
            **self.size_parts(),
            options=tuple(option.offered for option in self.options(values)),
            unseen=self.unseen,
        )

    def key(self, values: Values, *, seal: str = "") -> SeriesKey:
        """Return the key, which the picture's truth completes."""
        why = self.misconceptions or {}
        return SeriesKey(
            **self.key_parts(values),
            happened=tuple((self.happened or {}).items()),
            unseen=self.unseen,
            believed=tuple(Believed(*one) for one in why.items()),
            within_frames=self.within_frames,
            within_mm=self.within_mm,
        )

    def solution(self, values: Values, truth: Truth | None = None) -> dict[str, Any]:
        """Return the right answer for a truth."""
        what = self.key(values).right_key(known(truth))
        if what == self.unseen:
            return {"what": what}
        (event,) = known(truth)["events"]
        place = [round(event["column"]), round(event["row"])]
        return {"what": what, "frame": event["onset_frame"], "mark": place}

    def slip_answers(self, values: Values, truth: Truth | None = None) -> dict[str, dict[str, str]]:
        """Return another option than the right one."""
        right = self.key(values).right_key(known(truth))
        wrong = [option.key for option in self.options(values) if option.key != right]
        return {f"not-{right}": {"what": wrong[-1]}} if wrong else {}

    def right_in_words(self, values: Values, truth: Truth | None = None) -> str:
        """Say what happens, when and where, if the truth is at hand."""
        return self.in_words(values, self.solution(values, truth)) if truth else SEALED

    def tolerance_in_words(self, values: Values) -> str:
        """Say how far off frame and mark may lie."""
        return f"within {self.within_frames} frames and {self.within_mm:g} mm"

    def mistakes(self, values: Values) -> Sequence[Mistake]:
        """Return what is believed by who takes another option where one is right."""
        return [
            Mistake(f"not-{key}", f"another option where “{key}” is right", why)
            for key, why in (self.misconceptions or {}).items()
        ]
