"""Questions that must be right to pass: an objective that has one is due after a fixed time,
whatever the memory model says.

The days are a local value with who approved it and when: that of the educator's release which came
to the learner's folder last, else the default of `assets/local-profile.toml`. They are for
knowledge; competence is set by a named assessor.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cubital import tables
from cubital.handin.released.release import AFTER_MARKING, read_release
from cubital.handin.released.release import FILE as RELEASE_FILE
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


@dataclass(frozen=True)
class LocalDays:
    """When an item that must be right is due and late, in days, and who approved that and when."""

    due_days: int
    grace_days: int
    approved_by: str
    approved_on: str


def local_days(learner: Path | None = None) -> LocalDays:
    """Return the days that hold for a learner's folder, those that ship without one.

    A release that cannot be read tells nothing here.
    """
    days = tables.refreshed(tables.profile())
    given = [] if learner is None else sorted(learner.glob(f"*/{RELEASE_FILE}"), key=_came)
    for path in reversed(given):
        try:
            release = read_release(path.parent)
        except ValueError:
            continue
        if release.feedback == AFTER_MARKING and release.refreshing:
            days = dict(release.refreshing)
            break
    return LocalDays(
        days["critical_due_days"],
        days["critical_grace_days"],
        days["critical_due_approved_by"],
        days["critical_due_approved_on"],
    )


def _came(path: Path) -> tuple[float, str]:
    try:
        return path.stat().st_mtime, path.parent.name
    except OSError:
        return 0.0, path.parent.name


def critical_rule(asked: Iterable[Item], local: LocalDays | None = None) -> CriticalRule:
    """Return the local rule for those of the items that must be right to pass."""
    local = local or local_days()
    return CriticalRule(
        frozenset(item.id for item in asked if item.critical), local.due_days, local.grace_days
    )
