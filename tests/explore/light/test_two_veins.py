"""Two veins, one picture: what its grey levels are, and that depth and diameter trade places."""

from xml.etree import ElementTree

import numpy as np
import pytest

from cubital.explore.light.two_veins import TwoVeins, _noise

SVG = "{http://www.w3.org/2000/svg}"


def shown(**state):
    return TwoVeins(**state).show()


def darkness(frame, middle_mm):
    """How much darker the picture is at a place than where there is no vein, in one row's mean."""
    column = frame.mean(axis=0)
    at = round(middle_mm * 8)
    return 1 - column[at - 2 : at + 2].mean() / 200


@pytest.mark.parametrize("depth", [1, 2.7, 5])
def test_the_picture_is_twice_as_dark_as_the_contrast_at_each_vein(depth):
    picture = shown(upper_wall_depth_mm=depth)
    n = picture.numbers
    assert darkness(picture.frame, 12) == pytest.approx(2 * n.left_contrast, abs=0.01)
    assert darkness(picture.frame, 35) == pytest.approx(2 * n.right_contrast, abs=0.01)


def test_bands_are_as_wide_as_is_said():
    picture = shown(upper_wall_depth_mm=2.7)
    dark = 1 - picture.frame.mean(axis=0)[200:] / 200
    half = np.flatnonzero(dark > dark.max() / 2)
    assert (half[-1] - half[0] + 1) / 8 == pytest.approx(picture.numbers.right_width_mm, abs=0.7)


@pytest.mark.parametrize("diameter", [1, 1.5, 2, 3])
def test_every_diameter_has_a_depth_that_matches(diameter):
    verdicts = {
        depth: shown(upper_wall_depth_mm=depth, lumen_diameter_mm=diameter).numbers.verdict
        for depth in np.round(np.arange(0.5, 6.05, 0.1), 1)
    }
    matched = [depth for depth, words in verdicts.items() if words == "Equally dark: matched."]
    assert matched
    assert all(words.startswith("The right") for d, words in verdicts.items() if d < matched[0])
    assert all(words.startswith("The left") for d, words in verdicts.items() if d > matched[-1])
    assert matched[-1] <= 3.1  # never deeper than the left one, which is as wide or wider


def test_only_the_veins_change_the_picture():
    first = shown(upper_wall_depth_mm=2).frame
    _noise.cache_clear()
    again = shown(upper_wall_depth_mm=2).frame
    other = shown(upper_wall_depth_mm=5).frame
    assert (first == again).all()
    changed = np.flatnonzero((first != other).any(axis=0))
    assert changed.min() > 110  # nothing at the left vein's middle


def test_the_cut_is_to_scale():
    root = ElementTree.fromstring(shown(upper_wall_depth_mm=2, lumen_diameter_mm=2).svg)
    left, right = root.iter(f"{SVG}circle")
    px_per_mm = float(left.get("r")) / 1.5
    assert float(right.get("r")) / px_per_mm == pytest.approx(1, abs=0.02)
    tops = [float(c.get("cy")) - float(c.get("r")) for c in (left, right)]
    assert (tops[0] - tops[1]) / px_per_mm == pytest.approx(1, abs=0.02)  # 3 and 2 mm deep


def test_alt_says_what_the_figure_shows_now():
    figure = TwoVeins(upper_wall_depth_mm=1)
    assert "The right one is darker." in figure.picture["alt"]
    figure.upper_wall_depth_mm = 6
    assert "The left one is darker." in figure.picture["alt"]
    assert "1.5 mm across, 6.0 mm deep" in figure.picture["alt"]
