"""Laws of insertion: length in the vein, angle, far wall, and what studies saw."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc, tables

LENGTH = st.floats(14, 70)
DEPTH = st.floats(0.5, 15)
ANGLE = st.floats(5, 90)
VEIN = st.floats(0.8, 8)


@given(st.floats(0, 0.95), LENGTH, DEPTH)
def test_fraction_and_angle_invert_each_other(fraction, length, depth):
    if depth > length * (1 - fraction):
        with pytest.raises(ValueError, match="no angle leaves"):
            calc.angle_for_fraction_deg(fraction, length_mm=length, near_wall_depth_mm=depth)
        return
    angle = calc.angle_for_fraction_deg(fraction, length_mm=length, near_wall_depth_mm=depth)
    if angle >= 1:
        back = calc.fraction_in_vein(length, near_wall_depth_mm=depth, insertion_angle_deg=angle)
        assert back == pytest.approx(fraction, abs=1e-6)


@given(LENGTH, DEPTH, st.floats(0, 5), ANGLE)
def test_a_deeper_vein_never_leaves_more_of_the_catheter_in_it(length, depth, more, angle):
    here, deeper = (
        calc.length_in_vein_mm(length, near_wall_depth_mm=d, insertion_angle_deg=angle)
        for d in (depth, depth + more)
    )
    assert deeper <= here


@given(LENGTH, DEPTH, st.floats(5, 60), st.floats(0, 30))
def test_a_steeper_angle_and_a_longer_catheter_never_leave_less(length, depth, angle, more):
    def left(length, angle):
        return calc.length_in_vein_mm(length, near_wall_depth_mm=depth, insertion_angle_deg=angle)

    assert left(length, angle + more) >= left(length, angle)
    assert left(length + more, angle) >= left(length, angle)


@given(LENGTH, DEPTH, ANGLE)
def test_track_and_length_in_the_vein_make_the_catheter(length, depth, angle):
    track = calc.track_length_mm(depth, insertion_angle_deg=angle)
    inside = calc.length_in_vein_mm(length, near_wall_depth_mm=depth, insertion_angle_deg=angle)
    assert inside + min(track, length) == pytest.approx(length)


def test_a_catheter_that_does_not_reach_leaves_nothing():
    assert calc.length_in_vein_mm(19, near_wall_depth_mm=12, insertion_angle_deg=30) == 0


def test_the_error_says_how_deep_a_vein_the_catheter_serves():
    with pytest.raises(ValueError, match=r"is 12 mm: no angle leaves 65% of a 25 mm.* 8\.8 mm"):
        calc.angle_for_fraction_deg(0.65, length_mm=np.array([45.0, 25.0]), near_wall_depth_mm=12)


@given(DEPTH, VEIN, ANGLE)
def test_the_walls_of_a_vein_are_a_diameter_apart(depth, vein, angle):
    near, centre, far = (
        calc.depth_to_wall_mm(depth, vein_diameter_mm=vein, wall=wall)
        for wall in ("near", "centre", "far")
    )
    assert near == depth
    assert far - near == pytest.approx(vein)
    assert centre == pytest.approx((near + far) / 2)


@given(DEPTH, VEIN, ANGLE, st.floats(0, 2), st.floats(0, 2))
def test_every_case_within_the_errors_lies_within_the_reach(depth, vein, angle, e, f):
    reach = calc.reach_along_needle(
        depth,
        vein_diameter_mm=vein,
        insertion_angle_deg=angle,
        depth_error_mm=e,
        diameter_error_mm=f,
    )
    sine = np.sin(np.radians(angle))
    slack = 1e-9
    for shift in (-1, -0.3, 0, 0.6, 1):
        for grow in (-1, 0.2, 1):
            near = max(0, depth + shift * e) / sine
            far = near + max(0, vein + grow * f) / sine
            assert reach.near_wall.low - slack <= near <= reach.near_wall.high + slack
            assert reach.far_wall.low - slack <= far <= reach.far_wall.high + slack
            assert reach.room.low - slack <= far - near <= reach.room.high + slack
    assert reach.sure_room_mm == pytest.approx(max(0, reach.far_wall.low - reach.near_wall.high))


@given(DEPTH, VEIN, ANGLE)
def test_without_errors_the_reach_is_one_length(depth, vein, angle):
    reach = calc.reach_along_needle(
        depth,
        vein_diameter_mm=vein,
        insertion_angle_deg=angle,
        depth_error_mm=0,
        diameter_error_mm=0,
    )
    assert reach.near_wall.low == reach.near_wall.high
    assert reach.near_wall.low == calc.track_length_mm(depth, insertion_angle_deg=angle)
    assert reach.sure_room_mm == pytest.approx(reach.room.high)


def test_the_errors_are_those_of_the_tables_if_not_given():
    own = calc.reach_along_needle(4, vein_diameter_mm=3, insertion_angle_deg=30)
    e, f = (tables.constant(f"vein-{part}-error").value for part in ("depth", "diameter"))
    assert own == calc.reach_along_needle(
        4, vein_diameter_mm=3, insertion_angle_deg=30, depth_error_mm=e, diameter_error_mm=f
    )


@given(st.floats(0, 1), st.floats(0, 1))
def test_more_in_the_vein_is_no_greater_a_hazard_and_ratios_invert(one, other):
    there = calc.failure_hazard_ratio(one, reference_fraction=other)
    assert (there <= 1) == (one >= other)
    back = calc.failure_hazard_ratio(other, reference_fraction=one)
    assert there * back == pytest.approx(1)


def test_every_row_of_the_joint_limits_is_usual_for_its_age():
    for row in tables.joint_limits():
        found = calc.age_group_remarks(
            row.gauge,
            age_group=row.age_group,
            length_mm=row.length_low_mm,
            vein_diameter_mm=row.vein_high_mm,
        )
        assert found == ()


def test_what_lies_outside_the_joint_limits_is_named():
    found = calc.age_group_remarks(24, age_group="neonate", length_mm=32, vein_diameter_mm=4)
    assert [text.split(" is ")[0] for text in found] == [
        "catheter length 32 mm",
        "vein diameter 4 mm",
    ]
    with pytest.raises(ValueError, match="must be one of adult, child, neonate"):
        calc.age_group_remarks(24, age_group="elder", length_mm=19, vein_diameter_mm=2)
    with pytest.raises(ValueError, match="no catheter of gauge 23"):
        calc.age_group_remarks(23, age_group="adult", length_mm=19, vein_diameter_mm=2)


def test_an_unknown_measure_of_survival_is_impossible():
    with pytest.raises(ValueError, match="must be one of fraction, depth, length"):
        calc.survival_band(0.5, measure="luck")
    with pytest.raises(ValueError, match="fraction in the vein is 65"):
        calc.survival_band(65, measure="fraction")
