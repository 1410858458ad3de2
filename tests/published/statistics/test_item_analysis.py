"""Reliability of tests against worked examples and pingouin."""

import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # of the libraries that it imports
    import pandas
    import pingouin

# Six learners by five items, each learner right on the first n items (a Guttman pattern), worked
# out with numpy before this code was written: p .8333 to .1667, variance of the sums 2.91667.
GUTTMAN = np.tril(np.ones((6, 5)), k=-1)[::-1]


def test_a_worked_guttman_pattern():
    assert calc.kr20(GUTTMAN).value == pytest.approx(0.83333, abs=5e-6)
    assert calc.cronbach_alpha(GUTTMAN).value == pytest.approx(0.83333, abs=5e-6)


def test_pingouins_example_of_right_or_wrong_items():
    """Its documentation (read): 0.7380 with missing answers at the median, 0.447 to 0.911."""
    data = pingouin.read_dataset("cronbach_wide_missing")
    scores = data.fillna(data.median()).to_numpy()
    for found in (calc.kr20(scores), calc.cronbach_alpha(scores)):
        assert found.value == pytest.approx(0.7380191693290734)
        assert (found.low, found.high) == pytest.approx((0.447, 0.911), abs=5e-4)
        assert found.n == 12


def test_pingouins_example_without_the_learners_who_left_answers_out():
    """Its documentation (read): 0.8017 for the nine complete rows, as R's psych says too."""
    scores = pingouin.read_dataset("cronbach_wide_missing").dropna().to_numpy()
    assert calc.cronbach_alpha(scores).value == pytest.approx(0.8016949152542373)
    assert calc.cronbach_alpha(scores).n == 9


def test_pingouins_example_of_a_questionnaire():
    """Its documentation (read): 0.5917, 0.195 to 0.840."""
    long = pingouin.read_dataset("cronbach_alpha")
    found = calc.cronbach_alpha(long.pivot(index="Subj", columns="Items", values="Scores"))
    assert found.value == pytest.approx(0.5917188485995826)
    assert (found.low, found.high) == pytest.approx((0.195, 0.840), abs=5e-4)


@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
@given(seed=st.integers(0, 10**6), learners=st.integers(3, 40), items=st.integers(2, 12))
def test_alpha_and_feldts_interval_by_pingouin(confidence, seed, learners, items):
    generator = np.random.default_rng(seed)
    ability = generator.normal(size=(learners, 1))
    scores = np.round(ability + generator.normal(size=(learners, items)), 1)
    expected, ends = pingouin.cronbach_alpha(data=pandas.DataFrame(scores), ci=confidence)
    found = calc.cronbach_alpha(scores, confidence=confidence)
    assert found.value == pytest.approx(expected, rel=1e-9, abs=1e-9)
    assert (found.low, found.high) == pytest.approx(ends, abs=5.1e-4)  # it rounds to 3 digits
