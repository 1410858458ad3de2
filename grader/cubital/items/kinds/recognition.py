"""Items on simulated pictures: mark what is there, and say what happens in a series.

The picture's name is one of the learner's values; its truth lies with the marker, and comes
along when an answer is judged. Simulated, not clinically validated.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from cubital.items.kinds.base import Item, Judgement, Option, Values
from cubital.items.kinds.quantity import UnreadableAnswerError
from cubital.scene.files.planning import Size, usual_sizes
from cubital.scene.truth import scoring

MOST_MARKS = 30


@dataclass(frozen=True)
class PictureItem(Item):
    """An item on a picture of the release's pool; ``pool`` says how many of each kind to render.

    ``draw_values`` puts one of the pictures' names, drawn from ``draw.pictures``, under
    ``"picture"``.
    """

    kind: ClassVar[str] = "picture"
    size_name: ClassVar[str] = "picture"

    pool: Mapping[str, int] | None = None

    @property
    def size(self) -> Size:
        """The size of its pictures."""
        return usual_sizes()[self.size_name]

    def judge_seen(
        self, values: Values, answer: Mapping[str, Any] | None, truth: Mapping[str, Any]
    ) -> Judgement:
        """Mark an answer against the truth of the picture that it is about."""
        if answer is None:
            return self.judged("blank", "Not answered.")
        try:
            return self._judge_seen(values, answer, truth)
        except (KeyError, TypeError, ValueError) as error:
            return self.judged("refused", f"The saved answer is not of this item's form: {error}")

    def _judge_seen(
        self, values: Values, answer: Mapping[str, Any], truth: Mapping[str, Any]
    ) -> Judgement:
        raise NotImplementedError

    def _judge(self, values: Values, answer: Mapping[str, Any]) -> Judgement:
        raise ValueError("items on pictures are judged with the picture's truth")

    def checked_mark(self, mark: Any) -> list[int]:
        """Return a mark as column and row, or raise with where it must lie."""
        if not isinstance(mark, list | tuple) or len(mark) != 2:
            raise UnreadableAnswerError("A mark is a column and a row.")
        for name, value, size in zip(
            ("column", "row"), mark, (self.size.width_px, self.size.height_px), strict=True
        ):
            if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < size:
                raise UnreadableAnswerError(
                    f"The {name} of a mark is {value!r:.20}: it must be a whole number from 0 to "
                    f"{size - 1}."
                )
        return list(mark)


@dataclass(frozen=True)
class PlaceItem(PictureItem):
    """Mark every place where something is; hits, misses and false alarms give the points.

    The share of the points is hits / (hits + misses + false alarms). Marks on what is there but
    not seen count neither way. ``one`` and ``many`` name what is marked.
    """

    kind: ClassVar[str] = "place"

    what: str = "bifurcation"
    one: str = "fork"
    many: str = "forks"
    within_mm: float = 3.0
    missed: str = ""
    invented: str = ""

    def read(self, typed: Any, values: Values) -> dict[str, Any]:
        """Return the marks as columns and rows; an empty list says that there is none."""
        if not isinstance(typed, list | tuple):
            raise UnreadableAnswerError("Place marks on the picture, or say that there is none.")
        if len(typed) > MOST_MARKS:
            raise UnreadableAnswerError(f"There are {len(typed)} marks; at most {MOST_MARKS} are.")
        marks = [self.checked_mark(mark) for mark in typed]
        for mark in marks:
            if marks.count(mark) > 1:
                raise UnreadableAnswerError(
                    f"Two marks lie at column {mark[0]}, row {mark[1]}: take one away."
                )
        return {"marks": marks}

    def score(self, answer: Mapping[str, Any], truth: Mapping[str, Any]) -> scoring.Score:
        """Compare the marks of a saved answer with the truth."""
        marks = self.read(answer["marks"], {})["marks"]
        return scoring.score_marks(marks, truth, what=self.what, within_mm=self.within_mm)

    def _judge_seen(
        self, values: Values, answer: Mapping[str, Any], truth: Mapping[str, Any]
    ) -> Judgement:
        score = self.score(answer, truth)
        shown = score.hits + score.misses
        words = f"{score.hits} of {shown} found." if shown else "There is none."
        if score.false_alarms:
            words += f" {score.false_alarms} marked where there is none."
        if score.place_error_mm is not None:
            words += f" Your marks lie {score.place_error_mm:.1f} mm off, by the median."
        if score.share == 1:
            return self.judged("right", f"Right. {words}")
        points = round(self.points * score.share, 2)
        key = "missed" if score.misses >= score.false_alarms else "invented"
        why = self.missed if key == "missed" else self.invented
        words = f"{words} Most often this is someone who {why}."
        return Judgement("slip", points, words, key, why)

    def in_words(self, values: Values, answer: Mapping[str, Any]) -> str:
        """Say how many marks there are and where."""
        marks = answer["marks"]
        if not marks:
            return f"no {self.one} in the picture"
        places = "; ".join(f"column {column}, row {row}" for column, row in marks)
        return f"{len(marks)} {self.one if len(marks) == 1 else self.many}: {places}"

    def solution(self, truth: Mapping[str, Any]) -> list[list[int]]:
        """Return a mark on everything that is to be seen."""
        seen, _ = scoring.structures(truth, self.what)
        rows = truth[scoring.LISTS[self.what]]
        by_key = {row["key"]: row for row in rows}
        wide, high = self.size.width_px - 1, self.size.height_px - 1
        return [
            [
                min(max(round(by_key[one.key]["column"]), 0), wide),
                min(max(round(by_key[one.key]["row"]), 0), high),
            ]
            for one in seen
        ]


@dataclass(frozen=True)
class SeriesItem(PictureItem):
    """Say what happens in a series of frames, when it begins, and where.

    ``options`` are what may happen; ``happened`` gives the right one's key for the kind of event
    in the truth. Where nothing is to be seen, that alone gives all points; else what gives half,
    when and where a quarter each, and only if what is right.
    """

    kind: ClassVar[str] = "series"
    size_name: ClassVar[str] = "series"

    options: Callable[[Values], Sequence[Option]] = lambda _values: ()
    happened: Mapping[str, str] | None = None
    unseen: str = "no-change"
    misconceptions: Mapping[str, str] | None = None
    within_frames: int = 4
    within_mm: float = 12.0

    def read(self, typed: Any, values: Values) -> dict[str, Any]:
        """Return what was chosen, with frame and mark as far as they are given."""
        if not isinstance(typed, Mapping) or not typed.get("what"):
            raise UnreadableAnswerError("Choose what happens.")
        what, frame, mark = typed["what"], typed.get("frame"), typed.get("mark")
        if what not in [option.key for option in self.options(values)]:
            raise UnreadableAnswerError("Choose one of the options.")
        last = self.size.frames - 1
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

    def right_key(self, truth: Mapping[str, Any]) -> str:
        """Return the option that is right for a truth."""
        (event,) = truth["events"]
        return (self.happened or {})[event["kind"]] if event["visible"] else self.unseen

    def _judge_seen(
        self, values: Values, answer: Mapping[str, Any], truth: Mapping[str, Any]
    ) -> Judgement:
        given = self.read(answer, values)
        right = self.right_key(truth)
        if given["what"] != right:
            why = (self.misconceptions or {})[right]
            return self.slipped("This is chosen by someone who", f"not-{right}", why)
        if right == self.unseen:
            return self.judged("right", "Right: no frame shows it, and that rules nothing out.")
        (event,) = truth["events"]
        timed = given["frame"] is not None and (
            abs(given["frame"] - event["onset_frame"]) <= self.within_frames
        )
        placed = given["mark"] is not None and bool(
            scoring.score_marks([given["mark"]], truth, what="event", within_mm=self.within_mm).hits
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

    def in_words(self, values: Values, answer: Mapping[str, Any]) -> str:
        """Say what was chosen, from which frame and where."""
        text = next(o.text for o in self.options(values) if o.key == answer["what"]).rstrip(".")
        frame, mark = answer.get("frame"), answer.get("mark")
        text += "" if frame is None else f"; from frame {frame}"
        text += "" if mark is None else f"; at column {mark[0]}, row {mark[1]}"
        return text + "."

    def solution(self, values: Values, truth: Mapping[str, Any]) -> dict[str, Any]:
        """Return the right answer for a truth."""
        what = self.right_key(truth)
        if what == self.unseen:
            return {"what": what}
        (event,) = truth["events"]
        place = [round(event["column"]), round(event["row"])]
        return {"what": what, "frame": event["onset_frame"], "mark": place}
