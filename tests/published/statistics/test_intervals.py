"""Intervals and claims against published tables and studies, statsmodels and plain sums."""

import math

import numpy as np
import pytest
from statsmodels.stats.proportion import proportion_confint

from cubital import calc, tables

COUNTS = pytest.mark.parametrize(
    "counts", [(0, 1), (1, 1), (9, 10), (12, 15), (450, 1000), (3, 10**6), (10**9 - 1, 10**9)]
)

# newcombe-1998, table of intervals for four data sets, methods 3 (score) and 5 (Clopper-Pearson),
# from memory.
NEWCOMBE = {
    (81, 263): ((0.2553, 0.3662), (0.2527, 0.3676)),
    (15, 148): ((0.0624, 0.1605), (0.0578, 0.1617)),
    (0, 20): ((0.0, 0.1611), (0.0, 0.1684)),
    (1, 29): ((0.0061, 0.1718), (0.0009, 0.1776)),
}


@pytest.mark.parametrize(("counts", "intervals"), NEWCOMBE.items())
def test_newcombes_table(counts, intervals):
    score, exact = intervals
    assert calc.wilson_interval(*counts) == pytest.approx(score, abs=5e-5)
    assert calc.clopper_pearson_interval(*counts) == pytest.approx(exact, abs=5e-5)


@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
@COUNTS
def test_wilsons_interval_by_statsmodels(counts, confidence):
    expected = proportion_confint(*counts, alpha=1 - confidence, method="wilson")
    assert calc.wilson_interval(*counts, confidence=confidence) == pytest.approx(
        expected, abs=1e-12
    )


@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.95, 0.99, 0.999999])
@COUNTS
def test_the_clopper_pearson_interval_by_statsmodels(counts, confidence):
    expected = proportion_confint(*counts, alpha=1 - confidence, method="beta")
    assert calc.clopper_pearson_interval(*counts, confidence=confidence) == pytest.approx(
        expected, rel=1e-8
    )


@pytest.mark.parametrize("level", [0.5, 0.9375, 0.95, 0.96875, 0.999999])
@pytest.mark.parametrize("trials", [1, 20, 1036, 1065, 10**6])
def test_the_clopper_pearson_interval_of_all_and_of_none(trials, level):
    """clopper-pearson-1934 (memory): all of n succeed with chance p^n, so p is the root of it."""
    low = ((1 - level) / 2) ** (1 / trials)
    assert calc.clopper_pearson_interval(trials, trials, confidence=level) == pytest.approx(
        (low, 1), rel=1e-9
    )
    none = calc.clopper_pearson_interval(0, trials, confidence=level)
    assert none == pytest.approx((0, -math.expm1(math.log((1 - level) / 2) / trials)), rel=1e-9)


def test_the_interval_of_a_published_success_rate():
    """van-loon-2019 (abstract): 81 % of 3587 adults at the first attempt; ends by statsmodels."""
    low, high = calc.wilson_interval(2906, 3587)
    assert (low, high) == pytest.approx((0.7970, 0.8226), abs=5e-5)
    row = tables.constant("first-attempt-success-adults")
    assert (row.low, row.high) == pytest.approx((low, high), abs=5e-4)


def test_a_published_interval_of_a_learning_group():
    """stolz-2016 (abstract): 88.24 % of 1077 attempts, 86.3 to 90.2 %, by the normal formula.

    The formula of that interval is symmetric; Wilson's lies a little lower, by about z^2/n.
    """
    low, high = calc.wilson_interval(0.8824 * 1077, 1077)
    assert (low, high) == pytest.approx((0.863, 0.902), abs=3.84 / 1077)
    assert low < 0.863
    assert high < 0.902


def test_published_success_within_two_attempts():
    """yan-2016 (read): first 86.02 %, second 67.61 % of the rest, within two 95.47 %."""
    shares = [tables.constant(f"{n}-attempt-success-children").value for n in ("first", "second")]
    assert shares == [0.8602, 0.6761]
    assert calc.success_within_attempts(shares) == pytest.approx(0.9547, abs=5e-5)


@pytest.mark.parametrize(
    ("share", "failures", "confidence", "needed"),
    [
        (0.999, 0, 0.95, 2995),  # reliability-docs (read)
        (0.9, 0, 0.95, 29),  # reliability-sample-table (second-hand), as are the next three
        (0.95, 0, 0.95, 59),
        (0.9, 1, 0.95, 46),
        (0.99, 0, 0.9, 230),
        (0.9, 2, 0.95, 61),  # the same series, from memory, as is the next
        (0.9, 3, 0.95, 76),
    ],
)
def test_published_numbers_for_a_claim(share, failures, confidence, needed):
    found = calc.insertions_needed(share, allowed_failures=failures, confidence=confidence)
    assert found == needed


# hanley-1983 (memory), exact form 1 - 0.05^(1/n) beside the rule of three.
@pytest.mark.parametrize(
    ("insertions", "exact"), [(10, 0.2589), (22, 0.1273), (30, 0.0950), (50, 0.0582)]
)
def test_no_failures_and_the_rule_of_three(insertions, exact):
    found = calc.highest_failure_share(0, insertions=insertions)
    assert found == pytest.approx(exact, abs=5e-5)
    assert found == pytest.approx(3 / insertions, rel=0.16)
    assert np.all(calc.highest_failure_share(0, insertions=np.array([insertions])) == found)
