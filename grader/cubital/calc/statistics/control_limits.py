"""Limits of CUSUM charts that hold a chance of a false signal, by simulation."""

from typing import NamedTuple

import numpy as np

from cubital.calc.shared.quantities import checked, single, single_whole
from cubital.calc.statistics.learning_curve import Weights, cusum_weights, learning_curve_weights

FALSE_SIGNALS = 0.05  # the customary chance of a signal that should not be
RUNS = 20_000  # puts the standard error of a 5 % chance at 0.15 %
SEED = 1  # any whole number: it only makes a simulation repeat itself
DIGITS = 9  # sums that agree to so many decimals are one


class ControlLimit(NamedTuple):
    """A limit with the chance of a signal that the simulation found for it."""

    limit: float
    signal_chance: float
    standard_error: float
    attempts: int
    runs: int


class SignalChance(NamedTuple):
    """A chance found by simulation."""

    value: float
    standard_error: float
    runs: int


def _highest(weights: Weights, rate: float, attempts: int, runs: int, seed: int) -> np.ndarray:
    """Simulate runs of attempts that fail at one rate; return the highest sum of each run."""
    if isinstance(seed, bool) or not isinstance(seed, int | np.integer) or seed < 0:
        raise ValueError(f"seed is {seed!r}: it must be a whole number from 0")
    generator = np.random.Generator(np.random.PCG64(seed))
    height, highest = np.zeros(runs), np.zeros(runs)
    for _ in range(attempts):
        failed = generator.random(runs) < rate
        height = np.maximum(0, height + np.where(failed, weights.failure, weights.success))
        np.maximum(highest, height, out=highest)
    return highest


def _standard_error(chance: float, runs: int) -> float:
    return float(np.sqrt(chance * (1 - chance) / runs))


def _limit(
    weights: Weights, rate: float, *, attempts: float, chance: float, runs: float, seed: int
) -> ControlLimit:
    """Take the limit half-way below the lowest sum that few enough runs reach."""
    attempts, runs = single_whole("attempts", attempts), single_whole("runs", runs)
    allowed = single("false_signal_chance", chance)
    highest = np.round(_highest(weights, rate, attempts, runs, seed), DIGITS)
    sums, runs_at = np.unique(highest, return_counts=True)
    reached = runs_at[::-1].cumsum()[::-1] / runs
    few = np.flatnonzero(reached <= allowed)
    if few.size:
        above, found = sums[few[0]], float(reached[few[0]])
        below = sums[few[0] - 1]
    else:  # even the highest sum is too common: a limit that no run reaches
        below, above, found = sums[-1], sums[-1] + max(weights), 0.0
    limit = float((below + above) / 2)
    return ControlLimit(limit, found, _standard_error(found, runs), attempts, runs)


def _chance(
    weights: Weights, limit: float, rate: float, *, attempts: float, runs: float, seed: int
) -> SignalChance:
    attempts, runs = single_whole("attempts", attempts), single_whole("runs", runs)
    limit, rate = single("control_limit", limit), single("failure_rate", rate)
    found = float((_highest(weights, rate, attempts, runs, seed) >= limit).mean())
    return SignalChance(found, _standard_error(found, runs), runs)


@checked("acceptable_failure_rate", "unacceptable_failure_rate", form=single)
def cusum_limit(
    acceptable_failure_rate: float,
    *,
    unacceptable_failure_rate: float,
    attempts: int,
    false_signal_chance: float = FALSE_SIGNALS,
    runs: int = RUNS,
    seed: int = SEED,
) -> ControlLimit:
    """Return the limit of a CUSUM at which an acceptable operator is seldom signalled.

    `P(max of S over the attempts >= limit | p0) <= false-signal chance`

    Parameters
    ----------
    acceptable_failure_rate : float
        Acceptable failure rate p0, at which the runs are simulated [-]
    unacceptable_failure_rate : float
        Failure rate that must be noticed [-]
    attempts : int
        Attempts over which the chance holds [-]
    false_signal_chance : float, optional
        Chance of a signal that is allowed [-]
    runs : int, optional
        Simulated runs [-]
    seed : int, optional
        Seed of the simulation [-]

    Returns
    -------
    ControlLimit
        Limit, chance found for it and its standard error, attempts and runs [-]

    Notes
    -----
    Rates 0.0001 to 0.9999, attempts 1 to 2000, chance 0.0001 to 0.5, runs 100 to 1000000. Sums
    take few values, so the chance found may lie well below the one allowed. Attempts are
    independent, at one rate.

    Examples
    --------
    >>> found = cusum_limit(0.1, unacceptable_failure_rate=0.2, attempts=50)
    >>> found.signal_chance <= 0.05
    True

    References
    ----------
    steiner-2000, cusum-r-package
    """
    p0 = acceptable_failure_rate
    weights = cusum_weights(p0, unacceptable_failure_rate=unacceptable_failure_rate)
    return _limit(weights, p0, attempts=attempts, chance=false_signal_chance, runs=runs, seed=seed)


@checked("acceptable_failure_rate", "unacceptable_failure_rate", form=single)
def learning_curve_limit(
    acceptable_failure_rate: float,
    *,
    unacceptable_failure_rate: float,
    attempts: int,
    false_signal_chance: float = FALSE_SIGNALS,
    runs: int = RUNS,
    seed: int = SEED,
) -> ControlLimit:
    """Return the limit of a learning-curve CUSUM that an inadequate learner seldom reaches.

    `P(max of S over the attempts >= limit | p1) <= false-signal chance`

    Parameters
    ----------
    acceptable_failure_rate : float
        Failure rate of an adequate performance [-]
    unacceptable_failure_rate : float
        Failure rate p1 of an inadequate performance, at which the runs are simulated [-]
    attempts : int
        Attempts over which the chance holds [-]
    false_signal_chance : float, optional
        Chance of a signal that is allowed [-]
    runs : int, optional
        Simulated runs [-]
    seed : int, optional
        Seed of the simulation [-]

    Returns
    -------
    ControlLimit
        Limit, chance found for it and its standard error, attempts and runs [-]

    Notes
    -----
    Rates 0.0001 to 0.9999, attempts 1 to 2000, chance 0.0001 to 0.5, runs 100 to 1000000. A limit
    taken over from other rates or another number of attempts does not hold its chance: 1.25, often
    quoted, is reached within 50 attempts by two of three learners who fail one in five.

    Examples
    --------
    >>> found = learning_curve_limit(0.1, unacceptable_failure_rate=0.3, attempts=50)
    >>> found.signal_chance <= 0.05
    True

    References
    ----------
    biau-2008, biau-porcher-2010
    """
    p1 = unacceptable_failure_rate
    weights = learning_curve_weights(acceptable_failure_rate, p1)
    return _limit(weights, p1, attempts=attempts, chance=false_signal_chance, runs=runs, seed=seed)


@checked("acceptable_failure_rate", "unacceptable_failure_rate", form=single)
def cusum_signal_chance(
    control_limit: float,
    *,
    failure_rate: float,
    acceptable_failure_rate: float,
    unacceptable_failure_rate: float,
    attempts: int,
    runs: int = RUNS,
    seed: int = SEED,
) -> SignalChance:
    """Return the chance that a CUSUM reaches its limit within a number of attempts.

    `P(max of S over the attempts >= limit | failure rate)`

    Parameters
    ----------
    control_limit : float
        Limit of the sum [-]
    failure_rate : float
        True failure rate of the operator [-]
    acceptable_failure_rate : float
        Acceptable failure rate of the chart [-]
    unacceptable_failure_rate : float
        Unacceptable failure rate of the chart [-]
    attempts : int
        Attempts watched [-]
    runs : int, optional
        Simulated runs [-]
    seed : int, optional
        Seed of the simulation [-]

    Returns
    -------
    SignalChance
        Chance, its standard error and the runs [-]

    Notes
    -----
    Limit 0.000001 to 10000, failure rate 0 to 1, the chart's rates 0.0001 to 0.9999, attempts 1 to
    2000, runs 100 to 1000000. At the acceptable rate it is the chance of a false signal, at the
    unacceptable one the chance to notice.

    Examples
    --------
    >>> chart = {"acceptable_failure_rate": 0.1, "unacceptable_failure_rate": 0.2, "attempts": 50}
    >>> cusum_signal_chance(2.5, failure_rate=0, **chart).value
    0.0

    References
    ----------
    steiner-2000, cusum-r-package
    """
    p1 = unacceptable_failure_rate
    weights = cusum_weights(acceptable_failure_rate, unacceptable_failure_rate=p1)
    return _chance(weights, control_limit, failure_rate, attempts=attempts, runs=runs, seed=seed)


@checked("acceptable_failure_rate", "unacceptable_failure_rate", form=single)
def learning_curve_signal_chance(
    control_limit: float,
    *,
    failure_rate: float,
    acceptable_failure_rate: float,
    unacceptable_failure_rate: float,
    attempts: int,
    runs: int = RUNS,
    seed: int = SEED,
) -> SignalChance:
    """Return the chance that a learning-curve CUSUM reaches its limit within some attempts.

    `P(max of S over the attempts >= limit | failure rate)`

    Parameters
    ----------
    control_limit : float
        Limit of the sum [-]
    failure_rate : float
        True failure rate of the learner, the same throughout [-]
    acceptable_failure_rate : float
        Failure rate of an adequate performance [-]
    unacceptable_failure_rate : float
        Failure rate of an inadequate performance [-]
    attempts : int
        Attempts watched [-]
    runs : int, optional
        Simulated runs [-]
    seed : int, optional
        Seed of the simulation [-]

    Returns
    -------
    SignalChance
        Chance, its standard error and the runs [-]

    Notes
    -----
    Limit 0.000001 to 10000, failure rate 0 to 1, the chart's rates 0.0001 to 0.9999, attempts 1 to
    2000, runs 100 to 1000000. At the unacceptable rate it is the chance of a false signal. A real
    learner improves on the way, which this leaves out.

    Examples
    --------
    >>> chart = {"acceptable_failure_rate": 0.1, "unacceptable_failure_rate": 0.2, "attempts": 50}
    >>> learning_curve_signal_chance(1.25, failure_rate=0, **chart).value
    1.0

    References
    ----------
    biau-2008, biau-porcher-2010
    """
    weights = learning_curve_weights(acceptable_failure_rate, unacceptable_failure_rate)
    return _chance(weights, control_limit, failure_rate, attempts=attempts, runs=runs, seed=seed)
