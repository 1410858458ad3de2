"""Shares and items with their uncertainty."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from cubital import calc

# Six learners by five items, each learner right on the first n items (a Guttman pattern).
GUTTMAN = np.tril(np.ones((6, 5)), k=-1)[::-1]
MARKS = st.lists(st.tuples(st.integers(0, 4), st.integers(0, 30)), min_size=4, max_size=40)


@given(st.integers(1, 500), st.data())
def test_a_wilson_interval_holds_its_share_and_mirrors(trials, data):
    successes = data.draw(st.integers(0, trials))
    low, high = calc.wilson_interval(successes, trials)
    assert 0 <= low <= successes / trials <= high <= 1
    mirror_low, mirror_high = calc.wilson_interval(trials - successes, trials)
    assert (low, high) == pytest.approx((1 - mirror_high, 1 - mirror_low), abs=1e-12)


def test_more_trials_and_less_confidence_narrow_the_interval():
    def width(*args, **more):
        low, high = calc.wilson_interval(*args, **more)
        return high - low

    assert width(80, 100) < width(8, 10)
    assert width(8, 10, confidence=0.8) < width(8, 10)


def test_wilson_broadcasts():
    low, high = calc.wilson_interval(np.array([0, 9]), np.array([20, 10]))
    assert low == pytest.approx([0, 0.5958], abs=5e-5)
    assert high == pytest.approx([0.1611, 0.9821], abs=5e-5)


@pytest.mark.parametrize(
    ("args", "message"),
    [
        ((1, 0), "number of trials is 0"),
        ((-1, 5), "number of successes is -1"),
        ((6, 5), "at most the 5 trials"),
        ((1.5, "5"), "number of trials is '5'"),
    ],
)
def test_impossible_counts_raise(args, message):
    with pytest.raises(ValueError, match=message):
        calc.wilson_interval(*args)


def test_difficulty_is_the_share_of_points_with_wilsons_interval():
    # 12 of 15 right: 0.5481 to 0.9295 by statsmodels
    estimate = calc.item_difficulty([2] * 12 + [0] * 3, points=2)
    assert estimate.value == pytest.approx(0.8)
    assert estimate.low == pytest.approx(0.5481, abs=5e-5)
    assert estimate.high == pytest.approx(0.9295, abs=5e-5)
    assert estimate.n == 15


def test_an_item_that_nobody_answered_has_no_difficulty():
    assert calc.item_difficulty([]) == (None, None, None, 0)


@pytest.mark.parametrize("scores", [[3], [-1], [np.nan], [[1, 0]]])
def test_impossible_scores_raise(scores):
    with pytest.raises(ValueError, match="item_scores"):
        calc.item_difficulty(scores, points=2)


def test_discrimination_of_a_guttman_pattern():
    # .5000 .7016 .7746 .7016 .5000, worked out with numpy before this code was written
    found = [calc.item_discrimination(item, GUTTMAN.sum(axis=1) - item).value for item in GUTTMAN.T]
    assert found == pytest.approx([0.5, 0.7016, 0.7746, 0.7016, 0.5], abs=5e-5)


@given(MARKS)
def test_discrimination_agrees_with_scipy(marks):
    item, rest = np.array(marks, dtype=float).T
    estimate = calc.item_discrimination(item, rest)
    if np.ptp(item) == 0 or np.ptp(rest) == 0:
        assert estimate == (None, None, None, len(marks))
        return
    expected = stats.pearsonr(item, rest)
    assert estimate.value == pytest.approx(expected.statistic)
    if abs(expected.statistic) < 0.999:
        interval = expected.confidence_interval(0.95)
        assert (estimate.low, estimate.high) == pytest.approx((interval.low, interval.high))
    if abs(expected.statistic) > 1 - 1e-12:
        assert (estimate.low, estimate.high) == (None, None)


def test_too_few_learners_give_no_interval_and_fewer_no_value():
    assert calc.item_discrimination([0, 1, 1], [1, 2, 4]).low is None
    assert calc.item_discrimination([0, 1, 1], [1, 2, 4]).value is not None
    assert calc.item_discrimination([0, 1], [1, 2]) == (None, None, None, 2)


def test_scores_of_different_learners_raise():
    with pytest.raises(ValueError, match="3 item scores do not match 2 rest scores"):
        calc.item_discrimination([0, 1, 1], [1, 2])
