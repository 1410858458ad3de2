"""Laws of scale, registration and tilt, held against rays traced in space."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cubital import calc

REFERENCE = st.floats(80, 600)
ERROR = st.floats(-60, 60)
BASELINE = st.floats(0, 80)
TILT = st.floats(-50, 50)
PLACE = st.floats(-60, 60)


def meet(start, through, point, normal):
    """Return where the line from start through a second point meets a plane."""
    way = through - start
    return start + way * np.dot(point - start, normal) / np.dot(way, normal)


def traced_mark(place, plane_point, plane_normal, baseline, reference):
    """Trace a place on the skin to the camera, through the reference plane, back by the projector.

    The camera is at 0 and the projector at (b, 0, 0), both looking along z. What the camera sees in
    the direction of a point of the reference plane, the projector throws at that point.
    """
    camera, projector = np.zeros(3), np.array([baseline, 0.0, 0.0])
    ahead = np.array([0.0, 0.0, 1.0])
    agreed = meet(camera, place, np.array([0.0, 0.0, reference]), ahead)
    return meet(projector, agreed, plane_point, plane_normal)


@given(ERROR, BASELINE, REFERENCE, PLACE, PLACE)
def test_registration_is_that_of_traced_rays_wherever_in_the_picture(error, base, reference, x, y):
    skin = np.array([x, y, reference + error])
    mark = traced_mark(skin, skin, np.array([0.0, 0.0, 1.0]), base, reference)
    expected = calc.registration_error_mm(error, baseline_mm=base, reference_distance_mm=reference)
    assert skin - mark == pytest.approx([expected, 0, 0], abs=1e-9)
    seen = calc.registration_error_mm(
        error, baseline_mm=base, reference_distance_mm=reference, measured_on="reference plane"
    )
    scale = reference / (reference + error)
    assert seen == pytest.approx(((skin - mark) * scale)[0], abs=1e-9)


@given(PLACE, TILT, BASELINE, REFERENCE)
def test_registration_on_a_slope_is_that_of_traced_rays(place, tilt, base, reference):
    turn = np.radians(tilt)
    along = np.array([np.cos(turn), 0, np.sin(turn)])
    middle, normal = np.array([0, 0, reference]), np.array([-np.sin(turn), 0, np.cos(turn)])
    skin = middle + place * along
    projector = np.array([base, 0, 0])
    in_front = np.dot(middle - projector, normal)
    assume(skin[2] > 5)
    assume(abs(in_front) > 1e-6)
    towards = np.dot(skin * reference / skin[2] - projector, normal)
    assume(abs(towards) > 1)

    def error():
        return calc.registration_error_on_slope_mm(
            place, tilt_deg=tilt, baseline_mm=base, reference_distance_mm=reference
        )

    if in_front > 0 and towards > 0:
        mark = traced_mark(skin, middle, normal, base, reference)
        assert error() == pytest.approx(np.dot(skin - mark, along), abs=1e-6)
    else:
        with pytest.raises(ValueError, match="out of reach of the light"):
            error()


@given(PLACE, TILT, BASELINE, REFERENCE, PLACE)
def test_tilt_across_the_baseline_needs_only_the_local_distance(place, tilt, base, reference, x):
    turn = np.radians(tilt)
    middle, normal = np.array([0, 0, reference]), np.array([0, -np.sin(turn), np.cos(turn)])
    skin = middle + np.array([x, place * np.cos(turn), place * np.sin(turn)])
    mark = traced_mark(skin, middle, normal, base, reference)
    expected = calc.registration_error_mm(
        place * np.sin(turn), baseline_mm=base, reference_distance_mm=reference
    )
    assert skin - mark == pytest.approx([expected, 0, 0], abs=1e-7)


@given(st.floats(-15, 15), st.floats(-10, 10), REFERENCE, st.floats(1, 60))
def test_a_slight_slope_is_its_tangent(place, tilt, reference, base):
    error = calc.registration_error_on_slope_mm(
        place, tilt_deg=tilt, baseline_mm=base, reference_distance_mm=reference
    )
    first_order = base * place * np.tan(np.radians(tilt)) / reference
    assert error == pytest.approx(first_order, rel=0.25, abs=1e-12)


@given(ERROR, BASELINE, REFERENCE, st.floats(-20, 20), PLACE)
def test_axes_that_converge_change_no_registration(error, base, reference, aim, x):
    """The projector is turned, its picture warped until the two agree on the reference plane."""
    turn = np.radians(aim)
    axis = np.array([np.sin(turn), 0, np.cos(turn)])
    side = np.array([np.cos(turn), 0, -np.sin(turn)])
    projector = np.array([base, 0.0, 0.0])

    def in_picture(point):
        way = point - projector
        return np.dot(way, side) / np.dot(way, axis)

    def thrown(u, depth):
        way = u * side + axis
        return projector + way * depth / way[2]

    skin = np.array([x, 0, reference + error])
    agreed = skin * reference / skin[2]
    mark = thrown(in_picture(agreed), skin[2])
    expected = calc.registration_error_mm(error, baseline_mm=base, reference_distance_mm=reference)
    assert skin[0] - mark[0] == pytest.approx(expected, abs=1e-8)


@given(ERROR, REFERENCE)
def test_projected_and_camera_scale_are_each_others_inverse(error, reference):
    at = {"reference_distance_mm": reference}
    product = calc.camera_scale(error, **at) * calc.projected_scale(error, **at)
    assert product == pytest.approx(1)
    assert calc.camera_scale(0, **at) == calc.projected_scale(0, **at) == 1


@given(ERROR, REFERENCE)
def test_on_a_common_axis_nothing_is_out_of_register(error, reference):
    at = {"baseline_mm": 0, "reference_distance_mm": reference}
    assert calc.registration_error_mm(error, **at) == 0
    assert calc.distance_error_allowed_mm(1, **at) == np.inf


@given(st.floats(0.05, 5), st.floats(1, 80), REFERENCE)
def test_the_distance_allowed_gives_back_the_tolerance(tolerance, base, reference):
    at = {"baseline_mm": base, "reference_distance_mm": reference}
    allowed = calc.distance_error_allowed_mm(tolerance, **at)
    assert calc.registration_error_mm(allowed, **at) == pytest.approx(tolerance)


@given(st.floats(1, 60), st.floats(1, 80), REFERENCE, st.floats(-180, 180))
def test_a_turn_keeps_the_size_of_the_error_and_turns_its_direction(error, base, reference, turn):
    at = {"baseline_mm": base, "reference_distance_mm": reference}
    x, y = calc.registration_offset_mm(error, rotation_deg=turn, **at)
    assert np.hypot(x, y) == pytest.approx(calc.registration_error_mm(error, **at))
    wrapped = (np.degrees(np.arctan2(y, x)) - turn + 180) % 360 - 180
    assert wrapped == pytest.approx(0, abs=1e-9)
    back = calc.registration_offset_mm(error, rotation_deg=turn - 180, **at)
    assert back == pytest.approx((-x, -y), abs=1e-9)


@given(ERROR, st.floats(1, 80), REFERENCE)
def test_nearer_and_farther_fall_on_opposite_sides(error, base, reference):
    at = {"baseline_mm": base, "reference_distance_mm": reference}
    assert calc.registration_error_mm(-error, **at) == -calc.registration_error_mm(error, **at)


@given(TILT, st.floats(10, 200))
def test_tilt_stretches_as_pythagoras_says(tilt, field):
    span = calc.tilt_depth_span_mm(field, tilt_deg=tilt)
    seen = field / calc.tilt_stretch(tilt)
    assert np.hypot(seen, span) == pytest.approx(field)
    assert calc.tilt_stretch(tilt) == calc.tilt_stretch(-tilt) >= 1
    assert span == calc.tilt_depth_span_mm(field, tilt_deg=-tilt) >= 0


@given(st.floats(10, 200), st.floats(1, 60))
def test_at_the_largest_tilt_the_picture_just_fills_the_window(field, window):
    tilt = calc.largest_tilt_deg(field, window_mm=window)
    if tilt <= 85:
        assert calc.tilt_depth_span_mm(field, tilt_deg=tilt) == pytest.approx(2 * window)
    if 2 * window >= field:
        assert tilt == 90


@given(st.floats(-1, 1), st.floats(5, 100))
def test_a_limb_falls_away_as_a_circle(share, radius):
    place = share * radius
    drop = calc.limb_drop_mm(place, limb_radius_mm=radius)
    assert place**2 + (radius - drop) ** 2 == pytest.approx(radius**2)
    assert 0 <= drop <= radius
    assert drop == calc.limb_drop_mm(-place, limb_radius_mm=radius)


@given(st.floats(0.1, 100), REFERENCE)
def test_convergent_axes_cross_on_the_reference_plane(base, reference):
    angle = calc.convergence_angle_deg(base, reference_distance_mm=reference)
    assert reference * np.tan(np.radians(angle)) == pytest.approx(base)


def fastest_way(depth, across, index):
    """Return where light that takes the least time leaves the phantom, by golden section."""
    low, high = 0.0, across
    for _ in range(200):
        third = (high - low) / 3
        left, right = low + third, high - third
        times = [index * np.hypot(depth, s) + np.hypot(1000, across - s) for s in (left, right)]
        low, high = (low, right) if times[0] < times[1] else (left, high)
    return (low + high) / 2


@pytest.mark.parametrize("index", [1.33, 1.37, 1.5])
@pytest.mark.parametrize("across", [200.0, 700.0, 1500.0])
def test_the_sight_line_into_a_phantom_is_the_fastest_way(across, index):
    depth = 6.0
    leaves = fastest_way(depth, across, index)
    sight = np.degrees(np.arctan((across - leaves) / 1000))
    shift = calc.phantom_sight_line_shift_mm(depth, sight_angle_deg=sight, phantom_index=index)
    assert depth * np.tan(np.radians(sight)) - leaves == pytest.approx(shift, abs=1e-3)


def test_near_the_normal_the_apparent_depth_explains_the_sight_line():
    shift = calc.phantom_sight_line_shift_mm(6, sight_angle_deg=0.5, phantom_index=1.4)
    apparent = calc.phantom_apparent_depth_mm(6, phantom_index=1.4)
    assert shift == pytest.approx((6 - apparent) * np.tan(np.radians(0.5)), rel=1e-3)
    straight = calc.phantom_sight_line_shift_mm(6, sight_angle_deg=40, phantom_index=1)
    assert straight == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: calc.camera_scale(-220, reference_distance_mm=220), "-220 mm: it must leave the"),
        (lambda: calc.projected_scale(True, reference_distance_mm=220), "True, which is not a n"),
        (
            lambda: calc.registration_error_mm(
                5, baseline_mm=24, reference_distance_mm=220, measured_on="paper"
            ),
            "measured_on is 'paper'",
        ),
        (
            lambda: calc.registration_error_mm(5, baseline_mm=-1, reference_distance_mm=220),
            "baseline between camera and projector is -1 mm: it must be from 0 to 1000 mm",
        ),
        (lambda: calc.limb_drop_mm(31, limb_radius_mm=30), "31 mm: it must be on the limb"),
        (lambda: calc.tilt_stretch(90), "tilt of the skin against the axis is 90 degrees"),
        (
            lambda: calc.registration_error_on_slope_mm(
                -900, tilt_deg=80, baseline_mm=24, reference_distance_mm=220
            ),
            "out of reach of the light",
        ),
        (
            lambda: calc.phantom_apparent_depth_mm(6, phantom_index=0.9),
            "refractive index of the clear phantom is 0.9",
        ),
    ],
)
def test_impossible_input_raises(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_a_row_and_a_column_make_a_table():
    table = calc.registration_error_mm(
        np.array([[-10.0], [0.0], [10.0]]),
        baseline_mm=np.array([0.0, 24.0]),
        reference_distance_mm=220,
    )
    assert table.shape == (3, 2)
    assert table[2, 1] == calc.registration_error_mm(10, baseline_mm=24, reference_distance_mm=220)
