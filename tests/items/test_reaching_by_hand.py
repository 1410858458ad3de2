"""Reaching the vein: one draw of each number worked by pencil, and what the draws may not do.

The numbers here were worked out with a table of sines, with the right-angled triangle of depth,
way and angle, and with the densities of mercury and saline; not by this course's code.
"""

from math import radians, sin

import pytest

from cubital import items, tables
from cubital.handin.release import new_release

RELEASE = new_release("autumn", "reaching-the-vein")
LEARNERS = [f"learner-{number:04d}" for number in range(1000)]

# sin 30 = 0.5, cos 30 = 0.8660; sin 25 = 0.42262, cos 25 = 0.90631
WORKED = {
    # Middle at 5.0 + 1.5 = 6.5; half of 3.0 above it: 5.0. Far wall 8.0; 6.5 - 3.0 = 3.5.
    "reach-near-wall": (
        {"near_wall_depth_mm": 5.0, "vein_diameter_mm": 3.0},
        5.0,
        {"centre-for-near-wall": 6.5, "diameter-for-radius": 3.5, "far-for-near-wall": 8.0},
    ),
    # At 30 degrees the way is twice the depth: 9.0. 4.5 / 0.8660 = 5.196; 4.5 x 0.5 = 2.25.
    # The sine of 30 radians is -0.988: no length.
    "reach-track": (
        {"near_wall_depth_mm": 4.5, "insertion_angle_deg": 30},
        9.0,
        {"angle-left-out": 4.5, "cosine-for-sine": 5.196, "multiplied-by-sine": 2.25},
    ),
    # 2.4 / 0.42262 = 5.679, to the middle half of it 2.839. Far wall from the skin
    # 6.4 / 0.42262 = 15.144, near wall 4.0 / 0.42262 = 9.465. 2.4 / 0.90631 = 2.648.
    "reach-room": (
        {"near_wall_depth_mm": 4.0, "vein_diameter_mm": 2.4, "insertion_angle_deg": 25},
        5.679,
        {
            "angle-left-out": 2.4,
            "from-the-skin": 15.144,
            "near-wall-for-far-wall": 9.465,
            "cosine-for-sine": 2.648,
            "centre-for-far-wall": 2.839,
        },
    ),
    # Way 6.0 / 0.42262 = 14.197; 48 - 14.197 = 33.803. 48 - 6 = 42. 6.0 / 0.90631 = 6.620.
    "reach-length-in-vein": (
        {"length_mm": 48, "near_wall_depth_mm": 6.0, "insertion_angle_deg": 25},
        33.803,
        {"outside-for-inside": 14.197, "angle-left-out": 42.0, "cosine-for-sine": 41.380},
    ),
    # Way 10.0 of 32: 0.3125 outside, 0.6875 inside. 1 - 5 / 32 = 0.84375.
    # 5.0 / 0.8660 = 5.774; 1 - 5.774 / 32 = 0.8196.
    "reach-share": (
        {"length_mm": 32, "near_wall_depth_mm": 5.0, "insertion_angle_deg": 30},
        0.6875,
        {
            "outside-for-inside": 0.3125,
            "angle-left-out": 0.84375,
            "cosine-for-sine": 0.8196,
            "per-cent-sign-missing": 68.75,
        },
    ),
    # 0.35 x 32 = 11.2 of way, at 30 degrees half of it deep: 5.6. 0.65 x 32 x 0.5 = 10.4.
    # 11.2 x 0.8660 = 9.699; 11.2 / 0.5 = 22.4.
    "reach-deepest": (
        {"length_mm": 32, "fraction_wanted": 0.65, "insertion_angle_deg": 30},
        5.6,
        {
            "inside-for-outside": 10.4,
            "angle-left-out": 11.2,
            "cosine-for-sine": 9.699,
            "divided-by-sine": 22.4,
        },
    ),
    # 0.4 x 25 = 10 of way for 5 of depth: the sine is a half, 30 degrees, 0.5236 rad.
    # 5 / 15 = 0.3333: 19.471 degrees; 5 / 25 = 0.2: 11.537 degrees; 90 - 30 = 60.
    "reach-angle": (
        {"length_mm": 25, "fraction_wanted": 0.6, "near_wall_depth_mm": 5.0},
        30.0,
        {
            "inside-for-outside": 19.471,
            "share-left-out": 11.537,
            "cosine-for-sine": 60.0,
            "calculator-in-radians": 0.5236,
        },
    ),
    # Near wall at 2 x 4.0 = 8.0; the needle is 0.7 beyond it, the catheter's end 2.0 - 0.7 short.
    "reach-catheter-end": (
        {"near_wall_depth_mm": 4.0, "insertion_angle_deg": 30, "needle_in_mm": 8.7},
        1.3,
        {
            "needle-in-already-left-out": 2.0,
            "needle-for-catheter": 0.7,
            "added-for-subtracted": 2.7,
        },
    ),
    # 80 % of 50 mmHg are 40 mmHg. Mercury is 13.595 g/cm3, saline at 22 degrees 1.0046 g/cm3:
    # 40 x 13.595 / 1.0046 = 541.3; 35 of them 473.6; 50 of them 676.6.
    "reach-standstill": (
        {"cuff_mmhg": 50},
        541.3,
        {"lower-end": 473.6, "tourniquet-for-vein": 676.6, "mercury-for-water": 40.0},
    ),
}


@pytest.mark.parametrize("item_id", WORKED)
def test_answer_and_slips_are_those_worked_by_hand(item_id):
    values, answer, slips = WORKED[item_id]
    item = items.find(item_id)
    assert item.answer(values) == pytest.approx(answer, rel=1e-3)
    assert item.slip_values(values) == pytest.approx(slips, rel=1e-3)


def test_sines_of_radians_give_the_way_of_a_calculator_set_wrong():
    """sin(45 rad) = 0.8509: 4.5 / 0.8509 = 5.288."""
    values = {"near_wall_depth_mm": 4.5, "insertion_angle_deg": 45}
    made = items.find("reach-track").slip_values(values)
    assert made["calculator-in-radians"] == pytest.approx(5.288, abs=1e-3)


def test_what_holding_saves_is_what_the_lesson_shows():
    """In the lesson at 0.5 N: 1.8 mm in loose skin, 0.2 mm in held skin."""
    item, values = items.find("reach-shift"), {"skin": "loose", "push_n": 0.5}
    assert item.answer(values) == pytest.approx(1.6, abs=item.tolerance(values))
    assert item.slip_values(values)["unheld-only"] == pytest.approx(1.8, abs=0.05)
    assert item.slip_values(values)["held-only"] == pytest.approx(0.2, abs=0.05)


def test_all_numbers_of_the_worksheet_are_worked_by_hand():
    numbers = {i.id for i in items.WORKSHEETS["reaching-the-vein"] if i.kind == "number"}
    assert numbers == set(WORKED) | {"reach-shift"}


@pytest.mark.parametrize("item_id", [*WORKED, "reach-shift"])
def test_a_thousand_draws_keep_answer_and_slips_apart(item_id):
    item = items.find(item_id)
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        numbers = [item.answer(values), *item.slip_values(values).values()]
        closest = min(abs(a - b) for i, a in enumerate(numbers) for b in numbers[i + 1 :])
        assert item.tolerance(values) <= closest / 2, (learner, values)


def test_drawn_catheters_are_made_so_and_meet_adults_limits():
    adult = [row for row in tables.joint_limits() if row.age_group == "adult"]
    usual = tables.limits()
    for item_id in ("reach-length-in-vein", "reach-share", "reach-deepest", "reach-angle"):
        item = items.find(item_id)
        for learner in LEARNERS:
            values = RELEASE.values(item, learner)
            made = {row.gauge for row in tables.gauges() if values["length_mm"] in row.lengths_mm}
            assert any(
                row.gauge in made and row.length_low_mm <= values["length_mm"] <= row.length_high_mm
                for row in adult
            )
            for name in set(values) & set(usual):
                assert usual[name].usual_low <= values[name] <= usual[name].usual_high


def test_every_drawn_number_is_a_usual_one():
    usual = tables.limits()
    for item in items.WORKSHEETS["reaching-the-vein"]:
        for learner in LEARNERS[:300]:
            values = RELEASE.values(item, learner)
            for name in set(values) & set(usual):
                assert usual[name].usual_low <= values[name] <= usual[name].usual_high, name


def test_only_one_length_and_angle_does_what_is_wanted():
    """By the triangle: the way is depth / sin, the room diameter / sin."""
    item = items.find("reach-length-and-angle")
    rows = {row.gauge: row for row in tables.joint_limits() if row.age_group == "adult"}
    widest = {20: 1.149, 18: 1.349}  # the upper ends of their bands
    for learner in LEARNERS:
        v = RELEASE.values(item, learner)
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


def test_the_attempt_limit_asked_about_is_the_departments():
    item = items.find("reach-attempts")
    values = item.values("autumn", "ada", {"attempt_limit": 1.0})
    assert "allows one person one attempt at a patient" in item.ask(values)
    assert "two attempts" in item.ask(RELEASE.values(item, "ada"))
