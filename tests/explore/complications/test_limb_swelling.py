"""The same volume in a large and a small arm: shares and girth by plain geometry."""

import math
from xml.etree import ElementTree

import numpy as np
import pytest

from cubital.explore.complications.limb_swelling import SwellingAndLimb

SVG = "{http://www.w3.org/2000/svg}"
# half width and length of each forearm in mm, as the tables of the course give them
FOREARMS = {"adult": (40, 250), "child": (27, 160), "infant": (21, 90)}


def numbers(**state):
    return SwellingAndLimb(**state).show().numbers


@pytest.mark.parametrize("whose", FOREARMS)
@pytest.mark.parametrize("volume", [1, 10, 40])
def test_shares_and_girth_are_those_of_a_cylinder(whose, volume):
    radius, length = FOREARMS[whose]
    n = numbers(whose=whose, leaked_volume_ml=volume)
    assert n.volume_share == pytest.approx(1000 * volume / (math.pi * radius**2 * length))
    # half a ball squashed to 0.15 of its width in height: volume pi d^3 0.15 / 6
    across = (1000 * volume * 6 / (math.pi * 0.15)) ** (1 / 3)
    assert n.diameter_mm == pytest.approx(across)
    assert n.length_share == pytest.approx(across / length)
    wider = math.sqrt(radius**2 + 1000 * volume / (math.pi * across))
    assert n.girth_rise_mm == pytest.approx(2 * math.pi * (wider - radius))


def test_the_smaller_the_arm_the_more_the_same_volume_is():
    for name in ("volume_share", "length_share", "girth_rise_mm"):
        adult, child, infant = (getattr(numbers(whose=whose), name) for whose in FOREARMS)
        assert adult < child < infant, name


def test_twice_the_width_is_eight_times_the_volume():
    small, large = numbers(leaked_volume_ml=5), numbers(leaked_volume_ml=40)
    assert large.diameter_mm == pytest.approx(2 * small.diameter_mm)


@pytest.mark.parametrize("whose", FOREARMS)
def test_the_ring_stands_on_the_chosen_curve(whose):
    root = ElementTree.fromstring(SwellingAndLimb(whose=whose, leaked_volume_ml=20).show().svg)
    (ring,) = root.iter(f"{SVG}circle")
    (chosen,) = (line for line in root.iter(f"{SVG}polyline") if line.get("stroke-width") == "3.5")
    points = [tuple(map(float, pair.split(","))) for pair in chosen.get("points").split()]
    place = np.interp(float(ring.get("cx")), *zip(*points, strict=True))
    assert float(ring.get("cy")) == pytest.approx(place, abs=0.3)


def test_alt_says_what_the_figure_shows_now():
    figure = SwellingAndLimb(leaked_volume_ml=10)
    assert "10 mL in an adult, 0.8 % of the forearm's volume" in figure.picture["alt"]
    figure.whose = "infant"
    assert "10 mL in an infant, 8.0 % of the forearm's volume" in figure.picture["alt"]
    assert "50 mm across, 56 % of its length" in figure.picture["alt"]
