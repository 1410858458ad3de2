"""Focal geometry: what the draws, the order and the table may not do, by a second way.

The device: 220 mm, window 18 mm, picture 96 by 72 mm, 14 lm, camera and projector 24 mm apart.
"""

from itertools import permutations
from math import sqrt

import pytest

from cubital import items, tables
from cubital.explore.focus.holding import HandOrStand
from cubital.handin.released.release import new_release

from ..worked.focus import DEVICE, WORKED

WORKSHEET = "focal-geometry"
RELEASE = new_release("autumn", WORKSHEET)

# How each answer is asked for: decimals, or 0 for whole numbers.
DECIMALS = {"focal-shown-width": 2, "focal-largest-tilt": 1, "focal-shift": 2, "focal-allowed": 1}


def test_held_too_near_a_round_limb_takes_off_what_the_limb_adds():
    """7.5 mm lower, held 2 mm too near: 5.5 mm too far, a fortieth of 220, so 24 / 40 = 0.6."""
    values = {"limb": "a forearm", "place_mm": 18, "drop_mm": 7.5, "distance_error_mm": -2}
    values["device"] = DEVICE
    item = items.find("focal-shift")
    assert item.answer(values) == pytest.approx(0.6)
    assert item.slip_values(values)["lower-counted-as-nearer"] == pytest.approx(9.5 * 24 / 220)
    assert "held 2 mm too near" in item.ask(values)
    assert item.route_to(values).startswith("7.5 mm − 2 mm: at the vein the skin is 5.5 mm too far")


@pytest.mark.parametrize("item_id", WORKED)
def test_an_answer_with_the_decimals_asked_for_is_right(item_id, drawn):
    item, places = items.find(item_id), DECIMALS.get(item_id, 0)
    asked = {0: "whole", 1: "one decimal", 2: "two decimals"}[places]
    for values in drawn(item.id)[:300]:
        typed = f"{item.answer(values):.{places}f} {item.unit}"
        assert item.judge(values, item.read(typed, values)).outcome == "right", (typed, values)
        assert asked in item.ask(values).lower()


@pytest.mark.parametrize("item_id", WORKED)
def test_the_route_ends_at_the_answer(item_id, drawn):
    item, places = items.find(item_id), DECIMALS.get(item_id, 0)
    for values in drawn(item.id)[:100]:
        route = item.route_to(values).replace(",", "")
        assert f"{item.answer(values):.{places}f} {item.unit}" in route, (route, values)


def test_the_second_look_is_from_inside_the_window_and_the_longer_piece_is_not(drawn):
    wider = items.find("focal-wider")
    assert all(202 <= v["object_distance_mm"] <= 238 for v in drawn("focal-shown-width"))
    assert all(wider.answer(v) > 238 for v in drawn(wider.id))


def test_skin_beside_the_highest_line_lies_lower_by_the_circle(drawn):
    """Pythagoras: radius less the root of radius squared less place squared."""
    radii = {"a forearm": 40, "a slim forearm": 32, "a child's forearm": 25}
    values = drawn("focal-shift")
    assert {v["limb"] for v in values} == set(radii)
    for v in values:
        radius = radii[v["limb"]]
        lower = radius - sqrt(radius**2 - v["place_mm"] ** 2)
        assert v["drop_mm"] == pytest.approx(lower, abs=0.051)
        assert abs(v["drop_mm"] + v["distance_error_mm"]) >= 2


def test_seconds_gained_can_be_read_off_the_lessons_figure(drawn):
    item = items.find("focal-rest")
    for v in drawn(item.id)[:60]:
        read = {}
        for holding in ("braced", "hand-held"):
            figure = HandOrStand(holding=holding, setting_error_mm=v["setting_error_mm"])
            long_holds = figure.show().readings[1]
            assert long_holds.label == "Long holds: time with the line on the vein"
            read[holding] = int(long_holds.value.split()[0]) / 100
        seconds = round(v["hold_time_s"] * (read["braced"] - read["hand-held"]))
        assert item.judge(v, {"number": float(seconds)}).outcome == "right", v


def test_under_each_lamp_the_picture_is_far_from_easily_seen(drawn):
    """14 lm on 0.006912 m2, against the lamp; easily seen from 0.5 on."""
    for v in drawn("focal-lamp"):
        assert 14 / 0.006912 / v["room_light_lx"] < 0.2


def test_under_each_lamp_light_and_dark_lines_are_about_as_faint(drawn):
    """Shares of the skin beside the line: P / R and P / (P + R), at most a fifth apart."""
    for v in drawn("focal-polarity"):
        lit, lamp = 14 / 0.006912, v["room_light_lx"]
        assert 1 <= (lit / lamp) / (lit / (lit + lamp)) < 1.2


def test_corners_of_a_failed_check_are_clearly_beyond_what_is_tolerated(drawn):
    tolerated = tables.constant("view-registration-tolerance").value
    for v in drawn("focal-failed-check"):
        assert v["corner_mm"] >= tolerated + 0.3  # the reading error of a ruler


def test_only_the_lamp_may_be_turned_away_at_several_times():
    item = items.find("focal-check-order")
    steps = item.solution(RELEASE.values(item, "ada"))
    right = [order for order in permutations(steps) if not item.broken(order)]
    others = {tuple(key for key in order if key != "lamp") for order in right}
    assert others == {("lay", "read", "set", "feel", "choose")}
    assert len(right) == 4  # before or after each of the first three, always before feeling


def test_each_table_has_every_column_and_tables_differ(drawn):
    item = items.find("focal-movements")
    tables_seen = set()
    for v in drawn(item.id):
        rows = item.rows(v)
        columns = {column.key for column in item.columns(v)}
        assert len({row.key for row in rows}) == 5
        assert {row.right for row in rows} == columns
        for row in rows:
            assert set(row.misconceptions) == columns - {row.right}
        tables_seen.add(frozenset(row.key for row in rows))
    assert len(tables_seen) > 30


def test_whole_device_moves_change_the_size_of_the_shift_and_turns_do_not(drawn):
    """From 10 mm too far: 12 mm farther, 22; 8 nearer, 2; arm 15 lower, 25. All still too far."""
    item = items.find("focal-movements")
    texts = {}
    for values in drawn(item.id):
        rows = item.rows(values)
        texts |= {row.key: (row.text, row.right) for row in rows}
    for key, words, now in (
        ("drift-away", "12 mm away", 10 + 12),
        ("sink-nearer", "sinks by 8 mm", 10 - 8),
        ("pillow-gone", "15 mm lower", 10 + 15),
    ):
        assert words in texts[key][0]
        assert now > 0
        assert now != 10
        assert texts[key][1] == "all-over"
    assert "10 mm too far" in item.ask({})
    assert len(texts) == 9
