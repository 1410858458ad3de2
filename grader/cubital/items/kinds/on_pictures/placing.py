"""Mark on a simulated picture every place where something is."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from cubital.items.kinds.base import Mistake, Values
from cubital.items.kinds.form import Answer
from cubital.items.kinds.key import Judgement, Truth
from cubital.items.kinds.on_pictures.pictured import (
    SEALED,
    PictureForm,
    PictureItem,
    PictureKey,
    known,
)
from cubital.items.typed.quantity import UnreadableAnswerError
from cubital.scene.truth import scoring

MOST_MARKS = 30
NEARLY = "Nearly:"  # one missed or one too many, and the rest found


@dataclass(frozen=True, kw_only=True)
class PlaceForm(PictureForm):
    """Any number of marks; ``one`` and ``many`` name what is marked."""

    kind: ClassVar[str] = "place"
    holds: ClassVar[str] = "marks"

    one: str
    many: str

    @property
    def hint(self) -> str:
        """The words that say how to answer."""
        return f"Place one mark per {self.one}. Wrong marks lose points."

    @property
    def none(self) -> str:
        """The words that say that there is nothing to mark."""
        return f"There is no {self.one} in the picture"

    def read(self, typed: Any) -> dict[str, Any]:
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

    def marks(self, answer: Answer) -> list[list[int]]:
        """Return the marks of a saved answer as columns and rows."""
        return list(answer.get("marks", ()))

    def in_words(self, answer: Answer) -> str:
        """Say how many marks there are and where."""
        marks = answer["marks"]
        if not marks:
            return f"no {self.one} in the picture"
        places = "; ".join(f"column {column}, row {row}" for column, row in marks)
        return f"{len(marks)} {self.one if len(marks) == 1 else self.many}: {places}"

    def saved_as(self, answer: Answer) -> str:
        """Say how many marks were saved."""
        number = len(answer["marks"])
        return f": {number} {'mark' if number == 1 else 'marks'}" if number else ": there is none"


@dataclass(frozen=True, kw_only=True)
class PlaceKey(PictureKey):
    """What is looked for, how near a mark must lie, and what marks too few or too many tell."""

    kind: ClassVar[str] = PlaceForm.kind

    what: str
    within_mm: float
    missed: str
    invented: str

    def score(self, form: PlaceForm, answer: Answer, truth: Truth) -> scoring.Score:
        """Compare the marks of a saved answer with the truth."""
        marks = form.read(answer["marks"])["marks"]
        return scoring.score_marks(marks, truth, what=self.what, within_mm=self.within_mm)

    def _judge(self, form: PlaceForm, answer: Answer, truth: Truth | None) -> Judgement:
        score = self.score(form, answer, known(truth))
        shown = score.hits + score.misses
        words = f"{score.hits} of {shown} found." if shown else "There is none."
        if score.false_alarms:
            words += f" {score.false_alarms} marked where there is none."
        if score.place_error_mm is not None:
            words += f" The marks lie {score.place_error_mm:.1f} mm off, by the median."
        if score.share == 1:
            return self.judged("right", f"Right. {words}")
        points = round(self.points * score.share, 2)
        key = "missed" if score.misses >= score.false_alarms else "invented"
        why = self.missed if key == "missed" else self.invented
        if score.hits > 1 and score.misses + score.false_alarms == 1:
            return Judgement("slip", points, f"{NEARLY} {words}", key, why)
        return Judgement("slip", points, f"{words} Marking like this {why}.", key, why)

    def there(self, form: PlaceForm, truth: Truth) -> list[list[int]]:
        """Return the columns and rows of all that is to be seen."""
        seen, _ = scoring.structures(truth, self.what)
        rows = truth[scoring.LISTS[self.what]]
        by_key = {row["key"]: row for row in rows}
        wide, high = form.width_px - 1, form.height_px - 1
        return [
            [
                min(max(round(by_key[one.key]["column"]), 0), wide),
                min(max(round(by_key[one.key]["row"]), 0), high),
            ]
            for one in seen
        ]


@dataclass(frozen=True)
class PlaceItem(PictureItem):
    """Mark every place where something is; hits, misses and false alarms give the points.

    The share of the points is hits / (hits + misses + false alarms). Marks on what is there but
    not seen count neither way. ``one`` and ``many`` name what is marked.
    """

    kind: ClassVar[str] = PlaceForm.kind

    what: str = "bifurcation"
    one: str = "fork"
    many: str = "forks"
    within_mm: float = 3.0
    missed: str = ""
    invented: str = ""

    def form(self, values: Values) -> PlaceForm:
        """Return the form at these values."""
        return PlaceForm(
            **self.form_parts(values),
            picture=values["picture"],
            **self.size_parts(),
            one=self.one,
            many=self.many,
        )

    def key(self, values: Values, *, seal: str = "") -> PlaceKey:
        """Return the key, which the picture's truth completes."""
        return PlaceKey(
            **self.key_parts(values),
            what=self.what,
            within_mm=self.within_mm,
            missed=self.missed,
            invented=self.invented,
        )

    def solution(self, values: Values, truth: Truth | None = None) -> list[list[int]]:
        """Return a mark on everything that is to be seen."""
        return self.key(values).there(self.form(values), known(truth))

    def slip_answers(
        self, values: Values, truth: Truth | None = None
    ) -> dict[str, list[list[int]]]:
        """Return one mark too many and, where something is there, one too few."""
        there = self.solution(values, truth)
        fewer = {"missed": there[:-1]} if there else {}
        return {"invented": [*there, [0, 0]]} | fewer

    def right_in_words(self, values: Values, truth: Truth | None = None) -> str:
        """Say where everything is, if the truth is at hand."""
        if not truth:
            return SEALED
        return self.in_words(values, {"marks": self.solution(values, truth)})

    def tolerance_in_words(self, values: Values) -> str:
        """Say how far off a mark may lie."""
        return f"within {self.within_mm:g} mm"

    def mistakes(self, values: Values) -> Sequence[Mistake]:
        """Return what is believed by who marks too few or too many."""
        return [
            Mistake("missed", f"{self.many} not marked", self.missed),
            Mistake("invented", "marks where there is nothing", self.invented),
        ]
