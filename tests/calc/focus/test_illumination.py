"""Laws of light: no lumen is lost or made, and contrast in its three forms is one thing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc, tables
from cubital.tables.focus import room_light

LUMEN = st.floats(0.5, 200)
SIDE = st.floats(20, 300)
REFERENCE = st.floats(80, 600)
ERROR = st.floats(-60, 60)
LUX = st.floats(1, 20_000)


@given(LUMEN, SIDE, SIDE, ERROR, REFERENCE)
def test_all_the_light_falls_in_the_picture_at_every_distance(lumen, width, height, error, s):
    lit = calc.picture_illuminance_lx(lumen, picture_width_mm=width, picture_height_mm=height)
    there = calc.illuminance_at_distance_lx(lit, distance_error_mm=error, reference_distance_mm=s)
    grown = calc.projected_scale(error, reference_distance_mm=s)
    area_m2 = width / 1000 * grown * height / 1000 * grown
    assert there * area_m2 == pytest.approx(lumen)


@given(LUMEN, SIDE, SIDE, st.floats(-80, 80))
def test_all_the_light_falls_in_the_picture_at_every_tilt(lumen, width, height, tilt):
    lit = calc.picture_illuminance_lx(lumen, picture_width_mm=width, picture_height_mm=height)
    tilted = calc.illuminance_on_tilt_lx(lit, tilt_deg=tilt)
    area_m2 = width / 1000 * calc.tilt_stretch(tilt) * height / 1000
    assert tilted * area_m2 == pytest.approx(lumen)


@given(LUX, st.floats(0, 1))
def test_a_matt_surface_gives_back_its_share_over_the_half_sphere(lux, reflectance):
    luminance = calc.luminance_cd_per_m2(lux, surface_reflectance=reflectance)
    angle = np.linspace(0, np.pi / 2, 20_001)
    given_back = np.trapezoid(luminance * np.cos(angle) * 2 * np.pi * np.sin(angle), angle)
    assert given_back == pytest.approx(reflectance * lux, rel=1e-6)


@given(LUX, LUX, st.floats(0.05, 1))
def test_the_three_contrasts_are_those_of_the_luminances(lit, room, reflectance):
    bright, dark = (
        calc.luminance_cd_per_m2(lux, surface_reflectance=reflectance) for lux in (lit + room, room)
    )
    contrast = calc.picture_contrast(lit, room_lx=room)
    assert contrast.weber == pytest.approx((bright - dark) / dark)
    assert contrast.michelson == pytest.approx((bright - dark) / (bright + dark))
    assert contrast.ratio == pytest.approx(bright / dark)


@given(LUX, LUX)
def test_contrasts_follow_from_each_other_and_fall_with_room_light(lit, room):
    contrast = calc.picture_contrast(lit, room_lx=room)
    assert contrast.ratio == pytest.approx(contrast.weber + 1)
    assert contrast.michelson == pytest.approx(contrast.weber / (contrast.weber + 2))
    assert 0 < contrast.michelson < 1
    lighter = calc.picture_contrast(lit, room_lx=room * 1.1)
    assert all(less < more for less, more in zip(lighter, contrast, strict=True))


@given(LUX, st.floats(0.01, 20))
def test_at_the_room_light_limit_the_contrast_is_the_one_needed(lit, needed):
    limit = calc.room_light_limit_lx(lit, weber_needed=needed)
    if 0.01 <= limit <= 200_000:
        assert calc.picture_contrast(lit, room_lx=limit).weber == pytest.approx(needed)


def test_room_light_rises_from_night_to_the_procedure_lamp():
    levels = [row.illuminance_lx for row in room_light().values()]
    assert levels == sorted(levels)
    limit = tables.limits()["room_lx"]
    for row in room_light().values():
        assert limit.low <= row.low_lx <= row.illuminance_lx <= row.high_lx <= limit.high


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: calc.picture_contrast(2000, room_lx=0), "by the room light is 0 lx"),
        (
            lambda: calc.picture_illuminance_lx(0, picture_width_mm=96, picture_height_mm=72),
            "light output is 0 lm",
        ),
        (lambda: calc.illuminance_on_tilt_lx(-1, tilt_deg=0), "illuminance is -1 lx"),
        (
            lambda: calc.luminance_cd_per_m2(10, surface_reflectance=1.2),
            "surface gives back is 1.2: it must be from 0 to 1",
        ),
        (lambda: calc.room_light_limit_lx(2000, weber_needed=[1, None]), "is not a number"),
    ],
)
def test_impossible_input_raises(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_arrays_give_what_single_numbers_give():
    rooms = np.array([50.0, 500.0])
    contrast = calc.picture_contrast(np.array([[2000.0], [800.0]]), room_lx=rooms)
    assert contrast.weber.shape == (2, 2)
    assert contrast.weber[1, 1] == calc.picture_contrast(800, room_lx=500).weber == 1.6
