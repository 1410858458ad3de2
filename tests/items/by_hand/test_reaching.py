"""Reaching the vein: a calculator set wrong, by hand, and what the draws may not do."""

from math import radians, sin

import pytest

from cubital import items, tables
from cubital.handin.released.release import new_release

RELEASE = new_release("autumn", "reaching-the-vein")


def test_sines_of_radians_give_the_way_of_a_calculator_set_wrong():
    """sin(45 rad) = 0.8509: 4.5 / 0.8509 = 5.288."""
    values = {"near_wall_depth_mm": 4.5, "insertion_angle_deg": 45}
    made = items.find("reach-track").slip_values(values)
    assert made["calculator-in-radians"] == pytest.approx(5.288, abs=1e-3)


def test_drawn_catheters_are_made_so_and_meet_adults_limits(drawn):
    adult = [row for row in tables.joint_limits() if row.age_group == "adult"]
    for item_id in ("reach-length-in-vein", "reach-share", "reach-deepest", "reach-angle"):
        for values in drawn(item_id):
            made = {row.gauge for row in tables.gauges() if values["length_mm"] in row.lengths_mm}
            assert any(
                row.gauge in made and row.length_low_mm <= values["length_mm"] <= row.length_high_mm
                for row in adult
            )


def test_only_one_length_and_angle_does_what_is_wanted(drawn):
    """By the triangle: the way is depth / sin, the room diameter / sin."""
    item = items.find("reach-length-and-angle")
    rows = {row.gauge: row for row in tables.joint_limits() if row.age_group == "adult"}
    widest = {20: 1.149, 18: 1.349}  # the upper ends of their bands
    for v in drawn(item.id):
        depth, vein, gauge = v["near_wall_depth_mm"], v["vein_diameter_mm"], v["gauge"]
        fits = {}
        for key, length, angle in (
            ("long-flat", v["long_mm"], v["flat_deg"]),
            ("short-flat", v["short_mm"], v["flat_deg"]),
            ("short-steep", v["short_mm"], v["steep_deg"]),
        ):
            sine = sin(radians(angle))
            inside = length - depth / sine
            enough, roomy = inside / length - 0.65, vein / sine - v["room_wanted_mm"]
            assert abs(enough) > 0.02
            assert abs(roomy) > 0.15
            fits[key] = enough > 0 and roomy > 0 and inside <= v["straight_mm"]
        assert sum(fits.values()) <= 1
        right = next(option.key for option in item.options(v) if option.right)
        assert right == next((key for key, does in fits.items() if does), "none")
        assert widest[gauge] / vein <= 0.45
        assert rows[gauge].vein_low_mm <= vein <= rows[gauge].vein_high_mm
        for length in (v["short_mm"], v["long_mm"]):
            assert rows[gauge].length_low_mm <= length <= rows[gauge].length_high_mm
