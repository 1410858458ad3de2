"""Room light: lumens over square metres, against lux."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from cubital import tables
from cubital.explore.focus.room_light import PictureAndRoom
from cubital.tables.focus import room_light

SVG = "{http://www.w3.org/2000/svg}"
OUTPUT_LM = tables.profile().light_output_lm


def shown(**state):
    return PictureAndRoom(**state).show()


@pytest.mark.parametrize("room", list(room_light()))
@pytest.mark.parametrize("width", [48, 96, 192])
def test_contrast_is_lumens_over_area_over_lux(room, width):
    n = shown(room=room, picture_width_mm=width).numbers
    lux = OUTPUT_LM / (width / 1000 * width * 0.75 / 1000)  # a picture of four to three
    assert n.projected_lx == pytest.approx(lux)
    assert n.weber == pytest.approx(lux / room_light()[room].illuminance_lx)
    assert n.ratio == pytest.approx(1 + n.weber)
    assert n.limit_lx == pytest.approx(2 * lux)  # the course asks for one and a half times
    assert n.area_cm2 == pytest.approx(width * width * 0.75 / 100)
    assert np.allclose(n.webers * n.rooms_lx, lux)


def test_twice_the_width_leaves_a_quarter_of_the_light():
    one, two = (shown(picture_width_mm=w).numbers.projected_lx for w in (80, 160))
    assert one / two == pytest.approx(4)


@pytest.mark.parametrize(
    ("room", "width", "verdict"),
    [
        ("examination-room", 96, "Easily seen."),
        ("window", 192, "Too little to rely on."),
        ("procedure-lamp", 96, "Too little to rely on."),
        ("procedure-lamp", 192, "Not seen."),
    ],
)
def test_verdict_falls_with_room_light_and_size(room, width, verdict):
    assert shown(room=room, picture_width_mm=width).numbers.verdict == verdict


@pytest.mark.parametrize("room", list(room_light()))
def test_the_strip_has_the_contrast_that_is_left(room):
    picture = shown(room=room)
    root = ElementTree.fromstring(picture.svg)
    lines = list(root.iter(f"{SVG}line"))
    (unlit,) = (line.get("stroke") for line in lines if line.get("stroke-width") == "44")
    assert re.fullmatch("#([0-9a-f]{2})\\1\\1", unlit)
    level = int(unlit[1:3], 16) / 255
    light = level / 12.92 if level <= 0.04045 else ((level + 0.055) / 1.055) ** 2.4
    assert light == pytest.approx(1 / picture.numbers.ratio, abs=0.005)


def test_the_ring_lies_on_the_curve():
    picture = shown(room="window", picture_width_mm=120)
    root = ElementTree.fromstring(picture.svg)
    (ring,) = root.iter(f"{SVG}circle")
    x, y = float(ring.get("cx")), float(ring.get("cy"))
    points = root.find(f"{SVG}polyline").get("points").split()
    curve = np.array([[float(v) for v in pair.split(",")] for pair in points])
    assert y == pytest.approx(np.interp(x, curve[:, 0], curve[:, 1]), abs=0.3)


def test_alt_says_what_the_figure_shows_now():
    figure = PictureAndRoom()
    assert "examination room, 500 lx, contrast 4.05. Easily seen." in figure.picture["alt"]
    figure.room = "procedure-lamp"
    assert "under a procedure lamp, 20000 lx, contrast 0.10. Too little" in figure.picture["alt"]
