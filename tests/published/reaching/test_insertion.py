"""What studies saw of catheters in veins."""

import pytest
from statsmodels.stats.proportion import proportion_confint

from cubital import calc, tables


# pandurangadu-2018 (abstract): all failed below 30 % in the vein, 32.4 % at 30 to 64 %, none from
# 65 %; 29 of 86 failed, 33.7 %; hazard ratio 0.71 (0.60 to 0.83), so 29 % less for each 5 % more.
@pytest.mark.parametrize(
    ("fraction", "failed"),
    [(0, 1), (0.299, 1), (0.30, 0.324), (0.64, 0.324), (0.649, 0.324), (0.65, 0), (1, 0)],
)
def test_pandurangadus_bands(fraction, failed):
    band = calc.survival_band(fraction, measure="fraction")
    assert (band.failed_share, band.source, band.patients) == (failed, "pandurangadu-2018", 86)


def test_pandurangadus_failures_and_hazard():
    low, high = proportion_confint(29, 86, method="wilson")
    assert low < 0.337 < high
    assert pytest.approx(0.337, abs=5e-4) == 29 / 86
    hazard = calc.failure_hazard_ratio(0.55, reference_fraction=0.50)
    assert 1 - hazard == pytest.approx(0.29)
    constant = tables.constant("hazard-ratio-per-step")
    assert (constant.low, constant.high) == (0.60, 0.83)


# fields-2012 (abstract): survival at 48 h 1.00 below 0.4 cm, 0.62 (0.51 to 0.71) at 0.40 to
# 1.19 cm, 0.29 (0.11 to 0.51) from 1.2 cm; 20G, 48 mm.
@pytest.mark.parametrize(
    ("depth", "survived", "low", "high"),
    [(3.9, 1, None, None), (4, 0.62, 0.51, 0.71), (11.9, 0.62, 0.51, 0.71), (12, 0.29, 0.11, 0.51)],
)
def test_fieldss_depths(depth, survived, low, high):
    band = calc.survival_band(depth, measure="depth")
    assert 1 - band.failed_share == pytest.approx(survived)
    if low is not None:
        assert (1 - band.failed_high, 1 - band.failed_low) == pytest.approx((low, high))


def test_bahls_length_in_the_vein():
    """bahl-2022 (abstract): more than 2.75 cm in the vein, hazard ratio 0.58 (0.37 to 0.90)."""
    assert calc.survival_band(27.4, measure="length").high == 27.5
    longer = calc.survival_band(27.6, measure="length")
    assert "0.58 (0.37 to 0.90)" in longer.standing
