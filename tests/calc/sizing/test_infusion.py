"""Laws of drips and times."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc

VOLUME = st.floats(10, 5000)
RATE = st.floats(5, 1500)
FACTOR = st.floats(10, 60)


@given(VOLUME, RATE)
def test_rate_and_time_invert_each_other(volume, rate):
    time = calc.infusion_time_h(volume, rate_ml_per_h=rate)
    if 0.001 <= time <= 1000:
        assert calc.infusion_rate_ml_per_h(volume, time_h=time) == pytest.approx(rate)


@given(VOLUME, RATE, FACTOR)
def test_the_drops_counted_over_the_whole_time_are_the_volume(volume, rate, factor):
    minutes = calc.infusion_time_h(volume, rate_ml_per_h=rate) * 60
    drops = calc.drip_rate_per_min(rate, drop_factor_per_ml=factor) * minutes
    assert drops / factor == pytest.approx(volume)


@given(st.floats(5, 1500))
def test_a_microdrip_set_drops_once_a_minute_for_each_millilitre_an_hour(rate):
    assert calc.drip_rate_per_min(rate, drop_factor_per_ml=60) == pytest.approx(rate)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: calc.drip_rate_per_min(0, drop_factor_per_ml=20), "rate is 0 mL/h"),
        (lambda: calc.drip_rate_per_min(100, drop_factor_per_ml=0), "drop factor is 0 drops/mL"),
        (lambda: calc.infusion_time_h(0, rate_ml_per_h=100), "volume is 0 mL"),
        (lambda: calc.infusion_rate_ml_per_h(500, time_h=0), "time is 0 h"),
    ],
)
def test_nothing_flows_from_nothing(call, message):
    with pytest.raises(ValueError, match=message):
        call()


@pytest.mark.parametrize("factor", [20, 60])
def test_the_standards_drip_of_50_a_minute(factor):
    rate_ml_per_h = 50 / factor * 60
    assert calc.drip_rate_per_min(rate_ml_per_h, drop_factor_per_ml=factor) == pytest.approx(50)


def test_a_free_running_set_empties_a_litre_in_ten_minutes():
    rate = calc.infusion_rate_ml_per_h(1000, time_h=10 / 60)
    assert rate == pytest.approx(6000)
    assert calc.infusion_time_h(1000, rate_ml_per_h=rate) * 60 == pytest.approx(10)


# Worked by hand: 1000 / 8 * 20 / 60 = 41.67; 125 * 15 / 60 = 31.25; 100 * 60 / 60 = 100.
@pytest.mark.parametrize(
    ("rate", "factor", "drops"), [(125, 20, 41.67), (125, 15, 31.25), (100, 60, 100)]
)
def test_textbook_drip_rates(rate, factor, drops):
    found = calc.drip_rate_per_min(rate, drop_factor_per_ml=factor)
    assert found == pytest.approx(drops, abs=0.005)
