"""Chances of counts: the binomial tail, and success within several attempts."""

from collections.abc import Sequence

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import check, checked, shown, whole, written
from cubital.calc.shared.units import Number, plain


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


@checked
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
    from scipy.special import betainc  # noqa: PLC0415 - on use: it is slow to load

    x, n = counts("successes", successes, "trials", trials)
    some = np.maximum(x, 1)  # none or more is certain
    return plain(np.where(x > 0, betainc(some, n - some + 1, success_share), 1.0))


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
        raise ValueError(
            f"success_shares must be one share an attempt, not {shown(success_shares)}"
        )
    return float(1 - np.prod(1 - shares))
