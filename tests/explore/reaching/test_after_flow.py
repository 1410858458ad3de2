"""The drip after placement: pressure of the bag against that in the vein."""

import math

import numpy as np
import pytest

from cubital.explore.reaching.after_flow import FlowAfterPlacement

# saline at 22 degrees C from water by IAPWS: 1.02 times the viscosity, 1.0066 times the density
MPA_S, KG_PER_M3, GRAVITY, PA_PER_MMHG = 1.02 * 0.9544, 1004.4, 9.80665, 133.322
BORE_AND_LENGTH_MM = {24: (0.5, 19), 22: (0.6, 25), 20: (0.8, 48), 18: (0.95, 48)}


def numbers(**state):
    return FlowAfterPlacement(**state).show().numbers


def by_hand(gauge, height_mm, back_mmhg):
    """Flow in mL/min by bisection on the pressure balance, in SI units."""
    bore, length = (x / 1000 for x in BORE_AND_LENGTH_MM[gauge])
    pressure = KG_PER_M3 * GRAVITY * height_mm / 1000 - back_mmhg * PA_PER_MMHG
    if pressure <= 0:
        return 0

    def needed(flow):
        speed = flow / (math.pi * bore**2 / 4)
        return 32 * MPA_S / 1000 * length * speed / bore**2 + 2.28 * KG_PER_M3 * speed**2 / 2

    low, high = 0.0, 1e-3
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if needed(middle) < pressure else (low, middle)
    return low * 6e7


@pytest.mark.parametrize("gauge", BORE_AND_LENGTH_MM)
@pytest.mark.parametrize("height", [300, 800, 1200])
@pytest.mark.parametrize("cuff", [0, 20, 60])
def test_flow_balances_the_bag_against_the_vein(gauge, height, cuff):
    # in the vein there are 70 to 80 % of the tourniquet's pressure (hand-vein-cuff-2007)
    n = numbers(gauge=gauge, height_mm=height, cuff_mmhg=cuff)
    off, low, high = (by_hand(gauge, height, share * cuff) for share in (0, 0.8, 0.7))
    assert n.flow_off_ml_per_min == pytest.approx(off, rel=5e-3)
    assert n.flow_low_ml_per_min == pytest.approx(low, rel=5e-3, abs=1e-9)
    assert n.flow_high_ml_per_min == pytest.approx(high, rel=5e-3, abs=1e-9)


@pytest.mark.parametrize("cuff", [10, 40, 80])
def test_it_stands_still_below_the_height_that_balances_the_vein(cuff):
    # 1 mmHg is 13.5 mm of saline (13.595 of mercury over 1.0044)
    n = numbers(cuff_mmhg=cuff)
    assert n.stands_still_mm == pytest.approx(
        [13.595 / 1.0044 * share * cuff for share in (0.7, 0.8)], rel=2e-3
    )
    for still, flows in zip(n.stands_still_mm, n.flows_on, strict=True):
        assert np.all(flows[n.heights_mm < still] == 0)
        assert np.all(flows[n.heights_mm > still] > 0)


def test_a_tourniquet_never_speeds_the_drip_and_none_changes_nothing():
    n = numbers(cuff_mmhg=0)
    assert n.flow_low_ml_per_min == n.flow_high_ml_per_min == n.flow_off_ml_per_min
    on = numbers(cuff_mmhg=30)
    assert on.flow_low_ml_per_min < on.flow_high_ml_per_min < on.flow_off_ml_per_min


def test_alt_and_readings_say_what_the_figure_shows_now():
    figure = FlowAfterPlacement()
    assert "No tourniquet is on" in figure.picture["alt"]
    figure.cuff_mmhg = 80
    assert "left on at 80 mmHg" in figure.picture["alt"]
    assert "start only at 758 to 866 mm" in figure.picture["alt"]
    figure.height_mm = 400
    assert figure.picture["readings"][0][1] == "none: it stands still, or blood comes back"
