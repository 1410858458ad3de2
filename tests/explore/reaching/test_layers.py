"""Skin, fat and vein cut through: ways by a triangle, and lines to the ruler's scale."""

import math
from xml.etree import ElementTree

import pytest

from cubital.explore.reaching.layers import both_veins, layers_picture

SVG = "{http://www.w3.org/2000/svg}"


def lines(**wanted):
    keys = {key.replace("_", "-"): value for key, value in wanted.items()}
    return [
        tuple(float(line.get(end)) for end in ("x1", "y1", "x2", "y2"))
        for line in ElementTree.fromstring(layers_picture().svg).iter(f"{SVG}line")
        if all(line.get(key) == value for key, value in keys.items())
    ]


@pytest.mark.parametrize("way", [way for pair in both_veins() for way in pair])
def test_ways_are_those_of_a_triangle(way):
    # the way along the needle is the long side of a triangle whose upright side is the depth
    slant = math.hypot(1, math.tan(math.radians(90 - way.insertion_angle_deg)))
    assert way.near_wall_mm == pytest.approx(slant * way.near_wall_depth_mm)
    assert way.room_mm == pytest.approx(slant * way.vein_diameter_mm)


def test_flat_suits_the_shallow_vein_and_steep_the_deep_one():
    (shallow_flat, shallow_steep), (deep_flat, deep_steep) = both_veins()
    assert shallow_flat.room_mm > shallow_steep.room_mm
    assert deep_flat.near_wall_mm > deep_steep.near_wall_mm
    assert shallow_flat.near_wall_depth_mm < deep_flat.near_wall_depth_mm


def test_layers_veins_and_needles_are_drawn_to_the_scale_of_the_ruler():
    (ruler,) = (r for r in lines(stroke_width="2") if r[0] == 8 and r[1] == r[3] > 400)
    px_per_mm = (ruler[2] - ruler[0]) / 5
    skins = sorted(y for x, y, _, z in lines(stroke_width="2") if x == 8 and y == z < 400)
    walls = sorted(y for x, y, _, z in lines(stroke_width="3") if x == 8 and y == z)
    walls = [y for y in walls if y in {b for *_, b in lines(stroke="#1f5d73")}]
    for skin, (near, far), pair in zip(skins, (walls[:2], walls[2:]), both_veins(), strict=True):
        assert (near - skin) / px_per_mm == pytest.approx(pair[0].near_wall_depth_mm, abs=0.02)
        assert (far - near) / px_per_mm == pytest.approx(pair[0].vein_diameter_mm, abs=0.02)
        (dermis,) = (y for _, y, *_ in lines(stroke_dasharray="2 3") if skin < y < skin + 30)
        # bhandari-2011 (abstract), as the course takes it: 0.1 mm and 1.0 mm
        assert (dermis - skin) / px_per_mm == pytest.approx(1.1, abs=0.02)
    needles = [r for r in lines(stroke="#7a3b12", stroke_width="3") if r[1] != r[3]]
    slants = [math.degrees(math.atan2(d - b, c - a)) for a, b, c, d in needles]
    assert slants == pytest.approx([15, 30, 15, 30], abs=0.4)


def test_the_words_tell_every_number_that_is_drawn():
    alt = layers_picture().alt
    drawn = [t.text for t in ElementTree.fromstring(layers_picture().svg).iter(f"{SVG}text")]
    for words in drawn:
        for number in words.replace("\N{NO-BREAK SPACE}", " ").split():
            if number[0].isdigit() and words[0] != "5":
                assert number.strip(":,") in alt, words
