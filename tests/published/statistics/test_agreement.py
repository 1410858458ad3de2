"""Cohen's kappa against textbook tables, statsmodels and scikit-learn."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import cohens_kappa

from cubital import calc

# Textbook tables that circulate (from memory), with observed and expected agreement and kappa.
# The last two: the same observed agreement, another kappa.
TEXTBOOK = [
    ([[20, 5], [10, 15]], 0.70, 0.50, 0.40),
    ([[45, 15], [25, 15]], 0.60, 0.54, 0.1304),
    ([[25, 35], [5, 35]], 0.60, 0.46, 0.2593),
]
THREE = [[44, 5, 1], [7, 20, 3], [9, 5, 6]]


@pytest.mark.parametrize(("table", "observed", "expected", "kappa"), TEXTBOOK)
def test_textbook_tables(table, observed, expected, kappa):
    found = calc.cohen_kappa(table)
    assert (found.observed, found.expected) == pytest.approx((observed, expected))
    assert found.kappa == pytest.approx(kappa, abs=5e-5)
    assert found.n == np.sum(table)


# Worked out with statsmodels 0.15.0 before this code was written.
@pytest.mark.parametrize(
    ("weights", "kappa"), [("none", 0.49153), ("linear", 0.47368), ("quadratic", 0.45455)]
)
def test_weighted_kappa_of_three_ratings(weights, kappa):
    assert calc.cohen_kappa(THREE, weights=weights).kappa == pytest.approx(kappa, abs=5e-6)


def test_the_standard_error_of_three_ratings():
    assert calc.cohen_kappa(THREE).standard_error == pytest.approx(0.07213, abs=5e-6)


def test_words_as_scikit_learn_counts_them():
    """0.6875, worked out with scikit-learn 1.9.1 before this code was written."""
    first, second = ("neg pos neg neu pos", "neg pos neg neu neg")
    labels = ["neg", "neu", "pos"]
    table = np.zeros((3, 3), dtype=int)
    for one, other in zip(first.split(), second.split(), strict=True):
        table[labels.index(one), labels.index(other)] += 1
    assert calc.cohen_kappa(table).kappa == pytest.approx(0.6875)
    assert cohen_kappa_score(first.split(), second.split()) == pytest.approx(0.6875)


ROWS = st.lists(st.integers(0, 25), min_size=4, max_size=4)


@pytest.mark.parametrize("weights", ["none", "linear", "quadratic"])
@given(table=st.lists(ROWS, min_size=4, max_size=4), confidence=st.sampled_from([0.8, 0.95]))
def test_kappa_and_its_standard_error_by_statsmodels_and_scikit_learn(weights, table, confidence):
    table = np.array(table) + np.eye(4, dtype=int) + np.eye(4, k=1, dtype=int)
    found = calc.cohen_kappa(table, weights=weights, confidence=confidence)
    kind = None if weights == "none" else weights
    expected = cohens_kappa(table, wt=kind)
    assert found.kappa == pytest.approx(expected.kappa, abs=1e-12)
    assert found.standard_error == pytest.approx(expected.std_kappa, abs=1e-9)
    half = stats.norm.isf((1 - confidence) / 2) * expected.std_kappa
    ends = (max(expected.kappa - half, -1), min(expected.kappa + half, 1))
    assert (found.low, found.high) == pytest.approx(ends, abs=1e-9)
    rows, columns = np.indices(table.shape)
    first, second = (np.repeat(one.ravel(), table.ravel()) for one in (rows, columns))
    assert found.kappa == pytest.approx(cohen_kappa_score(first, second, weights=kind), abs=1e-9)
