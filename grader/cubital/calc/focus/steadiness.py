"""What an unsteady hand costs: drift and tremor against the window and the registration.

The distance error is the error with which the distance was set, a slow drift about it, and tremor:
a smooth wander that forgets where it was within some time constants (a critically damped weight
under random pushes, whose covariance is the Matern 3/2 function), and a sine. How large they are is
a teaching assumption, from `assets/focus/holding.csv`.
"""

import math
from typing import Any, NamedTuple

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import checked, single
from cubital.calc.shared.units import MM_PER_M, SECONDS_PER_MS, Number, plain

PHASES = 720  # steps round a tremor cycle: a share of time to about a thousandth
SMALLEST_SPREAD_MM = 1e-9  # stands for no drift at all, so that nothing is divided by 0
MOST_STEPS = 5_000_000  # about 40 MB a run; beyond it is a slip
SERIES_TERMS = 16  # enough for all digits below 1
DEFAULT_STEPS_PER_S = 50  # fine enough for a tremor of 12 Hz
DEFAULT_HOLDS = 200  # a share of one half is then known to 0.035

_erf = np.frompyfunc(math.erf, 1, 1)


class HoldRuns(NamedTuple):
    """Simulated holds: times [s] and, hold by hold, distance errors [mm]. Simulated only."""

    time_s: np.ndarray
    distance_error_mm: np.ndarray

    @checked
    def share_in_window(self, window_mm: float) -> float:
        """Return the share of the time that the distance is within the window [-]."""
        inside = np.abs(self.distance_error_mm) <= window_mm
        return float(inside.mean())

    @checked
    def first_exit_s(self, window_mm: float) -> np.ndarray:
        """Return when each hold first leaves the window; infinite for those that never do [s]."""
        outside = np.abs(self.distance_error_mm) > window_mm
        first = self.time_s[outside.argmax(axis=1)]
        return np.where(outside.any(axis=1), first, np.inf)


def _tail(mean: Number, first: int) -> Number:
    """Return 1 - e^-m (1 + m + ... + m^(first - 1) / (first - 1)!) without losing its digits."""
    mean = np.asarray(mean, dtype=float)
    small = np.minimum(mean, 1)
    series = sum(small**k / math.factorial(k) for k in range(first, first + SERIES_TERMS))
    rest = sum(mean**k / math.factorial(k) for k in range(first))
    return np.where(mean < 1, np.exp(-small) * series, 1 - np.exp(-mean) * rest)


@checked("tremor_hz", "tremor_acceleration_g")
def tremor_amplitude_mm(tremor_acceleration_g: Number, *, tremor_hz: Number) -> Number:
    """Return how far a tremor moves, from its acceleration.

    `a = acceleration / (2 pi f)^2`

    Parameters
    ----------
    tremor_acceleration_g : float or array
        Peak acceleration, in multiples of standard gravity [g]
    tremor_hz : float or array
        Frequency of the tremor [Hz]

    Returns
    -------
    float or ndarray
        Amplitude: the largest distance from the middle [mm]

    Notes
    -----
    Acceleration 0 to 10 g, frequency 0.1 to 50 Hz. One sine; real tremor is a band of frequencies.

    Examples
    --------
    >>> round(tremor_amplitude_mm(0.01, tremor_hz=7), 3)
    0.051

    References
    ----------
    postural-tremor-1982
    """
    gravity = MM_PER_M * tables.constant("standard-gravity").value
    turning = 2 * np.pi * tremor_hz
    return plain(tremor_acceleration_g * gravity / turning**2)


@checked("hold_time_s", "drift_time_s", "drift_sd_mm")
def drift_spread_mm(hold_time_s: Number, *, drift_sd_mm: Number, drift_time_s: Number) -> Number:
    """Return how far a slow drift has spread after a time.

    `spread = sd * sqrt(1 - e^(-2 q) (1 + 2 q + 2 q^2))`, with `q = t / tau`

    Parameters
    ----------
    hold_time_s : float or array
        Time t since the distance was set [s]
    drift_sd_mm : float or array
        Standard deviation of the drift in a long hold [mm]
    drift_time_s : float or array
        Time constant tau; after five the hand has forgotten where it was [s]

    Returns
    -------
    float or ndarray
        Standard deviation of the drift at that time [mm]

    Notes
    -----
    Time 0 to 36000 s, spread 0 to 500 mm, time constant 0.01 to 10000 s. It starts at rest where it
    was set. A hand that keeps looking; fatigue, speech and a patient who moves are left out.

    Examples
    --------
    >>> round(drift_spread_mm(3, drift_sd_mm=5, drift_time_s=3), 2)
    2.84

    References
    ----------
    hartikainen-sarkka-2010
    """
    elapsed = hold_time_s / drift_time_s
    return plain(drift_sd_mm * np.sqrt(_tail(2 * elapsed, 3)))  # 3: see _tail


@checked
def share_of_time_in_window(
    window_mm: Number,
    *,
    setting_error_mm: Number,
    drift_sd_mm: Number,
    tremor_amplitude_mm: Number,
) -> Number:
    """Return the share of a long hold in which the distance stays within the window.

    `share = mean over tremor phase p of Phi((w - m - a sin p)/sd) - Phi((-w - m - a sin p)/sd)`

    Parameters
    ----------
    window_mm : float or array
        Half-width w of the window about the working distance [mm]
    setting_error_mm : float or array
        Error m with which the distance was set; below 0, too near [mm]
    drift_sd_mm : float or array
        Standard deviation of the slow drift [mm]
    tremor_amplitude_mm : float or array
        Amplitude a of the tremor [mm]

    Returns
    -------
    float or ndarray
        Share of the time [-]

    Notes
    -----
    Window 0.1 to 1000 mm, setting error -1000 to 1000 mm, drift 0 to 500 mm, tremor 0 to 50 mm.
    Normal drift; a hold much longer than the drift's time constant. The mean over the phase is a
    sum of 720 steps, good to about 0.001 even without drift. Tilting of the hand is left out.

    Examples
    --------
    >>> share = share_of_time_in_window(
    ...     18, setting_error_mm=12, drift_sd_mm=5, tremor_amplitude_mm=0.05
    ... )
    >>> round(share, 3)
    0.885

    References
    ----------
    hartikainen-sarkka-2010
    """
    window, setting, drift, tremor = (
        np.asarray(value)[..., None]
        for value in (window_mm, setting_error_mm, drift_sd_mm, tremor_amplitude_mm)
    )
    phase = 2 * np.pi * (np.arange(PHASES) + 0.5) / PHASES
    middle = setting + tremor * np.sin(phase)
    spread = np.sqrt(2) * np.maximum(drift, SMALLEST_SPREAD_MM)
    upper = _erf((window - middle) / spread).astype(float)
    lower = _erf((-window - middle) / spread).astype(float)
    return plain(((upper - lower) / 2).mean(axis=-1))


@checked("tremor_amplitude_mm", "latency_ms", "tremor_hz")
def tremor_lag_error_mm(
    tremor_amplitude_mm: Number, *, tremor_hz: Number, latency_ms: Number
) -> Number:
    """Return how far a tremor carries the picture on before it is shown.

    `e = 2 a |sin(pi f T)|`, and `2 a` once the delay T reaches half a period

    Parameters
    ----------
    tremor_amplitude_mm : float or array
        Amplitude a of the sideways tremor [mm]
    tremor_hz : float or array
        Frequency f of the tremor [Hz]
    latency_ms : float or array
        Delay T between picture taken and picture shown [ms]

    Returns
    -------
    float or ndarray
        Largest registration error by the delay [mm]

    Notes
    -----
    Amplitude 0 to 50 mm, frequency 0.1 to 50 Hz, delay 0 to 5000 ms. Beyond half a period the
    largest value is kept, since no hand holds its frequency. Shift only, no tilting.

    Examples
    --------
    >>> round(tremor_lag_error_mm(0.05, tremor_hz=7, latency_ms=70), 3)
    0.1

    References
    ----------
    postural-tremor-1982
    """
    delay = SECONDS_PER_MS * latency_ms
    periods = np.minimum(tremor_hz * delay, 0.5)
    return plain(2 * tremor_amplitude_mm * np.sin(np.pi * periods))


@checked("latency_ms", "drift_time_s", "drift_sd_mm")
def drift_lag_error_mm(drift_sd_mm: Number, *, drift_time_s: Number, latency_ms: Number) -> Number:
    """Return how far a slow drift carries the picture on before it is shown.

    `e = sd * sqrt(2 (1 - (1 + q) e^(-q)))`, with `q = T / tau`

    Parameters
    ----------
    drift_sd_mm : float or array
        Standard deviation of the sideways drift [mm]
    drift_time_s : float or array
        Time constant tau of the drift [s]
    latency_ms : float or array
        Delay T between picture taken and picture shown [ms]

    Returns
    -------
    float or ndarray
        Standard deviation of the registration error by the delay [mm]

    Notes
    -----
    Drift 0 to 500 mm, time constant 0.01 to 10000 s, delay 0 to 5000 ms. For short delays it is the
    drift's speed, sd / tau, times the delay. Deliberate moves are faster and not in it.

    Examples
    --------
    >>> round(drift_lag_error_mm(5, drift_time_s=3, latency_ms=70), 3)
    0.116

    References
    ----------
    hartikainen-sarkka-2010
    """
    delay = SECONDS_PER_MS * latency_ms
    elapsed = delay / drift_time_s
    return plain(drift_sd_mm * np.sqrt(2 * _tail(elapsed, 2)))


@checked(form=single)
def simulate_hold(
    hold_time_s: float,
    *,
    setting_error_mm: float,
    drift_sd_mm: float,
    drift_time_s: float,
    tremor_amplitude_mm: float,
    tremor_hz: float,
    seed: int,
    holds: int = DEFAULT_HOLDS,
    steps_per_s: int = DEFAULT_STEPS_PER_S,
) -> HoldRuns:
    """Return simulated holds of a device over the arm.

    `z(t) = m + x(t) + a sin(2 pi f t + p)`, with `x'' = -x / tau^2 - 2 x' / tau + random pushes`

    Parameters
    ----------
    hold_time_s : float
        How long each is held [s]
    setting_error_mm : float
        Error m with which the distance was set; below 0, too near [mm]
    drift_sd_mm : float
        Standard deviation of the slow drift in a long hold [mm]
    drift_time_s : float
        Time constant tau of the drift [s]
    tremor_amplitude_mm : float
        Amplitude a of the tremor [mm]
    tremor_hz : float
        Frequency f of the tremor [Hz]
    seed : int
        The same seed gives the same holds [-]
    holds : int, optional
        How many are simulated [-]
    steps_per_s : int, optional
        Steps a second [1/s]

    Returns
    -------
    HoldRuns
        Times [s] and a row of distance errors for each hold [mm]

    Notes
    -----
    Time 0 to 36000 s, setting error -1000 to 1000 mm, drift 0 to 500 mm with time constant 0.01 to
    10000 s, tremor 0 to 50 mm at 0.1 to 50 Hz; not more than five million steps in all. Each hold
    starts at rest where it was set, at a phase p of its own; the steps are exact. Simulated, not
    clinically validated.

    Examples
    --------
    >>> runs = simulate_hold(
    ...     20, setting_error_mm=6, drift_sd_mm=5, drift_time_s=3, tremor_amplitude_mm=0.05,
    ...     tremor_hz=7, seed=4,
    ... )
    >>> runs.distance_error_mm.shape
    (200, 1001)
    >>> 0.9 < runs.share_in_window(18) <= 1
    True

    References
    ----------
    hartikainen-sarkka-2010, hand-stability-2010
    """
    turning = 2 * np.pi * tremor_hz
    for name, count in (("holds", holds), ("steps_per_s", steps_per_s), ("seed", seed)):
        if type(count) is not int or count < (name != "seed"):
            raise ValueError(f"{name} is {count!r}: it must be a whole number above 0")
    steps = math.ceil(hold_time_s * steps_per_s) + 1
    if steps * holds > MOST_STEPS:
        raise ValueError(f"{steps * holds} steps are asked for: it must be at most {MOST_STEPS}")
    generator = np.random.default_rng(seed)
    time = np.arange(steps) / steps_per_s
    phases = generator.uniform(0, 2 * np.pi, (holds, 1))
    drifted = drift_sd_mm * _smooth_wander(
        steps, holds, 1 / (steps_per_s * drift_time_s), generator
    )
    return HoldRuns(
        time, setting_error_mm + drifted.T + tremor_amplitude_mm * np.sin(turning * time + phases)
    )


def _smooth_wander(steps: int, holds: int, step: float, generator: Any) -> np.ndarray:
    """Return paths of unit spread that start at rest; the step is in time constants.

    Place and speed go on by the exact step of the linear model, and the pushes have the covariance
    that keeps a long run's spread: C - A C A' with C the unit matrix.
    """
    onward = np.exp(-step) * np.array([[1 + step, step], [-step, 1 - step]])
    pushes = _root(np.eye(2) - onward @ onward.T) @ generator.standard_normal((steps, 2, holds))
    state, places = np.zeros((2, holds)), np.zeros((steps, holds))
    for number in range(1, steps):
        state = onward @ state + pushes[number]
        places[number] = state[0]
    return places


def _root(covariance: np.ndarray) -> np.ndarray:
    """Return a square root of a covariance; rounding below zero counts as zero."""
    values, vectors = np.linalg.eigh(covariance)
    return vectors * np.sqrt(np.maximum(values, 0))
