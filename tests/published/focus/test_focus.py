"""Depth of field, geometry and light against outside values and other libraries.

Beside each check stands its source and how far it was seen.
"""

import numpy as np
import pytest
from scipy.special import gammainc
from sklearn.gaussian_process.kernels import Matern

from cubital import calc


def test_depth_of_field_is_that_of_another_programs_tests():
    """lens-calculator-tests (read): 50 mm at f/16, blur 0.03 mm, focused at 1 m; each to 1 mm."""
    lens = {"f_number": 16, "circle_of_confusion_mm": 0.03}
    assert calc.hyperfocal_distance_mm(50, **lens) == pytest.approx(5258, abs=1)
    near, far, _ = calc.depth_of_field_mm(1000, focal_length_mm=50, **lens)
    assert near == pytest.approx(845, abs=1)
    assert far == pytest.approx(1223, abs=1)


# hecht-optics (memory): the textbook formulas, computed apart from this project. Focal length,
# f-number, blur and distance; hyperfocal distance, near end, far end and depth, in mm.
DEPTHS = [
    (50, 2.8, 0.03, 1000, 29811.9, 969.067, 1032.972, 63.905),
    (50, 8, 0.03, 3000, 10466.67, 2337.905, 4185.268, 1847.363),
    (8, 2, 0.005, 200, 6408.0, 194.175, 206.186, 12.011),
    (8, 4, 0.005, 200, 3208.0, 188.679, 212.766, 24.087),
]


@pytest.mark.parametrize("row", DEPTHS)
def test_depth_of_field_is_that_of_the_textbook(row):
    focal, number, blur, distance, hyperfocal, *ends = row
    lens = {"f_number": number, "circle_of_confusion_mm": blur}
    assert calc.hyperfocal_distance_mm(focal, **lens) == pytest.approx(hyperfocal, rel=1e-5)
    found = calc.depth_of_field_mm(distance, focal_length_mm=focal, **lens)
    assert found == pytest.approx(tuple(ends), abs=1e-3)


@pytest.mark.parametrize(
    ("focal", "number", "focused", "place", "blur"),
    [
        (50, 2.8, 1000, 1100, 0.085441),
        (8, 2, 200, 220, 0.015152),
        (8, 2, 200, 180, 0.018519),
    ],
)
def test_the_blur_circle_is_that_of_the_textbook(focal, number, focused, place, blur):
    """hecht-optics (memory)."""
    found = calc.blur_circle_mm(
        place, focus_distance_mm=focused, focal_length_mm=focal, f_number=number
    )
    assert found == pytest.approx(blur, abs=1e-6)


@pytest.mark.parametrize("error", [-30.0, -5.0, 4.0, 25.0])
def test_registration_seen_by_the_camera_is_the_change_of_disparity(error):
    """stereo-lecture (read): z = f b / d, so d = f b / z; f cancels on the reference plane."""
    focal, baseline, reference = 6.0, 24.0, 220.0
    change = focal * baseline / reference - focal * baseline / (reference + error)
    seen = calc.registration_error_mm(
        error,
        baseline_mm=baseline,
        reference_distance_mm=reference,
        measured_on="reference plane",
    )
    assert seen * focal / reference == pytest.approx(change)


@pytest.mark.parametrize(
    ("baseline", "reference", "error", "on_skin", "on_plane"),
    [(30, 200, 10, 1.5, 1.4286), (30, 200, -10, -1.5, -1.5789), (20, 250, 5, 0.4, 0.3922)],
)
def test_registration_is_that_of_similar_triangles(baseline, reference, error, on_skin, on_plane):
    """stereo-lecture (read) for the geometry; the numbers were computed apart from this project."""
    at = {"baseline_mm": baseline, "reference_distance_mm": reference}
    assert calc.registration_error_mm(error, **at) == pytest.approx(on_skin)
    seen = calc.registration_error_mm(error, measured_on="reference plane", **at)
    assert seen == pytest.approx(on_plane, abs=5e-5)


@pytest.mark.parametrize(
    ("error", "camera", "projector"), [(10, 0.9524, 1.05), (-10, 1.0526, 0.95)]
)
def test_scale_is_that_of_similar_triangles(error, camera, projector):
    """hecht-optics (memory)."""
    assert calc.camera_scale(error, reference_distance_mm=200) == pytest.approx(camera, abs=5e-5)
    assert calc.projected_scale(error, reference_distance_mm=200) == pytest.approx(projector)


@pytest.mark.parametrize(
    ("tilt", "cosine", "span"),
    [(10, 0.98481, 8.68), (20, 0.93969, 17.10), (30, 0.86603, 25.0), (45, 0.70711, 35.36)],
)
def test_tilt_is_that_of_a_table_of_sines_and_cosines(tilt, cosine, span):
    """hecht-optics (memory): four-figure tables."""
    assert 1 / calc.tilt_stretch(tilt) == pytest.approx(cosine, abs=5e-6)
    assert calc.tilt_depth_span_mm(50, tilt_deg=tilt) == pytest.approx(span, abs=0.005)
    assert calc.illuminance_on_tilt_lx(1000, tilt_deg=tilt) == pytest.approx(
        1000 * cosine, abs=0.005
    )


def test_the_tank_of_the_physics_book_is_as_deep_as_it_says():
    """refraction-problems (read): light at 62.0 degrees, n 1.333, goes on at 41.5; 3.00 m across.

    The tank is 3.00 / tan 41.5 = 3.39 m deep; the straight line would have met its floor
    3.39 tan 62.0 = 6.376 m across, 3.376 m farther. Here in millimetres.
    """
    shift = calc.phantom_sight_line_shift_mm(3.39, sight_angle_deg=62.0, phantom_index=1.333)
    assert shift == pytest.approx(3.376, abs=0.01)


@pytest.mark.parametrize(
    ("angle", "shift"), [(10, 0.04855), (20, 0.10616), (30, 0.18535), (45, 0.39739), (60, 0.91624)]
)
def test_the_sight_line_shift_is_that_of_snells_law(angle, shift):
    """hecht-optics (memory), per millimetre of depth at an index of 1.37."""
    found = calc.phantom_sight_line_shift_mm(1, sight_angle_deg=angle, phantom_index=1.37)
    assert found == pytest.approx(shift, abs=5e-6)


@pytest.mark.parametrize(("index", "apparent"), [(1.37, 2.190), (1.4, 2.143)])
def test_the_apparent_depth_is_that_of_the_textbook(index, apparent):
    """hecht-optics (memory)."""
    found = calc.phantom_apparent_depth_mm(3, phantom_index=index)
    assert found == pytest.approx(apparent, abs=5e-4)


def test_light_on_a_picture_and_back_is_that_of_the_textbook():
    """hecht-optics (memory): lux is lumen per square metre; a matt surface gives rho E / pi."""
    lit = calc.picture_illuminance_lx(20, picture_width_mm=100, picture_height_mm=100)
    assert lit == pytest.approx(2000)
    lit = calc.picture_illuminance_lx(20, picture_width_mm=150, picture_height_mm=100)
    assert lit == pytest.approx(1333, abs=0.5)
    luminance = calc.luminance_cd_per_m2(500, surface_reflectance=0.5)
    assert luminance == pytest.approx(79.577, abs=5e-4)


@pytest.mark.parametrize(
    ("lit", "room", "weber", "michelson", "ratio"),
    [(300, 300, 1, 0.3333, 2), (300, 500, 0.6, 0.2308, 1.6), (300, 1000, 0.3, 0.1304, 1.3)],
)
def test_contrasts_are_those_of_their_definitions(lit, room, weber, michelson, ratio):
    """hecht-optics (memory), computed apart from this project."""
    found = calc.picture_contrast(lit, room_lx=room)
    assert found == pytest.approx((weber, michelson, ratio), abs=5e-5)


def test_fifteen_to_one_for_basic_decisions_needs_a_dark_room():
    """image-contrast-2011 (second-hand): 15:1. 1400 lx of picture allow 1400 / 14 = 100 lx."""
    assert calc.room_light_limit_lx(1400, weber_needed=15 - 1) == 100
    assert calc.picture_contrast(1400, room_lx=100).ratio == 15


@pytest.mark.parametrize(
    ("acceleration", "low_um", "high_um"), [(0.0015, 7, 8), (0.01, 50, 51.5), (0.035, 176, 179)]
)
def test_tremor_of_the_normal_hand_is_some_hundredths_of_a_millimetre(
    acceleration, low_um, high_um
):
    """postural-tremor-1982 (abstract): 0.0015 to 0.035 g, mostly 0.01, at about 7 Hz.

    By hand: (2 pi 7)^2 = 1934 per s2; 0.01 x 9807 mm/s2 / 1934 = 0.0507 mm.
    """
    found = 1000 * calc.tremor_amplitude_mm(acceleration, tremor_hz=7)
    assert low_um < found < high_um


@pytest.mark.parametrize("elapsed", [0.01, 0.3, 1.0, 2.5])
def test_the_drift_is_that_of_two_libraries(elapsed):
    """hartikainen-sarkka-2010 (memory); scikit-learn's Matern 3/2 and scipy's incomplete gamma.

    From rest, the spread is that of the third event of a Poisson process of rate 2.
    """
    spread = calc.drift_spread_mm(elapsed * 3, drift_sd_mm=5, drift_time_s=3)
    assert spread == pytest.approx(5 * np.sqrt(gammainc(3, 2 * elapsed)))
    kernel = Matern(length_scale=np.sqrt(3), nu=1.5)
    alike = kernel(np.array([[0.0]]), np.array([[elapsed]]))[0, 0]
    moved = calc.drift_lag_error_mm(5, drift_time_s=1, latency_ms=1000 * elapsed)
    assert moved == pytest.approx(5 * np.sqrt(2 * (1 - alike)), rel=1e-6)


@pytest.mark.parametrize(
    ("background", "arcmin", "difference"),
    [(1, 10, 0.049908), (100, 7.64, 2.392253), (300, 4, 13.705837), (0.7, 3, 0.226796)],
)
def test_the_least_difference_noticed_is_that_of_the_open_code(background, arcmin, difference):
    """adrian-1989 (second-hand): calcDeltaL.m with k = 2.6, light target, two seconds, age 23."""
    found = calc.noticed_difference_cd_per_m2(background, target_arcmin=arcmin)
    assert found == pytest.approx(difference, rel=1e-4)
