"""Readiness: what draws, table and order may not do, by a second way."""

from itertools import permutations

import pytest

from cubital import items, tables
from cubital.handin.released.release import new_release

RELEASE = new_release("autumn", "readiness")
LISTED = items.WORKSHEETS["readiness"]


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


def test_a_list_needs_more_than_is_left_and_less_than_a_full_charge(drawn):
    item = items.find("ready-before-list")
    for v in drawn(item.id):
        used_min = v["patients"] * v["minutes_each"]
        assert 210 * v["charge_left"] < used_min < 210
        charged = v["charge_left"] + item.answer(v) / 150
        assert 210 * charged == pytest.approx(used_min)


def test_hours_without_a_device_are_those_that_a_clock_counts(drawn):
    """Tenths of an hour, one after the other: on until empty, away until full."""
    item = items.find("ready-hours-without")
    for v in drawn(item.id)[:300]:
        run, charge = round(10 * v["run_time_h"]), round(10 * v["charge_time_h"])
        away = [tenth % (run + charge) >= run for tenth in range(round(10 * v["shift_h"]))]
        assert item.answer(v) == pytest.approx(sum(away) / 10)


def test_wipes_keep_the_surface_wet_until_the_time_is_full_and_one_less_does_not(drawn):
    item = items.find("ready-wipes")
    for v in drawn(item.id)[:300]:
        wet_s, wipes = 0, 0
        while wet_s < 60 * v["wet_min"]:
            wet_s, wipes = wet_s + v["dry_after_s"], wipes + 1
        assert item.answer(v) == 2 * v["patients"] * wipes


def test_overwritten_pictures_are_those_not_among_the_latest(drawn):
    item = items.find("ready-lost")
    for v in drawn(item.id):
        held = list(range(1, v["pictures_taken"] + 1))[-340:]
        theirs = range(v["first"], v["last"] + 1)
        assert v["last"] <= v["pictures_taken"]
        assert item.answer(v) == len([number for number in theirs if number not in held])


def test_at_the_nearest_distance_the_light_is_the_limit_over_the_margin(drawn):
    """Light times distance squared stays the same."""
    item = items.find("ready-nearest")
    for v in drawn(item.id):
        power = v["light_w_per_m2"] * v["source_distance_mm"] ** 2
        assert power / item.answer(v) ** 2 == pytest.approx(100 / v["margin_wanted"])
        assert 60 * v["minutes"] >= 1000  # the long limit holds


def test_the_margin_offered_for_a_permission_is_that_of_the_lessons_lamp(drawn):
    """0.45 W/sr by the squared distance in metres, below 18000 t^-0.75."""
    item = items.find("ready-child-eyes")
    for v in drawn(item.id)[:300]:
        margin = 18000 * (60 * v["minutes"]) ** -0.75 / (0.45 / (v["eyes_mm"] / 1000) ** 2)
        for option in item.options(v):
            if option.key == "margin-for-permission":
                assert f"is {margin:.1f} times below the limit" in option.text
                assert margin > 1


def test_the_end_of_the_shift_has_one_right_order_and_is_not_shown_in_it(drawn):
    item = items.find("ready-end-of-shift")
    values = RELEASE.values(item, "ada")
    keys = item.solution(values)
    assert [order for order in permutations(keys) if not item.broken(order)] == [tuple(keys)]
    assert set(item.slip_answers(values)) == {rule.key for rule in item.rules}
    shown = [tuple(values["shown"]) for values in drawn(item.id)]
    assert tuple(keys) not in shown
    assert len(set(shown)) > 300


def test_every_table_uses_all_its_columns_and_every_wrong_cell_says_why(drawn):
    item = items.find("ready-use-or-not")
    seen = set()
    for values in drawn(item.id):
        columns = {column.key for column in item.columns(values)}
        rows = item.rows(values)
        assert len({row.key for row in rows}) == len(rows) == 5
        assert {row.right for row in rows} == columns
        assert all({row.right, *row.misconceptions} == columns for row in rows)
        assert all(row.right not in row.misconceptions for row in rows)
        seen.add(frozenset(row.key for row in rows))
    assert len(seen) > 100
