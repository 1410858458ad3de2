"""How well the items of a test work: difficulty, discrimination, reliability."""

from typing import Any

import numpy as np

from cubital.calc.shared.quantities import single
from cubital.calc.statistics.intervals import CONFIDENCE, Estimate, normal_quantile, wilson_interval

FISHER_LOST = 3  # the 3 of Fisher's standard error 1 / sqrt(n - 3)


def numbers(name: str, values: Any, shape: str, *, dimensions: int = 1) -> np.ndarray:
    """Return a sequence, or a table, of finite numbers; ``shape`` says in words what it must be."""
    try:
        array = np.asarray(values)
    except ValueError:  # rows of unequal length
        array = np.asarray(None)
    if array.size == 0 and array.ndim == dimensions:
        return array.astype(float)
    if array.dtype.kind not in "biuf" or array.ndim != dimensions or not np.isfinite(array).all():
        raise ValueError(f"{name} must be {shape}, not {values!r}")
    return array.astype(float)


def _scores(name: str, values: Any) -> np.ndarray:
    return numbers(name, values, "one finite number a learner")


def item_difficulty(
    item_scores: Any, *, points: float = 1, confidence: float = CONFIDENCE
) -> Estimate:
    """Return the mean share of an item's points, with the Wilson interval.

    `p = sum of scores / (n * points)`

    Parameters
    ----------
    item_scores : sequence of float
        One score a learner [points]
    points : float, optional
        Points of the item [points]
    confidence : float, optional
        Confidence level [-]

    Returns
    -------
    Estimate
        Share, low and high end [-] and number of learners [-]; None where there is no learner

    Notes
    -----
    Points 0.01 to 1000, level 0.5 to 0.999999. A high share is an easy item. The interval takes
    learners as independent and is on the wide side for part marks.

    Examples
    --------
    >>> item_difficulty([1, 1, 1, 0]).value
    0.75

    References
    ----------
    item-analysis, wilson-1927
    """
    scores, full = _scores("item_scores", item_scores), single("points", points)
    if scores.size == 0:
        return Estimate(None, None, None, 0)
    if scores.min() < 0 or scores.max() > full:
        raise ValueError(f"item_scores has a score outside 0 to {full:g} points")
    low, high = wilson_interval(scores.sum() / full, scores.size, confidence=confidence)
    return Estimate(float(scores.mean() / full), low, high, scores.size)


def item_discrimination(
    item_scores: Any, rest_scores: Any, *, confidence: float = CONFIDENCE
) -> Estimate:
    """Return the correlation of an item with the rest of the test, with Fisher's interval.

    `r = cov(item, rest) / (s_item * s_rest)`; ends `tanh(atanh(r) -+ z / sqrt(n - 3))`

    Parameters
    ----------
    item_scores : sequence of float
        One score a learner on the item [points]
    rest_scores : sequence of float
        The same learners' sums of all other items [points]
    confidence : float, optional
        Confidence level [-]

    Returns
    -------
    Estimate
        Correlation, low and high end [-] and number of learners [-]; None where undefined

    Notes
    -----
    Level 0.5 to 0.999999, any finite scores. Undefined for fewer than 3 learners or when all
    score alike; no interval for fewer than 4, or at a correlation of 1. Fisher's interval supposes
    two normal variables, so with right-or-wrong items it is a rough guide.

    Examples
    --------
    >>> round(item_discrimination([1, 1, 0, 0, 1], [4, 3, 1, 2, 5]).value, 3)
    0.866

    References
    ----------
    item-analysis, fisher-1921
    """
    item, rest = _scores("item_scores", item_scores), _scores("rest_scores", rest_scores)
    if item.size != rest.size:
        raise ValueError(f"{item.size} item scores do not match {rest.size} rest scores")
    n = item.size
    if n <= 2 or np.ptp(item) == 0 or np.ptp(rest) == 0:
        return Estimate(None, None, None, n)
    r = float(np.clip(np.corrcoef(item, rest)[0, 1], -1, 1))
    if n <= FISHER_LOST or np.isclose(abs(r), 1):
        return Estimate(r, None, None, n)
    half = normal_quantile(confidence) / np.sqrt(n - FISHER_LOST)
    low, high = np.tanh(np.arctanh(r) + np.array([-half, half]))
    return Estimate(r, float(low), float(high), n)


def _score_table(scores: Any) -> np.ndarray:
    shape = "a table of finite numbers, one row a learner and one column an item"
    return numbers("scores", scores, shape, dimensions=2)


def cronbach_alpha(scores: Any, *, confidence: float = CONFIDENCE) -> Estimate:
    """Return Cronbach's alpha of a test, with Feldt's interval.

    `alpha = k/(k - 1) (1 - sum of item variances / variance of the sums)`; ends
    `1 - (1 - alpha) F`, with the quantiles of F at n - 1 and (n - 1)(k - 1) degrees of freedom

    Parameters
    ----------
    scores : table of float
        One row a learner, one column an item [points]
    confidence : float, optional
        Confidence level [-]

    Returns
    -------
    Estimate
        Alpha, low and high end [-] and number of learners [-]; None where undefined

    Notes
    -----
    Level 0.5 to 0.999999, any finite scores; both variances are of one kind, sample or population.
    Undefined for fewer than 2 learners or items, or when all sums are alike. It is a property of
    the answers of this cohort, not of the test; a learner with a missing answer is left out by the
    caller. Feldt's interval supposes normal scores.

    Examples
    --------
    >>> round(cronbach_alpha([[1, 1, 1], [1, 1, 0], [1, 0, 0], [0, 0, 0]]).value, 3)
    0.75

    References
    ----------
    cronbach-1951, feldt-1965
    """
    from scipy.special import fdtri  # noqa: PLC0415 - on use: it is slow to load

    table = _score_table(scores)
    n, k = table.shape
    if n <= 1 or k <= 1 or np.isclose(table.sum(axis=1), table.sum(axis=1)[0]).all():
        return Estimate(None, None, None, n)
    of_items, of_sums = table.var(axis=0, ddof=1).sum(), table.sum(axis=1).var(ddof=1)
    alpha = float(k / (k - 1) * (1 - of_items / of_sums))
    tail = (1 - single("confidence", confidence)) / 2
    low, high = (
        1 - (1 - alpha) * fdtri(n - 1, (n - 1) * (k - 1), chance) for chance in (1 - tail, tail)
    )
    return Estimate(alpha, low, high, n)


def kr20(scores: Any, *, confidence: float = CONFIDENCE) -> Estimate:
    """Return the Kuder-Richardson 20 reliability of a test of right-or-wrong items.

    `KR20 = k/(k - 1) (1 - sum of p (1 - p) / variance of the sums)`

    Parameters
    ----------
    scores : table of int or bool
        One row a learner, one column an item: 1 right, 0 wrong [-]
    confidence : float, optional
        Confidence level [-]

    Returns
    -------
    Estimate
        KR-20, low and high end [-] and number of learners [-]; None where undefined

    Notes
    -----
    Level 0.5 to 0.999999. The variance of the sums is the population's (divided by n), as
    p (1 - p) is; the sample's (n - 1) would make it too high. So it is Cronbach's alpha of the
    same scores, with the same interval and the same limits.

    Examples
    --------
    >>> round(kr20([[1, 1, 1], [1, 1, 0], [1, 0, 0], [0, 0, 0]]).value, 3)
    0.75

    References
    ----------
    kuder-richardson-1937, feldt-1965
    """
    table = _score_table(scores)
    if not np.isin(table, (0, 1)).all():
        raise ValueError("scores has a score other than 0 and 1: take cronbach_alpha")
    interval = cronbach_alpha(table, confidence=confidence)
    if interval.value is None:
        return interval
    k, p = table.shape[1], table.mean(axis=0)
    value = k / (k - 1) * (1 - (p * (1 - p)).sum() / table.sum(axis=1).var(ddof=0))
    return interval._replace(value=float(value))
