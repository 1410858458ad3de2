"""Light or dark lines: the model of the eye written a second way, and what the figure says."""

import math

import numpy as np
import pytest

from cubital.explore.focus.polarity import LightOrDarkLines
from cubital.tables.focus import room_light

PROJECTED_LX = 14 / (0.096 * 0.072)  # lumens over square metres


def shown(room="night", lines="light"):
    return LightOrDarkLines(room=room, lines=lines).show()


def least(beside):
    """Adrian's formula with the logarithm of the product taken apart, 1 mm at 450 mm."""
    arcmin = math.atan(1 / 450) * 180 / math.pi * 60
    ricco = math.log10(4.1925) + 0.1556 * math.log10(beside) + 0.1684 * beside**0.5867
    return 2.6 * (ricco / arcmin + 0.05946 * beside**0.466) ** 2


@pytest.mark.parametrize("room", list(room_light()))
@pytest.mark.parametrize("lines", ["light", "dark"])
def test_line_and_skin_are_lit_by_the_room_and_one_of_them_by_the_picture(room, lines):
    n = shown(room, lines).numbers
    lux = room_light()[room].illuminance_lx
    unlit, lit = (0.4 * one / math.pi for one in (lux, lux + PROJECTED_LX))
    expected = (lit, unlit) if lines == "light" else (unlit, lit)
    assert (n.line_cd_per_m2, n.beside_cd_per_m2) == pytest.approx(expected)
    assert n.times == pytest.approx((lit - unlit) / least(expected[1]))
    assert n.least == pytest.approx(least(expected[1]) / expected[1])


@pytest.mark.parametrize("room", list(room_light()))
def test_a_dark_line_is_never_more_than_all_of_the_light_and_a_light_line_never_less(room):
    light, dark = (shown(room, lines).numbers for lines in ("light", "dark"))
    assert dark.contrast < 1
    assert light.contrast > dark.contrast
    assert light.times > dark.times


def test_both_ways_meet_as_the_room_gets_brighter():
    n = shown().numbers
    ahead = n.times_light / n.times_dark
    assert (np.diff(ahead) < 0).all()
    assert ahead[0] > 50
    assert ahead[-1] == pytest.approx(1, abs=0.1)


def test_alt_says_both_ways():
    alt = shown("procedure-lamp", "dark").alt
    assert "dark lines on lit skin: 4" in alt
    assert "The other way round it is" in alt
