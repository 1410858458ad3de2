"""A session asks what must be right to pass first, and all else in turn."""

from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from cubital import items, tables
from cubital.refresh.choosing import can_be_refreshed, choose, items_of, last_asked
from cubital.refresh.critical import CriticalStanding
from cubital.refresh.reviews import Review
from cubital.refresh.schedule import Standing
from cubital.tables import Objective

NOW = datetime(2027, 3, 1, 9, 0, tzinfo=UTC)
DAY = timedelta(days=1)


class StandIn(NamedTuple):
    """What choosing needs to know of an item."""

    id: str
    minutes: float = 2.0
    critical: bool = False


def objective(key, *names, lesson="40-t"):
    return Objective(key, key, "t", lesson, "s", names or (f"{key}-1",), (), 0.7, "watched")


def standing(key, due_in_days=None, names=(), lesson="40-t"):
    due = None if due_in_days is None else NOW + due_in_days * DAY
    return Standing(objective(key, *names, lesson=lesson), due)


def critical(key, due_in_days=None, *, missed=False, names=()):
    """An objective whose items named "must..." must be right; due by that rule alone."""
    one = objective(key, *(names or (f"must-{key}",)))
    if due_in_days is None:
        return Standing(one, is_critical=True)
    due = NOW + due_in_days * DAY
    return Standing(one, due, True, CriticalStanding(due, due + 30 * DAY, missed))


def chosen(standings, asked=None, minutes=15.0, lasting=2.0):
    found = choose(
        standings,
        asked or {},
        minutes=minutes,
        now=NOW,
        find=lambda one: [StandIn(name, lasting, name.startswith("must")) for name in one.items],
    )
    return [item.id for item in found]


def test_what_is_not_begun_comes_first_and_then_what_is_due_the_longest():
    rows = [
        standing("a"),
        standing("b", -1),
        standing("c", 4),
        standing("d", 0),
        standing("e"),
        standing("f", -9),
    ]
    assert chosen(rows) == ["a-1", "e-1", "f-1", "b-1", "d-1"]


def test_what_is_not_begun_is_spread_over_the_lessons():
    rows = [standing(f"{name}{n}", lesson=name) for name in "xyz" for n in (1, 2, 3)][:-1]
    assert chosen(rows, minutes=600) == [
        f"{name}-1" for name in ("x1", "y1", "z1", "x2", "y2", "z2", "x3", "y3")
    ]
    assert chosen(rows, minutes=6) == ["x1-1", "y1-1", "z1-1"]


def test_what_must_be_right_comes_first_due_before_not_begun():
    rows = [standing("a", -9), critical("n"), critical("l", -1), critical("k", 3), standing("b")]
    assert chosen(rows) == ["must-l", "must-n", "b-1", "a-1"]
    assert chosen(rows, minutes=4) == ["must-l", "must-n"]


def test_what_was_not_right_comes_back_in_turns_so_that_it_keeps_nothing_out():
    missed = [critical(f"m{n}", -n, missed=True) for n in range(9)]
    others = [standing(f"o{n}", -n) for n in range(9)]
    found = chosen([*missed, *others], minutes=16)
    assert found == ["must-m8", "must-m7", "must-m6", "must-m5", "o8-1", "o7-1", "o6-1", "o5-1"]
    assert chosen(missed, minutes=16) == [f"must-m{n}" for n in range(8, 0, -1)]


def test_where_it_is_due_the_question_that_must_be_right_is_the_one_that_is_asked():
    names = ("x", "must-y", "must-z")
    asked = {"must-y": NOW - 9 * DAY, "must-z": NOW - 190 * DAY}
    assert chosen([critical("n", names=names)]) == ["must-y"]
    assert chosen([critical("n", -1, names=names)], asked) == ["must-z"]
    due = CriticalStanding(NOW + DAY, NOW + 31 * DAY, missed=False)
    assert chosen([Standing(objective("n", *names), NOW, True, due)], asked) == ["x"]


def test_an_objective_asks_the_item_that_was_asked_least_recently():
    names = ("x", "y", "z")
    rows = [standing("a", -1, names)]
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
    assert chosen([standing("a", 1), standing("b", 30), critical("n", 1)]) == []


def test_every_review_counts_for_when_an_item_was_asked_last():
    log = [
        Review(n, NOW, f"s{n}/{item}", "flow", item, "slip", "again")
        for n, item in enumerate(("x", "y", "x"), 1)
    ]
    times = {"s1/x": NOW - 5 * DAY, "s2/y": NOW - 3 * DAY, "s3/x": NOW - 4 * DAY}
    assert last_asked(log, times) == {"x": NOW - 4 * DAY, "y": NOW - 3 * DAY}


def test_only_what_is_marked_at_once_without_python_refreshes():
    allowed = {"number", "choice", "decision", "order", "table", "place", "series", "trials"}
    asked = [item for row in tables.curriculum().objectives for item in items_of(row)]
    assert {item.kind for item in asked} <= allowed
    everything = {item.id for worksheet in items.WORKSHEETS.values() for item in worksheet}
    listed = {item for row in tables.curriculum().objectives for item in row.items}
    left_out = {name for name in everything & listed if items.find(name).kind not in allowed}
    assert {item.id for item in asked} == (everything & listed) - left_out
    assert {"place", "series", "trials"} <= {item.kind for item in asked}


def test_no_item_refreshes_two_objectives():
    asked = [item.id for row in tables.curriculum().objectives for item in items_of(row)]
    assert len(asked) == len(set(asked))


def test_objectives_come_in_the_lessons_order():
    found = can_be_refreshed(tables.curriculum().objectives)
    assert [row.lesson for row in found] == sorted(row.lesson for row in found)
    assert {row.key for row in found} == {
        row.key for row in tables.curriculum().objectives if items_of(row)
    }
