"""Does the vein hold still: shift, rolling, and the drawing to one scale."""

import math
from xml.etree import ElementTree

import pytest

from cubital.explore.reaching.anchoring import AnchoredVein

SVG = "{http://www.w3.org/2000/svg}"
# give in mm/N and the most in mm, teaching assumptions of assets/reading/sideways.csv
SKINS = {"loose": (4, 8), "resting": (2, 4), "stretched": (0.5, 1.5)}


def numbers(**state):
    return AnchoredVein(**state).show().numbers


@pytest.mark.parametrize("skin", SKINS)
@pytest.mark.parametrize("push", [0.2, 1, 3])
def test_shift_runs_into_the_most_that_the_skin_allows(skin, push):
    give, most = SKINS[skin]
    n = numbers(skin=skin, push_n=push)
    assert n.shift_mm == pytest.approx(most - most * math.exp(-give * push / most))
    assert n.shift_mm < min(most, give * push)


@pytest.mark.parametrize("skin", SKINS)
@pytest.mark.parametrize("vein", [1.5, 3, 6])
def test_it_rolls_from_the_push_that_moves_it_by_half_its_width(skin, vein):
    give, most = SKINS[skin]
    start = numbers(skin=skin, vein_diameter_mm=vein).rolls_from_n
    if most * (1 - math.exp(-3 * give / most)) < vein / 2:
        assert start is None
        return
    exact = -most / give * math.log(1 - vein / 2 / most)
    assert exact <= start <= exact + 0.05


@pytest.mark.parametrize(("skin", "rolled"), [("loose", True), ("resting", False)])
def test_verdict_follows_the_skin(skin, rolled):
    n = numbers(skin=skin, push_n=0.5, vein_diameter_mm=3)
    assert n.rolled is rolled
    assert ("rolled away" in n.verdict) is rolled
    assert numbers(skin="stretched", push_n=3, vein_diameter_mm=3).rolled is False


def test_circles_are_as_far_apart_as_the_ruler_says():
    root = ElementTree.fromstring(AnchoredVein(skin="loose", push_n=1).show().svg)
    now, before, _ring = (
        (float(c.get("cx")), float(c.get("r"))) for c in root.iter(f"{SVG}circle")
    )
    ruler = next(
        line
        for line in root.iter(f"{SVG}line")
        if line.get("x1") == "290" and line.get("y1") == line.get("y2") == "146"
    )
    px_per_mm = (float(ruler.get("x2")) - 290) / 5
    assert (now[0] - before[0]) / px_per_mm == pytest.approx(8 - 8 * math.exp(-0.5), abs=0.02)
    assert now[1] == before[1] == pytest.approx(1.5 * px_per_mm, abs=0.1)


def test_alt_says_what_the_figure_shows_now():
    figure = AnchoredVein(push_n=0.5)
    assert "pushed 1.8 mm to the side" in figure.picture["alt"]
    assert "passes beside it" in figure.picture["alt"]
    figure.skin = "stretched"
    assert "pushed 0.2 mm to the side" in figure.picture["alt"]
    assert "The needle meets the vein" in figure.picture["alt"]
