"""True and apparent width: against photons that were followed, and against the true width."""

import math
from xml.etree import ElementTree

import numpy as np
import pytest

from cubital import calc
from cubital.explore.light.apparent_width import TrueAndApparentWidth

SVG = "{http://www.w3.org/2000/svg}"


def numbers(**state):
    return TrueAndApparentWidth(**state).show().numbers


@pytest.fixture(scope="module")
def shadows():
    found = calc.vein_shadows(
        calc.skin_layers(850, melanin_fraction=0.05),
        vein_medium=calc.blood_medium(850, oxygen_saturation=0.7, haematocrit=0.45),
        depths_mm=[1, 3],
        diameters_mm=[1.5, 4],
        photons=20_000,
        seed=7,
        cores=1,
    )
    return found.shadows


def test_width_is_that_of_photons_that_were_followed(shadows):
    for shadow in shadows:
        n = numbers(lumen_diameter_mm=shadow.diameter_mm, upper_wall_depth_mm=shadow.depth_mm)
        apart = math.hypot(4 * shadow.width_mm.standard_error, 0.06 * shadow.width_mm.value)
        assert n.width_mm == pytest.approx(shadow.width_mm.value, abs=apart)


def test_deeper_and_wider_veins_look_wider():
    depths = [numbers(upper_wall_depth_mm=depth).width_mm for depth in (1, 2, 4, 6)]
    assert depths == sorted(depths)
    assert list(numbers().widths_mm) == sorted(numbers().widths_mm)


def test_a_narrow_deep_vein_looks_wider_than_a_wide_shallow_one():
    deep = numbers(lumen_diameter_mm=2, upper_wall_depth_mm=4)
    shallow = numbers(lumen_diameter_mm=4, upper_wall_depth_mm=1)
    assert deep.width_mm > shallow.width_mm


def test_factor_is_width_over_diameter_and_the_reading_has_it():
    figure = TrueAndApparentWidth(lumen_diameter_mm=2, upper_wall_depth_mm=4)
    n = figure.show().numbers
    assert n.times == pytest.approx(n.width_mm / 2)
    assert figure.show().readings[2].value == f"{n.width_mm / 2:.1f} times"


def test_the_dashed_line_is_the_true_width_and_the_ring_stands_on_the_solid_curve():
    root = ElementTree.fromstring(TrueAndApparentWidth(lumen_diameter_mm=2.2).show().svg)
    lines = {line.get("stroke-dasharray"): line for line in root.iter(f"{SVG}polyline")}
    points = {
        dash: [tuple(map(float, pair.split(","))) for pair in line.get("points").split()]
        for dash, line in lines.items()
    }
    (x0, y0), (x1, y1) = points["7 5"]
    assert ((x1 - x0) / 358, (y0 - y1) / 212) == pytest.approx((1, 6 / 20), abs=1e-3)
    (ring,) = root.iter(f"{SVG}circle")
    height = np.interp(float(ring.get("cx")), *zip(*points[None], strict=True))
    assert float(ring.get("cy")) == pytest.approx(height, abs=0.5)


def test_alt_says_what_the_figure_shows_now():
    figure = TrueAndApparentWidth(lumen_diameter_mm=2, upper_wall_depth_mm=4)
    width = figure.show().numbers.width_mm
    assert f"A vein 2.0 mm across looks {width:.1f} mm wide" in figure.picture["alt"]
    figure.upper_wall_depth_mm = 1
    assert "1.0 mm deep" in figure.picture["alt"]
