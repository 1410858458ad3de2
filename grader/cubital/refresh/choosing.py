"""Which items to ask in the minutes that there are."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import UTC, datetime
from itertools import chain, zip_longest

from cubital import items
from cubital.items import Item
from cubital.refresh.reviews import Review, objective_of
from cubital.refresh.schedule import Standing
from cubital.tables import Objective

_NEVER = datetime.min.replace(tzinfo=UTC)


def items_of(objective: Objective) -> list[Item]:
    """Return the items that an objective is refreshed by, in its own order.

    They are those that are marked at once, with no picture, no line of Python and no educator.
    """
    listed = (items.find(key) for key in objective.items if objective_of(key) == objective.key)
    return [item for item in listed if not item.needs]


def can_be_refreshed(objectives: Iterable[Objective]) -> tuple[Objective, ...]:
    """Return the objectives that have an item to refresh them by, in the lessons' order."""
    able = (objective for objective in objectives if items_of(objective))
    return tuple(sorted(able, key=lambda objective: objective.lesson))


def last_asked(reviews: Iterable[Review], times: Mapping[str, datetime]) -> dict[str, datetime]:
    """Return when each item was reviewed last."""
    found: dict[str, datetime] = {}
    for one in reviews:
        found[one.item] = max(times[one.id], found.get(one.item, _NEVER))
    return found


def choose(
    standings: Sequence[Standing],
    asked: Mapping[str, datetime],
    *,
    minutes: float,
    now: datetime,
    find: Callable[[Objective], list[Item]] = items_of,
) -> list[Item]:
    """Return the items of a session: what is due and what is not begun, in turns.

    Of what is due, the least likely to be remembered comes first; what is not begun comes in
    teaching order. In turns, so that with few sessions nothing waits for ever to be begun. Each
    objective gives the item that was asked least recently. Items are added until they take the
    time that there is.
    """
    due = [one for one in standings if one.is_due(now)]
    due.sort(key=lambda one: (one.retrievability, one.due))
    chosen: list[Item] = []
    fresh = [one for one in standings if one.due is None]
    for one in filter(None, chain.from_iterable(zip_longest(due, fresh))):
        if sum(item.minutes for item in chosen) >= minutes:
            break
        chosen.append(min(find(one.objective), key=lambda item: asked.get(item.id, _NEVER)))
    return chosen
