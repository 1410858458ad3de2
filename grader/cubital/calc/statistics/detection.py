"""How well someone, or something, tells what is there from what is not."""

from typing import NamedTuple

import numpy as np

from cubital.calc.shared.quantities import check, checked, whole
from cubital.calc.shared.units import Number, plain
from cubital.calc.statistics.intervals import CONFIDENCE, Estimate, wilson_interval


class Detection(NamedTuple):
    """Rates with the log-linear correction, and what follows from them."""

    hit_rate: Number
    false_alarm_rate: Number
    d_prime: Number
    criterion: Number
    area: Number


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
