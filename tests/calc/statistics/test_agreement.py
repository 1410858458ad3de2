"""Laws of agreement between two assessors."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc


def counts(k):
    row = st.lists(st.integers(0, 30), min_size=k, max_size=k)
    return st.lists(row, min_size=k, max_size=k).filter(lambda rows: np.sum(rows) > 0)


TABLES = st.integers(2, 5).flatmap(counts)
WEIGHTS = st.sampled_from(["none", "linear", "quadratic"])


@given(TABLES, WEIGHTS)
def test_kappa_does_not_know_who_is_first_nor_which_end_is_up(table, weights):
    found = calc.cohen_kappa(table, weights=weights)
    for other in (np.transpose(table), np.array(table)[::-1, ::-1]):
        assert calc.cohen_kappa(other, weights=weights) == pytest.approx(found)
    if found.kappa is not None:
        assert -1 <= found.low <= found.kappa + 1e-12
        assert found.kappa <= found.high + 1e-12
        assert found.high <= 1
        assert 0 <= found.observed <= 1


@given(st.lists(st.integers(1, 50), min_size=2, max_size=5), WEIGHTS)
def test_full_agreement_is_1(diagonal, weights):
    found = calc.cohen_kappa(np.diag(diagonal), weights=weights)
    assert (found.kappa, found.standard_error) == pytest.approx((1, 0), abs=1e-7)


@given(st.lists(st.integers(1, 9), min_size=2, max_size=4), st.lists(st.integers(1, 9), min_size=4))
def test_assessors_who_know_nothing_of_each_other_are_at_0(rows, columns):
    found = calc.cohen_kappa(np.outer(rows, columns[: len(rows)]))
    assert found.kappa == pytest.approx(0, abs=1e-12)


@given(st.lists(st.lists(st.integers(0, 30), min_size=2, max_size=2), min_size=2, max_size=2))
def test_with_two_ratings_weights_change_nothing(table):
    if np.sum(table) == 0:
        return
    plain = calc.cohen_kappa(table)
    for weights in ("linear", "quadratic"):
        assert calc.cohen_kappa(table, weights=weights) == pytest.approx(plain)


def test_near_misses_count_for_more_with_weights():
    near = [[20, 5, 0], [5, 20, 5], [0, 5, 20]]
    far = [[20, 0, 5], [5, 20, 5], [5, 0, 20]]
    gain = [
        calc.cohen_kappa(table, weights="quadratic").kappa - calc.cohen_kappa(table).kappa
        for table in (near, far)
    ]
    assert gain[0] > 0.1 > gain[1]


@pytest.mark.parametrize("seed", [1, 2])
def test_the_interval_holds_its_level_in_repeated_samples(seed):
    """300 samples of 400: the share that holds the true kappa is 0.95, standard error 0.013."""
    chances = np.array([[0.35, 0.1], [0.15, 0.4]])
    true = calc.cohen_kappa(np.round(chances * 1e6)).kappa
    generator = np.random.default_rng(seed)
    samples = generator.multinomial(400, chances.ravel(), size=300).reshape(-1, 2, 2)
    found = [calc.cohen_kappa(sample) for sample in samples]
    held = np.mean([one.low <= true <= one.high for one in found])
    assert held == pytest.approx(0.95, abs=4 * 0.013)


@pytest.mark.parametrize(("table", "end"), [([[5, 0], [1, 4]], 1), ([[0, 5], [4, 1]], -1)])
def test_the_interval_of_a_few_ratings_ends_where_kappa_does(table, end):
    found = calc.cohen_kappa(table)
    assert end in (found.low, found.high)
    assert abs(found.kappa) + 1.96 * found.standard_error > 1


def test_where_all_ratings_are_the_same_kappa_says_nothing():
    found = calc.cohen_kappa([[12, 0], [0, 0]])
    assert found == (None, None, None, None, 1.0, 1.0, 12)


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ([[1, 2, 3], [4, 5, 6]], "must be a square table of counts"),
        ([[1, 2], [3]], "must be a square table of counts"),
        ([[1, 2], [3, -1]], "must be a square table of counts"),
        ([[1, 2], [3, 0.5]], "must be a square table of counts"),
        ([[1, np.nan], [3, 4]], "must be a square table of counts"),
        ([[1]], "must be a square table of counts"),
        ([[0, 0], [0, 0]], "at least one rated performance"),
    ],
)
def test_impossible_tables_raise(table, message):
    with pytest.raises(ValueError, match=message):
        calc.cohen_kappa(table)


def test_unknown_weights_raise():
    with pytest.raises(ValueError, match="must be one of none, linear, quadratic"):
        calc.cohen_kappa([[1, 2], [3, 4]], weights="cubic")
