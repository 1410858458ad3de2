"""Decisions on parallel forms: exact, by a closed form, by simulation, and their laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats
from statsmodels.stats.inter_rater import cohens_kappa

from cubital import calc

SPREAD = {"ability_mean": 0.75, "ability_sd": 0.12}
CUT = {"cut_share": 0.67}
USUAL = CUT | SPREAD
A, B = 9.0156, 3.0052  # the beta distribution with that mean and spread


def joint(n: int, least: int) -> np.ndarray:
    """Decisions on two forms of n alike items, from the bivariate beta-binomial in closed form."""
    x, y = np.meshgrid(np.arange(n + 1), np.arange(n + 1))
    logs = (
        np.log(special.comb(n, x))
        + np.log(special.comb(n, y))
        + special.betaln(A + x + y, B + 2 * n - x - y)
        - special.betaln(A, B)
    )
    chance, one, other = np.exp(logs), x >= least, y >= least
    return np.array(
        [[chance[a & b].sum() for b in (other, ~other)] for a in (one, ~one)],
    )


@pytest.mark.parametrize("n", [1, 8, 15, 60, 131])
def test_decisions_agree_as_often_as_the_beta_binomial_in_closed_form_says(n):
    least = int(np.ceil(0.67 * n))
    table = joint(n, least)
    found = calc.decision_consistency([2] * n, **USUAL)
    assert found.share == pytest.approx(np.trace(table), abs=1e-5)
    assert found.kappa == pytest.approx(cohens_kappa(table, return_results=False), abs=1e-4)
    assert found.pass_share == pytest.approx(stats.betabinom(n, A, B).sf(least - 1), abs=1e-5)


@pytest.mark.parametrize("points", [[2] * 15, [2, 2, 3, 0.25, 4], [1] * 20 + [2.5] * 10])
def test_a_simulation_finds_the_same(points):
    exact = calc.decision_consistency(points, **USUAL)
    tried = calc.simulated_consistency(points, **USUAL, runs=200_000)
    assert tried == pytest.approx(exact, abs=0.006)


def test_it_takes_sixty_items_for_decisions_that_agree_in_85_of_100():
    one_sheet, sixty = (calc.decision_consistency([2] * n, **USUAL) for n in (15, 60))
    assert one_sheet.share < 0.75
    assert sixty.share >= 0.85
    assert sixty.kappa >= 0.6


def test_a_cohort_that_is_all_alike_agrees_by_chance():
    alike = calc.decision_consistency([2] * 60, **CUT, ability_mean=0.9, ability_sd=0.02)
    assert alike.share > 0.99
    assert alike.kappa < 0.1


def test_where_everybody_passes_there_is_no_kappa():
    sure = calc.decision_consistency([2] * 99, cut_share=0.01, ability_mean=0.99, ability_sd=0.02)
    assert (sure.share, sure.kappa) == (pytest.approx(1), None)


@given(
    st.lists(st.sampled_from([0.5, 1, 2, 3]), min_size=1, max_size=30),
    st.floats(0.05, 0.95),
    st.floats(0.05, 0.95),
    st.floats(0.02, 0.2),
)
def test_shares_are_shares_and_agreement_is_at_least_that_of_chance(points, cut, mean, spread):
    found = calc.decision_consistency(points, cut_share=cut, ability_mean=mean, ability_sd=spread)
    assert 0.5 - 1e-9 <= found.share <= 1 + 1e-9
    assert -1e-9 <= found.pass_share <= 1 + 1e-9
    assert found.kappa is None or -1e-6 <= found.kappa <= 1 + 1e-9


@given(st.lists(st.sampled_from([1, 2, 3]), min_size=1, max_size=40), st.floats(0, 1))
def test_the_standard_error_is_the_spread_of_the_sum_of_binomials(points, share):
    error = calc.binomial_standard_error(points, ability_share=share)
    groups = [(worth, points.count(worth)) for worth in set(points)]
    variance = sum(worth**2 * stats.binom(n, share).var() for worth, n in groups)
    assert error**2 == pytest.approx(variance)


@pytest.mark.parametrize(
    ("told", "message"),
    [
        ({"ability_sd": 0.45}, "spread of the ability is 0.45: with a mean of 0.75 it must be"),
        ({"ability_mean": 1}, "mean share of items right is 1"),
        ({"cut_share": 0}, "share of the points that passes is 0"),
    ],
)
def test_what_no_cohort_can_be_is_refused(told, message):
    with pytest.raises(ValueError, match=message):
        calc.decision_consistency([2] * 10, **(USUAL | told))


def test_no_items_decide_nothing():
    with pytest.raises(ValueError, match="points of the item"):
        calc.decision_consistency([], **USUAL)
