"""Readiness: one draw of each number worked by pencil, and what draws, table and order may not do.

The numbers here were worked out with a clock, a list of numbered pictures, sums of minutes and a
table of squares; not by this course's code.
"""

from itertools import permutations

import pytest

from cubital import items, tables
from cubital.handin.release import new_release

RELEASE = new_release("autumn", "readiness")
LEARNERS = [f"learner-{number:04d}" for number in range(1000)]
LISTED = items.WORKSHEETS["readiness"]

WORKED = {
    # 80 % of 210 min are 168 min. 3 x 6 = 18 min go in an hour: 168 / 18 = 9.333 h.
    # 168 min = 2.8 h; new 210 / 18 = 11.667; lost 42 / 18 = 2.333; 30 % of 168 min = 50.4 min;
    # one patient an hour: 168 / 6 = 28.
    "ready-lasts": (
        {"run_time_h": 3.5, "battery_left": 0.80, "patients_per_h": 3, "minutes_each": 6},
        9.333,
        {
            "always-on": 2.8,
            "ageing-left-out": 11.667,
            "lost-for-left": 2.333,
            "multiplied-by-share-on": 0.84,
            "one-patient-an-hour": 28.0,
        },
    ),
    # 7 x 12 = 84 min of use, 10 % of 210 min = 21 are there: 63 are missing. A charge of 150 min
    # gives 210, so 7 of use need 5: 45. All 84 need 60; from 10 % to full 135. 90 % of 60 is 54.
    "ready-before-list": (
        {
            "run_time_h": 3.5,
            "charge_time_h": 2.5,
            "charge_left": 0.10,
            "patients": 7,
            "minutes_each": 12,
        },
        45.0,
        {
            "charge-left-forgotten": 60.0,
            "charged-to-full": 135.0,
            "minute-for-minute": 63.0,
            "left-as-share-of-list": 54.0,
        },
    ),
    # By the clock: on 0-3, charging 3-5.5, on 5.5-8.5, charging 8.5-11, on 11-11.5: 5 h without.
    # Long run 2.5 of every 5.5 h: 11.5 x 2.5 / 5.5 = 5.227. New: off 3.5-6 and 9.5-11.5, 4.5 h.
    "ready-hours-without": (
        {"shift_h": 11.5, "run_time_h": 3.0, "new_run_time_h": 3.5, "charge_time_h": 2.5},
        5.0,
        {
            "long-run-share": 5.227,
            "first-gap-only": 2.5,
            "with-for-without": 6.5,
            "never-charged": 8.5,
            "label-for-timed": 4.5,
        },
    ),
    # 180 s: wet to 50, 100, 150, 200: the fourth fills it. 14 x 2 = 28 times 4. Three are too few.
    # 300 s: the sixth ends at 300.
    "ready-wipes": (
        {"patients": 14, "wet_min": 3, "dry_after_s": 50},
        112.0,
        {
            "rounded-down": 84.0,
            "only-after-the-patient": 56.0,
            "dry-for-done": 28.0,
            "hundred-seconds-a-minute": 168.0,
        },
    ),
    # 0.9 x 0.9 = 0.81, again 0.729, again 0.6561, again 0.59049. 0.1 five times: 0.00001.
    "ready-missed-fault": (
        {"shows_share": 0.10, "checks": 5},
        0.59049,
        {
            "found-for-missed": 0.40951,
            "one-check-for-all": 0.9,
            "chances-added": 0.5,
            "shows-every-time": 0.00001,
        },
    ),
    # 42 a shift. Of 340 the last 60 are kept: 280 new ones fit, the 281st takes the oldest.
    # 281 / 42 = 6.6905; 340 / 42 = 8.0952; 60 / 42 = 1.4286; 281 / 14 = 20.071; 400 / 42 = 9.5238.
    "ready-shifts-until-lost": (
        {"stored_pictures": 340, "patients": 14, "pictures_each": 3, "pictures_to_keep": 60},
        6.6905,
        {
            "whole-store-for-room": 8.0952,
            "kept-for-room": 1.4286,
            "patients-for-pictures": 20.071,
            "added-for-subtracted": 9.5238,
        },
    ),
    # 60 over: 1 to 60 gone. Of 51 to 85 (35 pictures) 51, 52 ... 60 are ten; 61 to 85 are 25.
    "ready-lost": (
        {"stored_pictures": 340, "pictures_taken": 400, "first": 51, "last": 85},
        10,
        {
            "all-overwritten": 60,
            "still-there-for-lost": 25,
            "first-not-counted": 9,
            "whole-series-at-once": 35,
        },
    ),
    # From 300 to 150 mm half the distance: four times 6 is 24 W/m2 of 100. Once: 12. As it is: 6.
    # Swapped, a quarter of 6: 1.5. The margin is 100 / 24 = 4.1667.
    "ready-eye-share": (
        {"source_distance_mm": 300, "light_w_per_m2": 6.0, "minutes": 30, "eyes_mm": 150},
        0.24,
        {
            "distance-not-squared": 0.12,
            "distance-left-out": 0.06,
            "distances-swapped": 0.015,
            "margin-for-share": 4.1667,
        },
    ),
    # 100 / 9 = 11.111 W/m2; 4 / 11.111 = 0.36, root 0.6: 180 mm. Linear 0.36 x 300 = 108. The
    # limit itself: 4 / 100, root 0.2: 60 mm; times 9 = 540. Swapped: 300 / 0.6 = 500.
    "ready-nearest": (
        {"source_distance_mm": 300, "light_w_per_m2": 4.0, "minutes": 30, "margin_wanted": 9},
        180.0,
        {
            "distance-not-squared": 108.0,
            "margin-left-out": 60.0,
            "margin-on-the-distance": 540.0,
            "distances-swapped": 500.0,
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
def test_a_thousand_draws_keep_answer_and_slips_apart(item_id):
    item = items.find(item_id)
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        numbers = [item.answer(values), *item.slip_values(values).values()]
        closest = min(abs(a - b) for i, a in enumerate(numbers) for b in numbers[i + 1 :])
        assert item.tolerance(values) <= closest / 2, (learner, values)


def test_every_drawn_and_answered_number_is_a_usual_one():
    usual = tables.limits()
    for item in LISTED:
        for learner in LEARNERS:
            values = RELEASE.values(item, learner)
            for name in set(values) & set(usual):
                assert usual[name].usual_low <= values[name] <= usual[name].usual_high, name
            if item.kind == "number":
                row = usual[item.quantity]
                assert row.usual_low <= item.answer(values) <= row.usual_high, item.id


def test_the_device_asked_about_is_the_profiles():
    profile = tables.profile()
    asked = {item.id: item.ask(RELEASE.values(item, "ada")) for item in LISTED}
    for item_id in ("ready-lasts", "ready-before-list", "ready-hours-without"):
        assert f"{profile.run_time_h:.1f} h" in asked[item_id]
    for item_id in ("ready-before-list", "ready-hours-without"):
        assert f"{profile.charge_time_h:.1f} h" in asked[item_id]
    for item_id in ("ready-shifts-until-lost", "ready-lost"):
        assert f"keeps {profile.stored_pictures} pictures" in asked[item_id]
    assert "before and after each patient" in profile.cleaning
    assert "before and after each patient" in asked["ready-wipes"]


def test_a_list_needs_more_than_is_left_and_less_than_a_full_charge():
    item = items.find("ready-before-list")
    for learner in LEARNERS:
        v = RELEASE.values(item, learner)
        used_min = v["patients"] * v["minutes_each"]
        assert 210 * v["charge_left"] < used_min < 210
        charged = v["charge_left"] + item.answer(v) / 150
        assert 210 * charged == pytest.approx(used_min)


def test_hours_without_a_device_are_those_that_a_clock_counts():
    """Tenths of an hour, one after the other: on until empty, away until full."""
    item = items.find("ready-hours-without")
    for learner in LEARNERS[:300]:
        v = RELEASE.values(item, learner)
        run, charge = round(10 * v["run_time_h"]), round(10 * v["charge_time_h"])
        away = [tenth % (run + charge) >= run for tenth in range(round(10 * v["shift_h"]))]
        assert item.answer(v) == pytest.approx(sum(away) / 10)


def test_wipes_keep_the_surface_wet_until_the_time_is_full_and_one_less_does_not():
    item = items.find("ready-wipes")
    for learner in LEARNERS[:300]:
        v = RELEASE.values(item, learner)
        wet_s, wipes = 0, 0
        while wet_s < 60 * v["wet_min"]:
            wet_s, wipes = wet_s + v["dry_after_s"], wipes + 1
        assert item.answer(v) == 2 * v["patients"] * wipes


def test_overwritten_pictures_are_those_not_among_the_latest():
    item = items.find("ready-lost")
    for learner in LEARNERS:
        v = RELEASE.values(item, learner)
        held = list(range(1, v["pictures_taken"] + 1))[-340:]
        theirs = range(v["first"], v["last"] + 1)
        assert v["last"] <= v["pictures_taken"]
        assert item.answer(v) == len([number for number in theirs if number not in held])


def test_at_the_nearest_distance_the_light_is_the_limit_over_the_margin():
    """Light times distance squared stays the same."""
    item = items.find("ready-nearest")
    for learner in LEARNERS:
        v = RELEASE.values(item, learner)
        power = v["light_w_per_m2"] * v["source_distance_mm"] ** 2
        assert power / item.answer(v) ** 2 == pytest.approx(100 / v["margin_wanted"])
        assert 60 * v["minutes"] >= 1000  # the long limit holds


def test_the_margin_offered_for_a_permission_is_that_of_the_lessons_lamp():
    """0.45 W/sr by the squared distance in metres, below 18000 t^-0.75."""
    item = items.find("ready-child-eyes")
    for learner in LEARNERS[:300]:
        v = RELEASE.values(item, learner)
        margin = 18000 * (60 * v["minutes"]) ** -0.75 / (0.45 / (v["eyes_mm"] / 1000) ** 2)
        for option in item.options(v):
            if option.key == "margin-for-permission":
                assert f"is {margin:.1f} times below the limit" in option.text
                assert margin > 1


def test_the_end_of_the_shift_has_one_right_order_and_is_not_shown_in_it():
    item = items.find("ready-end-of-shift")
    values = RELEASE.values(item, "ada")
    keys = item.solution(values)
    assert [order for order in permutations(keys) if not item.broken(order)] == [tuple(keys)]
    assert set(item.slip_answers(values)) == {rule.key for rule in item.rules}
    shown = [tuple(RELEASE.values(item, learner)["shown"]) for learner in LEARNERS]
    assert tuple(keys) not in shown
    assert len(set(shown)) > 300


def test_every_table_uses_all_its_columns_and_every_wrong_cell_says_why():
    item = items.find("ready-use-or-not")
    seen = set()
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        columns = {column.key for column in item.columns(values)}
        rows = item.rows(values)
        assert len({row.key for row in rows}) == len(rows) == 5
        assert {row.right for row in rows} == columns
        assert all({row.right, *row.misconceptions} == columns for row in rows)
        assert all(row.right not in row.misconceptions for row in rows)
        seen.add(frozenset(row.key for row in rows))
    assert len(seen) > 100


def test_what_must_be_right_to_pass_are_the_eyes_and_the_emergency():
    assert {i.id for i in LISTED if i.critical} == {"ready-child-eyes", "ready-emergency"}
