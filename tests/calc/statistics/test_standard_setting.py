"""Laws of a pass mark set by judges."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from cubital import calc

RATINGS = st.tuples(st.integers(2, 8), st.integers(1, 8)).flatmap(
    lambda shape: arrays(float, shape, elements=st.floats(0, 1))
)


@given(RATINGS)
def test_a_pass_mark_lies_between_the_judges_own_and_adds_up_from_the_items(ratings):
    mark = calc.angoff_pass_mark(ratings)
    own = ratings.sum(axis=1)
    assert own.min() - 1e-12 <= mark.cut <= own.max() + 1e-12
    assert mark.cut == pytest.approx(sum(mark.item_means))
    assert mark.share == pytest.approx(mark.cut / ratings.shape[1])
    assert mark.judges == len(ratings)
    assert mark.standard_error == pytest.approx(mark.judge_sd / len(ratings) ** 0.5)


@given(RATINGS)
def test_a_panel_four_times_as_large_halves_the_standard_error(ratings):
    one = calc.angoff_pass_mark(ratings)
    four = calc.angoff_pass_mark(np.repeat(ratings, 4, axis=0))
    assert four.cut == pytest.approx(one.cut)
    n = len(ratings)
    lost = ((4 * n - 4) / (4 * n - 1)) ** 0.5  # of the sample's degrees of freedom
    assert four.standard_error == pytest.approx(one.standard_error / 2 * lost, abs=1e-12)


def test_judges_who_agree_have_no_spread_and_one_judge_none_to_speak_of():
    agreed = calc.angoff_pass_mark([[0.5, 0.7]] * 3)
    assert (agreed.judge_sd, agreed.standard_error) == pytest.approx((0, 0), abs=1e-12)
    alone = calc.angoff_pass_mark([[0.5, 0.7]])
    assert (alone.judge_sd, alone.standard_error) == (None, None)
    assert alone.cut == pytest.approx(1.2)


def test_a_worked_panel():
    """Three judges, four items, worked out by hand: 2.6, 2.9 and 2.5 of 4."""
    mark = calc.angoff_pass_mark([[0.6, 0.7, 0.8, 0.5], [0.7, 0.7, 0.9, 0.6], [0.5, 0.8, 0.7, 0.5]])
    assert mark.cut == pytest.approx(2.6667, abs=5e-5)
    assert mark.share == pytest.approx(0.6667, abs=5e-5)
    assert mark.judge_sd == pytest.approx(0.20817, abs=5e-6)
    assert mark.standard_error == pytest.approx(0.12019, abs=5e-6)
    assert mark.item_means == pytest.approx((0.6, 0.7333, 0.8, 0.5333), abs=5e-5)


@pytest.mark.parametrize(
    ("ratings", "message"),
    [
        ([[60, 70]], "rating of an item is 60"),
        ([[0.5, -0.1]], "rating of an item is -0.1"),
        ([[0.5, 0.6], [0.5]], "one row a judge and one column an item"),
        ([0.5, 0.6], "one row a judge and one column an item"),
        ([[0.5, np.nan]], "one row a judge and one column an item"),
        ([[]], "must have a judge and an item"),
    ],
)
def test_impossible_ratings_raise(ratings, message):
    with pytest.raises(ValueError, match=message):
        calc.angoff_pass_mark(ratings)
