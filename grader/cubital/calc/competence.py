"""Shares with their uncertainty, and how well an item of a test works."""

from typing import Any, NamedTuple

import numpy as np

from cubital.calc.quantities import check, written
from cubital.calc.units import Number, plain

CONFIDENCE = 0.95  # the customary level
FISHER_LOST = 3  # the 3 of Fisher's standard error 1 / sqrt(n - 3)


class Interval(NamedTuple):
    """A confidence interval."""

    low: Number
    high: Number


class Estimate(NamedTuple):
    """A value with its confidence interval and the number of learners behind it."""

    value: float | None
    low: float | None
    high: float | None
    n: int


def _normal_quantile(confidence: float) -> float:
    from statistics import NormalDist  # noqa: PLC0415 - on use: it doubles this module's import

    level = float(check("confidence", confidence))
    return NormalDist().inv_cdf(0.5 + level / 2)


def wilson_interval(
    successes: Number, trials: Number, *, confidence: float = CONFIDENCE
) -> Interval:
    """Return the Wilson score interval of a share.

    `(p + z^2/2n -+ z sqrt(p(1 - p)/n + z^2/4n^2)) / (1 + z^2/n)`

    Parameters
    ----------
    successes : float or array
        Number of successes; a sum of part marks may be no whole number [-]
    trials : float or array
        Number of trials [-]
    confidence : float, optional
        Confidence level [-]

    Returns
    -------
    Interval
        Low and high end of the share [-]

    Notes
    -----
    Trials 1 to 1e9, successes 0 to 1e9 and not more than trials, level 0.5 to 0.999999.
    Independent trials of one constant chance; a learner who improves on the way is not that. With
    part marks it is on the wide side.

    Examples
    --------
    >>> low, high = wilson_interval(9, 10)
    >>> round(low, 3), round(high, 3)
    (0.596, 0.982)

    References
    ----------
    wilson-1927, newcombe-1998
    """
    x, n = check("successes", successes), check("trials", trials)
    above = np.greater(x, n)
    if above.any():
        first = [written(np.broadcast_to(part, above.shape)[above].flat[0]) for part in (x, n)]
        raise ValueError(
            f"number of successes is {first[0]}: it must be at most the {first[1]} trials"
        )
    z = _normal_quantile(confidence)
    share = np.asarray(x / n)
    middle = share + z**2 / (2 * n)
    half = z * np.sqrt(share * (1 - share) / n + (z / (2 * n)) ** 2)
    scale = 1 + z**2 / n
    low = np.where(share > 0, (middle - half) / scale, 0.0)
    high = np.where(share < 1, (middle + half) / scale, 1.0)
    return Interval(plain(low), plain(high))


def _scores(name: str, values: Any) -> np.ndarray:
    scores = np.asarray(values, dtype=float)
    if scores.ndim != 1 or not np.isfinite(scores).all():
        raise ValueError(f"{name} must be one finite number a learner, not {values!r}")
    return scores


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
    scores, full = _scores("item_scores", item_scores), float(check("points", points))
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
    half = _normal_quantile(confidence) / np.sqrt(n - FISHER_LOST)
    low, high = np.tanh(np.arctanh(r) + np.array([-half, half]))
    return Estimate(r, float(low), float(high), n)
