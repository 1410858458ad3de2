"""Limits of infrared light against worked examples. After each, how far the source was seen."""

import pytest

from cubital import calc

# led-worked-examples at 7 s (read); the lamp standard's classes of 10 s and 100 s give 3200 and
# 570 (memory); 100 W/m2 above 1000 s from tracker-led-page (read).
EYE = {7: 4182.63, 10: 3200.9, 100: 569.21, 1000: 100.0, 3600: 100.0}


@pytest.mark.parametrize(("time_s", "expected"), EYE.items())
def test_the_limit_for_cornea_and_lens(time_s, expected):
    assert calc.eye_irradiance_limit_w_per_m2(time_s) == pytest.approx(expected, rel=2e-5)


def test_the_formula_and_the_long_limit_meet_within_two_percent():
    """18000 x 1000^-0.75 is 101.2, the limit from there on 100."""
    assert calc.eye_irradiance_limit_w_per_m2(999.999) == pytest.approx(101.2, abs=0.05)


def test_the_worked_example_of_forty_leds():
    """led-worked-examples (read): 40 x 0.011 W/sr at 120 mm give 30.55 W/m2."""
    found = calc.irradiance_w_per_m2(40 * 0.011, source_distance_mm=120)
    assert found == pytest.approx(30.55, abs=0.01)


def test_the_worked_example_of_the_retina():
    """led-worked-examples (read): 545.5 mW/mm2/sr at 0.011 rad, which is 545455 W/(m2 sr)."""
    found = calc.retina_radiance_limit_w_per_m2_sr(0.011, guideline="iec-62471-2006")
    assert found == pytest.approx(545455, abs=0.5)
    assert found / 1000 == pytest.approx(545.5, abs=0.05)


def test_the_guidelines_for_the_retina_differ_by_five_percent():
    """icnirp-2013, erratum to equation 9: 6300 (read); iec-62471: 6000."""
    newer = calc.retina_radiance_limit_w_per_m2_sr(0.05, guideline="icnirp-2013")
    older = calc.retina_radiance_limit_w_per_m2_sr(0.05, guideline="iec-62471-2006")
    assert newer == pytest.approx(126000)
    assert newer / older == pytest.approx(1.05)


@pytest.mark.parametrize(("time_s", "expected"), [(1, 20000), (10, 35566)])
def test_the_limit_for_skin(time_s, expected):
    """icnirp-2013 (memory)."""
    assert calc.skin_exposure_limit_j_per_m2(time_s) == pytest.approx(expected, abs=0.5)


@pytest.mark.parametrize(
    ("wavelength_nm", "weight", "laser_factor"),
    [(760, 0.7586, 1.3183), (850, 0.5012, 1.9953), (940, 0.3311, 3.0200)],
)
def test_the_weight_for_the_retina_mirrors_the_lasers_wavelength_factor(
    wavelength_nm, weight, laser_factor
):
    """The factor is 10^(0.002 (nm - 700)) in the table of the Norwegian regulation (read)."""
    found = calc.retina_thermal_weight(wavelength_nm)
    assert found == pytest.approx(weight, abs=5e-5)
    assert 1 / found == pytest.approx(laser_factor, abs=5e-4)
