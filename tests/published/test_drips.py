"""Drips against the infusion-set standard.

iso-8536-4, clauses 7.8 and 7.10 (text read): 20 or 60 drops of water at 50 drops/min give 1 mL
within 0.1 mL; a 20-drop set gives at least 1000 mL in 10 min.
"""

import pytest

from cubital import calc, tables


@pytest.mark.parametrize("factor", [20, 60])
def test_the_standards_drip_of_50_a_minute(factor):
    rate_ml_per_h = 50 / factor * 60
    assert calc.drip_rate_per_min(rate_ml_per_h, drop_factor_per_ml=factor) == pytest.approx(50)


@pytest.mark.parametrize("row", tables.drop_factors(), ids=lambda row: row.words)
def test_the_tolerance_of_a_tenth_of_a_millilitre(row):
    assert row.low == pytest.approx(row.drop_factor_per_ml / 1.1, abs=0.05)
    assert row.high == pytest.approx(row.drop_factor_per_ml / 0.9, abs=0.05)


def test_the_sets_of_the_standard_come_first():
    from_standard = [row for row in tables.drop_factors() if row.source == "iso-8536-4"]
    assert [row.drop_factor_per_ml for row in from_standard] == [20, 60]
    assert tables.drop_factors()[:2] == tuple(from_standard)


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
