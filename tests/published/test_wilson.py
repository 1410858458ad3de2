"""Wilson's interval against Newcombe's table and statsmodels."""

import pytest
from statsmodels.stats.proportion import proportion_confint

from cubital import calc

# newcombe-1998, table of intervals for four data sets, method 3 (score), from memory.
NEWCOMBE = {
    (81, 263): (0.2553, 0.3662),
    (15, 148): (0.0624, 0.1605),
    (0, 20): (0.0, 0.1611),
    (1, 29): (0.0061, 0.1718),
}


@pytest.mark.parametrize(("counts", "interval"), NEWCOMBE.items())
def test_newcombes_table(counts, interval):
    assert calc.wilson_interval(*counts) == pytest.approx(interval, abs=5e-5)


@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
@pytest.mark.parametrize("counts", [(0, 1), (1, 1), (9, 10), (12, 15), (450, 1000)])
def test_statsmodels(counts, confidence):
    expected = proportion_confint(*counts, alpha=1 - confidence, method="wilson")
    assert calc.wilson_interval(*counts, confidence=confidence) == pytest.approx(
        expected, abs=1e-12
    )


def test_the_interval_of_a_published_success_rate():
    """van Loon 2019 (abstract): 81 % of 3587 adults at the first attempt; ends by statsmodels."""
    low, high = calc.wilson_interval(2906, 3587)
    assert (low, high) == pytest.approx((0.7970, 0.8226), abs=5e-5)
