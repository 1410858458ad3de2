"""Setting the pass mark of a test by judges."""

from typing import Any, NamedTuple

import numpy as np

from cubital.calc.shared.quantities import check
from cubital.calc.statistics.item_analysis import numbers


class PassMark(NamedTuple):
    """A pass mark with what the judges' spread says of it."""

    cut: float
    share: float
    judge_sd: float | None
    standard_error: float | None
    item_means: tuple[float, ...]
    judges: int


def angoff_pass_mark(ratings: Any) -> PassMark:
    """Return the Angoff pass mark from judges' ratings of each item.

    `cut = mean over judges of (sum over items of rating)`; `standard error = judge SD / sqrt(m)`

    Parameters
    ----------
    ratings : table of float
        One row a judge, one column an item: the share of just-competent learners who would be
        right [-]

    Returns
    -------
    PassMark
        Cut, standard deviation of the judges' cuts and standard error [items], share of all items
        and mean rating of each item [-], number of judges [-]; spread None for a single judge

    Notes
    -----
    Ratings 0 to 1, items of equal weight. The standard error is that of other panels like this
    one on this test; it says nothing of a panel that misjudges together. The pass mark is for
    knowledge: it makes nobody competent.

    Examples
    --------
    >>> mark = angoff_pass_mark([[0.6, 0.8], [0.5, 0.9]])
    >>> round(mark.cut, 2), round(mark.share, 2)
    (1.4, 0.7)

    References
    ----------
    angoff-1971, shulruf-2016
    """
    shape = "a table of finite numbers, one row a judge and one column an item"
    table = numbers("ratings", ratings, shape, dimensions=2)
    if table.size == 0:
        raise ValueError("ratings must have a judge and an item")
    check("angoff_rating", table)
    cuts = table.sum(axis=1)
    judges, items = table.shape
    spread = float(cuts.std(ddof=1)) if judges > 1 else None
    return PassMark(
        cut=float(cuts.mean()),
        share=float(cuts.mean() / items),
        judge_sd=spread,
        standard_error=None if spread is None else spread / float(np.sqrt(judges)),
        item_means=tuple(table.mean(axis=0).tolist()),
        judges=judges,
    )
