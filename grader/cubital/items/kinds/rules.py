"""The rules that every item keeps for every learner, held to an item by trying it on many."""

import json
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from cubital import tables
from cubital.items.kinds.base import ChoiceItem, Item, NumberItem, TextItem, Values
from cubital.items.kinds.ordering import OrderItem
from cubital.items.kinds.quantity import MEASURES, read_quantity
from cubital.items.kinds.tabling import TableItem

LEARNERS = 200
_FEWEST_DISTINCT = 4  # sets of values, over all learners
_FEWEST_OPTIONS = 4
_OFTENEST = 0.6  # share of the learners for whom the right option may stand at one place

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
            words = f"for {name}{place(error)}: {type(error).__name__}: {error}"
            if isinstance(item, OrderItem) and isinstance(error, KeyError):
                words += "; a rule, or values['shown'], may name a step that is not there"
            found.append(words)
    return found or list(_over_all(item, drawn))


def _plain_faults(item: Item) -> Iterator[str]:
    for name in ("id", "title", "section"):
        if not isinstance(getattr(item, name), str) or not getattr(item, name).strip():
            yield f"{name} is empty"
    points = item.points
    if isinstance(points, bool) or not isinstance(points, int | float) or not 0 < points <= 100:
        yield f"points is {points!r}: it must be a number above 0 and at most 100"
    if isinstance(item, NumberItem):
        yield from _plain_number_faults(item)
    if isinstance(item, TextItem) and not item.mark_scheme:
        yield "mark_scheme is empty: say what gives each point"
    if isinstance(item, OrderItem) and not item.rules:
        yield "rules is empty: say what comes before what"


def _plain_number_faults(item: NumberItem) -> Iterator[str]:
    if item.unit not in MEASURES:
        yield f"unit is {item.unit!r}; there are: {', '.join(map(repr, MEASURES))}"
        return
    if item.quantity not in tables.limits():
        yield (
            f"quantity is {item.quantity!r}: it must be a key of the course's limits, such as "
            "vein_diameter_mm or answered_french; it says what can be typed"
        )
    if not item.slips:
        yield "slips is empty: name one mistake at least, with the number it leads to"
    keys = [slip.key for slip in item.slips]
    yield from (f"two slips have the key {key!r}" for key in _twice(keys))
    yield from (f"slip {s.key!r} has no misconception" for s in item.slips if not s.misconception)
    for example in item.example.split(" or "):
        try:
            read_quantity(example, item.unit)
        except ValueError as error:
            yield f"example is {item.example!r}, which cannot be typed: {error}"


def _at(item: Item, values: dict[str, Any]) -> Iterator[str]:
    """Check an item for one learner's values."""
    if json.loads(json.dumps(values, allow_nan=False)) != values:
        yield (
            "draw_values gives what JSON does not keep as it is: use numbers, texts, and lists "
            "instead of tuples"
        )
    if not str(item.ask(values)).strip():
        yield "ask gives an empty question"
    if isinstance(item, NumberItem):
        yield from _number(item, values)
    elif isinstance(item, ChoiceItem):
        yield from _choice(item, values)
    elif isinstance(item, OrderItem):
        yield from _order(item, values)
    elif isinstance(item, TableItem):
        yield from _table(item, values)


def _number(item: NumberItem, values: Values) -> Iterator[str]:
    if not item.tolerance(values) > 0:
        yield "the tolerance is 0: set relative_tolerance or absolute_tolerance"
    if item.collides(values):
        yield "two of the answer and the slips cannot be told apart"
    right = item.as_typed(item.answer(values))
    if item.judge(values, item.read(right, values)).outcome != "right":
        yield f"its own answer {right} is not marked right"
    for key, number in item.slip_values(values).items():
        typed = item.read(item.as_typed(number), values)
        told = item.judge(values, typed).slip
        if told != key:
            yield f"the number of slip {key!r} is told as {told!r}"


def _choice(item: ChoiceItem, values: Values) -> Iterator[str]:
    options = item.options(values)
    right = [option.key for option in options if option.right]
    if len(right) != 1:
        yield f"{len(right)} options are right: leave misconception empty on one, and on no other"
    if len(options) < _FEWEST_OPTIONS:
        yield f"there are {len(options)} options: {_FEWEST_OPTIONS} at least"
    yield from (f"two options have the key {k!r}" for k in _twice([o.key for o in options]))
    yield from (f"two options say {text!r}" for text in _twice([o.text for o in options]))


def _order(item: OrderItem, values: Values) -> Iterator[str]:
    keys = [step.key for step in item.steps(values)]
    yield from (f"two steps have the key {key!r}" for key in _twice(keys))
    if sorted(values["shown"]) != sorted(keys):
        yield "values['shown'] must hold the keys of all steps, each once"
    for rule in item.broken(keys):
        yield f"the steps as listed break the rule {rule.key!r}"
    untold = {rule.key for rule in item.rules} - set(item.slip_answers(values))
    yield from (f"no order is told as breaking the rule {key!r}" for key in sorted(untold))


def _table(item: TableItem, values: Values) -> Iterator[str]:
    columns = [column.key for column in item.columns(values)]
    rows = item.rows(values)
    yield from (f"two rows have the key {key!r}" for key in _twice([row.key for row in rows]))
    if len(rows) < 2 or len(columns) < 2:
        yield "a table needs two rows and two columns at least"
    for row in rows:
        if row.right not in columns:
            yield f"row {row.key!r}: right is {row.right!r}, which is no column"
        elif set(row.misconceptions) != set(columns) - {row.right}:
            yield f"row {row.key!r} needs one misconception for each column but the right one"


def _over_all(item: Item, drawn: Sequence[dict[str, Any]]) -> Iterator[str]:
    """Check what shows only over many learners."""
    if isinstance(item, TextItem):
        return
    distinct = len({json.dumps(values, sort_keys=True) for values in drawn})
    if distinct < _FEWEST_DISTINCT:
        yield (
            f"all learners together get {distinct} different sets of values; "
            f"{_FEWEST_DISTINCT} at least, so that they do not share answers"
        )
    if isinstance(item, NumberItem):
        seen = {key for values in drawn for key in item.slip_values(values)}
        for slip in item.slips:
            if slip.key not in seen:
                yield f"slip {slip.key!r} can be made by no learner: its value is always None"
    if isinstance(item, ChoiceItem):
        places = [[o.right for o in item.options(values)].index(True) for values in drawn]
        most = max(places.count(place) for place in set(places))
        if most > _OFTENEST * len(places):
            yield (
                f"the right option stands at the same place for {most} of {len(places)} learners: "
                "draw the order by draw.shuffled"
            )


def _twice(texts: Sequence[str]) -> list[str]:
    return [text for text in dict.fromkeys(texts) if list(texts).count(text) > 1]
