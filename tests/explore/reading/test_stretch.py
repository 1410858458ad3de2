"""Is the straight piece long enough: by plain trigonometry, and in words."""

import math

import pytest

from cubital.explore.reading.stretch import StraightStretch


def numbers(**state):
    return StraightStretch(**state).show().numbers


@pytest.mark.parametrize("length", [19, 32, 48])
@pytest.mark.parametrize("depth", [1, 4, 8])
@pytest.mark.parametrize("angle", [12, 25, 45])
def test_what_lies_in_the_vein_is_the_length_less_the_way_down(length, depth, angle):
    n = numbers(length_mm=length, near_wall_depth_mm=depth, insertion_angle_deg=angle)
    in_vein = max(length - depth / math.sin(math.radians(angle)), 0)
    assert n.in_vein_mm == pytest.approx(in_vein)
    assert n.spare_mm == pytest.approx(35 - in_vein)


@pytest.mark.parametrize(("barrier", "words"), [("valve", "valve"), ("fork", "bifurcation")])
def test_the_verdict_turns_where_the_end_meets_the_barrier(barrier, words):
    # 32 mm at 30 degrees to 4 mm: 24 mm lie in the vein
    state = {"near_wall_depth_mm": 4, "insertion_angle_deg": 30, "barrier": barrier}
    long, short = (StraightStretch(free_stretch_mm=free, **state) for free in (25, 23))
    assert long.show().numbers.verdict == f"Its end stays short of the {words}"
    assert short.show().numbers.verdict == f"Its end reaches the {words}"
    assert "1.0 mm to spare" in long.picture["alt"]
    assert "1.0 mm too long" in short.picture["alt"]


def test_a_catheter_that_does_not_reach_the_vein_is_said_not_to():
    n = numbers(length_mm=19, near_wall_depth_mm=8, insertion_angle_deg=15)
    assert n.in_vein_mm == 0
    assert n.verdict == "The catheter does not reach this vein"
