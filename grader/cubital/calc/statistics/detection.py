"""How well someone, or something, tells what is there from what is not."""

from typing import NamedTuple

import numpy as np

from cubital.calc.shared.quantities import check, checked, single, whole
from cubital.calc.shared.units import Number, plain
from cubital.calc.statistics.intervals import CONFIDENCE, Estimate, wilson_interval


class Detection(NamedTuple):
    """Rates with the log-linear correction, and what follows from them."""

    hit_rate: Number
    false_alarm_rate: Number
    d_prime: Number
    criterion: Number
    area: Number


class CohortDetection(NamedTuple):
    """What a cohort's pooled counts say: rates of the sums, and three figures with intervals."""

    hit_rate: float
    false_alarm_rate: float
    d_prime: Estimate
    criterion: Estimate
    area: Estimate


def _normal_score(share: Number) -> np.ndarray:
    from statistics import NormalDist  # noqa: PLC0415 - on use: it doubles the module's import

    return np.vectorize(NormalDist().inv_cdf, otypes=[float])(share)[()]


def _normal_share(score: Number) -> np.ndarray:
    from statistics import NormalDist  # noqa: PLC0415

    return np.vectorize(NormalDist().cdf, otypes=[float])(score)[()]


def _share(found: Number, missed: Number, confidence: float) -> Estimate:
    n = found + missed
    low, high = wilson_interval(found, n, confidence=confidence)
    return Estimate(plain(found / n), low, high, n if np.ndim(n) else int(n))


@checked("hits", "misses", form=whole)
def sensitivity(hits: Number, *, misses: Number, confidence: float = CONFIDENCE) -> Estimate:
    """Return the share of those with the finding that are called so, with Wilson's interval.

    `sensitivity = hits / (hits + misses)`

    Parameters
    ----------
    hits : float or array
        Finding present and called present [-]
    misses : float or array
        Finding present and called absent [-]
    confidence : float, optional
        Confidence level [-]

    Returns
    -------
    Estimate
        Sensitivity, low and high end [-] and number with the finding [-]

    Notes
    -----
    Hits and misses 0 to 1000000, whole and not both 0; level 0.5 to 0.999999. It does not depend
    on how common the finding is, if its cases are like those met in practice.

    Examples
    --------
    >>> sensitivity(8, misses=2).value
    0.8

    References
    ----------
    stanislaw-todorov-1999, wilson-1927
    """
    return _share(hits, misses, confidence)


@checked("correct_rejections", "false_alarms", form=whole)
def specificity(
    correct_rejections: Number, *, false_alarms: Number, confidence: float = CONFIDENCE
) -> Estimate:
    """Return the share of those without the finding that are called so, with Wilson's interval.

    `specificity = correct rejections / (correct rejections + false alarms)`

    Parameters
    ----------
    correct_rejections : float or array
        Finding absent and called absent [-]
    false_alarms : float or array
        Finding absent and called present [-]
    confidence : float, optional
        Confidence level [-]

    Returns
    -------
    Estimate
        Specificity, low and high end [-] and number without the finding [-]

    Notes
    -----
    Correct rejections and false alarms 0 to 1000000, whole and not both 0; level 0.5 to 0.999999.
    With a rare finding most calls can be false even at a high specificity.

    Examples
    --------
    >>> specificity(6, false_alarms=4).value
    0.6

    References
    ----------
    stanislaw-todorov-1999, wilson-1927
    """
    return _share(correct_rejections, false_alarms, confidence)


@checked
def d_prime(hit_rate: Number, *, false_alarm_rate: Number) -> Number:
    """Return how far apart signal and noise lie for an observer, whatever their caution.

    `d' = z(hit rate) - z(false-alarm rate)`

    Parameters
    ----------
    hit_rate : float or array
        Share of hits among signals [-]
    false_alarm_rate : float or array
        Share of false alarms among noise [-]

    Returns
    -------
    float or ndarray
        d', in standard deviations of the noise; below 0 worse than guessing [-]

    Notes
    -----
    Rates 0.000001 to 0.999999: at 0 or 1 it is infinite, so take `detection_from_counts`. Signal
    and noise are taken as normal with one standard deviation.

    Examples
    --------
    >>> round(d_prime(0.8, false_alarm_rate=0.2), 3)
    1.683

    References
    ----------
    stanislaw-todorov-1999
    """
    hits, alarms = hit_rate, false_alarm_rate
    return plain(_normal_score(hits) - _normal_score(alarms))


@checked
def criterion(hit_rate: Number, *, false_alarm_rate: Number) -> Number:
    """Return how cautious an observer is, apart from how well they see.

    `c = -(z(hit rate) + z(false-alarm rate)) / 2`

    Parameters
    ----------
    hit_rate : float or array
        Share of hits among signals [-]
    false_alarm_rate : float or array
        Share of false alarms among noise [-]

    Returns
    -------
    float or ndarray
        Criterion: 0 even-handed, above 0 slow to call a signal, below 0 quick to [-]

    Notes
    -----
    Rates 0.000001 to 0.999999. Signal and noise are taken as normal with one standard deviation.

    Examples
    --------
    >>> round(criterion(0.8, false_alarm_rate=0.4), 3)
    -0.294

    References
    ----------
    stanislaw-todorov-1999
    """
    hits, alarms = hit_rate, false_alarm_rate
    return plain(-(_normal_score(hits) + _normal_score(alarms)) / 2)


@checked(form=whole)
def detection_from_counts(
    hits: Number, *, misses: Number, false_alarms: Number, correct_rejections: Number
) -> Detection:
    """Return d' and criterion from counts, with the log-linear correction.

    `H = (hits + 0.5) / (signals + 1)`, `F = (false alarms + 0.5) / (noise + 1)`;
    `area = Phi(d' / sqrt(2))`

    Parameters
    ----------
    hits : float or array
        Signal present and called [-]
    misses : float or array
        Signal present and not called [-]
    false_alarms : float or array
        Signal absent and called [-]
    correct_rejections : float or array
        Signal absent and not called [-]

    Returns
    -------
    Detection
        Corrected hit and false-alarm rates, d', criterion and area under the curve [-]

    Notes
    -----
    Counts 0 to 1000000, whole, with at least one signal and one noise. The correction is made
    whatever the counts, so that all observers are treated alike; it pulls d' towards 0, most where
    counts are small.

    Examples
    --------
    >>> round(detection_from_counts(20, misses=0, false_alarms=0, correct_rejections=10).d_prime, 2)
    3.67

    References
    ----------
    hautus-1995, stanislaw-todorov-1999
    """
    hit, miss = hits, misses
    signals, noise = check("trials", hit + miss), check("trials", false_alarms + correct_rejections)
    hit_rate, alarm_rate = (hit + 0.5) / (signals + 1), (false_alarms + 0.5) / (noise + 1)
    z_hit, z_alarm = _normal_score(hit_rate), _normal_score(alarm_rate)
    apart = z_hit - z_alarm
    found = (hit_rate, alarm_rate, apart, -(z_hit + z_alarm) / 2, _normal_share(apart / np.sqrt(2)))
    return Detection(*(plain(one) for one in found))


@checked("hits", "misses", "false_alarms", "correct_rejections", form=whole)
def cohort_detection(
    hits: Number,
    *,
    misses: Number,
    false_alarms: Number,
    correct_rejections: Number,
    confidence: float = CONFIDENCE,
) -> CohortDetection:
    """Return d' and criterion of a cohort from its summed counts, with intervals over learners.

    `value -+ t SE`, t at n - 1 degrees of freedom; `SE^2` is the larger of
    `(n - 1)/n sum of (value without learner i - mean of these)^2` and of what chance alone gives:
    `V(z) = p (1 - p) / (N phi(z)^2)` for each rate, `V(d') = V(z of H) + V(z of F)`,
    `V(c) = V(d') / 4`

    Parameters
    ----------
    hits : array
        Signal present and called, one number a learner [-]
    misses : array
        Signal present and not called, one number a learner [-]
    false_alarms : array
        Signal absent and called, one number a learner [-]
    correct_rejections : array
        Signal absent and not called, one number a learner [-]
    confidence : float, optional
        Confidence level [-]

    Returns
    -------
    CohortDetection
        Rates of the sums with the log-linear correction; d', criterion and area under the curve,
        each with low and high end [-] and number of learners who answered a trial [-]

    Notes
    -----
    Counts 0 to 1000000, whole, as many of each sort, level 0.5 to 0.999999. Raises ValueError for
    fewer than 2 learners with a trial, or where one learner has all signals or all noise. The
    interval speaks of other learners before the same pictures. Leaving out a learner at a time
    keeps together what one learner answered; where all do alike, chance within a learner still
    widens it. The d' of sums is a little below the mean of the learners' own where these differ in
    caution, and steadier than it where each has few trials.

    Examples
    --------
    >>> found = cohort_detection(
    ...     [5, 6, 4, 5], misses=[1, 0, 2, 1], false_alarms=[1, 2, 0, 1],
    ...     correct_rejections=[5, 4, 6, 5],
    ... )
    >>> [round(value, 2) for value in found.d_prime]
    [1.83, 0.49, 3.18, 4]

    References
    ----------
    hautus-1995, miller-1974, gourevitch-galanter-1967
    """
    from scipy.special import stdtrit  # noqa: PLC0415 - on use: it is slow to load

    table = np.stack(
        np.broadcast_arrays(*map(np.atleast_1d, (hits, misses, false_alarms, correct_rejections)))
    )
    if table.ndim != 2:
        raise ValueError("the counts have more than one number a learner")
    table = table[:, table.sum(axis=0) > 0]
    n = table.shape[1]
    if n <= 1:
        raise ValueError(f"number of learners who answered a trial is {n}: it must be 2 or more")
    sums = table.sum(axis=1)
    pooled, without = (_of_table(one) for one in (sums, sums[:, np.newaxis] - table))
    chance = _chance_variance(pooled, *sums.reshape(2, 2).sum(axis=1))
    reach = stdtrit(n - 1, 0.5 + single("confidence", confidence) / 2)

    def estimate(value: float, left_out: np.ndarray, by_chance: float) -> Estimate:
        half = float(reach * np.sqrt(max((n - 1) * np.var(left_out), by_chance)))
        return Estimate(value, value - half, value + half, n)

    apart = estimate(pooled.d_prime, without.d_prime, chance)
    caution = estimate(pooled.criterion, without.criterion, chance / 4)  # c is half of a sum
    low, high = _normal_share(np.array([apart.low, apart.high]) / np.sqrt(2)).tolist()
    area = Estimate(pooled.area, low, high, n)
    return CohortDetection(pooled.hit_rate, pooled.false_alarm_rate, apart, caution, area)


def _of_table(table: np.ndarray) -> Detection:
    hits, misses, alarms, rejections = table
    return detection_from_counts(
        hits, misses=misses, false_alarms=alarms, correct_rejections=rejections
    )


def _chance_variance(found: Detection, signals: float, noise: float) -> float:
    """Return the variance of d' that chance gives at these rates (gourevitch-galanter-1967)."""
    rates = np.array([found.hit_rate, found.false_alarm_rate])
    density = np.exp(-(_normal_score(rates) ** 2) / 2) / np.sqrt(2 * np.pi)
    return float((rates * (1 - rates) / (np.array([signals, noise]) * density**2)).sum())
