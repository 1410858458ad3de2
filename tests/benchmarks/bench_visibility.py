"""How quick and how true the fitted contrast of veins is, against fresh photon transport.

The 200 random points lie in 40 random tissues, five veins in each, so that one run of transport
serves five; likewise 200 points in 40 random skins. About six minutes on two cores.
"""

import math
from functools import partial

import numpy as np
from timing import by_turns, once

from cubital import calc, tables
from cubital.calc.light.media import Layer, Medium
from cubital.calc.light.transport import dimming

TISSUES, SKINS, VEINS = 40, 40, 5
PHOTONS = 150_000
LEAST_CONTRAST = 0.005
SURE = 0.02  # standard error of a fresh contrast, as a share of it
MOST_RUNS = 6
BLOOD_ANISOTROPY = 0.98


def drawn(rng: np.random.Generator, *names: str, size: int | None = None) -> list[np.ndarray]:
    """Draw quantities evenly over their whole range."""
    limits = [tables.limits()[name] for name in names]
    return [rng.uniform(limit.low, limit.high, size) for limit in limits]


def in_even_tissue(rng: np.random.Generator, seed: int) -> np.ndarray:
    """Return fitted and fresh contrasts, with errors, of random veins in a random tissue."""
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
    layers = [Layer(Medium(absorption, scattering / 0.1, 0.9, 1.4), math.inf)]
    vein = Medium(blood, own / (1 - BLOOD_ANISOTROPY), BLOOD_ANISOTROPY, 1.4)
    return fresh(layers, vein, np.array([depths, diameters]).T, fitted, seed)


def in_skin(rng: np.random.Generator, seed: int) -> np.ndarray:
    """Return fitted and fresh contrasts, with errors, of random veins in a random skin."""
    (nm,) = drawn(rng, "picture_wavelength_nm")
    melanin = math.exp(rng.uniform(math.log(0.01), math.log(0.43)))
    depths, diameters = drawn(rng, "upper_wall_depth_mm", "lumen_diameter_mm", size=VEINS)
    fitted = calc.skin_vein_contrast(
        depths,
        lumen_diameter_mm=diameters,
        picture_wavelength_nm=nm,
        epidermal_melanin_fraction=melanin,
    )
    kind = calc.named_blood("venous")
    vein = calc.blood_medium(
        nm, oxygen_saturation=kind.oxygen_saturation, haematocrit=kind.haematocrit
    )
    layers = calc.skin_layers(nm, melanin_fraction=melanin)
    return fresh(layers, vein, np.array([depths, diameters]).T, fitted, seed)


def fresh(layers, vein: Medium, veins: np.ndarray, fitted: np.ndarray, seed: int) -> np.ndarray:
    """Return fitted and fresh contrasts and their errors; follow photons until it is sure."""
    shown = fitted > LEAST_CONTRAST * 0.8
    veins, fitted = veins[shown], fitted[shown]
    values, errors = [], []
    for run in range(MOST_RUNS if shown.any() else 0):
        found, others, _ = dimming.dimmed(
            layers,
            vein_medium=vein,
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
    return np.array([fitted, value, error]) if values else np.zeros((3, 0))


def accuracy(what: str, found: list[np.ndarray], number: int, target: str) -> list[tuple]:
    """Return rows on how far fitted and fresh contrasts are apart where veins show."""
    fitted, value, error = np.concatenate(found, axis=1)
    shown = value > LEAST_CONTRAST
    off, noise = np.abs(fitted / value - 1)[shown], (error / value)[shown]
    points = f"of {number} random points, the {shown.sum()} with contrast above 0.005"
    return [
        (f"{what}, relative error: 95th percentile", np.percentile(off, 95), points, target),
        (f"{what}, relative error: median", np.median(off), "same points", ""),
        (f"{what}, relative error: largest", off.max(), "same points", ""),
        (f"{what}, standard error of fresh transport: mean", noise.mean(), "same points", ""),
    ]


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
    skin = {
        "lumen_diameter_mm": 3.0,
        "picture_wavelength_nm": np.linspace(700, 1000, 200)[:, None],
        "epidermal_melanin_fraction": 0.1,
    }
    works = {
        "a vein's contrast, one call": partial(calc.vein_contrast, 2.0, **usual),
        "its apparent width, one call": partial(calc.apparent_width_mm, 2.0, **usual),
        "its contrast in layered skin, one call": partial(
            calc.skin_vein_contrast, 2.0, **skin | {"picture_wavelength_nm": 850.0}
        ),
        "contrast, 200 x 200 by depth and diameter": partial(calc.vein_contrast, axis, **by_size),
        "contrast, 200 x 200 by depth and tissue": partial(calc.vein_contrast, axis, **by_tissue),
        "apparent width, 200 x 200": partial(calc.apparent_width_mm, axis, **by_size),
        "contrast in layered skin, 200 x 200 by depth and wavelength": partial(
            calc.skin_vein_contrast, axis, **skin
        ),
    }
    times = by_turns(*(partial(once, work) for work in works.values()), times=21)
    rng = np.random.default_rng(2026)
    even = [in_even_tissue(rng, 9000 + 10 * number) for number in range(TISSUES)]
    layered = [in_skin(rng, 19000 + 10 * number) for number in range(SKINS)]
    return [
        *(
            (what, 1000 * time, "ms", "<= 100" if "200 x" in what else "<= 1")
            for what, time in zip(works, times, strict=True)
        ),
        *accuracy("fit", even, TISSUES * VEINS, "<= 0.05"),
        *accuracy("fit in skin", layered, SKINS * VEINS, "<= 0.05"),
    ]
