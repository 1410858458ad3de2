"""What items have in common whose answer is computed: a right number, and one for each slip."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from cubital.items.kinds.base import Item, Mistake, Slip, Values

# A slip lies at least this many tolerances from the right answer and from the other slips.
TOLERANCES_APART = 2
RIGHT = "right answer"


@dataclass(frozen=True)
class ComputedItem(Item):
    """An item whose ``answer`` is a number computed from this learner's values."""

    leads: ClassVar[str] = "Comes out when"

    answer: Callable[[Values], float] = lambda _values: 0.0
    slips: tuple[Slip, ...] = ()
    relative_tolerance: float = 0.0
    unit: str = ""

    def slip_values(self, values: Values) -> dict[str, float]:
        """Return the number that each slip leads to, for the slips possible at these values."""
        made = {slip.key: slip.value(values) for slip in self.slips}
        return {key: float(number) for key, number in made.items() if number is not None}

    def mistakes(self, values: Values) -> Sequence[Mistake]:
        """Return each slip with the number that it leads to."""
        return [
            Mistake(slip.key, self._leads_to(slip.value(values)), slip.misconception)
            for slip in self.slips
        ]

    def _leads_to(self, number: float | None) -> str:
        return "cannot be made here" if number is None else f"{number:.6g} {self.unit}".strip()

    def slip_keys(self, draws: Iterable[Values]) -> set[str]:
        """Return the keys of the slips, which are the same for every learner."""
        return {slip.key for slip in self.slips}

    def outcomes(self, values: Values) -> Mapping[str, float | None]:
        """Return the answer, then what each slip leads to."""
        return {RIGHT: self.answer(values)} | {s.key: s.value(values) for s in self.slips}

    def faults_over(self, drawn: Sequence[Values]) -> Iterator[str]:
        """Yield also the slips that no learner can make."""
        yield from super().faults_over(drawn)
        seen = {key for values in drawn for key in self.slip_values(values)}
        for slip in self.slips:
            if slip.key not in seen:
                yield f"slip {slip.key!r} can be made by no learner: its value is always None"
