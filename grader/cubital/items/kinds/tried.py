"""What the kinds have in common that are tried on inputs which the learner has not seen."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, NamedTuple

from cubital import tables
from cubital.items.kinds.base import COMES_OUT_WHEN, Values
from cubital.items.kinds.computed import TOLERANCES_APART, ComputedItem
from cubital.items.kinds.key import Judgement, Key

Inputs = tuple[tuple[str, float], ...]


def named(inputs: Inputs) -> list[dict[str, str]]:
    """Return what each name stands for, as the page shows it: in words, and its number.

    The words are those of the course's quantities; the question says what another name stands for.
    """
    known = tables.limits()
    rows = []
    for name, number in inputs:
        limit = known.get(name)
        unit = limit.unit if limit else ""
        meaning = limit.quantity if limit else ""
        rows.append({"name": name, "meaning": meaning, "value": f"{number:g} {unit}".strip()})
    return rows


class SlipResults(NamedTuple):
    """What a line with a slip gives on each input; None where the slip cannot be made."""

    key: str
    results: tuple[float | None, ...]
    misconception: str


@dataclass(frozen=True, kw_only=True)
class TriedKey(Key):
    """The inputs, by their names, and what a right line and one with a slip give on them.

    The learner's own inputs come first. ``tolerance`` is relative: how far off a result is right
    still, as a share of it.
    """

    cases: tuple[Inputs, ...]
    right: tuple[float, ...]
    slips: tuple[SlipResults, ...]
    tolerance: float

    def inputs(self) -> list[dict[str, float]]:
        """Return the inputs as a function is called with them."""
        return [dict(case) for case in self.cases]

    def told(self, numbers: Sequence[float]) -> Judgement:
        """Judge what a learner's line gave on the inputs."""
        if self._all_equal(numbers, self.right):
            return self.judged("right", "Right, on your values and on others.")
        for slip in self.slips:
            if self._all_equal(numbers, slip.results):
                return self.slipped(COMES_OUT_WHEN, slip.key, slip.misconception)
        return self.judged(
            "wrong",
            "Right on your own values only: the line must work for any values."
            if self._all_equal(numbers[:1], self.right[:1])
            else "Not right, and none of the mistakes that this question names.",
        )

    def _all_equal(self, numbers: Sequence[float], wanted: Sequence[float | None]) -> bool:
        return all(
            value is not None and abs(number - value) <= self.tolerance * abs(value)
            for number, value in zip(numbers, wanted, strict=True)
        )


@dataclass(frozen=True)
class TriedItem(ComputedItem):
    """An item whose answer works for any inputs.

    ``draw_values`` draws the inputs of one try. The learner sees those of their own draw; the
    marker draws `HIDDEN_CASES` more from a name that the learner does not know.
    """

    HIDDEN_CASES: ClassVar[int] = 3

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
        apart = TOLERANCES_APART * self.relative_tolerance * abs(right)
        return any(
            value is not None and abs(value - right) < apart
            for value in (slip.value(values) for slip in self.slips)
        )

    def tried_parts(self, values: Values, cases: Sequence[Values]) -> dict[str, Any]:
        """Return what the keys of these kinds have, over some inputs."""
        return self.key_parts(values) | {
            "cases": tuple(tuple(case.items()) for case in cases),
            "right": tuple(float(self.answer(case)) for case in cases),
            "slips": tuple(
                SlipResults(slip.key, tuple(slip.value(case) for case in cases), slip.misconception)
                for slip in self.slips
            ),
            "tolerance": self.relative_tolerance,
        }

    def plain_faults(self) -> Iterator[str]:
        """Yield that the function's name cannot be written in Python."""
        if not self.function.isidentifier():
            yield f"function is {self.function!r}: it must be a name in Python"

    def faults_at(self, values: Values) -> Iterator[str]:
        """Yield inputs that are no numbers."""
        if not values or not all(isinstance(number, int | float) for number in values.values()):
            yield "draw_values must give the inputs by their names, each a number, and nothing else"

    def tolerance_in_words(self, values: Values) -> str:
        """Say how far off a result is right still."""
        return f"± {100 * self.relative_tolerance:.3g} %"
