"""Working distance: a cone of light by similar triangles, sizes that go as one over distance."""

from xml.etree import ElementTree

import numpy as np
import pytest

from cubital import tables
from cubital.explore.focus.working_distance import WorkingDistance

SVG = "{http://www.w3.org/2000/svg}"
WORKING, WINDOW = tables.profile().working_distance_mm, tables.profile().window_mm


def at(distance, vein=3):
    return WorkingDistance(object_distance_mm=distance, vein_diameter_mm=vein).show()


@pytest.mark.parametrize("distance", [180, 205, 220, 241, 260])
def test_blur_is_the_cone_between_lens_and_sharp_plane(distance):
    # the lens is focal length over f-number wide, and the cone closes at the working distance
    lens = (
        tables.constant("view-focal-length").value / tables.constant("view-f-number").value
    )  # mm across
    wanted = lens * abs(1 - distance / WORKING)
    numbers = at(distance).numbers
    assert numbers.blur_mm == pytest.approx(wanted)
    assert np.allclose(
        numbers.blurs_mm, lens * np.abs(1 - np.asarray(numbers.distances_mm) / WORKING)
    )


def test_twice_as_far_would_look_half_as_large_and_dim_to_a_quarter():
    near, far = at(180).numbers, at(240).numbers
    assert near.shown_mm / far.shown_mm == pytest.approx(240 / 180)
    assert near.light_share / far.light_share == pytest.approx((240 / 180) ** 2)


@pytest.mark.parametrize(
    ("off", "inside"), [(0, True), (WINDOW, True), (-WINDOW, True), (WINDOW + 1, False)]
)
def test_the_window_is_the_profiles(off, inside):
    assert at(WORKING + off).numbers.is_inside is inside


def test_bars_are_drawn_to_one_scale():
    root = ElementTree.fromstring(at(180, 6).svg)
    bars = [line for line in root.iter(f"{SVG}line") if line.get("stroke-width") == "4"]
    true, shown = (float(b.get("x2")) - float(b.get("x1")) for b in bars)
    assert shown / true == pytest.approx(220 / 180, rel=1e-3)


def test_alt_says_what_the_figure_shows_now():
    figure = WorkingDistance()
    assert "at the working distance: blur 0.00 mm" in figure.picture["alt"]
    figure.object_distance_mm = 250
    assert "stands at 250 mm, 30 mm too far" in figure.picture["alt"]
    assert "Outside the window." in figure.picture["alt"]
