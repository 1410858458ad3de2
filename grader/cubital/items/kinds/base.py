"""What an exercise item is, and how an answer to it is judged. Pure: values in, judgement out."""

import itertools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite
from typing import Any, ClassVar

from cubital import calc
from cubital.items.kinds.draw import Draw
from cubital.items.kinds.quantity import (
    AskedBackError,
    Quantity,
    UnreadableAnswerError,
    in_per_cent,
    read_quantity,
)

Values = Mapping[str, Any]

# Redraws before an item's author is told that its slips cannot be told apart.
_MOST_DRAWS = 200
# A slip lies at least this many tolerances from the right answer and from the other slips.
_TOLERANCES_APART = 2
# What rounding to two significant figures changes at most: 0.5 in 10.
_TWO_FIGURES = 0.05
_FARTHEST_OFF = 0.25  # of a slip's own number, where that is small
_LONGEST_TEXT = 4000
COMES_OUT_WHEN = "This is what comes out when"


@dataclass(frozen=True)
class Slip:
    """A mistake that leads to a number of its own.

    ``misconception`` completes "This is what comes out when ..."; ``value`` computes that
    number by ``cubital.calc`` with the mistake put in, or returns None where the mistake
    cannot be made with these values.
    """

    key: str
    misconception: str
    value: Callable[[Values], float | None]


@dataclass(frozen=True)
class Judgement:
    """What the marker decides on one answer.

    ``outcome`` is ``right``, ``slip`` (a known mistake), ``wrong``, ``blank``, ``refused``
    (an answer that is not in the form of this item) or ``waiting`` (for hand-marking).
    ``misconception`` says what the slip rests on: presumed, until learners say so themselves.
    """

    outcome: str
    points: float
    message: str
    slip: str | None = None
    misconception: str = ""


@dataclass(frozen=True)
class Item:
    """One question of a worksheet; the kinds below say how it is answered."""

    id: str
    title: str
    points: float
    section: str
    draw_values: Callable[[Draw], dict[str, Any]]
    ask: Callable[[Values], str]
    version: int = 1
    critical: bool = False
    minutes: float = 2.0

    kind: ClassVar[str] = ""

    def values(
        self,
        release: str,
        learner: str,
        policy: Mapping[str, Any],
        pictures: Sequence[str] = (),
    ) -> dict[str, Any]:
        """Draw this learner's values; draw again while a slip could pass for another number."""
        for attempt in range(_MOST_DRAWS):
            values = self.draw_values(
                Draw(release, learner, self.id, attempt, policy, pictures=pictures)
            )
            if not self.collides(values):
                return values
        raise RuntimeError(f"{self.id}: no values in {_MOST_DRAWS} draws keep its slips apart")

    def route_to(self, values: Values) -> str:
        """Say how the right answer comes about; empty where the item does not say."""
        return ""

    def collides(self, values: Values) -> bool:  # kinds without numbers never do
        """Tell whether two numbers of this item could not be told apart at these values."""
        return False

    def judged(
        self, outcome: str, message: str, slip: str | None = None, misconception: str = ""
    ) -> Judgement:
        """Return a judgement with all points for ``right`` and none otherwise."""
        points = self.points if outcome == "right" else 0.0
        return Judgement(outcome, points, message, slip, misconception)

    def slipped(self, opening: str, key: str, misconception: str) -> Judgement:
        """Return the judgement of a known mistake; ``opening`` leads up to what it rests on."""
        return self.judged("slip", f"{opening} {misconception}.", key, misconception)

    def read(self, typed: Any, values: Values) -> dict[str, Any]:
        """Check the form of what a learner entered and return it as plain JSON data."""
        raise NotImplementedError

    def judge(self, values: Values, answer: Mapping[str, Any] | None) -> Judgement:
        """Mark an answer that `read` returned; anything else is refused with no points."""
        if answer is None:
            return self.judged("blank", "Not answered.")
        try:
            return self._judge(values, answer)
        except (KeyError, TypeError, ValueError, UnreadableAnswerError) as error:
            return self.judged("refused", f"The saved answer is not of this item's form: {error}")

    def _judge(self, values: Values, answer: Mapping[str, Any]) -> Judgement:
        raise NotImplementedError

    def in_words(self, values: Values, answer: Mapping[str, Any]) -> str:
        """Say a saved answer in words."""
        raise NotImplementedError


@dataclass(frozen=True)
class NumberItem(Item):
    """A number with its unit, computed from this learner's values.

    ``most`` is for a ratio: a number above it that is typed without a per cent sign is asked back,
    as 34 is where 34 % is meant. It is 1 for a share that cannot exceed the whole, more for a ratio
    that can exceed 1 or whose slips do, and None where any number can be the answer.
    """

    unit: str = ""
    quantity: str = ""
    most: float | None = None
    answer: Callable[[Values], float] = lambda _values: 0.0
    slips: tuple[Slip, ...] = ()
    relative_tolerance: float = 0.0
    absolute_tolerance: float = 0.0
    example: str = ""
    route: Callable[[Values], str] | None = None

    kind: ClassVar[str] = "number"

    def route_to(self, values: Values) -> str:
        """Say how the right answer comes about, in words and numbers."""
        return self.route(values) if self.route else ""

    def tolerance(self, values: Values) -> float:
        """How far an answer may lie from the right one, in the item's unit."""
        return max(self.absolute_tolerance, self.relative_tolerance * abs(self.answer(values)))

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

    def slip_values(self, values: Values) -> dict[str, float]:
        """Return the number that each slip leads to, for the slips possible at these values."""
        made = {slip.key: slip.value(values) for slip in self.slips}
        return {key: float(number) for key, number in made.items() if number is not None}

    def collides(self, values: Values) -> bool:
        """Tell whether any two of the right answer and the slips lie too close to tell apart."""
        right, apart = self.answer(values), _TOLERANCES_APART * self.tolerance(values)
        reaches = [
            (number, self.slip_tolerance(values, number))
            for number in self.slip_values(values).values()
        ]
        reaches = sorted([(right, self.tolerance(values)), *reaches])
        return any(
            high - low < max(apart, to_high + to_low)
            for (low, to_low), (high, to_high) in itertools.pairwise(reaches)
        )

    def read(self, typed: Any, values: Values) -> dict[str, Any]:
        """Return the number in the item's unit, or raise with what to type instead.

        Raises
        ------
        AskedBackError
            A number above ``most`` has no per cent sign; the error holds what may be meant.
        """
        given: Quantity = read_quantity(str(typed), self.unit)
        if self.most is not None and given.bare and given.number > self.most:
            raise self._asked_back(given.number)
        calc.check(self.quantity, given.number)
        return {"number": given.number, "typed": given.typed}

    def _asked_back(self, number: float) -> UnreadableAnswerError:
        plain = f"{number:.10g}"
        if number > 100 * self.most:  # per cent of a whole
            return UnreadableAnswerError(
                f"{plain} cannot be the answer, with or without a per cent sign. Type, for "
                f"example, {self.example}."
            )
        meant = in_per_cent(number / 100)
        return AskedBackError(
            f"{plain} without a sign would be {in_per_cent(number)}. Did you mean {meant}?", meant
        )

    def as_typed(self, number: float, figures: int = 10) -> str:
        """Write a number as it can be typed: with its unit, and in per cent above ``most``."""
        if self.most is not None and number > self.most:
            return in_per_cent(number, figures)
        return f"{number:.{figures}g} {self.unit}".strip()

    def _judge(self, values: Values, answer: Mapping[str, Any]) -> Judgement:
        number = plain_number(answer["number"])
        if abs(number - self.answer(values)) <= self.tolerance(values):
            return self.judged("right", "Right.")
        for slip in self.slips:
            value = slip.value(values)
            if value is not None and abs(number - value) <= self.slip_tolerance(values, value):
                return self.slipped(COMES_OUT_WHEN, slip.key, slip.misconception)
        return self.judged("wrong", "Not right, and not one of the slips this item knows.")

    def in_words(self, values: Values, answer: Mapping[str, Any]) -> str:
        """Say the number with its unit, and how it was typed."""
        number = f"{plain_number(answer['number']):.4g} {self.unit}".strip()
        typed = str(answer.get("typed", ""))
        return number if typed in {"", number} else f"{number} (typed “{typed}”)"


@dataclass(frozen=True)
class Option:
    """One choice; ``misconception`` says what a learner who takes it believes, if it is wrong."""

    key: str
    text: str
    misconception: str = ""

    @property
    def right(self) -> bool:
        """Whether this is the answer."""
        return not self.misconception


@dataclass(frozen=True)
class ChoiceItem(Item):
    """One of several options; which are offered, and in what order, varies by learner."""

    options: Callable[[Values], Sequence[Option]] = lambda _values: ()

    kind: ClassVar[str] = "choice"

    def read(self, typed: Any, values: Values) -> dict[str, Any]:
        """Return the chosen option's key."""
        keys = [option.key for option in self.options(values)]
        if typed not in keys:
            raise UnreadableAnswerError("Choose one of the options.")
        return {"choice": typed}

    def _judge(self, values: Values, answer: Mapping[str, Any]) -> Judgement:
        chosen = self._option(values, answer)
        if chosen.right:
            return self.judged("right", "Right.")
        return self.slipped("This is chosen by someone who", chosen.key, chosen.misconception)

    def _option(self, values: Values, answer: Mapping[str, Any]) -> Option:
        for option in self.options(values):
            if option.key == answer["choice"]:
                return option
        raise ValueError("the option is not one that this learner was offered")

    def in_words(self, values: Values, answer: Mapping[str, Any]) -> str:
        """Say the option that was chosen."""
        return self._option(values, answer).text


@dataclass(frozen=True)
class CodeItem(Item):
    """A line or two of Python: a function, tried on inputs that the learner has not seen.

    ``draw_values`` draws the inputs of one call. The learner sees those of their own draw;
    the marker draws `HIDDEN_CASES` more from a name that the learner does not know.
    """

    HIDDEN_CASES: ClassVar[int] = 3
    kind: ClassVar[str] = "code"

    answer: Callable[[Values], float] = lambda _values: 0.0
    slips: tuple[Slip, ...] = ()
    relative_tolerance: float = 0.0
    function: str = ""

    def cases(self, values: Values, seal: str) -> list[Values]:
        """Return the inputs to try: the learner's own and the hidden ones drawn from ``seal``."""
        hidden = (
            self.values(seal, f"hidden-{number}", {}) for number in range(1, self.HIDDEN_CASES + 1)
        )
        return [values, *hidden]

    def collides(self, values: Values) -> bool:
        """Tell whether a slip would pass for right at these inputs."""
        right = self.answer(values)
        apart = _TOLERANCES_APART * self.relative_tolerance * abs(right)
        return any(
            value is not None and abs(value - right) < apart
            for value in (slip.value(values) for slip in self.slips)
        )

    def read(self, typed: Any, values: Values) -> dict[str, Any]:
        """Return the results of the learner's function as plain numbers."""
        return {"results": [plain_number(result) for result in typed]}

    def judge_results(self, cases: Sequence[Values], results: Sequence[Any]) -> Judgement:
        """Mark the function's results on ``cases``."""
        if len(results) != len(cases):
            return self.judged("refused", "The function was not tried on every input.")
        try:
            numbers = [plain_number(result) for result in results]
        except ValueError as error:
            return self.judged("refused", f"The function must give a plain number: {error}")
        if self._all_equal(numbers, [self.answer(case) for case in cases]):
            return self.judged("right", "Right, on your values and on others.")
        for slip in self.slips:
            if self._all_equal(numbers, [slip.value(case) for case in cases]):
                return self.slipped(COMES_OUT_WHEN, slip.key, slip.misconception)
        first = self._all_equal(numbers[:1], [self.answer(cases[0])])
        return self.judged(
            "wrong",
            "Right on your own values only: the line must work for any values."
            if first
            else "Not right, and not one of the slips this item knows.",
        )

    def _all_equal(self, numbers: Sequence[float], wanted: Sequence[float | None]) -> bool:
        return all(
            value is not None and abs(number - value) <= self.relative_tolerance * abs(value)
            for number, value in zip(numbers, wanted, strict=True)
        )

    def _judge(self, values: Values, answer: Mapping[str, Any]) -> Judgement:
        raise ValueError("code items are judged on their results")

    def in_words(self, values: Values, answer: Mapping[str, Any]) -> str:
        """Say what the function gave on the learner's own values."""
        shown = ", ".join(f"{key} = {value:g}" for key, value in values.items())
        return f"{self.function}({shown}) gave {answer['results'][0]:.4g}"


@dataclass(frozen=True)
class TextItem(Item):
    """A free text, marked by hand against a mark scheme."""

    mark_scheme: tuple[str, ...] = field(default=())

    kind: ClassVar[str] = "text"

    def read(self, typed: Any, values: Values) -> dict[str, Any]:
        """Return the text, stripped, or raise if it is empty or too long."""
        text = str(typed).strip()
        if not text:
            raise UnreadableAnswerError("Nothing is written yet.")
        if len(text) > _LONGEST_TEXT:
            raise UnreadableAnswerError(
                f"The text has {len(text)} characters; at most {_LONGEST_TEXT} are taken."
            )
        return {"text": text}

    def _judge(self, values: Values, answer: Mapping[str, Any]) -> Judgement:
        self.read(answer["text"], values)
        return self.judged("waiting", "Waits to be marked by hand.")

    def in_words(self, values: Values, answer: Mapping[str, Any]) -> str:
        """Return the text."""
        return str(answer["text"])


def plain_number(value: Any) -> float:
    """Return ``value`` as a float if it is a finite plain number, and raise otherwise."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{value!r:.40} is not a number")
    try:
        number = float(value)
    except OverflowError:
        raise ValueError("a number of more than 300 digits is not taken") from None
    if not isfinite(number):
        raise ValueError(f"{number} is not a finite number")
    return number
