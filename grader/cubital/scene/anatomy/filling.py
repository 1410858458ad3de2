"""Depth and diameter along each vein, which agree where veins meet.

Simulated, not clinically validated.
"""

import math
from collections.abc import Mapping

import numpy as np

from cubital import tables
from cubital.scene.anatomy.branching import Course
from cubital.scene.anatomy.courses import STEP_MM, slow
from cubital.tables.scene import VesselSize

MOST_SHARE = 0.85  # of a vein that joins or leaves, of the other's own diameter
LEAST_SHARE = 0.6  # of a vein's own diameter, where others have left it or have not yet joined
RISING = 0.5  # share of its way in which a vein comes up from the depth at the limb's side
RISING_DEEPER, RISING_THINNER = 0.9, 0.25  # at its start, as shares of the depth and the diameter
PLAIN_SIDES = 3.0  # a step of the diameter is spread over about this many diameters [-]


def smooth_step(t: np.ndarray) -> np.ndarray:
    """Return 0 below 0, 1 above 1, and a smooth rise between.

    Examples
    --------
    >>> smooth_step(np.array([-1.0, 0.5, 2.0])).tolist()
    [0.0, 0.5, 1.0]
    """
    t = np.clip(t, 0, 1)
    return t * t * (3 - 2 * t)


def below(values: np.ndarray, low: float, high: float) -> np.ndarray:
    """Return values no lower than `low` and below `high`, pressed together near it.

    Examples
    --------
    >>> below(np.array([0.1, 1.0, 100.0]), 0.5, 5.0).tolist()
    [0.5, 1.0, 5.0]
    """
    knee = 0.8 * high
    over = np.maximum(values - knee, 0) / (high - knee)
    return np.maximum(np.where(over > 0, high - (high - knee) * np.exp(-over), values), low)


def drawn(rng: np.random.Generator, mean: float, sd: float, share: float) -> tuple[float, float]:
    """Return a person's own median, and the spread of the logarithm between that person's veins.

    Logarithms are normal, so that mean and standard deviation over persons and veins are those
    given; `share` of the variance lies between the veins of one person.
    """
    variance = math.log(1 + (sd / mean) ** 2)
    between = math.sqrt((1 - share) * variance)
    median = mean * math.exp(-variance / 2)
    return median * math.exp(rng.normal(0, between)), math.sqrt(share * variance)


def _steps(courses: Mapping[str, Course]) -> dict[str, list[tuple[int, float, str]]]:
    """Return by vein where another joins (+1) or leaves (-1)."""
    found: dict[str, list[tuple[int, float, str]]] = {key: [] for key in courses}
    for course in courses.values():
        if course.into is not None:
            found[course.into].append((course.into_index, 1.0, course.key))
        if course.out_of is not None:
            found[course.out_of].append((course.out_index, -1.0, course.key))
    return found


def _rises(
    course: Course, own: Mapping[str, float], steps: list[tuple[int, float, str]], power: float
) -> np.ndarray:
    """Return what other veins add to a vein's diameter to the power, over where it is its own."""
    index = np.arange(len(course.points))
    anchor = index[-1] if course.into is not None else index.size // 2
    total = np.zeros(index.size)
    half = max(PLAIN_SIDES / 2 * own[course.key], 1.0) / STEP_MM
    for at, sign, other in steps:
        rise = smooth_step((index - at + half) / (2 * half))
        total += sign * own[other] ** power * (rise - rise[anchor])
    return total


def diameters(
    rng: np.random.Generator, courses: Mapping[str, Course], main_mm: float, size: VesselSize
) -> dict[str, np.ndarray]:
    """Return the diameter along each vein [mm].

    Where veins meet `D^x = d1^x + d2^x`; between, diameters change slowly.
    """
    power = tables.constant("vein_branching_exponent").value
    change = tables.constant("vein_slow_change").value
    steps = _steps(courses)
    room = size.diameter_low_mm * 1.1, size.diameter_high_mm  # for the slow change
    own = {key: float(below(main_mm * c.share, *room)) for key, c in courses.items()}
    for key, course in courses.items():
        for host in (course.into, course.out_of):
            if host is not None:
                own[key] = max(min(own[key], MOST_SHARE * own[host]), room[0])
    result = {}
    for key, course in courses.items():
        rise = _rises(course, own, steps[key], power)
        least = float(rise.min(initial=0.0))
        allowed = (1 - LEAST_SHARE**power) * own[key] ** power
        if least < -allowed:
            shrink = (allowed / -least) ** (1 / power)
            for _, _, other in steps[key]:
                own[other] = max(own[other] * shrink, room[0])
    for key, course in courses.items():
        rise = _rises(course, own, steps[key], power)
        base = np.maximum(own[key] ** power + rise, (LEAST_SHARE * own[key]) ** power)
        way = np.arange(base.size) * STEP_MM
        factor = np.exp(change * slow(rng, way, 25.0 + 4 * own[key]))
        if course.rises:
            factor *= 1 - RISING_THINNER * (1 - smooth_step(way / (RISING * way[-1])))
        result[key] = below(
            base ** (1 / power) * factor, size.diameter_low_mm, size.diameter_high_mm
        )
    return result


def depths(
    rng: np.random.Generator,
    courses: Mapping[str, Course],
    main_mm: float,
    spread: float,
    *,
    size: VesselSize,
    blend_mm: float,
) -> dict[str, np.ndarray]:
    """Return the depth of the upper wall along each vein [mm], the same where veins meet."""
    change = tables.constant("vein_depth_change").value
    result: dict[str, np.ndarray] = {}
    for key, course in courses.items():
        way = np.arange(len(course.points)) * STEP_MM
        own = main_mm * math.exp(rng.normal(0, spread))
        depth = own * np.exp(change * slow(rng, way, max(2.5 * blend_mm, 25.0)))
        if course.rises:
            reach = RISING * way[-1]
            deeper = RISING_DEEPER * min(1.0, reach / blend_mm)
            depth *= 1 + deeper * (1 - smooth_step(way / reach))
        depth = below(depth, size.depth_low_mm, size.depth_high_mm)
        length = way[-1]
        if course.into is not None:
            reach = min(blend_mm, length / 2)
            weight = smooth_step((way - length + reach) / reach)
            depth += weight * (result[course.into][course.into_index] - depth)
        if course.out_of is not None:
            reach = min(blend_mm, length / 2)
            weight = smooth_step((reach - way) / reach)
            depth += weight * (result[course.out_of][course.out_index] - depth)
        result[key] = depth
    return result
