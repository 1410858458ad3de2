"""The way a vessel takes across the skin: smooth curves, evenly sampled.

Simulated, not clinically validated.
"""

import math

import numpy as np

STEP_MM = 0.5  # between neighbouring points of a vessel
SHARES = np.linspace(0, 1, 90)  # of a curve's way, before it is sampled evenly
# Bernstein's weights of a curve's four corners
WEIGHTS = np.stack(
    [(1 - SHARES) ** 3, 3 * SHARES * (1 - SHARES) ** 2, 3 * SHARES**2 * (1 - SHARES), SHARES**3],
    axis=1,
)
SWELL = np.sin(np.pi * SHARES) ** 2


def slow(rng: np.random.Generator, along_mm: np.ndarray, wave_mm: float) -> np.ndarray:
    """Return a slowly varying number along a way: mean about 0, standard deviation about 1.

    Examples
    --------
    >>> from cubital.scene.chance import generator
    >>> slow(generator("example"), np.arange(5.0), 30.0).shape
    (5,)
    """
    waves = wave_mm * np.array([1.0, 1.4, 2.1, 3.3])  # sines in no simple ratio look irregular
    phases = rng.uniform(0, 2 * np.pi, waves.size)
    sines = np.sin(2 * np.pi * along_mm[:, None] / waves + phases)
    return sines.sum(axis=1) / math.sqrt(waves.size / 2)


def evenly(points: np.ndarray, step_mm: float = STEP_MM) -> np.ndarray:
    """Return a curve sampled at even steps, both ends kept.

    Examples
    --------
    >>> evenly(np.array([[0.0, 0.0], [0.0, 1.0]])).tolist()
    [[0.0, 0.0], [0.0, 0.5], [0.0, 1.0]]
    """
    steps = np.hypot(*np.diff(points, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    places = np.linspace(0, along[-1], max(round(along[-1] / step_mm), 2) + 1)
    even = np.stack([np.interp(places, along, column) for column in points.T], axis=1)
    even[0], even[-1] = points[0], points[-1]
    return even


def smooth(points: np.ndarray, along: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Return the smooth curve through three points or more at places along it.

    It is a cubic between two points, and no coordinate turns except at a point (Fritsch and
    Butland). `scipy.interpolate.PchipInterpolator` gives the same, but is large in a browser.

    Examples
    --------
    >>> corner = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0]])
    >>> smooth(corner, np.arange(3.0), np.array([0.5, 1.0, 2.0])).tolist()
    [[0.0, 0.6875], [0.0, 1.0], [1.0, 1.0]]
    """
    step = np.diff(along)[:, None]
    rise = np.diff(points, axis=0) / step
    slope = np.empty_like(points)
    slope[1:-1] = _slopes_between(step, rise)
    slope[0], slope[-1] = _slope_at_end(step, rise), _slope_at_end(step[::-1], rise[::-1])
    bend = (slope[:-1] + slope[1:] - 2 * rise) / step
    piece = np.clip(np.searchsorted(along, places, side="right") - 1, 0, len(step) - 1)
    x = (places - along[piece])[:, None]
    found = points[piece] + slope[piece] * x
    found += ((rise - slope[:-1]) / step - bend)[piece] * (x * x)
    return found + (bend / step)[piece] * (x * x * x)


def _slopes_between(step: np.ndarray, rise: np.ndarray) -> np.ndarray:
    """Return the slope at each inner point: a weighted harmonic mean, 0 where the curve turns."""
    before, after = 2 * step[1:] + step[:-1], step[1:] + 2 * step[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = 1 / ((before / rise[:-1] + after / rise[1:]) / (before + after))
    return np.where(np.sign(rise[:-1]) * np.sign(rise[1:]) > 0, mean, 0)


def _slope_at_end(step: np.ndarray, rise: np.ndarray) -> np.ndarray:
    """Return the slope at the first point: of a parabola through three, unless that overshoots."""
    found = ((2 * step[0] + step[1]) * rise[0] - step[0] * rise[1]) / (step[0] + step[1])
    most = np.where(rise[0] * rise[1] < 0, 3 * np.abs(rise[0]), np.inf)
    return np.where(found * rise[0] > 0, np.clip(found, -most, most), 0)


def turned(direction: np.ndarray, degrees: float) -> np.ndarray:
    """Return a direction turned from x towards y."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([c * direction[0] - s * direction[1], s * direction[0] + c * direction[1]])


def bent(
    rng: np.random.Generator,
    start: np.ndarray,
    leaving: np.ndarray,
    end: np.ndarray,
    arriving: np.ndarray,
    *,
    wobble_mm: float,
) -> np.ndarray:
    """Return a curve from one place to another by the directions at both, with some tortuosity."""
    chord = float(np.hypot(*(end - start)))
    near, far = rng.uniform(0.3, 0.45, 2) * chord  # length of the curve's handles
    corners = np.stack([start, start + near * leaving, end - far * arriving, end])
    curve = WEIGHTS @ corners
    along = SHARES * chord
    # the wobble is nothing at both ends, so that directions there are kept
    aside = wobble_mm * SWELL * slow(rng, along, max(chord / 3, 12.0))
    tangent = np.empty_like(curve)
    tangent[1:-1] = curve[2:] - curve[:-2]
    tangent[0], tangent[-1] = curve[1] - curve[0], curve[-1] - curve[-2]
    tangent /= np.maximum(np.hypot(*tangent.T), 1e-9)[:, None]
    curve[:, 0] -= aside * tangent[:, 1]
    curve[:, 1] += aside * tangent[:, 0]
    return evenly(curve)


def tangent(points: np.ndarray, index: int) -> np.ndarray:
    """Return the direction of flow at a point of a curve, over 2 mm about it."""
    reach = round(1 / STEP_MM)
    way = points[min(index + reach, len(points) - 1)] - points[max(index - reach, 0)]
    return way / np.hypot(*way)


def turns_at_most(points: np.ndarray, degrees: float, over_mm: float) -> bool:
    """Tell whether a curve's direction changes no more than that over a way along it.

    Examples
    --------
    >>> corner = evenly(np.array([[0.0, 0.0], [0.0, 5.0], [5.0, 5.0]]))
    >>> turns_at_most(corner, 80, 2.0), turns_at_most(corner, 100, 2.0)
    (False, True)
    """
    steps = points[1:] - points[:-1]
    reach = min(round(over_mm / STEP_MM), len(steps) - 1)
    first, last = steps[: len(steps) - reach], steps[reach:]
    along = (first * last).sum(axis=1)
    return bool((along >= math.cos(math.radians(degrees)) * STEP_MM**2).all())
