"""How well learners know what they know: how sure they said to be, how often they were right.

It never counts: no mark, no objective and no pass depends on it.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from cubital import calc
from cubital.handin.objectives import is_right
from cubital.handin.results import MARKED, ItemResult, SubmissionResult

FEWEST = 10  # answers at one level below which its share says little


@dataclass(frozen=True)
class Level:
    """All answers given with one confidence: how many, and the share of them that is right."""

    confidence: float
    n: int
    right: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """Share of the answers that is right [-]."""
        return self.right / self.n

    @property
    def says(self) -> str:
        """What the level says, in words; nothing where the interval holds the confidence."""
        if self.n < FEWEST:
            return f"Fewer than {FEWEST} answers: no statement."
        if self.high < self.confidence:
            return "Surer than right."
        if self.low > self.confidence:
            return "Right more often than they thought."
        return "As sure as right."


def calibration(results: Sequence[SubmissionResult]) -> tuple[Level, ...]:
    """Return each level of confidence with its share of right answers, the least sure first.

    An answer is right if it has all its points. Answers that wait for a hand mark, that were set
    aside or that came without confidence are left out; the interval is Wilson's.
    """
    given: dict[float, list[bool]] = defaultdict(list)
    for result in results:
        for row in result.items if result.state == MARKED else ():
            if row.confidence is not None and _counts(row):
                given[row.confidence].append(is_right(row))
    levels = []
    for confidence, right in sorted(given.items()):
        interval = calc.wilson_interval(sum(right), len(right))
        levels.append(Level(confidence, len(right), sum(right), interval.low, interval.high))
    return tuple(levels)


def _counts(row: ItemResult) -> bool:
    return row.outcome in {"right", "slip", "wrong"} and row.points is not None
