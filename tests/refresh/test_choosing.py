"""A session asks what is due, least likely remembered first, in turns with what is not begun."""

from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from cubital import items, tables
from cubital.refresh.choosing import can_be_refreshed, choose, items_of, last_asked
from cubital.refresh.reviews import Review
from cubital.refresh.schedule import Standing
from cubital.tables import Objective

NOW = datetime(2027, 3, 1, 9, 0, tzinfo=UTC)
DAY = timedelta(days=1)


class StandIn(NamedTuple):
    """What choosing needs to know of an item."""

    id: str
    minutes: float = 2.0


def objective(key, *names):
    return Objective(key, key, "t", "40-t", "s", names or (f"{key}-1",), (), 0.7, "watched")


def standing(key, due_in_days=None, retrievability=None, names=()):
    due = None if due_in_days is None else NOW + due_in_days * DAY
    return Standing(objective(key, *names), due, retrievability)


def chosen(standings, asked=None, minutes=15.0, lasting=2.0):
    found = choose(
        standings,
        asked or {},
        minutes=minutes,
        now=NOW,
        find=lambda one: [StandIn(name, lasting) for name in one.items],
    )
    return [item.id for item in found]


def test_due_and_not_begun_take_turns_and_the_least_likely_remembered_comes_first():
    rows = [
        standing("a"),
        standing("b", -1, 0.88),
        standing("c", 4, 0.95),
        standing("d", 0, 0.71),
        standing("e"),
        standing("f", -9, 0.80),
    ]
    assert chosen(rows) == ["d-1", "a-1", "f-1", "e-1", "b-1"]


def test_equally_likely_remembered_the_longer_due_comes_first():
    assert chosen([standing("a", -1, 0.9), standing("b", -3, 0.9)]) == ["b-1", "a-1"]


def test_an_objective_asks_the_item_that_was_asked_least_recently():
    names = ("x", "y", "z")
    rows = [standing("a", -1, 0.8, names)]
    assert chosen(rows) == ["x"]
    assert chosen(rows, {"x": NOW - DAY}) == ["y"]
    asked = {"x": NOW - 3 * DAY, "y": NOW - DAY, "z": NOW - 2 * DAY}
    assert chosen(rows, asked) == ["x"]


def test_items_are_added_until_they_take_the_time():
    rows = [standing(f"o{n:02d}") for n in range(20)]
    assert len(chosen(rows, minutes=15)) == 8  # 7 take 14 minutes, 8 take 16
    assert len(chosen(rows, minutes=16)) == 8
    assert len(chosen(rows, minutes=15, lasting=5)) == 3
    assert len(chosen(rows, minutes=1, lasting=20)) == 1
    assert len(chosen(rows, minutes=600)) == 20


def test_nothing_is_asked_before_it_is_due():
    assert chosen([standing("a", 1, 0.9), standing("b", 30, 0.97)]) == []


def test_every_review_counts_for_when_an_item_was_asked_last():
    log = [
        Review(n, NOW, f"s{n}/{item}", "flow", item, "slip", "again")
        for n, item in enumerate(("x", "y", "x"), 1)
    ]
    times = {"s1/x": NOW - 5 * DAY, "s2/y": NOW - 3 * DAY, "s3/x": NOW - 4 * DAY}
    assert last_asked(log, times) == {"x": NOW - 4 * DAY, "y": NOW - 3 * DAY}


def test_only_what_is_marked_at_once_without_picture_or_python_refreshes():
    allowed = {"number", "choice", "decision", "order", "table"}
    asked = [item for row in tables.curriculum().objectives for item in items_of(row)]
    assert {item.kind for item in asked} <= allowed
    everything = {item.id for worksheet in items.WORKSHEETS.values() for item in worksheet}
    listed = {item for row in tables.curriculum().objectives for item in row.items}
    left_out = {name for name in everything & listed if items.find(name).kind not in allowed}
    assert {item.id for item in asked} == (everything & listed) - left_out


def test_no_item_refreshes_two_objectives():
    asked = [item.id for row in tables.curriculum().objectives for item in items_of(row)]
    assert len(asked) == len(set(asked))


def test_objectives_come_in_the_lessons_order():
    found = can_be_refreshed(tables.curriculum().objectives)
    assert [row.lesson for row in found] == sorted(row.lesson for row in found)
    assert {row.key for row in found} == {
        row.key for row in tables.curriculum().objectives if items_of(row)
    }
