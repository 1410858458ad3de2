"""Tilt: lengths and depths of a triangle, and the part between the window's lines as drawn."""

import math
from xml.etree import ElementTree

import pytest

from cubital import tables
from cubital.explore.focus.tilted_skin import PX_PER_MM, TiltedSkin

SVG = "{http://www.w3.org/2000/svg}"
WINDOW = tables.profile().window_mm
LENGTHS = {"long": tables.profile().picture_width_mm, "short": tables.profile().picture_height_mm}


def tilted(**state):
    return TiltedSkin(**state).show()


@pytest.mark.parametrize("side", ["long", "short"])
@pytest.mark.parametrize("error", [-24, 0, 9])
@pytest.mark.parametrize("tilt", [1, 20, 33, 45])
def test_share_in_the_window_is_what_counting_along_the_skin_finds(tilt, error, side):
    steps, length = 20_000, LENGTHS[side]
    places = [length * ((k + 0.5) / steps - 0.5) for k in range(steps)]
    slope = math.sqrt(1 - math.cos(math.pi * tilt / 180) ** 2)
    counted = sum(abs(error + u * slope) <= WINDOW for u in places) / steps
    n = tilted(tilt_deg=tilt, distance_error_mm=error, side=side).numbers
    assert n.sharp_share == pytest.approx(counted, abs=2e-4)
    assert n.span_mm == pytest.approx(length * slope)


@pytest.mark.parametrize("side", ["long", "short"])
def test_all_is_sharp_up_to_the_largest_tilt_and_not_beyond(side):
    largest = tilted(side=side).numbers.largest_tilt_deg
    inside, outside = math.floor(largest - 1e-6), math.ceil(largest + 1e-6)
    assert tilted(side=side, tilt_deg=inside).numbers.sharp_share == pytest.approx(1)
    assert tilted(side=side, tilt_deg=outside).numbers.sharp_share < 1


def test_what_the_picture_gains_in_length_it_loses_in_light():
    n = tilted(tilt_deg=45).numbers
    assert n.stretch == pytest.approx(math.sqrt(2))
    assert n.stretch * n.light_share == pytest.approx(1)


def test_beyond_the_window_no_tilt_keeps_all_of_it():
    picture = tilted(distance_error_mm=24)
    assert picture.numbers.sharp_share == 0
    assert "none does" in [reading.value for reading in picture.readings]
    assert 'stroke-width="6"' not in picture.svg


def test_the_thick_part_ends_at_the_windows_lines_and_lies_on_the_skin():
    root = ElementTree.fromstring(tilted(tilt_deg=40, distance_error_mm=6).svg)
    lines = [
        (line.get("stroke-width"), *(float(line.get(k)) for k in ("x1", "y1", "x2", "y2")))
        for line in root.iter(f"{SVG}line")
    ]
    (_, x1, y1, x2, y2) = next(line for line in lines if line[0] == "6")
    assert (y2 - y1) / PX_PER_MM == pytest.approx(2 * WINDOW, abs=0.1)
    assert math.degrees(math.atan2(y2 - y1, x2 - x1)) == pytest.approx(40, abs=0.2)


def test_alt_says_what_the_figure_shows_now():
    figure = TiltedSkin(tilt_deg=30)
    assert "96 mm of picture on skin tilted by 30 degrees" in figure.picture["alt"]
    assert "75 % of the length lies between them" in figure.picture["alt"]
    figure.side = "short"
    assert "72 mm of picture" in figure.picture["alt"]
    assert "100 % of the length lies between them" in figure.picture["alt"]
