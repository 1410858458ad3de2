"""Light and depth: the curve at the noise itself, and what the draws may not do."""

import re

import pytest

from cubital import calc, items, tables

LISTED = items.WORKSHEETS["light-and-depth"]


def test_a_curve_followed_down_to_the_noise_itself_has_its_contrast_there():
    """Noise of 1 % where the skin is brightest, the more the darker the skin."""
    item = items.find("light-deepest")
    values = {"lumen_diameter_mm": 1.0, "melanin_percent": 5, "noise_percent": 1.0}
    values["depth_reach_mm"] = 7
    skin = {"picture_wavelength_nm": 850.0, "epidermal_melanin_fraction": 0.05}
    depth = item.slip_values(values)["noise-itself"]
    at_noise = calc.skin_vein_contrast(depth, lumen_diameter_mm=1.0, **skin)
    assert at_noise == pytest.approx(0.01 / calc.skin_brightness_share(**skin) ** 0.5)


def test_drawn_catheters_meet_adults_limits_and_reach_the_deeper_vein_too(drawn):
    (limit,) = (row for row in tables.joint_limits() if (row.gauge, row.age_group) == (20, "adult"))
    item = items.find("light-deeper-than-thought")
    for values in drawn(item.id):
        assert limit.length_low_mm <= values["length_mm"] <= limit.length_high_mm
        assert values["length_mm"] in calc.gauge(20).lengths_mm
        assert item.slip_values(values)["left-for-lost"] > 5


def test_the_steps_through_melanin_are_whole_and_as_shown(drawn):
    """From the question's own words: the share of one step, multiplied step by step."""
    item = items.find("light-melanin")
    for values in drawn(item.id)[:300]:
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


def test_the_deepest_vein_asked_for_lies_within_the_figure(drawn):
    item = items.find("light-deepest")
    for values in drawn(item.id):
        assert 0.5 < item.answer(values) < 7
