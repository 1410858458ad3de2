"""Laws of the sums that follow a learner, and of their simulated limits."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc

RATES = st.tuples(st.floats(0.0001, 0.9), st.floats(1.05, 5)).map(
    lambda pair: {
        "acceptable_failure_rate": pair[0],
        "unacceptable_failure_rate": min(pair[0] * pair[1], 0.999),
    }
)
OUTCOMES = st.lists(st.booleans(), min_size=1, max_size=60)
CHART = {"acceptable_failure_rate": 0.1, "unacceptable_failure_rate": 0.2}


def exact_chance(weights, rate, limit, attempts):
    """Chance that a sum reaches a limit: all sums there can be, with their chances, step by step.

    Sums that agree to nine decimals are one sum.
    """
    at, reached = {0.0: 1.0}, 0.0
    for _ in range(attempts):
        ahead = {}
        for height, chance in at.items():
            for weight, share in ((weights[0], rate), (weights[1], 1 - rate)):
                new = round(max(0.0, height + weight), 9)
                if new >= limit:
                    reached += chance * share
                else:
                    ahead[new] = ahead.get(new, 0.0) + chance * share
        at = ahead
    return reached


@given(OUTCOMES, RATES)
def test_a_sum_is_never_below_0_and_moves_by_its_weights(failed, rates):
    failure, success = calc.cusum_weights(
        rates["acceptable_failure_rate"],
        unacceptable_failure_rate=rates["unacceptable_failure_rate"],
    )
    assert success < 0 < failure
    path = calc.cusum_path(failed, **rates)
    assert len(path) == len(failed)
    assert (path >= 0).all()
    before = 0.0
    for outcome, height in zip(failed, path, strict=True):
        assert height == pytest.approx(max(0, before + (failure if outcome else success)))
        before = height


@given(OUTCOMES, RATES)
def test_a_sum_is_the_log_of_the_best_likelihood_ratio_of_a_change(failed, rates):
    """The CUSUM's other definition: the greatest over all starts of the change."""
    p0, p1 = rates.values()
    ratio = [math.log(p1 / p0) if one else math.log((1 - p1) / (1 - p0)) for one in failed]
    expected = max(sum(ratio[start:]) for start in range(len(ratio) + 1))
    assert calc.cusum_path(failed, **rates)[-1] == pytest.approx(expected, abs=1e-9)
    learned = max(-sum(ratio[start:]) for start in range(len(ratio) + 1))
    assert calc.learning_curve_path(failed, **rates)[-1] == pytest.approx(learned, abs=1e-9)


@given(OUTCOMES, st.data())
def test_one_failure_more_raises_the_one_sum_and_lowers_the_other(failed, data):
    place = data.draw(st.integers(0, len(failed) - 1))
    worse = [*failed[:place], True, *failed[place + 1 :]]
    assert (calc.cusum_path(worse, **CHART) >= calc.cusum_path(failed, **CHART) - 1e-12).all()
    learned = calc.learning_curve_path(failed, **CHART)
    assert (calc.learning_curve_path(worse, **CHART) <= learned + 1e-12).all()


@given(OUTCOMES)
def test_one_rate_for_all_is_that_rate_for_each(failed):
    each = {name: np.full(len(failed), rate) for name, rate in CHART.items()}
    for path in (calc.cusum_path, calc.learning_curve_path):
        assert path(failed, **each).tolist() == path(failed, **CHART).tolist()


@given(st.floats(0, 1), st.floats(0.01, 100))
def test_multiplied_odds_are_multiplied_and_divide_back(rate, ratio):
    changed = calc.failure_rate_after_odds(rate, odds_multiplier=ratio)
    assert 0 <= changed <= 1
    back = calc.failure_rate_after_odds(changed, odds_multiplier=1 / ratio)
    assert back == pytest.approx(rate, abs=1e-9)
    if 0 < rate < 0.99 and changed < 0.999999:
        assert changed / (1 - changed) == pytest.approx(ratio * rate / (1 - rate))


@pytest.mark.parametrize(
    ("path", "limit", "attempt"),
    [([0.5, 1.0, 2.0], 1.0, 2), ([0.5, 1.0], 1.1, None), ([], 1.0, None), ([3, 0], 1, 1)],
)
def test_a_signal_comes_where_the_limit_is_first_reached(path, limit, attempt):
    assert calc.first_signal(path, control_limit=limit) == attempt


@given(RATES, st.floats(0.001, 0.49), st.floats(0.001, 0.49))
def test_the_lines_of_a_sequential_test_turn_with_its_roles(rates, a, b):
    p0, p1 = rates.values()
    lines = calc.sprt_lines(p0, unacceptable_failure_rate=p1, false_alarm_chance=a, missed_chance=b)
    assert p0 < lines.slope < p1
    assert lines.lower < 0 < lines.upper
    turned = calc.sprt_lines(
        1 - p1, unacceptable_failure_rate=1 - p0, false_alarm_chance=b, missed_chance=a
    )
    assert turned.slope == pytest.approx(1 - lines.slope, rel=1e-6)
    assert turned.upper == pytest.approx(-lines.lower, rel=1e-6)


UP, DOWN = calc.cusum_limit, calc.learning_curve_limit
LIMITS = [(UP, 0.1, 0.2, 40), (UP, 0.05, 0.15, 25), (DOWN, 0.1, 0.2, 50), (DOWN, 0.2, 0.4, 50)]


@pytest.mark.parametrize("allowed", [0.01, 0.05, 0.2])
@pytest.mark.parametrize(("limit_of", "p0", "p1", "attempts"), LIMITS)
def test_a_simulated_limit_holds_its_chance_exactly_counted(limit_of, p0, p1, attempts, allowed):
    found = limit_of(
        p0, unacceptable_failure_rate=p1, attempts=attempts, false_signal_chance=allowed
    )
    before, after = (p0, p1) if limit_of is UP else (p1, p0)
    weights = (math.log(after / before), math.log((1 - after) / (1 - before)))
    true = exact_chance(weights, before, found.limit, attempts)
    error = math.sqrt(allowed * (1 - allowed) / found.runs)
    assert found.signal_chance <= allowed
    assert true <= allowed + 4 * error
    assert true == pytest.approx(found.signal_chance, abs=4 * error)
    assert found.standard_error <= error * 1.001


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize("limit_of", [calc.cusum_limit, calc.learning_curve_limit])
def test_a_seed_repeats_itself_and_another_agrees(limit_of, seed):
    chart = {"unacceptable_failure_rate": 0.2, "attempts": 40, "runs": 4000}
    found = limit_of(0.1, seed=seed, **chart)
    assert limit_of(0.1, seed=seed, **chart) == found
    assert found.limit == pytest.approx(limit_of(0.1, seed=seed + 10, **chart).limit, abs=0.35)


@pytest.mark.parametrize("limit_of", [calc.cusum_limit, calc.learning_curve_limit])
def test_a_rarer_false_signal_and_more_attempts_need_a_higher_limit(limit_of):
    def limit(attempts, chance):
        more = {"attempts": attempts, "false_signal_chance": chance, "runs": 4000}
        return limit_of(0.1, unacceptable_failure_rate=0.3, **more).limit

    by_chance = [limit(40, chance) for chance in (0.3, 0.1, 0.02)]
    assert by_chance == sorted(by_chance)
    assert by_chance[0] < by_chance[-1]
    by_attempts = [limit(attempts, 0.05) for attempts in (10, 40, 160)]
    assert by_attempts == sorted(by_attempts)
    assert by_attempts[0] < by_attempts[-1]


def test_where_even_the_highest_sum_is_too_common_no_run_reaches_the_limit():
    found = calc.cusum_limit(
        0.3, unacceptable_failure_rate=0.6, attempts=1, false_signal_chance=0.01
    )
    assert found.limit > math.log(2)
    assert found.signal_chance == 0


@pytest.mark.parametrize(
    ("chance_of", "rate", "expected"),
    [
        (calc.cusum_signal_chance, 0, 0),
        (calc.cusum_signal_chance, 1, 1),
        (calc.learning_curve_signal_chance, 0, 1),
        (calc.learning_curve_signal_chance, 1, 0),
    ],
)
def test_who_never_or_always_fails_is_certain_to_signal_or_not_to(chance_of, rate, expected):
    found = chance_of(2, failure_rate=rate, attempts=40, runs=100, **CHART)
    assert found == (expected, 0, 100)


@pytest.mark.parametrize(
    ("work", "message"),
    [
        (
            lambda: calc.cusum_weights(0.2, unacceptable_failure_rate=0.1),
            "unacceptable failure rate is 0.1: it must be above the acceptable 0.2",
        ),
        (lambda: calc.cusum_weights(0, unacceptable_failure_rate=0.1), "failure rate is 0"),
        (lambda: calc.cusum_path([0, 2], **CHART), "1 where it failed"),
        (lambda: calc.cusum_path(["yes"], **CHART), "1 where it failed"),
        (lambda: calc.cusum_path([[0, 1]], **CHART), "1 where it failed"),
        (
            lambda: calc.learning_curve_path(
                [0, 1, 1], acceptable_failure_rate=[0.1, 0.1], unacceptable_failure_rate=0.2
            ),
            "3 attempts do not match failure rates of shape",
        ),
        (lambda: calc.first_signal([np.nan], control_limit=1), "one finite number an attempt"),
        (lambda: calc.first_signal([1], control_limit=0), "control limit is 0"),
        (lambda: calc.failure_rate_after_odds(0.1, odds_multiplier=0), "odds multiplier is 0"),
        (
            lambda: calc.cusum_limit(0.1, unacceptable_failure_rate=0.2, attempts=2.5),
            "number of attempts is 2.5: it must be a whole number",
        ),
        (
            lambda: calc.cusum_limit([0.1, 0.2], unacceptable_failure_rate=0.3, attempts=9),
            "it must be a single number from",
        ),
        (
            lambda: calc.learning_curve_limit(
                0.1, unacceptable_failure_rate=0.3, attempts=9, seed=-1
            ),
            "seed is -1: it must be a whole number from 0",
        ),
        (
            lambda: calc.sprt_lines(
                0.1, unacceptable_failure_rate=0.3, false_alarm_chance=0.6, missed_chance=0.1
            ),
            "chance of a false alarm is 0.6",
        ),
    ],
)
def test_impossible_charts_raise(work, message):
    with pytest.raises(ValueError, match=message):
        work()
