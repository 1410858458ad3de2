"""Questions that must be right to pass: an objective that has one is due after a fixed time,
whatever the memory model says.

The days are a local default of `assets/local-profile.toml`, with who approved it and when. They
are for knowledge; competence is set by a named assessor.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from cubital import tables
from cubital.items import Item
from cubital.refresh.reviews import AGAIN, Review

_AFTER_A_MISS = timedelta(days=1)


@dataclass(frozen=True)
class CriticalRule:
    """Which items must be right to pass, and after how many days at most they are due again.

    What is not asked ``grace_days`` after that is late.
    """

    items: frozenset[str]
    due_days: float
    grace_days: float

    def holds_for(self, objective: tables.Objective) -> bool:
        """Tell whether an objective has an item that must be right to pass."""
        return not self.items.isdisjoint(objective.items)

    def standing(self, own: Sequence[Review], at: Sequence[datetime]) -> "CriticalStanding":
        """Return when such an item of an objective is due.

        It is due the day after it was not right, and else ``due_days`` after its last review;
        until it has one, after the first review of the objective.

        Parameters
        ----------
        own
            The objective's reviews in the order of their times, one at least.
        at
            When each of them is taken to have been.
        """
        found = [(when, one) for when, one in zip(at, own, strict=True) if one.item in self.items]
        when, last = found[-1] if found else (at[0], None)
        missed = last is not None and last.rating == AGAIN
        due = when + (_AFTER_A_MISS if missed else timedelta(days=self.due_days))
        return CriticalStanding(due, due + timedelta(days=self.grace_days), missed=missed)


@dataclass(frozen=True)
class CriticalStanding:
    """When an item that must be right to pass is due, and from when on it is late.

    ``missed`` tells whether it was not right when it was asked last.
    """

    due: datetime
    late_from: datetime
    missed: bool


NONE_CRITICAL = CriticalRule(frozenset(), 0, 0)


def critical_rule(asked: Iterable[Item]) -> CriticalRule:
    """Return the rule of the local profile for those of the items that must be right to pass."""
    profile = tables.profile()
    return CriticalRule(
        frozenset(item.id for item in asked if item.critical),
        profile.critical_due_days,
        profile.critical_grace_days,
    )
