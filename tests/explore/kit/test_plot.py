"""Curves over axes: in their places, in pieces where they leave the picture."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from cubital.explore.kit.plot import BOTTOM, LEFT, RIGHT, TOP, Plot, Scale

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def plot():
    return Plot(Scale(0, 10, 5, "depth, mm"), Scale(0, 1, 0.5, "contrast"))


def drawn(plot, tag):
    return list(ElementTree.fromstring(plot.svg()).iter(f"{SVG}{tag}"))


def points(line):
    return [tuple(map(float, pair.split(","))) for pair in line.get("points").split()]


def test_corners_of_the_axes_are_the_ends_of_the_scales(plot):
    assert plot.place(0, 0) == (LEFT, BOTTOM)
    assert plot.place(10, 1) == (RIGHT, TOP)
    assert plot.place(99, -3) == (RIGHT, BOTTOM)


def test_a_curve_is_cut_into_pieces_where_it_leaves_the_axes(plot):
    plot.curve([0, 1, 2, 3, 4, 5], [0, 0.5, 2, np.nan, 0.5, 1])
    first, second = (points(line) for line in drawn(plot, "polyline"))
    assert first == [(LEFT, BOTTOM), (pytest.approx(101.8), (TOP + BOTTOM) / 2)]
    assert [y for _, y in second] == [(TOP + BOTTOM) / 2, TOP]


def test_ticks_and_words_name_quantity_and_unit(plot):
    words = [text.text for text in drawn(plot, "text")]
    assert words == ["contrast", "0", "0.5", "1", "0", "5", "10", "depth, mm"]


def test_what_lies_off_the_scale_is_not_drawn_and_a_mark_is_kept_on_it(plot):
    before = plot.svg()
    plot.level(2, "too high")
    plot.upright(11, "too far")
    assert plot.svg() == before
    plot.mark(20, 5, "off the scale")
    (circle,) = drawn(plot, "circle")
    assert (float(circle.get("cx")), float(circle.get("cy"))) == (RIGHT, TOP)


def test_words_of_an_upright_stand_on_the_side_that_has_room(plot):
    plot.upright(1, "near")
    plot.upright(9, "far")
    near, far = (t for t in drawn(plot, "text") if re.match("near|far", t.text))
    assert near.get("text-anchor") is None
    assert far.get("text-anchor") == "end"
