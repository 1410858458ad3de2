"""How quick and how true the fitted contrast of veins is, against fresh photon transport.

The 200 random points lie in 40 random tissues, five veins in each, so that one run of transport
serves five. About four minutes on two cores.
"""

import math
from functools import partial

import numpy as np
from timing import by_turns, once

from cubital import calc, tables
from cubital.calc import dimming
from cubital.calc.media import Layer, Medium

TISSUES, VEINS = 40, 5
PHOTONS = 150_000
LEAST_CONTRAST = 0.005
SURE = 0.02  # standard error of a fresh contrast, as a share of it
MOST_RUNS = 6
BLOOD_ANISOTROPY = 0.98


def drawn(rng: np.random.Generator, *names: str, size: int | None = None) -> list[np.ndarray]:
    """Draw quantities evenly over their whole range."""
    limits = [tables.limits()[name] for name in names]
    return [rng.uniform(limit.low, limit.high, size) for limit in limits]


def fresh(rng: np.random.Generator, seed: int) -> list[tuple[float, float, float, float, float]]:
    """Return fitted and fresh contrast and width error of random veins in a random tissue."""
    scattering, absorption, blood = drawn(
        rng,
        "skin_reduced_scattering_per_mm",
        "skin_absorption_per_mm",
        "vessel_absorption_per_mm",
    )
    depths, diameters = drawn(rng, "upper_wall_depth_mm", "lumen_diameter_mm", size=VEINS)
    own = tables.constant("blood-reduced-scattering").value
    fitted = calc.vein_contrast(
        depths,
        lumen_diameter_mm=diameters,
        skin_reduced_scattering_per_mm=scattering,
        skin_absorption_per_mm=absorption,
        vessel_absorption_per_mm=blood,
    )
    shown = fitted > LEAST_CONTRAST * 0.8
    if not shown.any():
        return []
    veins = np.array([depths, diameters]).T[shown]
    values, errors = [], []
    for run in range(MOST_RUNS):
        found, others, _ = dimming.dimmed(
            [Layer(Medium(absorption, scattering / 0.1, 0.9, 1.4), math.inf)],
            vein_medium=Medium(blood, own / (1 - BLOOD_ANISOTROPY), BLOOD_ANISOTROPY, 1.4),
            veins=veins,
            across_mm=np.zeros((len(veins), 1)),
            photons=PHOTONS,
            seed=seed + run,
        )
        values.append(found[:, 0])
        errors.append(dimming.together(others)[:, 0])
        value = np.mean(values, axis=0)
        error = np.sqrt(np.sum(np.square(errors), axis=0)) / len(errors)
        if (error < SURE * value).all():
            break
    return list(zip(fitted[shown], value, error, *veins.T, strict=True))


def rows() -> list[tuple[str, float, str, str]]:
    """Time a call and a map; compare random points with fresh transport."""
    usual = {
        "lumen_diameter_mm": 3.0,
        "skin_reduced_scattering_per_mm": 1.8,
        "skin_absorption_per_mm": 0.02,
        "vessel_absorption_per_mm": 0.5,
    }
    axis = np.linspace(0.5, 6, 200)
    by_size = usual | {"lumen_diameter_mm": axis[:, None]}
    scattering = np.linspace(1.0, 2.8, 200)[:, None]
    by_tissue = usual | {
        "skin_reduced_scattering_per_mm": scattering,
        "skin_absorption_per_mm": 0.02 * scattering,
        "vessel_absorption_per_mm": 0.3 * scattering,
    }
    one, size, tissue, width, numpy = by_turns(
        *(
            partial(once, work)
            for work in (
                partial(calc.vein_contrast, 2.0, **usual),
                partial(calc.vein_contrast, axis, **by_size),
                partial(calc.vein_contrast, axis, **by_tissue),
                partial(calc.apparent_width_mm, axis, **by_size),
                partial(np.exp, np.ones((200, 200))),
            )
        ),
        times=21,
    )
    rng = np.random.default_rng(2026)
    pairs = [pair for number in range(TISSUES) for pair in fresh(rng, 9000 + 10 * number)]
    fitted, value, error, *_ = np.array(pairs).T
    shown = value > LEAST_CONTRAST
    off = np.abs(fitted / value - 1)[shown]
    points = f"of {TISSUES * VEINS} random points, the {shown.sum()} with contrast above 0.005"
    return [
        ("a vein's contrast, one call", one * 1000, "ms", "<= 1"),
        ("contrast, map of 200 x 200 by depth and diameter", size * 1000, "ms", "<= 100"),
        ("contrast, map of 200 x 200 by depth and tissue", tissue * 1000, "ms", "<= 100"),
        ("apparent width, map of 200 x 200", width * 1000, "ms", "<= 100"),
        ("exponential of 200 x 200", numpy * 1000, "ms", ""),
        ("relative error of the fit, 95th percentile", np.percentile(off, 95), points, "<= 0.05"),
        ("relative error of the fit, median", np.median(off), "same points", ""),
        ("relative error of the fit, largest", off.max(), "same points", ""),
        (
            "relative standard error of fresh transport, mean",
            np.mean((error / value)[shown]),
            "same points",
            "",
        ),
    ]
