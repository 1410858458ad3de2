"""When each objective is due again: the log of reviews, replayed by a spaced-repetition library,
which says how many questions are due by when, and turns, which say of what.

A due date is about knowledge. It says nothing on competence, which a named assessor sets.
"""

import functools
import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from cubital.refresh.critical import NONE_CRITICAL, CriticalRule, CriticalStanding
from cubital.refresh.rating import as_counted, sure_items
from cubital.refresh.reviews import Review
from cubital.tables import Objective

# A question is due when an answer is right in 19 of 20 cases, as the library predicts it (teaching
# assumption: taken in turns, this asks about as many questions as 9 in 10 did one by one), and
# at least once a year (common practice: the yearly update).
DESIRED_RETENTION = 0.95
LONGEST_DAYS = 365
# A time so far ahead of the clock is a wrong clock's, not a computer a little ahead of this one.
_AHEAD = timedelta(days=1)
# There was no such log before; an earlier time is that of a clock that had lost its battery.
_FIRST_DAY = datetime(2026, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Standing:
    """One objective today: when it is due; None if it is not begun.

    ``is_critical`` tells whether it has an item that must be right to pass; ``critical`` says,
    once it is begun, when that item is due.
    """

    objective: Objective
    due: datetime | None = None
    is_critical: bool = False
    critical: CriticalStanding | None = None

    def is_due(self, now: datetime) -> bool:
        """Tell whether the objective is due on this day."""
        return self.due is not None and _has_come(self.due, now)

    def wants_critical(self, now: datetime) -> bool:
        """Tell whether the item that must be right to pass is what to ask of it now."""
        if self.critical is None:
            return self.is_critical
        return self.critical.missed or _has_come(self.critical.due, now)

    def is_late(self, now: datetime) -> bool:
        """Tell whether the item that must be right to pass is due for longer than the grace."""
        return self.critical is not None and _has_come(self.critical.late_from, now)


def _has_come(when: datetime, now: datetime) -> bool:
    """Tell whether a day has come, in the zone of ``now``."""
    return when.astimezone(now.tzinfo).date() <= now.date()


def standings(
    objectives: Iterable[Objective],
    reviews: Sequence[Review],
    now: datetime,
    *,
    rule: CriticalRule = NONE_CRITICAL,
) -> tuple[Standing, ...]:
    """Return how each objective stands, in the given order, whatever the order of the reviews.

    The memory model says how many questions are due by when; which objective each of them goes
    to is a matter of turns: the one asked longest ago takes the earliest date. An item that must
    be right to pass is due by its own rule as well.
    """
    listed = tuple(objectives)
    times = sensible_times(reviews, now)
    by_key: dict[str, list[Review]] = {one.key: [] for one in listed}
    known = [one for one in reviews if one.objective in by_key]
    known.sort(key=lambda one: (times[one.id], one))
    turns = Turns()
    undated: set[str] = set()
    for one in known:
        by_key[one.objective].append(one)
        # A review far ahead of the clock that nothing dates better: asking is the safe side.
        if one.at > now + _AHEAD and times[one.id] == now:
            undated.add(one.objective)
        turns.add(one, times[one.id], due=now if one.objective in undated else None)
    due = turns.due()
    return tuple(standing(one, due.get(one.key), by_key[one.key], times, rule) for one in listed)


def standing(
    objective: Objective,
    due: datetime | None,
    own: Sequence[Review],
    times: Mapping[str, datetime],
    rule: CriticalRule,
) -> Standing:
    """Return how an objective stands that is due in its turn on a date, None if not begun.

    ``own`` are its reviews in the order of their ``times``, which are by id.
    """
    if due is None or not rule.holds_for(objective):
        return Standing(objective, due, rule.holds_for(objective))
    critical = rule.standing(own, [times[one.id] for one in own])
    return Standing(objective, min(due, critical.due), True, critical)


class Turns:
    """The dates by which a question each is due, as reviews come in, and whose turn each is.

    There are as many dates as objectives begun. A review takes the earliest date away and leaves
    the one that the memory model sets for its objective.
    """

    def __init__(self) -> None:
        self._dates: list[datetime] = []
        self._cards: dict[str, Any] = {}
        self._sure: dict[str, frozenset[str]] = {}

    def add(self, review: Review, at: datetime, *, due: datetime | None = None) -> None:
        """Add the next review, of a time; ``due`` is the date that it leaves if not the model's."""
        key = review.objective
        sure = sure_items(self._sure.get(key, frozenset()), review.item, review.rating)
        card = reviewed(self._cards.pop(key, None), as_counted(sure, review.rating), at)
        if len(self._dates) > len(self._cards):  # the objective was begun before
            heapq.heappop(self._dates)
        heapq.heappush(self._dates, due or card.due)
        self._cards[key], self._sure[key] = card, sure  # the last key is now the last one asked

    def due(self) -> dict[str, datetime]:
        """Return each objective's date, by key: the earliest for the one asked longest ago."""
        return dict(zip(self._cards, sorted(self._dates), strict=True))


def sensible_times(reviews: Sequence[Review], now: datetime) -> dict[str, datetime]:
    """Return, by id, when each review is taken to have been, where the clock was wrong.

    A time in the future counts as now; once reviews that were added later have a time that is not
    in the future, as the earliest of those. A time from before there were logs counts as
    that of the first review that has a later one.
    """
    past = [one for one in reviews if _FIRST_DAY <= one.at <= now]
    first = min((one.at for one in past), default=now)
    times = {}
    for one in reviews:
        if one.at > now:
            later = (other.at for other in past if other.number > one.number)
            times[one.id] = min(later, default=now)
        else:
            times[one.id] = max(one.at, first)
    return times


def reviewed(card: Any, rating: str, at: datetime) -> Any:
    """Return the library's card after one more review; ``card`` is None before the first."""
    from fsrs import Card, Rating  # noqa: PLC0415 - only where something is scheduled

    before = card or Card(card_id=1, due=at)
    return _scheduler().review_card(before, Rating[rating.capitalize()], at.astimezone(UTC))[0]


@functools.cache
def _scheduler() -> Any:
    """Return the scheduler: whole days, no steps of minutes, nothing left to chance.

    Its weights are the library's own, fitted to reviews of flashcards (ye-2022 and its successors).
    """
    from fsrs import Scheduler  # noqa: PLC0415 - only where something is scheduled

    return Scheduler(
        desired_retention=DESIRED_RETENTION,
        learning_steps=(),
        relearning_steps=(),
        maximum_interval=LONGEST_DAYS,
        enable_fuzzing=False,
    )
