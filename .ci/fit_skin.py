"""The layered skin's part of `fit_visibility.py`: its runs and its fits.

Melanin changes nothing but the epidermis's absorption, so one run by wavelength serves every skin
tone, depth, diameter and blood. The fits give what layers change against an even tissue.
"""

import numpy as np

from cubital import calc
from cubital.calc.light import skin_visibility
from cubital.calc.light.polynomial import Polynomial
from cubital.calc.light.transport import dimming

PHOTONS = {"directed": 110_000, "even": 80_000}
SEED = 8510

WAVELENGTHS_NM = np.arange(700.0, 1001.0, 10.0)
MELANIN = np.array([0.01, 0.04, 0.1, 0.2, 0.43])
DEPTHS, DIAMETERS = 8, 6  # at each wavelength, others at each, so that no polynomial can swing
DEPTH_ENDS_MM, DIAMETER_ENDS_MM = (0.2, 8.0), (0.5, 6.0)
BLOOD_PER_MM = np.geomspace(0.12, 1.2, 5)
ACROSS_SEED = 9000
ACROSS_NM = WAVELENGTHS_NM[::5]
ACROSS_DEPTHS = 9  # the band widens at once where the dermis ends: as many as show that
ACROSS_DIAMETERS_MM = np.geomspace(0.5, 6, 4)
PLACES = np.linspace(0, 1, 21)

TABLE_NM = np.arange(700.0, 1001.0, 5.0)
# Depth, diameter; epidermis (absorption times thickness), wavelength, fat, dermis; blood
LOW = (0.2, 0.5, 0.005, 700.0, 0.0042, 0.008, 0.12)
HIGH = (8.0, 6.0, 1.2, 1000.0, 0.02, 0.042, 1.2)
SHIFTS = (0.5, 0.5, 0.05, 0.0, 0.0, 0.0, 0.0)
MOST = {"skin_contrast": (6, 3, 3, 1, 1, 1, 1), "skin_width": (8, 3, 1, 1, 1, 0, 1)}
DEGREES = {"skin_contrast": 6, "skin_width": 8}


def staggered(
    ends: tuple[float, float], number: int, step: float, wavelengths_nm: np.ndarray
) -> np.ndarray:
    """Return as many values at each wavelength, each time moved by a share of their distance."""
    moved = (np.arange(len(wavelengths_nm)) * step) % 1
    place = np.clip((np.arange(number) - 0.5 + moved[:, None]) / (number - 1), 0, 1)
    return ends[0] * (ends[1] / ends[0]) ** place


DEPTHS_MM = staggered(DEPTH_ENDS_MM, DEPTHS, 0.618, WAVELENGTHS_NM)
DIAMETERS_MM = staggered(DIAMETER_ENDS_MM, DIAMETERS, 0.755, WAVELENGTHS_NM)
ACROSS_DEPTHS_MM = staggered(DEPTH_ENDS_MM, ACROSS_DEPTHS, 0.618, ACROSS_NM)


def table() -> dict[str, object]:
    """Return the skin's optics by wavelength, as the fits take them."""
    rows = [calc.skin_layers(nm, melanin_fraction=0.0) for nm in TABLE_NM]
    full = [calc.skin_layers(nm, melanin_fraction=0.5) for nm in TABLE_NM]
    thickness = rows[0][0].thickness_mm
    bloodless = np.array([row[0].medium.absorption_per_mm for row in rows])
    half = np.array([row[0].medium.absorption_per_mm for row in full])
    found = {
        "epidermis_mm": thickness,
        "dermis_mm": rows[0][1].thickness_mm,
        "wavelength_nm": TABLE_NM,
        "bloodless": thickness * bloodless,
        "melanosome": thickness * (2 * half - bloodless),
    }
    for place, name in ((1, "dermis"), (2, "fat")):
        media = [row[place].medium for row in rows]
        found[f"{name}_absorption"] = [medium.absorption_per_mm for medium in media]
        found[f"{name}_reduced_scattering"] = [m.reduced_scattering_per_mm for m in media]
    for name in ("venous", "arterial"):
        found[name] = [blood(nm, name).absorption_per_mm for nm in TABLE_NM]
    return found


def blood(wavelength_nm: float, name: str):
    """Return blood of one kind as a medium."""
    kind = calc.named_blood(name)
    return calc.blood_medium(
        float(wavelength_nm),
        oxygen_saturation=kind.oxygen_saturation,
        haematocrit=kind.haematocrit,
    )


def run(tell, widths) -> dict[str, np.ndarray]:
    """Follow the photons through skin at every wavelength."""
    rows = []
    for number, nm in enumerate(WAVELENGTHS_NM):
        veins = np.array([(d, w) for d in DEPTHS_MM[number] for w in DIAMETERS_MM[number]])
        shade, others, directed = follow(nm, SEED + number, veins, np.zeros((len(veins), 1)), tell)
        index = calc.skin_layers(nm, melanin_fraction=0.0)[0].medium.refractive_index
        enters = 1 - ((index - 1) / (index + 1)) ** 2
        row = {
            "skin_contrast": shade[:, 0, :, :, 0],
            "skin_contrast_error": dimming.together([other[:, :, 0, :, :, 0] for other in others]),
            "skin_brightness": enters * directed.left.sum(axis=0) / directed.photons,
        }
        if nm in ACROSS_NM:
            at = list(ACROSS_NM).index(nm)
            veins = np.array([(d, w) for d in ACROSS_DEPTHS_MM[at] for w in ACROSS_DIAMETERS_MM])
            across = (veins[:, 1:] / 2 + 1.2 * veins[:, :1] + 0.5) * PLACES
            shade, others, _ = follow(nm, ACROSS_SEED + at, veins, across, tell)
            others = [other[:, :, 0] for other in others]
            row |= widths("skin_width", shade[:, 0], others, across)
        rows.append(row)
    return {
        name: np.array([row[name] for row in rows if name in row]).astype(np.float32)
        for name in rows[0]
    }


def follow(nm, seed, veins, across, tell):
    """Return the share that each vein takes at one wavelength, with its own scattering."""
    layers = calc.skin_layers(nm, melanin_fraction=MELANIN[0])
    tones = [calc.skin_layers(nm, melanin_fraction=melanin) for melanin in MELANIN]
    job = {
        "veins": veins,
        "across_mm": across,
        "absorptions_per_mm": BLOOD_PER_MM,
        "backgrounds_per_mm": [[layer.medium.absorption_per_mm for layer in t] for t in tones],
        "seed": seed,
        "progress": tell,
    }
    directed = dimming.sums(layers, photons=PHOTONS["directed"], **job)
    even = dimming.sums(
        [dimming.reduced(layer) for layer in layers],
        scatterings_per_mm=(dimming.SAME, blood(nm, "venous").reduced_scattering_per_mm),
        photons=PHOTONS["even"],
        **job,
    )
    return *dimming.combined(directed, even), directed


def points(wavelengths, depths, diameters) -> list[np.ndarray]:
    """Return what the fits take, depth and diameter first and blood last, of every figure.

    Depths and diameters are the same at each wavelength, or a row for each.
    """
    nm = wavelengths[:, None, None, None, None]
    found = (
        np.atleast_2d(depths)[:, None, None, :, None],
        np.atleast_2d(diameters)[:, None, None, None, :],
        *skin_visibility.layer_absorptions(nm, MELANIN[:, None, None, None]),
        BLOOD_PER_MM[:, None, None],
    )
    return [values.ravel() for values in np.broadcast_arrays(*found)]


def empty(name: str) -> Polynomial:
    """Return the polynomial of one fit, without coefficients."""
    return Polynomial(LOW, HIGH, SHIFTS, MOST[name], DEGREES[name], ())


def brightness() -> Polynomial:
    """Return the polynomial of brightness, without coefficients."""
    layers = [table()[f"{layer}_absorption"] for layer in ("fat", "dermis")]
    low = (*LOW[2:4], *(min(layer) for layer in layers))
    high = (*HIGH[2:4], *(max(layer) for layer in layers))
    return Polynomial(low, high, (0.05, 0.0, 0.0, 0.0), (4, 1, 1, 1), 4, ())


def even_tissue(where: list[np.ndarray]) -> dict[str, np.ndarray]:
    """Return the even tissue and vein against which each figure is fitted."""
    _, diameter, _, nm, *_, absorption = where
    even = skin_visibility.even_tissue(nm)
    return even | {"lumen_diameter_mm": diameter, "vessel_absorption_per_mm": absorption}
