"""Laws of items and tests: difficulty, discrimination, reliability."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from cubital import calc

# Six learners by five items, each learner right on the first n items (a Guttman pattern).
GUTTMAN = np.tril(np.ones((6, 5)), k=-1)[::-1]
MARKS = st.lists(st.tuples(st.integers(0, 4), st.integers(0, 30)), min_size=4, max_size=40)


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


def table(rows, columns, highest=3):
    marks = st.integers(0, highest)
    return st.lists(
        st.lists(marks, min_size=columns, max_size=columns), min_size=rows, max_size=rows
    )


TABLES = st.tuples(st.integers(2, 12), st.integers(2, 8)).flatmap(lambda size: table(*size))


@given(TABLES)
def test_alpha_does_not_know_the_order_of_items_or_learners_nor_a_shift(scores):
    alpha = calc.cronbach_alpha(scores)
    turned = np.array(scores)[::-1, ::-1] + np.arange(len(scores[0]))
    other = calc.cronbach_alpha(turned)
    if alpha.value is None:
        assert other.value is None
        return
    assert other.value == pytest.approx(alpha.value)
    assert alpha.value <= 1 + 1e-12
    assert alpha.low <= alpha.value + 1e-9
    assert alpha.low <= alpha.high <= 1 + 1e-12


def test_items_that_all_say_the_same_have_an_alpha_of_1_and_unrelated_ones_of_0():
    same = np.repeat([[0], [1], [1], [0]], 5, axis=1)
    assert calc.cronbach_alpha(same).value == pytest.approx(1)
    unrelated = [[0, 0], [0, 1], [1, 0], [1, 1]]
    assert calc.cronbach_alpha(unrelated).value == pytest.approx(0)
    assert calc.kr20(unrelated).value == pytest.approx(0)


@given(st.integers(3, 12).flatmap(lambda n: table(n, 5, highest=1)))
def test_kr20_is_alpha_of_right_or_wrong_items(scores):
    kr20, alpha = calc.kr20(scores), calc.cronbach_alpha(scores)
    assert (kr20.value is None) == (alpha.value is None)
    if alpha.value is not None:
        assert kr20 == pytest.approx(alpha)


def test_the_sample_variance_would_make_kr20_too_high():
    """The published trap: p (1 - p) goes with the population's variance of the sums."""
    k, p, sums = 5, GUTTMAN.mean(axis=0), GUTTMAN.sum(axis=1)
    wrong = k / (k - 1) * (1 - (p * (1 - p)).sum() / sums.var(ddof=1))
    assert wrong == pytest.approx(0.90278, abs=5e-6)
    assert calc.kr20(GUTTMAN).value < wrong - 0.05


@pytest.mark.parametrize("scores", [[[1, 0]], [[1], [0]], [[1, 0], [0, 1]], [[0.1, 0.2]] * 3])
def test_reliability_is_undefined_for_one_learner_one_item_or_equal_sums(scores):
    assert calc.cronbach_alpha(scores) == (None, None, None, len(scores))


@pytest.mark.parametrize(
    ("work", "message"),
    [
        (lambda: calc.cronbach_alpha([[1, 0], [1]]), "scores must be a table of finite numbers"),
        (lambda: calc.cronbach_alpha([1, 0]), "scores must be a table of finite numbers"),
        (lambda: calc.cronbach_alpha([[1, None], [1, 0]]), "scores must be a table of finite"),
        (lambda: calc.cronbach_alpha([[1, np.inf], [1, 0]]), "scores must be a table of finite"),
        (lambda: calc.kr20([[1, 0.5], [1, 0]]), "take cronbach_alpha"),
        (lambda: calc.item_difficulty(["1", "0"]), "item_scores must be one finite number"),
    ],
)
def test_impossible_tables_of_scores_raise(work, message):
    with pytest.raises(ValueError, match=message):
        work()
