"""Shares with their uncertainty, and how many observed insertions carry a claim."""

from typing import NamedTuple

import numpy as np

from cubital.calc.shared.quantities import checked, single, single_whole
from cubital.calc.shared.units import Number, plain
from cubital.calc.statistics.chance import counts

CONFIDENCE = 0.95  # the customary level
ROUNDING = 1e-12  # a chance above its bound by less, relatively, is at it


class Interval(NamedTuple):
    """A confidence interval."""

    low: Number
    high: Number


class Estimate(NamedTuple):
    """A value with its confidence interval and the number of learners or trials behind it."""

    value: float | None
    low: float | None
    high: float | None
    n: int


@checked(form=single)
def normal_quantile(confidence: float) -> float:
    """Return how many standard errors a two-sided interval reaches to each side."""
    from statistics import NormalDist  # noqa: PLC0415 - on use: it doubles this module's import

    return NormalDist().inv_cdf(0.5 + confidence / 2)


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
    x, n = counts("successes", successes, "trials", trials, parts=True)
    z = normal_quantile(confidence)
    share = np.asarray(x / n)
    middle = share + z**2 / (2 * n)
    half = z * np.sqrt(share * (1 - share) / n + (z / (2 * n)) ** 2)
    scale = 1 + z**2 / n
    low = np.where(share > 0, (middle - half) / scale, 0.0)
    high = np.where(share < 1, (middle + half) / scale, 1.0)
    return Interval(plain(low), plain(high))


def clopper_pearson_interval(
    successes: Number, trials: Number, *, confidence: float = CONFIDENCE
) -> Interval:
    """Return the Clopper-Pearson interval of a share, which holds its level at every share.

    `I_low(x, n - x + 1) = (1 - level)/2` and `I_high(x + 1, n - x) = (1 + level)/2`

    Parameters
    ----------
    successes : float or array
        Number of successes, whole [-]
    trials : float or array
        Number of trials, whole [-]
    confidence : float, optional
        Confidence level [-]

    Returns
    -------
    Interval
        Low and high end of the share [-]

    Notes
    -----
    Trials 1 to 1e9, successes 0 to 1e9 and not more than trials, level 0.5 to 0.999999.
    Independent trials of one constant chance. It covers at least its level, mostly more, so it is
    wider than Wilson's: for a claim that must not be too good.

    Examples
    --------
    >>> low, high = clopper_pearson_interval(9, 10)
    >>> round(low, 3), round(high, 3)
    (0.555, 0.997)

    References
    ----------
    clopper-pearson-1934, dlmf-beta
    """
    from scipy.special import betaincinv  # noqa: PLC0415 - on use: it is slow to load

    x, n = counts("successes", successes, "trials", trials)
    tail = (1 - single("confidence", confidence)) / 2
    some = np.maximum(x, 1)  # without successes the low end is 0
    low = np.where(x > 0, betaincinv(some, n - some + 1, tail), 0.0)
    return Interval(plain(low), plain(_upper_end(x, n, 1 - tail)))


def highest_failure_share(
    failures: Number, *, insertions: Number, confidence: float = CONFIDENCE
) -> Number:
    """Return the highest share of failures that the observed insertions do not rule out.

    `P(at most x failures | share) = 1 - level`; without failures `share = 1 - (1 - level)^(1/n)`

    Parameters
    ----------
    failures : float or array
        Failures among the observed insertions, whole [-]
    insertions : float or array
        Observed insertions, whole [-]
    confidence : float, optional
        Confidence level, one-sided [-]

    Returns
    -------
    float or ndarray
        Upper end of the share of failures [-]

    Notes
    -----
    Insertions 1 to 1000000, failures 0 to 1000000 and not more than insertions, level 0.5 to
    0.999999. Without failures it is close to 3/n at 95 %. Takes insertions as independent and
    alike, and observed without choosing the good ones.

    Examples
    --------
    >>> round(highest_failure_share(0, insertions=10), 3)
    0.259

    References
    ----------
    hanley-1983, clopper-pearson-1934
    """
    x, n = counts("failures", failures, "insertions", insertions)
    return plain(_upper_end(x, n, single("confidence", confidence)))


def _upper_end(x: Number, n: Number, level: float) -> np.ndarray:
    """Return the share at which more than x of n has the chance ``level``; 1 if x is n."""
    from scipy.special import betaincinv  # noqa: PLC0415 - on use: it is slow to load

    others = np.maximum(n - x, 1)
    return np.where(x < n, betaincinv(x + 1, others, level), 1.0)


def insertions_needed(
    claimed_share: float, *, allowed_failures: int = 0, confidence: float = CONFIDENCE
) -> int:
    """Return how many observed insertions carry the claim of a share of success.

    `smallest n with P(at most x failures in n | 1 - share) <= 1 - level`; without failures
    `n = ln(1 - level) / ln(share)`, rounded up

    Parameters
    ----------
    claimed_share : float
        Share of success that is to be claimed at least [-]
    allowed_failures : int, optional
        Failures among the insertions, whole, fixed before they begin [-]
    confidence : float, optional
        Confidence level, one-sided [-]

    Returns
    -------
    int
        Observed insertions needed, the failed ones counted [-]

    Notes
    -----
    Share 0.01 to 0.9999, failures 0 to 1000, level 0.5 to 0.999999. Takes insertions as
    independent and alike. To go on until the count suffices, however many fail, breaks the level.
    A number alone makes nobody competent: an assessor judges how each was done.

    Examples
    --------
    >>> insertions_needed(0.9), insertions_needed(0.9, allowed_failures=1)
    (29, 46)

    References
    ----------
    clopper-pearson-1934, reliability-docs
    """
    from scipy.special import betainc  # noqa: PLC0415 - on use: it is slow to load

    share = single("claimed_share", claimed_share)
    failed = single_whole("allowed_failures", allowed_failures)
    chance_left = (1 - single("confidence", confidence)) * (1 + ROUNDING)

    def is_enough(n: int) -> bool:
        # at most x failures among n, each with chance 1 - share
        return betainc(n - failed, failed + 1, share) <= chance_left

    low = high = failed  # the failed ones alone never carry a claim
    while high == failed or not is_enough(high):
        low, high = high, 2 * high + 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(middle) else (middle, high)
    return high
