"""CUSUM, learning-curve CUSUM and SPRT against an R package's tests and worked series.

cusum-r-package (read): its tests state the numbers below. Its simulated limits take p1 as
o1 / 1.1 and not o1 / (1 + o1), which at a failure rate of 0.05 and doubled odds is 0.0957 and not
0.0952, too little to matter here. Its exact limit is the sum whose chance is nearest to the one
asked for, even if above it.
"""

import math

import numpy as np
import pytest

from cubital import calc

DOUBLED = {
    "acceptable_failure_rate": 0.05,
    "unacceptable_failure_rate": 0.095238,  # odds 2 * 0.05 / 0.95
}


def chart(p0, p1):
    return {"acceptable_failure_rate": p0, "unacceptable_failure_rate": p1}


@pytest.mark.parametrize(
    ("p0", "p1", "failure", "success"),
    [
        (0.1, 0.2, 0.69315, -0.11778),
        (0.05, 0.1, 0.69315, -0.05407),
        (0.05, 0.095238, 0.64436, -0.04879),
        (0.1, 0.181818, 0.59784, -0.09531),
    ],
)
def test_weights_worked_out_beforehand(p0, p1, failure, success):
    weights = calc.cusum_weights(p0, unacceptable_failure_rate=p1)
    assert weights == pytest.approx((failure, success), abs=2e-5)


@pytest.mark.parametrize(("rate", "doubled"), [(0.05, 0.095238), (0.1, 0.181818)])
def test_doubled_odds(rate, doubled):
    found = calc.failure_rate_after_odds(rate, odds_multiplier=2)
    assert found == pytest.approx(doubled, abs=5e-7)


def test_the_r_packages_path():
    failed = [0, 1, 0, 0, 0, 0, 0, 1, 0, 0]
    expected = [0.00, 0.64, 0.60, 0.55, 0.50, 0.45, 0.40, 1.04, 1.00, 0.95]
    assert calc.cusum_path(failed, **DOUBLED).tolist() == pytest.approx(expected, abs=6e-3)


def test_the_r_packages_risk_adjusted_path():
    """Three failures in patients of risk 0.2, then a success in one of risk 0.001."""
    risks = np.array([0.2, 0.2, 0.2, 0.001])
    raised = calc.failure_rate_after_odds(risks, odds_multiplier=2)
    path = calc.cusum_path([1, 1, 1, 0], **chart(risks, raised))
    assert path.tolist() == pytest.approx([0.51, 1.02, 1.53, 1.53], abs=6e-3)


def test_the_r_packages_exact_limit():
    """1.41227 for 10 patients at 0.1, doubled odds: all 1024 series counted; 0.0511 reach it."""
    p1 = calc.failure_rate_after_odds(0.1, odds_multiplier=2)
    sums, chances = [], []
    for series in range(2**10):
        failed = [series >> place & 1 for place in range(10)]
        sums.append(round(calc.cusum_path(failed, **chart(0.1, p1)).max(), 5))
        chances.append(0.1 ** sum(failed) * 0.9 ** (10 - sum(failed)))
    sums, chances = np.array(sums), np.array(chances)
    assert 1.41227 in sums
    at = chances[sums >= 1.41227].sum()
    assert at == pytest.approx(0.0511, abs=5e-5)
    found = calc.cusum_limit(0.1, unacceptable_failure_rate=p1, attempts=10, runs=100_000)
    above = sums[sums > 1.41227].min()
    assert 1.41227 < found.limit < above
    true = chances[sums >= above].sum()
    assert true <= 0.05
    assert found.signal_chance == pytest.approx(true, abs=4 * 0.0007)


@pytest.mark.parametrize(("runs", "limit"), [(1000, 2.712558), (10_000, 2.8)])
def test_the_r_packages_simulated_limits(runs, limit):
    """By other random numbers: agreement to a step between two sums, 0.15."""
    found = calc.cusum_limit(
        0.05, unacceptable_failure_rate=0.095238, attempts=100, runs=runs, seed=3
    )
    assert found.limit == pytest.approx(limit, abs=0.15)


def test_the_r_packages_chance_of_a_false_signal():
    """0.038 by 10 000 runs at a limit of 2.96, standard error 0.0019; ours by 40 000."""
    found = calc.cusum_signal_chance(
        2.96, failure_rate=0.05, attempts=100, runs=40_000, seed=5, **DOUBLED
    )
    error = math.hypot(0.0019, found.standard_error)
    assert found.value == pytest.approx(0.038, abs=3 * error)


def test_a_worked_page_run():
    failed = [int(mark) for mark in "1001000001"]
    expected = [0.6931, 0.5754, 0.4576, 1.1507, 1.0329, 0.9152, 0.7974, 0.6796, 0.5618, 1.2550]
    path = calc.cusum_path(failed, **chart(0.1, 0.2))
    assert path.tolist() == pytest.approx(expected, abs=6e-5)


def test_a_worked_learning_curve():
    """Failed at 1, 4 and 10, then always right: 1.25 is reached at attempt 21, at 1.2956."""
    failed = [attempt in {1, 4, 10} for attempt in range(1, 41)]
    path = calc.learning_curve_path(failed, **chart(0.1, 0.2))
    assert calc.first_signal(path, control_limit=1.25) == 21
    assert path[20] == pytest.approx(1.2956, abs=5e-5)


def test_a_limit_of_125_takes_a_run_of_eleven():
    path = calc.learning_curve_path([0] * 12, **chart(0.1, 0.2))
    assert calc.first_signal(path, control_limit=1.25) == 11


# Chance of a signal within 50 attempts, worked out with another program (20 000 runs, standard
# error at most 0.004) before this code was written.
LEARNING = [
    (0.10, 0.20, 1.25, 0.973, 0.657),
    (0.10, 0.20, 2.0, 0.806, 0.235),
    (0.10, 0.20, 2.75, 0.517, 0.054),
    (0.10, 0.30, 2.75, 0.986, 0.273),
    (0.10, 0.30, 3.5, 0.948, 0.114),
    (0.20, 0.40, 2.75, 0.950, 0.210),
]


@pytest.mark.parametrize(("p_in", "p_out", "limit", "competent", "incompetent"), LEARNING)
def test_chances_of_a_learning_curve_signal(p_in, p_out, limit, competent, incompetent):
    for rate, expected in ((p_in, competent), (p_out, incompetent)):
        found = calc.learning_curve_signal_chance(
            limit, failure_rate=rate, attempts=50, runs=40_000, seed=11, **chart(p_in, p_out)
        )
        theirs = math.sqrt(expected * (1 - expected) / 20_000)
        error = math.hypot(theirs, found.standard_error)
        assert found.value == pytest.approx(expected, abs=4 * error + 5e-4)


# wald-1947, by hand.
@pytest.mark.parametrize(
    ("p0", "p1", "slope", "upper"),
    [(0.1, 0.2, 0.1452, 2.7095), (0.05, 0.1, 0.0724, 2.9406), (0.2, 0.4, 0.2933, 2.2402)],
)
def test_lines_of_a_sequential_test(p0, p1, slope, upper):
    lines = calc.sprt_lines(
        p0, unacceptable_failure_rate=p1, false_alarm_chance=0.1, missed_chance=0.1
    )
    assert lines == pytest.approx((slope, -upper, upper), abs=5e-5)


def test_a_sequential_test_errs_no_more_than_it_says():
    """Wald's bounds by simulation, 4000 runs of up to 1500 attempts at each rate."""
    lines = calc.sprt_lines(
        0.1, unacceptable_failure_rate=0.25, false_alarm_chance=0.1, missed_chance=0.1
    )
    generator = np.random.default_rng(3)
    for rate, wrong_end in ((0.1, "upper"), (0.25, "lower")):
        failures = (generator.random((4000, 1500)) < rate).cumsum(axis=1)
        middle = lines.slope * np.arange(1, 1501)
        up = (failures >= middle + lines.upper).argmax(axis=1)
        down = (failures <= middle + lines.lower).argmax(axis=1)
        up, down = (np.where(first == 0, 9999, first) for first in (up, down))
        wrong = (up < down) if wrong_end == "upper" else (down < up)
        assert (np.minimum(up, down) < 9999).all()
        assert wrong.mean() <= 0.1 / 0.9 + 4 * 0.005
        assert wrong.mean() > 0.03
