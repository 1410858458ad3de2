"""Which items to ask in the minutes that there are: what must be right first, then in turn."""

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

    They are those that are marked at once, also on a picture, with no line of Python and no
    educator.
    """
    listed = (items.find(key) for key in objective.items if objective_of(key) == objective.key)
    return [item for item in listed if not item.needs or isinstance(item, items.PictureItem)]


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
    """Return the items of a session, of what is due and what is not begun.

    First come items that must be right to pass: those due or not begun, and, in turns with all
    else, those that were not right last time, so that they do not keep everything else out. Then
    come objectives not begun, spread over the lessons, and what is due, each after the one that
    is due before it. An objective gives the item that was asked least recently. Items are added
    until they take the time that there is.
    """
    fresh = [one for one in standings if one.due is None]
    due = sorted((one for one in standings if one.is_due(now)), key=lambda one: one.due or now)
    missed = [one for one in due if one.critical is not None and one.critical.missed]
    due = [one for one in due if one not in missed]
    first = [one for one in due if one.wants_critical(now)]
    first += over_lessons(one for one in fresh if one.is_critical)
    others = over_lessons(one for one in fresh if not one.is_critical)
    others += [one for one in due if not one.wants_critical(now)]
    chosen: list[Item] = []
    for one in chain(first, filter(None, chain.from_iterable(zip_longest(missed, others)))):
        if sum(item.minutes for item in chosen) >= minutes:
            break
        able = find(one.objective)
        if one.wants_critical(now):
            able = [item for item in able if item.critical]
        chosen.append(min(able, key=lambda item: asked.get(item.id, _NEVER)))
    return sorted(chosen, key=lambda item: not item.critical)


def over_lessons(standings: Iterable[Standing]) -> list[Standing]:
    """Return them so that each lesson gives one before any gives its next."""
    by_lesson: dict[str, list[Standing]] = {}
    for one in standings:
        by_lesson.setdefault(one.objective.lesson, []).append(one)
    return [*filter(None, chain.from_iterable(zip_longest(*by_lesson.values())))]
