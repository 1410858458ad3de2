"""Following a learner attempt by attempt: CUSUM, learning-curve CUSUM, SPRT."""

from typing import Any, NamedTuple

import numpy as np

from cubital.calc.shared.quantities import check, checked, written
from cubital.calc.shared.units import Number, plain
from cubital.calc.statistics.item_analysis import numbers


class Weights(NamedTuple):
    """What a failed and a successful attempt add to a sum."""

    failure: Number
    success: Number


class SprtLines(NamedTuple):
    """Two parallel lines over the number of attempts, for the number of failures."""

    slope: Number
    lower: Number
    upper: Number


@checked(acceptable="acceptable_failure_rate", unacceptable="unacceptable_failure_rate")
def rates(acceptable: Number, unacceptable: Number) -> tuple[Number, Number]:
    """Return an acceptable and an unacceptable failure rate, the second the higher one."""
    low = acceptable
    high = unacceptable
    wrong = np.greater_equal(low, high)
    if wrong.any():
        first = [written(np.broadcast_to(one, wrong.shape)[wrong].flat[0]) for one in (high, low)]
        raise ValueError(
            f"unacceptable failure rate is {first[0]}: it must be above the acceptable {first[1]}"
        )
    return low, high


@checked
def failure_rate_after_odds(failure_rate: Number, *, odds_multiplier: Number) -> Number:
    """Return the failure rate at which the odds of failure are multiplied.

    `p1 = R o / (1 + R o)` with the odds `o = p / (1 - p)`

    Parameters
    ----------
    failure_rate : float or array
        Failure rate to start from [-]
    odds_multiplier : float or array
        Odds ratio R: 2 doubles the odds of failure [-]

    Returns
    -------
    float or ndarray
        Failure rate with the odds multiplied [-]

    Notes
    -----
    Failure rate 0 to 1, multiplier 0.01 to 100. Doubled odds are a doubled rate only where
    failures are rare.

    Examples
    --------
    >>> round(failure_rate_after_odds(0.1, odds_multiplier=2), 4)
    0.1818

    References
    ----------
    steiner-2000
    """
    p, ratio = failure_rate, odds_multiplier
    return plain(ratio * p / (1 - p + ratio * p))


def cusum_weights(acceptable_failure_rate: Number, *, unacceptable_failure_rate: Number) -> Weights:
    """Return what a failure and a success add to a CUSUM for a rise of the failure rate.

    `failure ln(p1/p0)`, `success ln((1 - p1)/(1 - p0))`

    Parameters
    ----------
    acceptable_failure_rate : float or array
        Acceptable failure rate p0 [-]
    unacceptable_failure_rate : float or array
        Failure rate p1 that must be noticed [-]

    Returns
    -------
    Weights
        Added by a failure (above 0) and by a success (below 0) [-]

    Notes
    -----
    Rates 0.0001 to 0.9999, the acceptable one below the unacceptable one. For a patient of known
    risk, p0 is that risk, and p1 comes from `failure_rate_after_odds`.

    Examples
    --------
    >>> weights = cusum_weights(0.1, unacceptable_failure_rate=0.2)
    >>> round(weights.failure, 3), round(weights.success, 3)
    (0.693, -0.118)

    References
    ----------
    page-1954, steiner-2000
    """
    p0, p1 = rates(acceptable_failure_rate, unacceptable_failure_rate)
    return Weights(plain(np.log(p1 / p0)), plain(np.log((1 - p1) / (1 - p0))))


def _path(failed: Any, weights: Weights) -> np.ndarray:
    """Add up the weights of each attempt, never below 0."""
    outcomes = numbers("failed", failed, "one 0 or 1 an attempt: 1 where it failed")
    if not np.isin(outcomes, (0, 1)).all():
        raise ValueError(f"failed must be one 0 or 1 an attempt: 1 where it failed, not {failed!r}")
    for weight in weights:
        if np.ndim(weight) and np.shape(weight) != outcomes.shape:
            raise ValueError(
                f"{len(outcomes)} attempts do not match failure rates of shape {np.shape(weight)}"
            )
    steps = np.where(outcomes == 1, weights.failure, weights.success)
    height, path = 0.0, []
    for step in steps.tolist():
        height = max(0.0, height + step)
        path.append(height)
    return np.array(path)


def cusum_path(
    failed: Any, *, acceptable_failure_rate: Number, unacceptable_failure_rate: Number
) -> np.ndarray:
    """Return the CUSUM after each attempt, which climbs as failures come too often.

    `S = max(0, S + w)`, with w from `cusum_weights`

    Parameters
    ----------
    failed : sequence of bool
        Outcomes in their order: 1 failed, 0 succeeded [-]
    acceptable_failure_rate : float or sequence
        Acceptable failure rate, one for all or one an attempt [-]
    unacceptable_failure_rate : float or sequence
        Failure rate that must be noticed, one for all or one an attempt [-]

    Returns
    -------
    ndarray
        Sum after each attempt [-]

    Notes
    -----
    Rates 0.0001 to 0.9999, the acceptable one below the unacceptable one. It begins at 0, as if
    the operator were competent, so it watches one who is; for one who learns see
    `learning_curve_path`. It is not reset when it reaches a limit.

    Examples
    --------
    >>> path = cusum_path([1, 0], acceptable_failure_rate=0.1, unacceptable_failure_rate=0.2)
    >>> [round(float(height), 3) for height in path]
    [0.693, 0.575]

    References
    ----------
    page-1954, steiner-2000
    """
    weights = cusum_weights(
        acceptable_failure_rate, unacceptable_failure_rate=unacceptable_failure_rate
    )
    return _path(failed, weights)


def learning_curve_weights(acceptable: Number, unacceptable: Number) -> Weights:
    """Return what a failure and a success add to a learning-curve CUSUM: the CUSUM's turned."""
    weights = cusum_weights(acceptable, unacceptable_failure_rate=unacceptable)
    return Weights(plain(np.negative(weights.failure)), plain(np.negative(weights.success)))


def learning_curve_path(
    failed: Any, *, acceptable_failure_rate: Number, unacceptable_failure_rate: Number
) -> np.ndarray:
    """Return the learning-curve CUSUM after each attempt, which climbs as attempts succeed.

    `S = max(0, S + w)`; w is `ln((1 - p0)/(1 - p1))` for a success, `ln(p0/p1)` for a failure

    Parameters
    ----------
    failed : sequence of bool
        Outcomes in their order: 1 failed, 0 succeeded [-]
    acceptable_failure_rate : float or sequence
        Failure rate p0 of an adequate performance, one for all or one an attempt [-]
    unacceptable_failure_rate : float or sequence
        Failure rate p1 of an inadequate performance, one for all or one an attempt [-]

    Returns
    -------
    ndarray
        Sum after each attempt [-]

    Notes
    -----
    Rates 0.0001 to 0.9999, the acceptable one below the unacceptable one. It begins at 0, as if
    the learner were not competent; a limit once reached says that the series is unlikely for a
    learner who still fails at p1. That is evidence for an assessor, not competence.

    Examples
    --------
    >>> rates = {"acceptable_failure_rate": 0.1, "unacceptable_failure_rate": 0.2}
    >>> [round(float(height), 3) for height in learning_curve_path([1, 0, 0], **rates)]
    [0.0, 0.118, 0.236]

    References
    ----------
    biau-2008, biau-porcher-2010
    """
    return _path(failed, learning_curve_weights(acceptable_failure_rate, unacceptable_failure_rate))


def first_signal(path: Any, *, control_limit: float) -> int | None:
    """Return the attempt at which a sum first reaches its limit.

    `smallest t with S_t >= limit`

    Parameters
    ----------
    path : sequence of float
        Sum after each attempt [-]
    control_limit : float
        Limit that the sum must reach [-]

    Returns
    -------
    int or None
        Number of the attempt, from 1 [-]; None where the limit is never reached

    Notes
    -----
    Limit 0.000001 to 10000, any path. A signal is a reason to look, by an assessor.

    Examples
    --------
    >>> first_signal([0.0, 0.7, 1.3, 0.9], control_limit=1.2)
    3

    References
    ----------
    page-1954, biau-2008
    """
    heights = numbers("path", path, "one finite number an attempt")
    reached = np.flatnonzero(heights >= check("control_limit", control_limit))
    return int(reached[0]) + 1 if reached.size else None


@checked
def sprt_lines(
    acceptable_failure_rate: Number,
    *,
    unacceptable_failure_rate: Number,
    false_alarm_chance: Number,
    missed_chance: Number,
) -> SprtLines:
    """Return the lines of a sequential probability ratio test for the number of failures.

    `slope = Q/(P + Q)`, `upper = ln((1 - b)/a)/(P + Q)`, `lower = -ln((1 - a)/b)/(P + Q)` with
    `P = ln(p1/p0)`, `Q = ln((1 - p0)/(1 - p1))`

    Parameters
    ----------
    acceptable_failure_rate : float or array
        Acceptable failure rate p0 [-]
    unacceptable_failure_rate : float or array
        Unacceptable failure rate p1 [-]
    false_alarm_chance : float or array
        Chance a to call an operator at p0 unacceptable [-]
    missed_chance : float or array
        Chance b to call an operator at p1 acceptable [-]

    Returns
    -------
    SprtLines
        Slope [failures per attempt], and where the lower (acceptable) and the upper (unacceptable)
        line begin [failures]

    Notes
    -----
    Rates 0.0001 to 0.9999, the acceptable one below the unacceptable one; chances 0.0001 to 0.49.
    After n attempts, at or below `lower + slope n` failures the rate is taken as acceptable, at or
    above `upper + slope n` as unacceptable; between them, go on. The chances are Wald's bounds,
    held closely where steps are small.

    Examples
    --------
    >>> lines = sprt_lines(
    ...     0.1, unacceptable_failure_rate=0.2, false_alarm_chance=0.1, missed_chance=0.1
    ... )
    >>> round(lines.slope, 3), round(lines.lower, 2), round(lines.upper, 2)
    (0.145, -2.71, 2.71)

    References
    ----------
    wald-1947
    """
    failure, success = cusum_weights(
        acceptable_failure_rate, unacceptable_failure_rate=unacceptable_failure_rate
    )
    a, b = false_alarm_chance, missed_chance
    whole = failure - success
    lower, upper = -np.log((1 - a) / b) / whole, np.log((1 - b) / a) / whole
    return SprtLines(plain(-success / whole), plain(lower), plain(upper))
