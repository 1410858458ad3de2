"""An item's value space: what is drawn and what comes out, over many learners."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from cubital.handin.released.release import Release
from cubital.items import Item

LEARNERS = 500
_FEW = 8  # different numbers up to which each is counted
_MOST_WORDS = 24  # rows of a count, the commonest first


@dataclass(frozen=True)
class Spread:
    """A number over many learners."""

    name: str
    numbers: tuple[float, ...]

    @property
    def five(self) -> tuple[float, ...]:
        """Lowest, lower quarter, middle, upper quarter, highest."""
        return tuple(float(q) for q in np.quantile(self.numbers, (0, 0.25, 0.5, 0.75, 1)))


@dataclass(frozen=True)
class Count:
    """How many of the learners get each of a few things."""

    name: str
    rows: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Space:
    """All of it: what is drawn, and what comes out of it."""

    learners: int
    unit: str
    outcomes: tuple[Spread, ...]
    spreads: tuple[Spread, ...]
    answers: tuple[Count, ...]
    counts: tuple[Count, ...]


def space(item: Item, release: Release, learners: int = LEARNERS) -> Space:
    """Draw an item for many learners; one on a picture without pictures has only its pool."""
    pool = getattr(item, "pool", None) or {}
    if pool:
        count = Count("Pictures of each kind in the pool", tuple(pool.items()))
        return Space(0, "", (), (), (count,), ())
    names = [f"learner-{number:03d}" for number in range(learners)]
    drawn = [release.values(item, name) for name in names]
    outcomes = _outcomes(item, drawn)
    spreads, counts = [], []
    for name in dict.fromkeys(key for values in drawn for key in values):
        column = [values[name] for values in drawn if name in values]
        if all(_is_number(value) for value in column) and len(set(column)) > _FEW:
            spreads.append(Spread(name, tuple(map(float, column))))
        elif not all(isinstance(value, list | tuple | dict) for value in column):
            counts.append(_count(f"Drawn: {name}", [_word(value) for value in column]))
    unit = getattr(item, "unit", "")
    answers = _tallies(item, drawn)
    return Space(learners, unit, outcomes, tuple(spreads), answers, tuple(counts))


def _outcomes(item: Item, drawn: Sequence[Mapping[str, Any]]) -> tuple[Spread, ...]:
    """Return the spread of the answer, then of each slip where it can be made."""
    made: dict[str, list[float]] = {}
    for values in drawn:
        for name, number in item.outcomes(values).items():
            numbers = made.setdefault(name, [])
            if number is not None:
                numbers.append(float(number))
    return tuple(Spread(name, tuple(numbers)) for name, numbers in made.items() if numbers)


def _tallies(item: Item, drawn: Sequence[Mapping[str, Any]]) -> tuple[Count, ...]:
    """Return how often each option, first step or column is the right one."""
    found: dict[str, list[str]] = {}
    for values in drawn:
        for name, words in item.tallies(values).items():
            found.setdefault(name, []).extend(words)
    return tuple(_count(name, words) for name, words in found.items())


def _count(name: str, found: Sequence[str]) -> Count:
    rows = sorted(Counter(found).most_common(), key=lambda row: _size(row[0]))
    if len(rows) > _MOST_WORDS:  # the commonest stay
        rows = Counter(found).most_common()
        rest = len(rows) - _MOST_WORDS
        others = sum(number for _, number in rows[_MOST_WORDS:])
        rows = [*rows[:_MOST_WORDS], (f"{rest} others together", others)]
    return Count(name, tuple(rows))


def _size(word: str) -> float:
    """Put numbers in their order; words keep theirs."""
    try:
        return float(word)
    except ValueError:
        return 0.0


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _word(value: Any) -> str:
    return f"{value:g}" if _is_number(value) else str(value)
