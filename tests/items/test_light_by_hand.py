"""Light and depth: one draw of each number worked by pencil, and what the draws may not do.

The numbers here were worked out with a table of sines and of e, from the formulas that the
questions state and from the sources' own tables, or are the lesson's; not by this course's code.
"""

import re

import pytest

from cubital import calc, items, tables
from cubital.handin.release import new_release

RELEASE = new_release("autumn", "light-and-depth")
LEARNERS = [f"learner-{number:04d}" for number in range(1000)]
LISTED = items.WORKSHEETS["light-and-depth"]

WORKED = {
    # 160 - 120 = 40; 40 / 160, 40 / 120, 120 / 160, 40 / 280
    "light-contrast": (
        {"skin_level": 160, "vein_level": 120},
        0.25,
        {
            "vein-for-background": 0.33333,
            "left-for-lost": 0.75,
            "sum-for-background": 0.14286,
            "per-cent-sign-missing": 25,
        },
    ),
    # 3 x 0.02 x 2.00 = 0.12; its root 0.34641; 1 / 0.34641 = 2.8868; 1 / 0.12 = 8.3333
    # without the 3: root of 0.04 is 0.2, 1 / 0.2 = 5; 1 / 0.02 = 50
    "light-penetration": (
        {"absorption_per_mm": 0.02, "reduced_scattering_per_mm": 1.98},
        2.8868,
        {
            "scattering-left-out": 50,
            "root-forgotten": 8.3333,
            "attenuation-for-depth": 0.34641,
            "three-forgotten": 5,
        },
    ),
    # 0.4 / 2.4 = 0.16667; squared 0.027778; 0.4 squared 0.16
    "light-surface": (
        {"refractive_index": 1.4},
        0.027778,
        {
            "square-forgotten": 0.16667,
            "entered-for-mirrored": 0.97222,
            "sum-forgotten": 0.16,
            "per-cent-sign-missing": 2.7778,
        },
    ),
    # 12 / 2.5 = 4.8; 138 / 2.5 = 55.2; 4.8 / 3 = 1.6
    "light-over-noise": (
        {"skin_level": 150, "vein_level": 138, "noise_level": 2.5},
        4.8,
        {"brightness-for-difference": 55.2, "ratio-upside-down": 0.20833, "needed-counted-in": 1.6},
    ),
    # 2.4 / 0.8 = 3; 3 x 3 = 9
    "light-frames": (
        {"noise_percent": 2.4, "wanted_percent": 0.8},
        9,
        {"linear-for-root": 3, "root-for-square": 1.73205, "ratio-upside-down": 0.11111},
    ),
    # Melanosomes 6.6e11 x 850^-3.33 = 116.06 per cm, 11.606 per mm; bloodless skin
    # 0.0244 + 8.53 e^-10.514 = 0.0246 per mm. 0.2 x 11.606 + 0.8 x 0.0246 = 2.3409 per mm.
    # A step of 0.04 mm: e^-0.093636 = 0.91061. Two in: 0.91061 squared = 0.82921; two out again:
    # that squared = 0.68759. A step takes 0.08939, and four times that from 1 leaves 0.64244
    "light-melanin": (
        {"melanin": 0.2, "epidermis_mm": 0.08},
        0.68759,
        {
            "one-pass": 0.82921,
            "one-step-for-all": 0.91061,
            "taken-for-let-through": 0.31241,
            "straight-line-for-curve": 0.64244,
            "per-cent-sign-missing": 68.759,
        },
    ),
    # 0.7 x 0.65 + 0.3 x 0.43 = 0.584; x 36 / 45 = 0.4672; 1 / 0.4672 = 2.1404
    # 0.3 x 0.65 + 0.7 x 0.43 = 0.496; x 0.8 = 0.3968. 1 / 0.584. 0.584 x 0.36 = 0.21024
    "light-blood": (
        {"wavelength_nm": 940, "saturation": 0.7, "haematocrit": 0.36},
        2.1404,
        {
            "saturation-swapped": 2.5202,
            "haematocrit-ignored": 1.7123,
            "haematocrit-as-factor": 4.7565,
            "absorption-for-length": 0.4672,
        },
    ),
    # 5 - 3 = 2 mm deeper; at 30 degrees twice as far, 4; cos 30 = 0.8660, 2 / 0.8660 = 2.3094;
    # the whole way 2 x 5 = 10; 32 - 10 = 22
    "light-deeper-than-thought": (
        {
            "length_mm": 32,
            "insertion_angle_deg": 30,
            "thought_depth_mm": 3.0,
            "upper_wall_depth_mm": 5.0,
        },
        4,
        {
            "angle-left-out": 2,
            "cosine-for-sine": 2.3094,
            "whole-way-for-difference": 10,
            "left-for-lost": 22,
        },
    ),
}


@pytest.mark.parametrize("item_id", WORKED)
def test_answer_and_slips_are_those_worked_by_hand(item_id):
    values, answer, slips = WORKED[item_id]
    item = items.find(item_id)
    assert item.answer(values) == pytest.approx(answer, rel=3e-4)
    assert item.slip_values(values) == pytest.approx(slips, rel=3e-4)


def test_the_deepest_vein_is_the_lessons():
    """In the lesson: 1.0 mm across is lost below 3.0 mm, 3.0 mm across below 4.8 mm; stated 7."""
    item = items.find("light-deepest")
    values = {"lumen_diameter_mm": 1.0, "melanin_percent": 5, "noise_percent": 1.0}
    slips = item.slip_values(values)
    assert item.answer(values) == pytest.approx(3.0, abs=0.06)
    assert slips.pop("stated-for-this") == 7
    assert slips.pop("centre-for-near-wall") == pytest.approx(3.5, abs=0.06)
    assert slips.pop("diameter-left") == pytest.approx(4.8, abs=0.06)
    skin = {"picture_wavelength_nm": 850.0, "epidermal_melanin_fraction": 0.05}
    at_noise = calc.skin_vein_contrast(slips.pop("noise-itself"), lumen_diameter_mm=1.0, **skin)
    assert at_noise == pytest.approx(0.01 / calc.skin_brightness_share(**skin) ** 0.5)
    assert slips == {}


def test_the_apparent_width_is_the_lessons():
    """In the lesson: 3.0 mm looks 8.6 mm wide at 3.0 mm depth, 4.9 mm at 1.0 mm."""
    item = items.find("light-apparent-width")
    values = {"lumen_diameter_mm": 3.0, "upper_wall_depth_mm": 3.0}
    assert item.answer(values) == pytest.approx(8.6, abs=0.06)
    slips = {"size-from-picture": 3.0, "shallow-curve": 4.9, "depth-added": 6.0}
    assert item.slip_values(values) == pytest.approx(slips, abs=0.06)


def test_all_numbers_of_the_worksheet_are_worked_by_hand():
    numbers = {item.id for item in LISTED if item.kind == "number"}
    assert numbers == {*WORKED, "light-deepest", "light-apparent-width"}


@pytest.mark.parametrize("item", [i for i in LISTED if i.kind == "number"], ids=lambda i: i.id)
def test_a_thousand_draws_keep_answer_and_slips_apart(item):
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        numbers = [item.answer(values), *item.slip_values(values).values()]
        closest = min(abs(a - b) for i, a in enumerate(numbers) for b in numbers[i + 1 :])
        assert item.tolerance(values) <= closest / 2, (learner, values)


def test_every_drawn_number_is_a_usual_one():
    usual = tables.limits()
    for item in LISTED:
        for learner in LEARNERS[:300]:
            values = RELEASE.values(item, learner)
            for name in set(values) & set(usual):
                assert usual[name].usual_low <= values[name] <= usual[name].usual_high, name


def test_drawn_catheters_meet_adults_limits_and_reach_the_deeper_vein_too():
    (limit,) = (row for row in tables.joint_limits() if (row.gauge, row.age_group) == (20, "adult"))
    item = items.find("light-deeper-than-thought")
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        assert limit.length_low_mm <= values["length_mm"] <= limit.length_high_mm
        assert values["length_mm"] in calc.gauge(20).lengths_mm
        assert item.slip_values(values)["left-for-lost"] > 5


def test_the_steps_through_melanin_are_whole_and_as_shown():
    """From the question's own words: the share of one step, multiplied step by step."""
    item = items.find("light-melanin")
    for learner in LEARNERS[:300]:
        values = RELEASE.values(item, learner)
        thick, step, share = (
            float(number)
            for number in re.search(
                r"layer ([\d.]+) mm thick.* each ([\d.]+) mm .* through ([\d.]+) %",
                item.ask(values),
            ).groups()
        )
        steps = 2 * thick / step
        assert steps == pytest.approx(round(steps))
        left = 1.0
        for _ in range(round(steps)):
            left *= share / 100
        assert abs(round(left, 2) - item.answer(values)) <= item.tolerance(values)


def test_the_deepest_vein_asked_for_lies_within_the_figure():
    item = items.find("light-deepest")
    for learner in LEARNERS:
        assert 0.5 < item.answer(RELEASE.values(item, learner)) < 7


@pytest.mark.parametrize("item_id", ["light-artery", "light-nerve"])
def test_what_can_harm_must_be_right(item_id):
    assert items.find(item_id).critical
