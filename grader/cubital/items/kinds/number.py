"""A number with its unit: computed from the learner's values, read in the spelling of the ward."""

import itertools
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, ClassVar, NamedTuple

from cubital import calc, tables
from cubital.items.kinds.base import (
    COMES_OUT_WHEN,
    Values,
    plain_number,
    repeated,
)
from cubital.items.kinds.computed import TOLERANCES_APART, ComputedItem
from cubital.items.kinds.form import Answer, Form
from cubital.items.kinds.key import Judgement, Key, Truth
from cubital.items.typed.quantity import (
    MEASURES,
    AskedBackError,
    Quantity,
    UnreadableAnswerError,
    in_per_cent,
    read_quantity,
)

# What rounding to two significant figures changes at most: 0.5 in 10.
_TWO_FIGURES = 0.05
_FARTHEST_OFF = 0.25  # of a slip's own number, where that is small
_WRITTEN = re.compile(r"\d[\d,]*(?:\.\d+)?")


@dataclass(frozen=True, kw_only=True)
class NumberForm(Form):
    """A number in ``unit``; ``quantity`` names its limits, ``most`` when to ask back."""

    kind: ClassVar[str] = "number"
    holds: ClassVar[str] = "typed"

    unit: str
    quantity: str
    most: float | None
    example: str

    @property
    def label(self) -> str:
        """The words over the field, with the unit."""
        return super().label + (f", in {self.unit}" if self.unit else "")

    @property
    def hint(self) -> str:
        """The words that say how to answer, with an example."""
        return f"A number{' with its unit' if self.unit else ''}, for example {self.example}."

    def read(self, typed: Any) -> dict[str, Any]:
        """Return the number in the item's unit, or raise with what to type instead.

        Raises
        ------
        AskedBackError
            A number above ``most`` has no per cent sign; the error holds what may be meant.
        """
        given: Quantity = read_quantity(str(typed), self.unit)
        if self.most is not None and given.bare and given.number > self.most:
            raise self._asked_back(given.number, self.most)
        calc.check(self.quantity, given.number)
        return {"number": given.number, "typed": given.typed}

    def _asked_back(self, number: float, most: float) -> UnreadableAnswerError:
        plain = f"{number:.10g}"
        if number > 100 * most:  # per cent of a whole
            return UnreadableAnswerError(
                f"{plain} cannot be the answer, with or without a per cent sign. Type, for "
                f"example, {self.example}."
            )
        meant = in_per_cent(number / 100)
        return AskedBackError(
            f"{plain} without a sign would be {in_per_cent(number)}. Did you mean {meant}?", meant
        )

    def in_words(self, answer: Answer) -> str:
        """Say the number with its unit, and how it was typed."""
        number = f"{plain_number(answer['number']):.4g} {self.unit}".strip()
        typed = str(answer.get("typed", ""))
        return number if typed in {"", number} else f"{number} (typed “{typed}”)"

    def saved_as(self, answer: Answer) -> str:
        """Say the number as it was read."""
        return f" as {self.in_words(answer)}"


class SlipNumber(NamedTuple):
    """What a slip leads to, and how far from it an answer is told as that slip."""

    key: str
    number: float
    reach: float
    misconception: str


@dataclass(frozen=True, kw_only=True)
class NumberKey(Key):
    """The right number, how far off is right still, and what the slips lead to."""

    kind: ClassVar[str] = NumberForm.kind

    right: float
    tolerance: float
    slips: tuple[SlipNumber, ...]

    def _judge(self, form: NumberForm, answer: Answer, truth: Truth | None) -> Judgement:
        number = plain_number(answer["number"])
        if abs(number - self.right) <= self.tolerance:
            return self.judged("right", "Right.")
        for slip in self.slips:
            if abs(number - slip.number) <= slip.reach:
                return self.slipped(COMES_OUT_WHEN, slip.key, slip.misconception)
        return self.judged("wrong", "Not right, and none of the mistakes that this question names.")


@dataclass(frozen=True)
class NumberItem(ComputedItem):
    """A number with its unit, computed from this learner's values.

    ``most`` is for a ratio: a number above it that is typed without a per cent sign is asked back,
    as 34 is where 34 % is meant. It is 1 for a share that cannot exceed the whole, more for a ratio
    that can exceed 1 or whose slips do, and None where any number can be the answer.
    """

    kind: ClassVar[str] = NumberForm.kind

    quantity: str = ""
    most: float | None = None
    absolute_tolerance: float = 0.0
    example: str = ""
    route: Callable[[Values], str] | None = None

    def form(self, values: Values) -> NumberForm:
        """Return the form at these values."""
        return NumberForm(
            **self.form_parts(values),
            unit=self.unit,
            quantity=self.quantity,
            most=self.most,
            example=self.example,
        )

    def route_to(self, values: Values) -> str:
        """Say how the right answer comes about, in words and numbers."""
        return self.route(values) if self.route else ""

    def tolerance(self, values: Values) -> float:
        """How far an answer may lie from the right one, in the item's unit."""
        return max(self.absolute_tolerance, self.relative_tolerance * abs(self.answer(values)))

    def tolerance_in_words(self, values: Values) -> str:
        """Say how far off is right still, in the item's unit."""
        return f"± {self.tolerance(values):.3g} {self.unit}".strip()

    def slip_tolerance(self, values: Values, number: float) -> float:
        """How far an answer may lie from the ``number`` that a slip leads to, in the item's unit.

        It grows with the slip's number: a larger one may be rounded as coarsely, for its size, as
        the answer, down to two significant figures. A smaller one may lie as far off as the answer
        may, since both are rounded to the same decimals, but by no more than a quarter of itself.
        """
        right, size = abs(self.answer(values)), abs(number)
        tolerance = self.tolerance(values)
        share = min(tolerance / right, _TWO_FIGURES) if right else 0.0
        share = max(share, self.relative_tolerance)
        return max(share * size, min(tolerance, size * _FARTHEST_OFF))

    def collides(self, values: Values) -> bool:
        """Tell whether these values give the answer away, or two numbers cannot be told apart."""
        return self.slips_collide(values) or self.stands_in_question(values)

    def stands_in_question(self, values: Values) -> bool:
        """Tell whether a number of the question would be taken as the answer, if it were copied.

        Where the answer is a ratio, each number counts as per cent as well.
        """
        written = [float(number.replace(",", "")) for number in _WRITTEN.findall(self.ask(values))]
        if self.most is not None:
            written += [number / 100 for number in written]
        right, tolerance = self.answer(values), self.tolerance(values)
        return any(abs(number - right) <= tolerance for number in written)

    def slips_collide(self, values: Values) -> bool:
        """Tell whether any two of the right answer and the slips lie too close to tell apart."""
        right, apart = self.answer(values), TOLERANCES_APART * self.tolerance(values)
        reaches = [
            (number, self.slip_tolerance(values, number))
            for number in self.slip_values(values).values()
        ]
        reaches = sorted([(right, self.tolerance(values)), *reaches])
        return any(
            high - low < max(apart, to_high + to_low)
            for (low, to_low), (high, to_high) in itertools.pairwise(reaches)
        )

    def as_typed(self, number: float, figures: int = 10) -> str:
        """Write a number as it can be typed: with its unit, and in per cent above ``most``."""
        if self.most is not None and number > self.most:
            return in_per_cent(number, figures)
        return f"{number:.{figures}g} {self.unit}".strip()

    def key(self, values: Values, *, seal: str = "") -> NumberKey:
        """Return the key at these values."""
        why = {slip.key: slip.misconception for slip in self.slips}
        return NumberKey(
            **self.key_parts(values),
            right=float(self.answer(values)),
            tolerance=float(self.tolerance(values)),
            slips=tuple(
                SlipNumber(key, number, float(self.slip_tolerance(values, number)), why[key])
                for key, number in self.slip_values(values).items()
            ),
        )

    def solution(self, values: Values, truth: Truth | None = None) -> str:
        """Return the right number as it can be typed."""
        return self.as_typed(self.answer(values))

    def slip_answers(self, values: Values, truth: Truth | None = None) -> dict[str, str]:
        """Return the number of each slip as it can be typed."""
        return {key: self.as_typed(number) for key, number in self.slip_values(values).items()}

    def right_in_words(self, values: Values, truth: Truth | None = None) -> str:
        """Say the right number with its unit."""
        return f"{self.answer(values):.6g} {self.unit}".strip()

    def plain_faults(self) -> Iterator[str]:
        """Yield what is wrong with unit, quantity, slips and example."""
        if self.unit not in MEASURES:
            yield f"unit is {self.unit!r}; there are: {', '.join(map(repr, MEASURES))}"
            return
        if self.quantity not in tables.limits():
            yield (
                f"quantity is {self.quantity!r}: it must be a key of the course's limits, such as "
                "vein_diameter_mm or answered_french; it says what can be typed"
            )
        if not self.slips:
            yield "slips is empty: name one mistake at least, with the number it leads to"
        keys = [slip.key for slip in self.slips]
        yield from (f"two slips have the key {key!r}" for key in repeated(keys))
        yield from (
            f"slip {slip.key!r} has no misconception"
            for slip in self.slips
            if not slip.misconception
        )
        for example in self.example.split(" or "):
            try:
                read_quantity(example, self.unit)
            except ValueError as error:
                yield f"example is {self.example!r}, which cannot be typed: {error}"

    def faults_at(self, values: Values) -> Iterator[str]:
        """Yield where the answer or a slip is not marked as what it is."""
        if not self.tolerance(values) > 0:
            yield "the tolerance is 0: set relative_tolerance or absolute_tolerance"
        if self.slips_collide(values):
            yield "two of the answer and the slips cannot be told apart"
        if self.stands_in_question(values):
            yield "the answer stands in the question already"
        right = self.solution(values)
        if self.judge(values, self.read(right, values)).outcome != "right":
            yield f"its own answer {right} is not marked right"
        for key, typed in self.slip_answers(values).items():
            told = self.judge(values, self.read(typed, values)).slip
            if told != key:
                yield f"the number of slip {key!r} is told as {told!r}"
