"""Reading the vein: one draw of each number worked by pencil, and what the items may not do.

The numbers here were worked out from the formulas that the questions state, with a table of roots;
not by this course's code.
"""

import re
from math import erfc, log, sqrt

import pytest

from cubital import items, tables
from cubital.handin.release import new_release
from cubital.items import Option
from cubital.scene.pools import kinds

RELEASE = new_release("autumn", "reading-the-vein")
LEARNERS = [f"learner-{number:04d}" for number in range(1000)]
LISTED = items.WORKSHEETS["reading-the-vein"]

WORKED = {
    # Emptied from 40; 92 is the last valve below 100: 92 - 40 = 52. 100 - 40, 63 - 40, 118 - 40.
    "read-pale": (
        {
            "finger_mm": 40,
            "first_mm": 63,
            "last_mm": 92,
            "stroked_to_mm": 100,
            "beyond_mm": 118,
        },
        52,
        {
            "whole-stroke": 60,
            "first-valve-for-last": 23,
            "valve-beyond-the-stroke": 78,
            "place-for-length": 92,
        },
    ),
    # 8 steps of 0.25 s are 2 s: 36 / 2 = 18. 9 steps 2.25 s: 16. 36 / 8 = 4.5.
    # 20 steps from frame 0 are 5 s: 7.2. 36 x 2 = 72.
    "read-front-speed": (
        {"front_distance_mm": 36, "interval_s": 0.25, "first_frame": 12, "last_frame": 20},
        18,
        {
            "both-ends-counted": 16,
            "frames-for-seconds": 4.5,
            "from-the-first-frame": 7.2,
            "multiplied-by-time": 72,
        },
    ),
    # Empty, 60 mm at 12 mm/s take 5 s; nine tenths are missing: 4.5. A tenth: 0.5. 5 / 0.9 = 5.556.
    # 12 / 60 = 0.2.
    "read-refill-time": (
        {"segment_length_mm": 60, "velocity_mm_per_s": 12},
        4.5,
        {
            "left-in-forgotten": 5,
            "left-for-lost": 0.5,
            "divided-by-missing": 5.556,
            "ratio-upside-down": 0.2,
        },
    ),
    # 50 mm on 250 px: 5 px a millimetre. 300 px are 60 mm; 60 - 6 - 9 = 45; 60 - 9; 60 + 15;
    # 300 - 15 = 285.
    "read-straight-run": (
        {"ruler_mm": 50, "ruler_px": 250, "run_px": 300, "behind_mm": 6, "ahead_mm": 9},
        45,
        {
            "margins-left-out": 60,
            "fork-behind-forgotten": 51,
            "added-for-subtracted": 75,
            "pixels-for-millimetres": 285,
        },
    ),
    # 3 / 3 = 1 from the camera; with 1 that stays, root of 2 is 1.4142: 6 / 1.4142 = 4.2426.
    # 6 / 1; hair a third too: root of 10 / 9 is 1.0541, 6 / 1.0541 = 5.6921; 6 / 2;
    # one frame: root of 10 is 3.1623, 6 / 3.1623 = 1.8974.
    "read-averaged": (
        {"contrast_percent": 6, "noise_percent": 3, "still_percent": 1, "frames": 9},
        4.2426,
        {
            "still-left-out": 6,
            "still-averaged-too": 5.6921,
            "noises-added": 3,
            "one-frame-only": 1.8974,
        },
    ),
    # 4 % x 0.40 = 1.6 %; 5 / 1.6 = 3.125. 5 / 4 = 1.25. 4 % x 0.60 = 2.4 %: 2.0833.
    # 1.6 / 5 = 0.32. 100 / 40 = 2.5.
    "read-gain": (
        {"kernel_mm": 4, "band_mm": 0.8, "kept_percent": 40, "contrast_percent": 4},
        3.125,
        {
            "kernel-forgotten": 1.25,
            "lost-for-left": 2.0833,
            "ratio-upside-down": 0.32,
            "contrast-forgotten": 2.5,
        },
    ),
    # A piece is 1.5 x 4.5 = 6.75 mm2, the field 4800: 711.11 pieces, 2.3 % of them 16.356.
    # Squares of 2.25 mm2: 2133.3, of them 49.067. Twice 16.356. 4800 / 4.5 = 1066.7, of it 24.533.
    "read-false-bands": (
        {
            "field_width_mm": 80,
            "field_height_mm": 60,
            "kernel_mm": 1.5,
            "threshold_times": 2.0,
            "chance_percent": 2.3,
        },
        16.356,
        {
            "square-pieces": 49.067,
            "lighter-counted-too": 32.711,
            "pieces-for-bands": 711.11,
            "width-forgotten": 24.533,
        },
    ),
}


@pytest.mark.parametrize("item_id", WORKED)
def test_answer_and_slips_are_those_worked_by_hand(item_id):
    values, answer, slips = WORKED[item_id]
    item = items.find(item_id)
    assert item.answer(values) == pytest.approx(answer, rel=1e-3)
    assert item.slip_values(values) == pytest.approx(slips, rel=1e-3)


def test_all_numbers_of_the_worksheet_are_worked_by_hand():
    assert {item.id for item in LISTED if item.kind == "number"} == set(WORKED)


@pytest.mark.parametrize("item_id", WORKED)
def test_the_route_ends_in_the_answer(item_id):
    item = items.find(item_id)
    for learner in LEARNERS[:200]:
        values = RELEASE.values(item, learner)
        end = re.findall(r"-?\d+(?:\.\d+)?", item.route_to(values))[-1]
        digits = len(end.partition(".")[2])
        assert float(end) == pytest.approx(item.answer(values), abs=0.5001 * 10**-digits)


@pytest.mark.parametrize("item_id", WORKED)
def test_an_answer_rounded_as_asked_for_is_right_and_a_slip_is_not(item_id):
    item = items.find(item_id)
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        right = item.answer(values)
        ask = item.ask(values)
        digits = 2 if "two decimals" in ask else 1 if "one decimal" in ask else 0
        assert abs(round(right, digits) - right) <= item.tolerance(values)
        for value in item.slip_values(values).values():
            assert abs(value - right) >= 2 * item.tolerance(values), (learner, values)


@pytest.mark.parametrize("item_id", WORKED)
def test_every_drawn_number_and_answer_is_a_usual_one(item_id):
    usual, item = tables.limits(), items.find(item_id)
    of_answer = usual[item.quantity]
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        assert of_answer.usual_low <= item.answer(values) <= of_answer.usual_high, values
        for name in set(values) & set(usual):
            assert usual[name].usual_low <= values[name] <= usual[name].usual_high, name


def test_a_front_runs_no_faster_than_a_watcher_can_follow():
    item = items.find("read-front-speed")
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        assert values["last_frame"] <= 80
        assert 5 <= item.answer(values) <= 40


def test_the_kept_share_is_that_of_two_blurred_bands():
    """A normal band blurred once, less the same blurred three times as much, over the largest."""
    widths = [10 ** (step / 400) for step in range(-800, 801)]  # in spreads of the inner blur
    kept = [w / sqrt(w * w + 1) - w / sqrt(w * w + 9) for w in widths]
    largest = max(kept)
    best = widths[kept.index(largest)]
    item = items.find("read-gain")
    for learner in LEARNERS[:200]:
        values = RELEASE.values(item, learner)
        w = best * values["band_mm"] / values["kernel_mm"]
        share = (w / sqrt(w * w + 1) - w / sqrt(w * w + 9)) / largest
        assert values["kept_percent"] == pytest.approx(100 * share, abs=0.6)
        assert values["band_mm"] <= 12


def test_chances_are_those_of_a_normal_curve():
    item, seen = items.find("read-false-bands"), set()
    for learner in LEARNERS[:200]:
        values = RELEASE.values(item, learner)
        chance = 100 * erfc(values["threshold_times"] / sqrt(2)) / 2
        assert abs(log(values["chance_percent"] / chance)) < 0.05
        assert item.answer(values) >= 1
        seen.add(values["threshold_times"])
    assert len(seen) == 3


def test_no_needle_goes_into_a_limb_that_is_barred():
    """The right option names the other arm where it is free, and none where both are barred."""
    item, stories = items.find("read-limb"), set()
    assert item.critical
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        (right,) = (option for option in item.options(values) if option.right)
        other = {"left": "right", "right": "left"}[values["side"]]
        if values["both"]:
            assert right.text.startswith("Put no needle into either arm")
            assert other in item.ask(values).split("near-infrared")[0]
        else:
            assert f"on the {other} arm" in right.text
            assert values["side"] not in right.text
        stories.add((values["both"], values["found"], values["second"], values["side"]))
    assert len(stories) >= 20


def test_each_rule_of_the_order_can_be_broken_alone():
    item = items.find("read-order")
    values = RELEASE.values(item, "ada")
    right = item.solution(values)
    alone = set()
    for at in range(len(right) - 1):
        swapped = [*right[:at], right[at + 1], right[at], *right[at + 2 :]]
        broken = item.broken(swapped)
        assert len(broken) == 1
        alone.add(broken[0].key)
    assert alone == {rule.key for rule in item.rules}


def test_tables_differ_and_hold_at_least_two_kinds_of_vessel():
    item = items.find("read-finger")
    drawn = [RELEASE.values(item, learner)["rows"] for learner in LEARNERS]
    assert len({tuple(sorted(rows)) for rows in drawn}) > 100
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        rows, columns = item.rows(values), {column.key for column in item.columns(values)}
        assert len({row.right for row in rows}) >= 2
        for row in rows:
            assert set(row.misconceptions) == columns - {row.right}


def test_items_on_pictures_ask_for_kinds_that_a_pool_may_hold():
    pictured = [item for item in LISTED if item.kind in {"place", "series"}]
    assert [item.id for item in pictured] == ["read-forks", "read-series"]
    for item in pictured:
        assert set(item.pool) <= set(kinds())
        assert all(number >= 2 for number in item.pool.values())
        values = item.values("autumn", "ada", {}, ("one", "two", "three"))
        assert values["picture"] in {"one", "two", "three"}


def test_the_series_has_an_option_and_a_reason_for_whatever_happens():
    item = items.find("read-series")
    offered: list[Option] = list(item.options({}))
    keys = [option.key for option in offered]
    assert item.unseen in keys
    assert set(item.happened.values()) | {item.unseen} == set(keys) == set(item.misconceptions)
    unseen = next(option for option in offered if option.key == item.unseen)
    assert "rules nothing out" in unseen.text
