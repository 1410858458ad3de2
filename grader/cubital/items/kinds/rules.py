"""The rules that every item keeps for every learner, held to an item by trying it on many."""

import json
from collections.abc import Callable, Iterator
from typing import Any

from cubital.items.kinds.base import Item

LEARNERS = 200

Draws = Callable[[str], dict[str, Any]]
Place = Callable[[BaseException], str]


def faults(
    item: Item, draws: Draws, *, learners: int = LEARNERS, place: Place = lambda _error: ""
) -> list[str]:
    """Return what is wrong with an item, each fault once with the first learner that shows it.

    Parameters
    ----------
    draws
        Gives the values of a learner's id.
    place
        Says in which line of the item's file an error arose, if it can.
    """
    found = list(_plain_faults(item))
    names = [f"learner-{number:03d}" for number in range(learners)]
    drawn: list[dict[str, Any]] = []
    for name in names:
        if found:
            return found
        try:
            values = draws(name)
            drawn.append(values)
            found += [f"{fault} (for {name}, values {values})" for fault in _at(item, values)]
            if json.dumps(values) != json.dumps(draws(name)):
                found.append(
                    f"draw_values gives {name} other values the second time: take them only from "
                    "draw"
                )
        except Exception as error:  # whatever the educator's functions raise
            hint = item.missing_key if isinstance(error, KeyError) else ""
            found.append(f"for {name}{place(error)}: {type(error).__name__}: {error}{hint}")
    return found or list(item.faults_over(drawn))


def _plain_faults(item: Item) -> Iterator[str]:
    for name in ("id", "title", "section"):
        if not isinstance(getattr(item, name), str) or not getattr(item, name).strip():
            yield f"{name} is empty"
    points = item.points
    if isinstance(points, bool) or not isinstance(points, int | float) or not 0 < points <= 100:
        yield f"points is {points!r}: it must be a number above 0 and at most 100"
    if item.optional and item.critical:
        yield "it is optional, and yet must be right to pass"
    if item.optional and "optional" not in item.title.casefold():
        yield f"title is {item.title!r}: it must say that the question is optional"
    yield from item.plain_faults()


def _at(item: Item, values: dict[str, Any]) -> Iterator[str]:
    """Check an item for one learner's values."""
    if json.loads(json.dumps(values, allow_nan=False)) != values:
        yield (
            "draw_values gives what no file keeps as it is: use numbers, texts, and lists "
            "instead of tuples"
        )
    if not str(item.ask(values)).strip():
        yield "ask gives an empty question"
    yield from item.faults_at(values)
