"""Angoff's pass mark against its published definition and an analysis of variance."""

import numpy as np
import pandas
import pytest
from statsmodels.formula.api import ols
from statsmodels.stats.anova import anova_lm

from cubital import calc

PANEL = np.array(
    [[0.6, 0.7, 0.8, 0.5], [0.7, 0.7, 0.9, 0.6], [0.5, 0.8, 0.7, 0.5], [0.4, 0.9, 0.8, 0.3]]
)


def test_the_published_definition():
    """shulruf-2016 (read): estimates are summed across items for each judge; the average of the
    sums across judges is the cut.
    """
    sums = [sum(judge) for judge in PANEL.tolist()]
    assert calc.angoff_pass_mark(PANEL).cut == pytest.approx(sum(sums) / len(sums))


def test_the_judges_spread_by_analysis_of_variance():
    """The mean square of judges is the variance of their means times the number of items."""
    judges, items = np.indices(PANEL.shape)
    frame = pandas.DataFrame(
        {"judge": judges.ravel(), "item": items.ravel(), "rating": PANEL.ravel()}
    )
    table = anova_lm(ols("rating ~ C(judge) + C(item)", frame).fit())
    mean_square = table.loc["C(judge)", "mean_sq"]
    variance_of_sums = mean_square / PANEL.shape[1] * PANEL.shape[1] ** 2
    assert calc.angoff_pass_mark(PANEL).judge_sd == pytest.approx(variance_of_sums**0.5)
