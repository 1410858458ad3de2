"""Laws of insertion: length in the vein, angle, far wall, and what studies saw."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from cubital import calc, tables
from cubital.tables import reaching as rows

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


# Worked by hand: track = depth / sin(angle); length, depth, angle, track, in the vein, per cent.
WORKED = [
    (32, 4, 30, 8.0, 24.0, 75.0),
    (45, 8, 30, 16.0, 29.0, 64.4),
    (45, 8, 45, 11.31, 33.69, 74.9),
    (48, 12, 30, 24.0, 24.0, 50.0),
    (25, 2, 15, 7.73, 17.27, 69.1),
]


@pytest.mark.parametrize("case", WORKED)
def test_length_in_the_vein(case):
    length, depth, angle, track, inside, percent = case
    given = {"near_wall_depth_mm": depth, "insertion_angle_deg": angle}
    assert calc.track_length_mm(depth, insertion_angle_deg=angle) == pytest.approx(track, abs=0.005)
    assert calc.length_in_vein_mm(length, **given) == pytest.approx(inside, abs=0.005)
    assert 100 * calc.fraction_in_vein(length, **given) == pytest.approx(percent, abs=0.05)


@pytest.mark.parametrize(("length", "depth", "fraction"), [(32, 4, 0.65), (48, 12, 0.5)])
def test_the_angle_is_the_root_that_a_solver_finds(length, depth, fraction):
    """A second way: bisection on the sum of Pythagoras, without the inverse sine."""

    def too_much(run):
        track = np.hypot(run, depth)
        return (length - track) / length - fraction

    run = brentq(too_much, 0, length)
    angle = calc.angle_for_fraction_deg(fraction, length_mm=length, near_wall_depth_mm=depth)
    assert angle == pytest.approx(np.degrees(np.arctan2(depth, run)))


def test_the_reach_holds_a_simulated_needle_and_is_met_at_its_ends():
    """A second way: draw depth and diameter within their errors, walk the needle in small steps."""
    generator = np.random.default_rng(20310304)
    depth = 4 + generator.uniform(-0.5, 0.5, 4000)
    diameter = 3 + generator.uniform(-0.3, 0.3, 4000)
    steps = np.arange(0, 20, 0.01)
    height = steps * np.cos(np.pi / 2 - np.radians(25))
    near = steps[(height[None] < depth[:, None]).sum(axis=1)]
    far = steps[(height[None] < (depth + diameter)[:, None]).sum(axis=1)]
    reach = calc.reach_along_needle(
        4, vein_diameter_mm=3, insertion_angle_deg=25, depth_error_mm=0.5, diameter_error_mm=0.3
    )
    for seen, span in ((near, reach.near_wall), (far, reach.far_wall)):
        assert seen.min() == pytest.approx(span.low, abs=0.15)
        assert seen.max() == pytest.approx(span.high, abs=0.15)
        assert seen.min() >= span.low - 0.01
        assert seen.max() <= span.high + 0.02


def test_a_deeper_vein_of_fieldss_leaves_less_of_his_catheter_in_it():
    """The 48 mm catheter at 30 degrees falls out of Pandurangadu's best band in his worst one."""
    best, worst = (
        calc.fraction_in_vein(48, near_wall_depth_mm=d, insertion_angle_deg=30) for d in (4, 12)
    )
    assert calc.survival_band(best, measure="fraction").failed_share == 0
    assert calc.survival_band(worst, measure="fraction").failed_share > 0


def test_every_study_says_how_it_stands():
    for row in rows.survival():
        assert "One hospital" in row.standing
        assert row.seen == "abstract"


def test_a_measured_puncture_reaches_about_the_depth_of_an_elbow_vein():
    """fujii-2013 (abstract): 2.5 cm of needle in at a mean of 15.2 degrees; 64 venepunctures.

    The tip then lies 6.6 mm deep: between the near wall of a vein 3 mm deep and the far wall of
    one of 5 mm at 4 mm.
    """
    tip_mm = 25 * np.sin(np.radians(15.2))
    assert calc.track_length_mm(tip_mm, insertion_angle_deg=15.2) == pytest.approx(25)
    far = calc.depth_to_wall_mm(4, vein_diameter_mm=5, wall="far")
    assert 3 < tip_mm < far
