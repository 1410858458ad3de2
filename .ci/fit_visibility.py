"""Fit the quick formulas for a vein's contrast and apparent width to photon transport.

    .venv/bin/python .ci/fit_visibility.py [--from-runs]

Writes ``assets/fitted/visibility-runs.npz``, what the runs gave, and ``assets/fitted/
visibility.toml``, the fits, and enters both in ``generated.toml``. About 15 minutes on one core;
with ``--from-runs`` only the fits, in seconds.

In a medium without end, lengths count in units of 1 / reduced scattering. So a single run with a
reduced scattering of 1 per mm stands for every tissue of its anisotropy and index, and the same
paths serve every depth, diameter and absorption. A second run with even scattering gives what the
vein's own scattering changes; two more the profiles across. Layered skin is in `fit_skin.py`.
"""

import argparse
import math
import sys
from pathlib import Path

import fit_skin
import generated
import numpy as np

from cubital import calc
from cubital.calc.light import skin_visibility, visibility
from cubital.calc.light.media import Layer, Medium
from cubital.calc.light.polynomial import Polynomial, powers
from cubital.calc.light.transport import dimming
from cubital.tables import light as tables_visibility

FITTED = Path(__file__).resolve().parents[1] / "assets" / "fitted"
COMMAND = ".venv/bin/python .ci/fit_visibility.py"
ANISOTROPY, INDEX = 0.9, 1.4
SEEDS = {"directed": 8501, "even": 8502, "across, directed": 8503, "across, even": 8504}
PHOTONS = {
    "directed": 500_000,
    "even": 800_000,
    "across, directed": 150_000,
    "across, even": 150_000,
}

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
    contrast = {"veins": veins, "across_mm": np.zeros((len(veins), 1))}
    profile = {"veins": some, "across_mm": across}
    found = {}
    for before, job, own in (("", contrast, SCATTERINGS), ("across, ", profile, SCATTERINGS[::2])):
        directed = follow(f"{before}directed", [layer], **job, **shared)
        scatterings = (dimming.SAME, *own)
        even = follow(
            f"{before}even",
            [dimming.reduced(layer)],
            scatterings_per_mm=scatterings,
            **job,
            **shared,
        )
        shade, others = dimming.combined(directed, even)
        if not before:
            found["contrast"] = shade[..., 0]
            found["contrast_error"] = dimming.together([other[..., 0] for other in others])
        else:
            found |= widths("width", shade, others, across)
    return {name: values.astype(np.float32) for name, values in found.items()}


def widths(name: str, shade, others, across: np.ndarray) -> dict[str, np.ndarray]:
    """Return widths, their errors, and how dark the axis is."""
    without = [dimming.full_width_at_half(other, across) for other in others]
    return {
        name: dimming.full_width_at_half(shade, across),
        f"{name}_error": dimming.together(without),
        f"{name}_contrast": shade[..., 0],
    }


def follow(name: str, layers: list[Layer], **job) -> dimming.Sums:
    """Make one of the runs."""
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


def fit(
    name: str, empty: Polynomial, where: list[np.ndarray], target: np.ndarray, error: np.ndarray
) -> Polynomial:
    """Return the polynomial that is nearest to the target, weighted by its errors."""
    weight = 1 / np.hypot(error, FLOOR)
    terms = empty.terms(*where)
    found, _, rank, _ = np.linalg.lstsq(terms * weight[:, None], target * weight, rcond=None)
    if rank < len(powers(empty.most, empty.degree)):
        raise RuntimeError(f"the runs do not fix every term of {name}: {rank} of {len(found)}")
    off = (terms @ found - target) * weight
    print(f"{name}: {len(target)} figures, weighted residual {np.sqrt(np.mean(off**2)):.2f}")
    return empty._replace(coefficients=tuple(float(f"{value:.9g}") for value in found))


def empty(name: str) -> Polynomial:
    """Return the polynomial of one fit, without coefficients."""
    ends = tuple(LOW.values()), tuple(HIGH.values())
    return Polynomial(*ends, SHIFTS[name], MOST[name], DEGREES[name], ())


def even_fits(runs: dict[str, np.ndarray]) -> dict[str, Polynomial]:
    """Fit contrast and width in an even tissue."""
    where = points(DEPTHS, DIAMETERS, SCATTERINGS)
    contrast, error = runs["contrast"].ravel(), runs["contrast_error"].ravel()
    use = usable(contrast, error / np.abs(contrast)) & (where[3] >= LOW["extra"])
    where, contrast, error = [v[use] for v in where], contrast[use], error[use]
    absorbed = -np.log1p(-contrast)
    by_depth = np.log(absorbed) - visibility.log_contrast_base(where[0], where[2])
    relative = error / ((1 - contrast) * absorbed)
    found = {"contrast": fit("contrast", empty("contrast"), where, by_depth, relative)}

    where = points(DEPTHS[ACROSS], DIAMETERS[ACROSS], SCATTERINGS[::2])
    width, error = runs["width"].ravel(), runs["width_error"].ravel()
    use = usable(runs["width_contrast"].ravel(), error / width) & (where[3] >= LOW["extra"])
    where, width, error = [v[use] for v in where], width[use], error[use]
    by_size = np.log(width) - visibility.log_width_base(where[0], where[1])
    return found | {"width": fit("width", empty("width"), where, by_size, error / width)}


def skin_fits(runs: dict[str, np.ndarray]) -> dict[str, Polynomial]:
    """Fit what layers change in contrast and width, and how bright the skin is."""
    nm = fit_skin.WAVELENGTHS_NM
    where = fit_skin.points(nm, fit_skin.DEPTHS_MM, fit_skin.DIAMETERS_MM)
    contrast, error = runs["skin_contrast"].ravel(), runs["skin_contrast_error"].ravel()
    use = usable(contrast, error / np.abs(contrast))
    where, contrast, error = [v[use] for v in where], contrast[use], error[use]
    even = calc.vein_contrast(where[0], **fit_skin.even_tissue(where))
    absorbed = -np.log1p(-contrast)
    target = np.log(absorbed / -np.log1p(-even))
    relative = error / ((1 - contrast) * absorbed)
    name = "skin_contrast"
    found = {name: fit(name, fit_skin.empty(name), where, target, relative)}

    where = fit_skin.points(
        fit_skin.ACROSS_NM, fit_skin.ACROSS_DEPTHS_MM, fit_skin.ACROSS_DIAMETERS_MM
    )
    width, error = runs["skin_width"].ravel(), runs["skin_width_error"].ravel()
    use = usable(runs["skin_width_contrast"].ravel(), error / width)
    where, width, error = [v[use] for v in where], width[use], error[use]
    even = calc.apparent_width_mm(where[0], **fit_skin.even_tissue(where))
    name = "skin_width"
    found[name] = fit(name, fit_skin.empty(name), where, np.log(width / even), error / width)

    where = np.broadcast_arrays(*skin_visibility.layer_absorptions(nm[:, None], fit_skin.MELANIN))
    bright = np.log(runs["skin_brightness"]).ravel()
    name = "skin_brightness"
    flat = [values.ravel() for values in where]
    found[name] = fit(name, fit_skin.brightness(), flat, bright, np.zeros(bright.shape))
    return found


def usable(contrast: np.ndarray, relative: np.ndarray) -> np.ndarray:
    """Say which figures are dark and sure enough to fit."""
    sure = np.nan_to_num(relative, nan=np.inf) < NOISIEST
    return sure & (contrast > LEAST_CONTRAST) & (contrast < 1)


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
        "",
        "# The layered skin of the fits called skin: absorption times thickness of an epidermis",
        "# without melanin and of one of melanosomes alone; the rest in mm and per mm.",
        "[skin]",
    ]
    for name, values in fit_skin.table().items():
        shown = [float(f"{v:.7g}") for v in np.atleast_1d(values)]
        lines.append(f"{name} = {shown if np.ndim(values) else shown[0]}")
    for name, polynomial in found.items():
        lines += ["", f"[{name}]"]
        for field, value in polynomial._asdict().items():
            shown = list(value) if isinstance(value, tuple) else value
            lines.append(f"{field} = {shown}")
    return "\n".join(lines) + "\n"


def store(found: dict[str, Polynomial], path: Path) -> None:
    """Write fits, and have them read afresh."""
    path.write_text(written(found), encoding="utf-8", newline="\n")
    visibility.fitted_polynomial.cache_clear()
    tables_visibility.fitted.cache_clear()
    skin_visibility.skin_table.cache_clear()


def main() -> None:
    """Run, fit and write."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("--from-runs", action="store_true", help="fit the stored runs again")
    given = parser.parse_args()
    FITTED.mkdir(exist_ok=True)
    stored, fitted = FITTED / "visibility-runs.npz", FITTED / "visibility.toml"
    if not given.from_runs:
        np.savez_compressed(stored, **run(), **fit_skin.run(tell, widths))
    with np.load(stored) as file:
        runs = dict(file)
    found = even_fits(runs)
    store(found, fitted)  # what layers change is fitted against an even tissue
    found |= skin_fits(runs)
    store(found, fitted)
    generated.record(COMMAND, [stored, fitted], folder=FITTED)


if __name__ == "__main__":
    main()
