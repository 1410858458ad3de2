"""Fit the quick formulas for a vein's contrast and apparent width to photon transport.

    .venv/bin/python .ci/fit_visibility.py [--from-runs]

Writes ``assets/fitted/visibility-runs.npz``, what the runs gave, and ``assets/fitted/
visibility.toml``, the fit, and enters both in ``generated.toml``. About 6 minutes on one core;
with ``--from-runs`` only the fit, in seconds.

In a medium without end, lengths count in units of 1 / reduced scattering. So a single run with a
reduced scattering of 1 per mm stands for every tissue of its anisotropy and index, and the same
paths serve every depth, diameter and absorption. A second run with even scattering gives what the
vein's own scattering changes, a third the profiles across.
"""

import argparse
import math
import sys
from pathlib import Path

import generated
import numpy as np

from cubital.calc import dimming, visibility
from cubital.calc.media import Layer, Medium
from cubital.calc.polynomial import Polynomial, powers

FITTED = Path(__file__).resolve().parents[1] / "assets" / "fitted"
COMMAND = ".venv/bin/python .ci/fit_visibility.py"
ANISOTROPY, INDEX = 0.9, 1.4
SEEDS = {"directed": 8501, "even": 8502, "across": 8503}
PHOTONS = {"directed": 500_000, "even": 800_000, "across": 250_000}

# In units of 1 / reduced scattering and of reduced scattering
LOW = {"depth": 0.15, "diameter": 0.3, "background": 0.0013, "extra": 0.02, "scattering": 0.35}
HIGH = {"depth": 24.0, "diameter": 20.0, "background": 0.08, "extra": 1.6, "scattering": 1.75}
DEPTHS, DIAMETERS = np.geomspace(0.15, 24, 13), np.geomspace(0.3, 20, 9)
BACKGROUNDS = np.geomspace(0.0013, 0.08, 7)
VEINS = np.geomspace(0.035, 1.7, 8)
SCATTERINGS = (0.35, 0.55, 0.8, 1.2, 1.75)
ACROSS = slice(None, None, 2)  # every second depth and diameter has a profile
PLACES = np.linspace(0, 1.6, 25)

SHIFTS = {"contrast": (0.5, 0, 0, 0, 0), "width": (0.3, 0.3, 0, 0, 0)}
MOST = {"contrast": (6, 6, 5, 6, 3), "width": (4, 4, 3, 3, 2)}
DEGREES = {"contrast": 6, "width": 4}
LEAST_CONTRAST = 0.0015  # below it the runs say little
NOISIEST = 0.1  # relative standard error of a figure that is still used
FLOOR = 0.01  # a relative error that the fit need not beat: weights stay even


def run() -> dict[str, np.ndarray]:
    """Follow the photons; return figures and standard errors, ready to store."""
    layer = Layer(Medium(BACKGROUNDS[0], 1 / (1 - ANISOTROPY), ANISOTROPY, INDEX), math.inf)
    veins = np.array([(d, w) for d in DEPTHS for w in DIAMETERS])
    some = np.array([(d, w) for d in DEPTHS[ACROSS] for w in DIAMETERS[ACROSS]])
    across = (some[:, 1:] / 2 + 0.8 * some[:, :1] + 0.3) * PLACES
    shared = {
        "absorptions_per_mm": VEINS,
        "backgrounds_per_mm": BACKGROUNDS[:, None],
        "progress": tell,
    }
    axis = np.zeros((len(veins), 1))
    directed = follow("directed", [layer], veins=veins, across_mm=axis, **shared)
    scatterings = (dimming.SAME, *SCATTERINGS)
    even = follow(
        "even",
        [dimming.reduced(layer)],
        veins=veins,
        across_mm=axis,
        scatterings_per_mm=scatterings,
        **shared,
    )
    profile = follow(
        "across",
        [dimming.reduced(layer)],
        veins=some,
        across_mm=across,
        scatterings_per_mm=SCATTERINGS[::2],
        **shared,
    )
    plain, own = directed.dimming()[:, 0, :, :, 0], even.dimming()[..., 0]
    change = even.without_each()[..., 0]
    change_error = dimming.jackknife(change[:, :, 1:] - change[:, :, :1])
    plain_error = dimming.jackknife(directed.without_each()[:, :, 0, :, :, 0])
    shade, without = profile.dimming(), profile.without_each()
    return {
        "contrast": (plain[:, None] + own[:, 1:] - own[:, :1]).astype(np.float32),
        "contrast_error": np.hypot(plain_error[:, None], change_error).astype(np.float32),
        "width": dimming.full_width_at_half(shade, across).astype(np.float32),
        "width_error": dimming.jackknife(dimming.full_width_at_half(without, across)).astype(
            np.float32
        ),
        "width_contrast": shade[..., 0].astype(np.float32),
    }


def follow(name: str, layers: list[Layer], **job) -> dimming.Sums:
    """Run one of the three."""
    print(f"{name}: {PHOTONS[name]} photons", file=sys.stderr)
    return dimming.sums(layers, photons=PHOTONS[name], seed=SEEDS[name], **job)


def tell(done: int, total: int) -> None:
    """Show how far a run is."""
    print(f"\r{done / total:4.0%}", end="" if done < total else "\n", file=sys.stderr, flush=True)


def points(depths, diameters, scatterings) -> list[np.ndarray]:
    """Return depth, diameter, background, extra absorption and scattering of every figure."""
    size = (len(BACKGROUNDS), len(scatterings), len(VEINS), len(depths), len(diameters))
    background = BACKGROUNDS[:, None, None, None, None]
    vein = VEINS[None, None, :, None, None]
    found = (
        depths[:, None],
        diameters,
        background,
        vein - background,
        np.array(scatterings)[None, :, None, None, None],
    )
    return [np.broadcast_to(values, size).ravel() for values in found]


def fit(name: str, where: list[np.ndarray], target: np.ndarray, error: np.ndarray) -> Polynomial:
    """Return the polynomial that is nearest to the target, weighted by its errors."""
    ends = tuple(LOW.values()), tuple(HIGH.values())
    empty = Polynomial(*ends, SHIFTS[name], MOST[name], DEGREES[name], ())
    weight = 1 / np.hypot(error, FLOOR)
    terms = empty.terms(*where)
    found, _, rank, _ = np.linalg.lstsq(terms * weight[:, None], target * weight, rcond=None)
    if rank < len(powers(empty.most, empty.degree)):
        raise RuntimeError(f"the runs do not fix every term of {name}: {rank} of {len(found)}")
    off = (terms @ found - target) * weight
    print(f"{name}: {len(target)} figures, weighted residual {np.sqrt(np.mean(off**2)):.2f}")
    return empty._replace(coefficients=tuple(float(f"{value:.9g}") for value in found))


def fits(runs: dict[str, np.ndarray]) -> dict[str, Polynomial]:
    """Fit contrast and width."""
    where = points(DEPTHS, DIAMETERS, SCATTERINGS)
    contrast, error = runs["contrast"].ravel(), runs["contrast_error"].ravel()
    use = usable(where, contrast, error / np.abs(contrast))
    where, contrast, error = [v[use] for v in where], contrast[use], error[use]
    absorbed = -np.log1p(-contrast)
    by_depth = np.log(absorbed) - visibility.log_contrast_base(where[0], where[2])
    relative = error / ((1 - contrast) * absorbed)
    found = {"contrast": fit("contrast", where, by_depth, relative)}

    where = points(DEPTHS[ACROSS], DIAMETERS[ACROSS], SCATTERINGS[::2])
    width, error = runs["width"].ravel(), runs["width_error"].ravel()
    use = usable(where, runs["width_contrast"].ravel(), error / width)
    where, width, error = [v[use] for v in where], width[use], error[use]
    by_size = np.log(width) - visibility.log_width_base(where[0], where[1])
    return found | {"width": fit("width", where, by_size, error / width)}


def usable(where, contrast, relative) -> np.ndarray:
    """Say which figures are dark, sure and inside the range enough to fit."""
    sure = np.nan_to_num(relative, nan=np.inf) < NOISIEST
    inside = (contrast > LEAST_CONTRAST) & (contrast < 1) & (where[3] >= LOW["extra"])
    return sure & inside


def written(found: dict[str, Polynomial]) -> str:
    """Return the fits as TOML."""
    lines = [
        "# Quick formulas for a vein's contrast and apparent width, fitted to photon transport.",
        f"# Made by: {COMMAND}",
        "# Quantities, in this order: depth and diameter in units of 1 / reduced scattering;",
        "# background absorption, extra absorption of the vein and reduced scattering of the vein",
        "# in units of the surroundings' reduced scattering.",
        "",
        f"anisotropy = {ANISOTROPY}",
        f"refractive_index = {INDEX}",
        f"exit_angle_deg = {dimming.EVERYTHING_DEG}",
    ]
    for name, polynomial in found.items():
        lines += ["", f"[{name}]"]
        for field, value in polynomial._asdict().items():
            shown = list(value) if isinstance(value, tuple) else value
            lines.append(f"{field} = {shown}")
    return "\n".join(lines) + "\n"


def main() -> None:
    """Run, fit and write."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("--from-runs", action="store_true", help="fit the stored runs again")
    given = parser.parse_args()
    FITTED.mkdir(exist_ok=True)
    stored, fitted = FITTED / "visibility-runs.npz", FITTED / "visibility.toml"
    if not given.from_runs:
        np.savez_compressed(stored, **run())
    with np.load(stored) as runs:
        fitted.write_text(written(fits(dict(runs))), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [stored, fitted], folder=FITTED)


if __name__ == "__main__":
    main()
