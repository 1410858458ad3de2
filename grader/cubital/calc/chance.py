"""Chances of counts: the binomial tail, and success within several attempts."""

import math
from collections.abc import Sequence
from itertools import count

import numpy as np

from cubital import tables
from cubital.calc.quantities import check, written
from cubital.calc.units import Number, plain

CLOSE = 1e-15  # the continued fraction stops where the next step would change it by less
SAME = 1e-13  # two quantiles closer than this, relatively, are one
TINY = 1e-300  # stands for 0 in the continued fraction, which divides by its parts


def whole(quantity: str, value: Number) -> Number:
    """Return a possible whole number as a float; raise on any other."""
    number = check(quantity, value)
    broken = np.not_equal(number, np.floor(number))
    if broken.any():
        first = written(np.asarray(number)[broken].flat[0])
        name = tables.limits()[quantity].quantity
        raise ValueError(f"{name} is {first}: it must be a whole number")
    return number


def counts(
    part: str, part_value: Number, total: str, total_value: Number, *, parts: bool = False
) -> tuple[Number, Number]:
    """Return a count and the count it is part of; ``parts`` allows a sum of part marks."""
    x = (check if parts else whole)(part, part_value)
    n = whole(total, total_value)
    above = np.greater(x, n)
    if above.any():
        first = [written(np.broadcast_to(one, above.shape)[above].flat[0]) for one in (x, n)]
        name, of = tables.limits()[part].quantity, tables.limits()[total].quantity
        raise ValueError(
            f"{name} is {first[0]}: it must be at most the {first[1]} {of.split()[-1]}"
        )
    return x, n


def _log_beta_term(x: float, a: float, b: float) -> float:
    """Return the logarithm of x^a (1 - x)^b / B(a, b)."""
    return (
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    )


def _beta_fraction(x: float, a: float, b: float) -> float:
    """Evaluate dlmf-beta, equation 8.17.22, from its top downwards (Lentz's method)."""
    upper, lower = 1.0, 1.0 - (a + b) * x / (a + 1)
    lower = 1 / (lower if abs(lower) > TINY else TINY)
    value = lower
    for m in count(1):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for step in (even, odd):
            lower = 1 + step * lower
            lower = 1 / (lower if abs(lower) > TINY else TINY)
            upper = 1 + step / upper
            upper = upper if abs(upper) > TINY else TINY
            change = upper * lower
            value *= change
        if abs(change - 1) < CLOSE:
            break
    return value


def beta_chance(x: float, a: float, b: float) -> float:
    """Return the regularised incomplete beta function I_x(a, b)."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    term = math.exp(_log_beta_term(x, a, b))
    if x < (a + 1) / (a + b + 2):
        return term * _beta_fraction(x, a, b) / a
    return 1 - term * _beta_fraction(1 - x, b, a) / b


def beta_quantile(chance: float, a: float, b: float) -> float:
    """Return the x at which I_x(a, b) reaches a chance: Newton's steps within a bracket."""
    low, high, x = 0.0, 1.0, a / (a + b)
    while True:
        gap = beta_chance(x, a, b) - chance
        low, high = (low, x) if gap > 0 else (x, high)
        slope = math.exp(_log_beta_term(x, a, b)) / (x * (1 - x))
        step = x - gap / slope if slope > 0 else low
        if not low < step < high:
            step = (low + high) / 2
        if abs(step - x) <= SAME * x:
            return step
        x = step


def _at_least(successes: float, trials: float, share: float) -> float:
    if successes == 0:
        return 1.0
    return beta_chance(share, successes, trials - successes + 1)


def chance_of_at_least(successes: Number, *, trials: Number, success_share: Number) -> Number:
    """Return the chance of that many successes or more.

    `P = sum over i from x to n of n!/(i! (n - i)!) p^i (1 - p)^(n - i) = I_p(x, n - x + 1)`

    Parameters
    ----------
    successes : float or array
        Number of successes asked for [-]
    trials : float or array
        Number of trials [-]
    success_share : float or array
        Chance of success in each trial [-]

    Returns
    -------
    float or ndarray
        Chance of at least so many successes [-]

    Notes
    -----
    Trials 1 to 1e9, successes 0 to 1e9 and not more than trials, success 0 to 1; whole numbers.
    Independent trials of one constant chance: not a learner who improves, nor patients who differ.

    Examples
    --------
    >>> round(chance_of_at_least(9, trials=10, success_share=0.8), 4)
    0.3758

    References
    ----------
    dlmf-beta
    """
    x, n = counts("successes", successes, "trials", trials)
    share = check("success_share", success_share)
    return plain(np.vectorize(_at_least, otypes=[float])(x, n, share)[()])


def success_within_attempts(success_shares: Sequence[float]) -> float:
    """Return the chance that one of several attempts succeeds.

    `P = 1 - (1 - p1) (1 - p2) ... (1 - pk)`

    Parameters
    ----------
    success_shares : sequence of float
        Share of success at each attempt, among those whose attempts before it failed [-]

    Returns
    -------
    float
        Chance of success within these attempts [-]

    Notes
    -----
    Each share 0 to 1. The shares are conditional: the second is that of patients whose first
    attempt failed, who are the harder ones. How many attempts to make is for local policy.

    Examples
    --------
    >>> round(success_within_attempts([0.8, 0.6]), 2)
    0.92

    References
    ----------
    yan-2016
    """
    shares = np.asarray(check("success_share", success_shares))
    if shares.ndim != 1 or shares.size == 0:
        raise ValueError(f"success_shares must be one share an attempt, not {success_shares!r}")
    return float(1 - np.prod(1 - shares))
