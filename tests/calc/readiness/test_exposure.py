"""Exposure to infrared light: laws of the limits and of the margins."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc
from cubital.tables import readiness

GUIDELINES = ["icnirp-2013", "iec-62471-2006"]


@given(st.floats(0.001, 15000))
def test_the_longer_the_look_the_lower_the_limit_for_the_eye(time_s):
    shorter, longer = (calc.eye_irradiance_limit_w_per_m2(t) for t in (time_s, 2 * time_s))
    assert longer <= shorter
    assert longer >= 100


@given(st.floats(0.001, 499))
def test_sixteen_times_the_time_allows_an_eighth_of_the_irradiance(time_s):
    later = 16 * time_s
    ratio = calc.eye_irradiance_limit_w_per_m2(time_s) / calc.eye_irradiance_limit_w_per_m2(later)
    if later < 1000:
        assert ratio == pytest.approx(8)
    else:
        assert ratio > 1


@given(st.floats(0.001, 5))
def test_the_skin_takes_a_larger_dose_but_a_smaller_irradiance_in_a_longer_time(time_s):
    short, long = (calc.skin_exposure_limit_j_per_m2(t) for t in (time_s, 2 * time_s))
    assert short < long < 2 * short


@pytest.mark.parametrize("guideline", GUIDELINES)
def test_a_small_source_counts_as_11_and_a_large_one_as_100_thousandths(guideline):
    limit = calc.retina_radiance_limit_w_per_m2_sr(
        np.array([0.001, 0.011, 0.03, 0.1, 1.0]), guideline=guideline
    )
    assert limit[0] == limit[1] > limit[2] > limit[3] == limit[4]
    assert limit[1] * 0.011 == pytest.approx(limit[3] * 0.1)


def test_longer_wavelengths_heat_the_retina_less_and_visible_ones_in_full():
    found = calc.retina_thermal_weight(np.array([650.0, 700.0, 760.0, 850.0, 1000.0]))
    assert found[0] == found[1] == 1
    assert (np.diff(found[1:]) < 0).all()


@given(st.floats(0.001, 1000), st.floats(10, 5000))
def test_twice_the_distance_leaves_a_quarter(intensity, distance_mm):
    near, far = (
        calc.irradiance_w_per_m2(intensity, source_distance_mm=d)
        for d in (distance_mm, 2 * distance_mm)
    )
    assert far == pytest.approx(near / 4)


def test_a_margin_is_the_limit_over_the_exposure_and_says_whether_it_is_kept():
    for distance_mm in (10, 60, 240, 2000):
        found = calc.exposure_margins(exposure_time_s=5, source_distance_mm=distance_mm)
        assert [row.hazard for row in found.margins] == [
            "cornea and lens",
            "skin",
            "retina",
            "retina",
        ]
        for row in found.margins:
            assert row.margin * row.exposure == pytest.approx(row.limit)
            assert row.within == (row.margin >= 1)


def test_the_invented_lamp_worked_by_hand():
    """0.45 W/sr from a disc of 6 mm at 240 mm, 850 nm, 600 s."""
    eye, newer, older = calc.exposure_margins("ring-lamp", exposure_time_s=600).margins
    assert eye.exposure == pytest.approx(0.45 / 0.24**2)
    assert eye.limit == pytest.approx(18000 / 600**0.75)
    radiance = 0.45 / (3.14159265 * 0.003**2) * 10 ** (-150 / 500)
    assert newer.exposure == older.exposure == pytest.approx(radiance)
    assert (newer.limit, older.limit) == pytest.approx((6300 / 0.025, 6000 / 0.025))
    assert (newer.guideline, older.guideline) == tuple(GUIDELINES)
    _, skin, *_ = calc.exposure_margins("ring-lamp", exposure_time_s=4).margins
    assert skin.exposure == pytest.approx(4 * 0.45 / 0.24**2)
    assert skin.limit == pytest.approx(20000 * 2**0.5)


def test_a_lamp_held_too_near_goes_beyond_the_limit():
    near = calc.exposure_margins(exposure_time_s=3600, source_distance_mm=30)
    assert not near.margins[0].within
    assert near.margins[0].margin < 1


def test_skin_has_no_limit_in_numbers_from_ten_seconds_on():
    hazards = [row.hazard for row in calc.exposure_margins(exposure_time_s=10).margins]
    assert "skin" not in hazards
    with pytest.raises(ValueError, match=r"exposure time of the skin is 11 s: .* 0\.001 to 10 s"):
        calc.skin_exposure_limit_j_per_m2(11)


def test_every_source_says_that_it_is_invented_and_who_decides():
    for name, row in readiness.light_sources().items():
        found = calc.exposure_margins(name, exposure_time_s=60)
        assert found.notice == row.notice
        assert "Invented for teaching" in row.notice
        assert "instructions for use" in found.caution


def test_a_distance_that_looks_like_metres_is_remarked_on():
    assert calc.exposure_margins(exposure_time_s=60).remarks == ()
    found = calc.exposure_margins(exposure_time_s=60, source_distance_mm=5000).remarks
    assert [text.split(" is ")[0] for text in found] == ["distance from the source 5000 mm"]


def test_unknown_names_and_several_times_raise():
    with pytest.raises(ValueError, match="no guideline is called 'mine': choose one of icnirp"):
        calc.retina_radiance_limit_w_per_m2_sr(0.02, guideline="mine")
    with pytest.raises(ValueError, match="no source of light is called 'sun'"):
        calc.exposure_margins("sun", exposure_time_s=1)
    with pytest.raises(ValueError, match="it must be a single number from"):
        calc.exposure_margins(exposure_time_s=[1, 2])
