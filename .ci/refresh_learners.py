"""Invented learners who forget by laws unlike the scheduler's, for `refresh_simulation.py`."""

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

from cubital.tables.files import asset

MINUTES_A_DAY = 24 * 60
SEED = 20270101


class Law(NamedTuple):
    """How a trace of some strength is forgotten, and what an answer makes of the strength."""

    retention: Callable[[Any, Any], Any]
    after: Callable[[float, float, float, bool], float]


def exponential(given: dict[str, Any]) -> Law:
    """Return the law R = exp(-t / S)."""

    def after(strength: float, start: float, retention: float, right: bool) -> float:
        if right:
            return strength * (1 + given["growth"] * (1 - retention))
        return max(start, given["relapse"] * strength)

    return Law(lambda strength, days: np.exp(-days / strength), after)


def logarithmic(given: dict[str, Any]) -> Law:
    """Return the law R = k / (k + (log10 m)^c), m in minutes."""

    def retention(strength: Any, days: Any) -> Any:
        minutes = np.maximum(1.0, days * MINUTES_A_DAY)
        return strength / (strength + np.log10(minutes) ** given["power"])

    def after(strength: float, _start: float, retention: float, right: bool) -> float:
        gain = given["growth"] if right else given["relapse"]
        return strength * (1 + gain * (1 - retention))

    return Law(retention, after)


LAWS = {"exponential": exponential, "logarithmic": logarithmic}


class Learner:
    """One invented learner: memories that fade, and answers drawn by chance.

    An objective has ``memories`` of them; its items test one each, in turn.
    """

    def __init__(self, law: str, memories: int, number: int, course: dict[str, Any]) -> None:
        given = asset("refresh/simulation.toml")["laws"][law]
        drawn = np.random.default_rng((SEED, number))
        between = given["between"] * drawn.standard_normal()
        within = given["spread"] * drawn.standard_normal((course["objectives"], memories))
        self.start = given["median"] * np.exp(between + within)
        self.strength = self.start.copy()
        self.seen = np.zeros_like(self.start)
        self.law = LAWS[law](given)
        self.course = course
        self.chance = np.random.default_rng((SEED, number, 1))

    def retention(self, day: float) -> float:
        """Return the mean share of the memories that the learner would know on a day."""
        return float(self.law.retention(self.strength, day - self.seen).mean())

    def answer(self, place: int, item: int, day: float) -> tuple[bool, float]:
        """Answer an item of an objective, read the feedback, and remember it anew.

        Returns whether it was right, and how sure the learner said to be, from 0 to 1.
        """
        one = place, item % self.strength.shape[1]
        known = float(self.law.retention(self.strength[one], day - self.seen[one]))
        remembered, right_by, sure_by = self.chance.random(3)
        is_known = remembered < known
        right = bool(right_by < (1 - self.course["mishap"] if is_known else self.course["guess"]))
        sure, fairly = self.course["says_known" if is_known else "says_forgotten"]
        said = 0.95 if sure_by < sure else 0.75 if sure_by < sure + fairly else 0.5
        self.strength[one] = self.law.after(self.strength[one], self.start[one], known, right)
        self.seen[one] = day
        return right, said
