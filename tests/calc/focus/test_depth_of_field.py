"""Laws of focus, held against rays drawn through a thin lens."""

import inspect
from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from cubital import calc, tables

DISTANCE = st.floats(60, 2000)
FOCAL = st.floats(2, 40)
NUMBER = st.floats(1, 22)
BLUR = st.floats(0.001, 0.05)


def drawn_blur(place, distance, focal, number):
    """The cone of light from the aperture to its own image, cut where the sensor stands."""
    sensor, image = (1 / (1 / focal - 1 / x) for x in (distance, place))
    return focal / number * abs(image - sensor) / image


@given(DISTANCE, DISTANCE, FOCAL, NUMBER)
def test_the_blur_circle_is_that_of_drawn_rays(place, distance, focal, number):
    blur = calc.blur_circle_mm(
        place, focus_distance_mm=distance, focal_length_mm=focal, f_number=number
    )
    assert blur == pytest.approx(drawn_blur(place, distance, focal, number), rel=1e-6, abs=1e-9)


@given(DISTANCE, FOCAL, NUMBER, BLUR)
def test_near_and_far_end_have_the_blur_that_passes_for_sharp(distance, focal, number, blur):
    lens = {"focal_length_mm": focal, "f_number": number}
    near, far, total = calc.depth_of_field_mm(distance, circle_of_confusion_mm=blur, **lens)
    assert near < distance < far
    assert drawn_blur(max(near, focal + 1e-6), distance, focal, number) == pytest.approx(blur)
    if far < 20_000:
        assert drawn_blur(far, distance, focal, number) == pytest.approx(blur, rel=1e-6)
        assert total == pytest.approx(far - near)
        assert near + far > 2 * distance


@pytest.mark.parametrize(
    ("focal", "number", "blur", "distance"), [(8, 2.8, 0.01, 220), (16, 4, 0.02, 400)]
)
def test_the_ends_are_where_a_root_finder_finds_them(focal, number, blur, distance):
    near, far, _ = calc.depth_of_field_mm(
        distance, focal_length_mm=focal, f_number=number, circle_of_confusion_mm=blur
    )

    def too_much(place):
        return drawn_blur(place, distance, focal, number) - blur

    assert near == pytest.approx(brentq(too_much, focal * 1.01, distance))
    assert far == pytest.approx(brentq(too_much, distance, 100 * distance))


@given(FOCAL, NUMBER, BLUR)
def test_focused_at_the_hyperfocal_distance_all_is_sharp_from_half_of_it_on(focal, number, blur):
    lens = {"f_number": number, "circle_of_confusion_mm": blur}
    hyperfocal = calc.hyperfocal_distance_mm(focal, **lens)
    at = partial(calc.depth_of_field_mm, focal_length_mm=focal, **lens)
    if 20 < hyperfocal < 19_000:
        assert at(hyperfocal).near_mm == pytest.approx(hyperfocal / 2, rel=1e-6)
        assert at(hyperfocal * 1.001).far_mm == np.inf
        assert at(hyperfocal * 0.999).far_mm < np.inf


@given(DISTANCE, FOCAL, st.floats(1, 16), BLUR)
def test_a_smaller_aperture_and_a_shorter_lens_keep_more_sharp(distance, focal, number, blur):
    at = partial(calc.depth_of_field_mm, distance, circle_of_confusion_mm=blur)
    base = at(focal_length_mm=focal, f_number=number).near_mm
    assert at(focal_length_mm=focal, f_number=number * 1.2).near_mm < base
    assert at(focal_length_mm=focal / 1.2, f_number=number).near_mm < base


@given(DISTANCE, DISTANCE, FOCAL, NUMBER)
def test_blur_on_the_skin_is_blur_on_the_sensor_over_the_lens_scale(place, distance, focal, number):
    lens = {"focus_distance_mm": distance, "focal_length_mm": focal, "f_number": number}
    sensor = 1 / (1 / focal - 1 / distance)
    on_sensor = calc.blur_circle_mm(place, **lens)
    assert calc.blur_on_skin_mm(place, **lens) == pytest.approx(on_sensor * place / sensor)


def test_nothing_is_blurred_where_the_lens_is_focused():
    lens = {"focus_distance_mm": 220, "focal_length_mm": 8, "f_number": 2.8}
    assert calc.blur_circle_mm(220, **lens) == 0
    assert calc.blur_on_skin_mm(220, **lens) == 0


@given(st.floats(1, 40), st.floats(100, 600), FOCAL, BLUR)
def test_the_f_number_for_a_window_puts_its_near_end_at_the_window(window, distance, focal, blur):
    number = calc.f_number_for_window(
        window, focus_distance_mm=distance, focal_length_mm=focal, circle_of_confusion_mm=blur
    )
    if 0.7 < number < 64:
        near, far, _ = calc.depth_of_field_mm(
            distance, focal_length_mm=focal, f_number=number, circle_of_confusion_mm=blur
        )
        assert distance - near == pytest.approx(window, rel=1e-6)
        assert far - distance >= window


def test_the_scenario_devices_window_is_within_its_lens_depth_of_field():
    device = calc.scenario_device()
    near, far, _ = calc.depth_of_field_mm(
        device.working_distance_mm,
        focal_length_mm=device.focal_length_mm,
        f_number=device.f_number,
        circle_of_confusion_mm=device.circle_of_confusion_mm,
    )
    assert near <= device.working_distance_mm - device.window_mm
    assert far >= device.working_distance_mm + device.window_mm


def test_arrays_give_what_single_numbers_give():
    distances = np.array([[150.0], [220.0], [6000.0]])
    numbers = np.array([2.0, 2.8])
    near, far, total = calc.depth_of_field_mm(
        distances, focal_length_mm=8, f_number=numbers, circle_of_confusion_mm=0.01
    )
    assert near.shape == far.shape == total.shape == (3, 2)
    one = calc.depth_of_field_mm(220, focal_length_mm=8, f_number=2.8, circle_of_confusion_mm=0.01)
    assert (near[1, 1], far[1, 1], total[1, 1]) == one
    assert all(type(value) is float for value in one)
    assert np.isinf(far[2]).all()


@pytest.mark.parametrize(
    ("function", "change", "message"),
    [
        ("depth", {"focus_distance_mm": 12, "focal_length_mm": 12}, "12 mm: it must be above the"),
        ("depth", {"f_number": 0}, "f-number is 0: it must be from 0.7 to 64"),
        ("depth", {"circle_of_confusion_mm": np.nan}, "passes for sharp is nan mm"),
        ("blur", {"object_distance_mm": -5}, "what is looked at is -5 mm"),
        ("blur", {"focus_distance_mm": np.inf}, "at which it is focused is inf mm"),
        ("window", {"window_mm": 300}, "300 mm: it must be below the distance"),
        ("hyperfocal", {"focal_length_mm": "8"}, "focal length is '8', which is not a number"),
    ],
)
def test_impossible_input_raises(function, change, message):
    usual = {
        "focus_distance_mm": 220,
        "object_distance_mm": 230,
        "focal_length_mm": 8,
        "f_number": 2.8,
        "circle_of_confusion_mm": 0.01,
        "window_mm": 18,
    } | change
    functions = {
        "depth": calc.depth_of_field_mm,
        "blur": calc.blur_circle_mm,
        "window": calc.f_number_for_window,
        "hyperfocal": calc.hyperfocal_distance_mm,
    }
    chosen = functions[function]
    names = list(inspect.signature(chosen).parameters)
    values = [usual[name] for name in names]
    with pytest.raises(ValueError, match=message):
        chosen(values[0], **dict(zip(names[1:], values[1:], strict=True)))


def test_a_distance_that_looks_like_metres_is_remarked():
    assert "distance at which it is focused 2200 mm" in calc.remarks(focus_distance_mm=2200)[0]
    assert tables.limits()["window_mm"].usual_low < tables.profile().window_mm
