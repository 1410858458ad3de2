"""How far two assessors agree beyond chance."""

from typing import Any, NamedTuple

import numpy as np

from cubital.calc.statistics.intervals import CONFIDENCE, normal_quantile
from cubital.calc.statistics.item_analysis import numbers

WEIGHTS = ("none", "linear", "quadratic")


class Agreement(NamedTuple):
    """Cohen's kappa with its interval and the two shares that it is made of."""

    kappa: float | None
    low: float | None
    high: float | None
    standard_error: float | None
    observed: float
    expected: float
    n: int


def _credit(k: int, weights: str) -> np.ndarray:
    """Return how much two ratings count as agreeing: 1 for the same, 0 for the farthest apart."""
    if weights not in WEIGHTS:
        raise ValueError(f"weights is {weights!r}: it must be one of {', '.join(WEIGHTS)}")
    if weights == "none":
        return np.eye(k)
    apart = np.abs(np.subtract.outer(np.arange(k), np.arange(k))) / (k - 1)
    return 1 - (apart if weights == "linear" else apart**2)


def cohen_kappa(table: Any, *, weights: str = "none", confidence: float = CONFIDENCE) -> Agreement:
    """Return Cohen's kappa of two assessors, with its large-sample interval.

    `kappa = (po - pe) / (1 - pe)`, `po = sum of w_ij p_ij`, `pe = sum of w_ij p_i. p_.j`; variance
    `(sum of p_ij (w_ij - (w_i + w_j)(1 - kappa))^2 - (kappa - pe (1 - kappa))^2) / (n (1 - pe)^2)`

    Parameters
    ----------
    table : square table of int
        Counts: one row a rating of the first assessor, one column a rating of the second, both in
        the same order [-]
    weights : str, optional
        Credit for near agreement of ordered ratings: none, linear or quadratic [-]
    confidence : float, optional
        Confidence level [-]

    Returns
    -------
    Agreement
        Kappa with low and high end and standard error, observed and expected agreement [-] and
        number of rated performances [-]; kappa None where all ratings are one and the same

    Notes
    -----
    Level 0.5 to 0.999999, two or more ratings. w_i and w_j are the mean credits of a row and of a
    column. The interval is for large samples, cut at -1 and 1. Kappa falls when one rating is
    rare, though the assessors agree as often as before: read it beside the observed agreement.

    Examples
    --------
    >>> round(cohen_kappa([[20, 5], [10, 15]]).kappa, 2)
    0.4

    References
    ----------
    cohen-1960, cohen-1968, fleiss-1969
    """
    shape = "a square table of counts, one row and one column a rating"
    counts = numbers("table", table, shape, dimensions=2)
    k = len(counts)
    if counts.shape != (k, k) or k <= 1 or (counts < 0).any() or (counts % 1 != 0).any():
        raise ValueError(f"table must be {shape}, not {table!r}")
    n = int(counts.sum())
    if n == 0:
        raise ValueError("table is empty: it must count at least one rated performance")
    credit, p = _credit(k, weights), counts / n
    rows, columns = p.sum(axis=1), p.sum(axis=0)
    observed = float((credit * p).sum())
    expected = float(rows @ credit @ columns)
    if np.isclose(expected, 1):
        return Agreement(None, None, None, None, observed, expected, n)
    kappa = (observed - expected) / (1 - expected)
    mean_credit = np.add.outer(credit @ columns, rows @ credit)
    squares = (p * (credit - mean_credit * (1 - kappa)) ** 2).sum()
    variance = (squares - (kappa - expected * (1 - kappa)) ** 2) / (n * (1 - expected) ** 2)
    error = float(np.sqrt(max(variance, 0)))
    half = normal_quantile(confidence) * error
    low, high = max(kappa - half, -1.0), min(kappa + half, 1.0)
    return Agreement(kappa, low, high, error, observed, expected, n)
