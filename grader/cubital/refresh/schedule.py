"""When each objective is due again: the log of reviews, replayed by a spaced-repetition library.

A due date is about knowledge. It says nothing on competence, which a named assessor sets.
"""

import functools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from cubital.refresh.reviews import Review
from cubital.tables import Objective

# Asked again when an answer is right in 9 of 10 cases, as the library predicts it (teaching
# assumption), and at least once a year (common practice: the yearly update).
DESIRED_RETENTION = 0.9
LONGEST_DAYS = 365
# A time so far ahead of the clock is a wrong clock's, not a computer a little ahead of this one.
_AHEAD = timedelta(days=1)
# There was no such log before; an earlier time is that of a clock that had lost its battery.
_FIRST_DAY = datetime(2026, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Standing:
    """One objective today: when it is due and how likely an answer is right; None if not begun."""

    objective: Objective
    due: datetime | None = None
    retrievability: float | None = None

    def is_due(self, now: datetime) -> bool:
        """Tell whether the objective is due on this day."""
        return self.due is not None and self.due.astimezone(now.tzinfo).date() <= now.date()


def standings(
    objectives: Iterable[Objective], reviews: Sequence[Review], now: datetime
) -> tuple[Standing, ...]:
    """Return how each objective stands, in the given order, whatever the order of the reviews."""
    times = sensible_times(reviews, now)
    return tuple(_standing(objective, reviews, times, now) for objective in objectives)


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


def retrievability(card: Any, now: datetime) -> float:
    """Return the library's estimate that an answer would be right now, from 0 to 1."""
    return float(_scheduler().get_card_retrievability(card, now.astimezone(UTC)))


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


def _standing(
    objective: Objective,
    reviews: Sequence[Review],
    times: Mapping[str, datetime],
    now: datetime,
) -> Standing:
    own = [one for one in reviews if one.objective == objective.key]
    own.sort(key=lambda one: (times[one.id], one))
    card = None
    for one in own:
        card = reviewed(card, one.rating, times[one.id])
    if card is None:
        return Standing(objective)
    # A review far ahead of the clock that nothing dates better: asking is the safe side.
    undated = any(one.at > now + _AHEAD and times[one.id] == now for one in own)
    return Standing(objective, now if undated else card.due, retrievability(card, now))
