"""Drop factors against the infusion-set standard.

iso-8536-4, clauses 7.8 and 7.10 (text read): 20 or 60 drops of water at 50 drops/min give 1 mL
within 0.1 mL; a 20-drop set gives at least 1000 mL in 10 min.
"""

import pytest

from cubital import tables


@pytest.mark.parametrize("row", tables.drop_factors(), ids=lambda row: row.words)
def test_the_tolerance_of_a_tenth_of_a_millilitre(row):
    assert row.low == pytest.approx(row.drop_factor_per_ml / 1.1, abs=0.05)
    assert row.high == pytest.approx(row.drop_factor_per_ml / 0.9, abs=0.05)


def test_the_sets_of_the_standard_come_first():
    from_standard = [row for row in tables.drop_factors() if row.source == "iso-8536-4"]
    assert [row.drop_factor_per_ml for row in from_standard] == [20, 60]
    assert tables.drop_factors()[:2] == tuple(from_standard)
