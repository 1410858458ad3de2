"""Contrast and depth: what is seen, what is lost, and where the one becomes the other."""

import math
from xml.etree import ElementTree

import numpy as np
import pytest

from cubital import calc
from cubital.explore.light.contrast_depth import ContrastAndDepth

SVG = "{http://www.w3.org/2000/svg}"


def numbers(**state):
    return ContrastAndDepth(**state).show().numbers


@pytest.mark.parametrize("noise", [0.2, 1, 5])
@pytest.mark.parametrize("melanin", [1, 10, 43])
@pytest.mark.parametrize("diameter", [0.8, 3, 5])
@pytest.mark.parametrize("wavelength", [760, 850, 940])
def test_deepest_is_the_one_found_by_halving(noise, melanin, diameter, wavelength):
    n = numbers(
        noise_percent=noise,
        melanin_percent=melanin,
        lumen_diameter_mm=diameter,
        picture_wavelength_nm=wavelength,
    )
    halved = calc.skin_deepest_visible_mm(
        noise / 100,
        lumen_diameter_mm=diameter,
        picture_wavelength_nm=wavelength,
        epidermal_melanin_fraction=melanin / 100,
    )
    assert n.deepest_mm == pytest.approx(halved, abs=0.01)


def test_needed_contrast_is_three_times_the_noise_of_the_light_that_comes_back():
    n = numbers(noise_percent=2, melanin_percent=20)
    share = calc.skin_brightness_share(850, epidermal_melanin_fraction=0.2)
    assert n.needed == pytest.approx(3 * 0.02 / math.sqrt(share))
    assert n.brightness == share


def test_a_vein_is_seen_down_to_the_deepest_and_no_farther():
    deepest = numbers(upper_wall_depth_mm=3).deepest_mm
    above, below = math.floor(10 * deepest) / 10, math.ceil(10 * deepest) / 10
    assert numbers(upper_wall_depth_mm=above).verdict == "This vein is seen."
    assert numbers(upper_wall_depth_mm=below).verdict == "This vein is lost in the noise."


@pytest.mark.parametrize(
    ("name", "shallower", "deeper"),
    [
        ("lumen_diameter_mm", 1, 4),
        ("melanin_percent", 40, 2),
        ("noise_percent", 3, 0.5),
    ],
)
def test_wide_veins_pale_skin_and_little_noise_show_deeper(name, shallower, deeper):
    assert numbers(**{name: shallower}).deepest_mm < numbers(**{name: deeper}).deepest_mm


def test_nothing_seen_and_all_seen_are_said_in_words():
    lost = ContrastAndDepth(
        noise_percent=5, melanin_percent=43, lumen_diameter_mm=0.8, upper_wall_depth_mm=1
    )
    assert "none, not even at 0.2 mm" in lost.picture["alt"]
    clear = ContrastAndDepth(noise_percent=0.2, melanin_percent=1, lumen_diameter_mm=4)
    assert "8 mm or deeper" in clear.picture["alt"]


def test_the_ring_stands_on_the_curve():
    root = ElementTree.fromstring(ContrastAndDepth(upper_wall_depth_mm=2.4).show().svg)
    (ring,) = root.iter(f"{SVG}circle")
    curve = next(
        line for line in root.iter(f"{SVG}polyline") if line.get("stroke-dasharray") is None
    )
    points = [tuple(map(float, pair.split(","))) for pair in curve.get("points").split()]
    height = np.interp(float(ring.get("cx")), *zip(*points, strict=True))
    assert float(ring.get("cy")) == pytest.approx(height, abs=0.6)


def test_alt_says_what_the_figure_shows_now():
    figure = ContrastAndDepth(upper_wall_depth_mm=6, noise_percent=3)
    assert "At 6.0 mm" in figure.picture["alt"]
    assert "This vein is lost in the noise." in figure.picture["alt"]
    figure.upper_wall_depth_mm = 1
    assert "At 1.0 mm" in figure.picture["alt"]
    assert "This vein is seen." in figure.picture["alt"]
    assert "7 mm stated for the ward's device" in figure.picture["alt"]
