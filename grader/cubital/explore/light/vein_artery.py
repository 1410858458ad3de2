"""A vein and an artery by wavelength: what their blood takes, and how they show."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.skin_light import (
    FULL,
    contrast_words,
    depth_slider,
    diameter_slider,
    plain,
    skin_of,
    wavelength_slider,
)
from cubital.tables import light

MELANIN_PERCENT = 5
CONTRAST, ABSORPTION = "contrast", "absorption"
TOPS = (
    (0.005, 0.001),
    (0.01, 0.002),
    (0.02, 0.005),
    (0.05, 0.01),
    (0.1, 0.02),
    (0.25, 0.05),
    (0.5, 0.1),
    (1, 0.2),
)
"""Tops of the scale of contrast, each with the step of its ticks."""


class Show(Choice):
    """What the curves show."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="The curves show")

    def options(self) -> dict[object, str]:
        return {
            CONTRAST: "contrast in the picture",
            ABSORPTION: "light that the blood absorbs",
        }


class VeinAndArteryByLight(Explorer):
    """A vein and an artery of one size, side by side in the same depth, at every wavelength."""

    inputs = (
        "picture_wavelength_nm",
        "saturation_percent",
        "upper_wall_depth_mm",
        "lumen_diameter_mm",
        "show_curves",
    )
    title = traitlets.Unicode("Vein and artery").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Both vessels have the same size and depth, in skin with {MELANIN_PERCENT} % "
        "melanin. An artery's thicker wall and its beat are left out."
    ).tag(sync=True)
    picture_wavelength_nm = wavelength_slider(850)
    saturation_percent = Quantity(
        70,
        of="saturation_percent",
        step=1,
        label="Oxygen saturation in the vein",
        unit_words="per cent",
    )
    upper_wall_depth_mm = depth_slider(1.5)
    lumen_diameter_mm = diameter_slider(2, label="Diameter of both vessels")
    show_curves = Show(CONTRAST)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """Both vessels at one wavelength, and over all of them."""
        n = vessel_numbers(VesselState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain(
                f"Vein {contrast_words(n.vein_contrast)}, artery "
                f"{contrast_words(n.artery_contrast)}. {n.verdict}"
            ),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class VesselState:
    """The light, both vessels, and what the curves show."""

    picture_wavelength_nm: float
    saturation_percent: float  # of the blood in the vein
    upper_wall_depth_mm: float
    lumen_diameter_mm: float
    show_curves: str  # CONTRAST or ABSORPTION


@dataclass(frozen=True, kw_only=True, eq=False)
class VesselNumbers(VesselState):
    """Contrast and absorption of a vein and an artery, here and over the wavelength.

    A contrast is the share by which a vessel is darker than the skin beside it; an absorption, that
    of its blood, is per millimetre.
    """

    artery_saturation: float  # a share
    vein_contrast: float
    artery_contrast: float
    vein_absorption: float
    artery_absorption: float
    apart: float  # by which share the artery's contrast exceeds the vein's
    verdict: str
    wavelengths_nm: np.ndarray
    vein_contrasts: np.ndarray  # at each of these wavelengths, as are the others
    artery_contrasts: np.ndarray
    vein_absorptions: np.ndarray
    artery_absorptions: np.ndarray

    def values(self) -> tuple[float, float]:
        """What the curves show at this wavelength: the vein's value and the artery's."""
        if self.show_curves == CONTRAST:
            return self.vein_contrast, self.artery_contrast
        return self.vein_absorption, self.artery_absorption

    def curves(self) -> tuple[np.ndarray, np.ndarray]:
        """What is shown over the wavelength: the vein's curve and the artery's."""
        if self.show_curves == CONTRAST:
            return self.vein_contrasts, self.artery_contrasts
        return self.vein_absorptions, self.artery_absorptions


def vessel_numbers(state: VesselState) -> VesselNumbers:
    """Compute how both vessels look and absorb, at one wavelength and over all of them."""
    limit = tables.limits()["picture_wavelength_nm"]
    step = 10
    wavelengths = np.arange(limit.low, limit.high + step / 2, step)
    artery = light.blood()["arterial"]

    def vessel(oxygen_saturation: float) -> tuple[np.ndarray, np.ndarray]:
        absorptions = calc.blood_absorption_per_mm(
            wavelengths, oxygen_saturation=oxygen_saturation, haematocrit=artery.haematocrit
        )
        contrasts = calc.skin_vein_contrast(
            state.upper_wall_depth_mm,
            lumen_diameter_mm=state.lumen_diameter_mm,
            vessel_absorption_per_mm=absorptions,
            **skin_of(picture_wavelength_nm=wavelengths, melanin_percent=MELANIN_PERCENT),
        )
        return contrasts, absorptions

    vein_contrasts, vein_absorptions = vessel(state.saturation_percent / FULL)
    artery_contrasts, artery_absorptions = vessel(artery.oxygen_saturation)
    here = int(np.argmin(np.abs(wavelengths - state.picture_wavelength_nm)))
    vein_contrast, artery_contrast = float(vein_contrasts[here]), float(artery_contrasts[here])
    apart = artery_contrast / vein_contrast - 1
    return VesselNumbers(
        **vars(state),
        artery_saturation=artery.oxygen_saturation,
        vein_contrast=vein_contrast,
        artery_contrast=artery_contrast,
        vein_absorption=float(vein_absorptions[here]),
        artery_absorption=float(artery_absorptions[here]),
        apart=apart,
        verdict=_verdict(apart),
        wavelengths_nm=wavelengths,
        vein_contrasts=vein_contrasts,
        artery_contrasts=artery_contrasts,
        vein_absorptions=vein_absorptions,
        artery_absorptions=artery_absorptions,
    )


def _verdict(apart: float) -> str:
    if abs(apart) < 0.05:  # a twentieth: far below what depth or size do
        return "They look the same."
    paler, darker = ("vein", "artery") if apart > 0 else ("artery", "vein")
    return f"The {paler} looks paler than the {darker}: depth can do as much."


def _readings(n: VesselNumbers) -> tuple[Reading, ...]:
    return (
        Reading("Contrast of the vein", contrast_words(n.vein_contrast)),
        Reading("Contrast of the artery", contrast_words(n.artery_contrast), n.verdict),
        Reading("Blood in the vein absorbs", _per_mm(n.vein_absorption)),
        Reading(
            "Blood in the artery absorbs",
            _per_mm(n.artery_absorption),
            f"At {percent(n.artery_saturation)} saturation.",
        ),
    )


def _per_mm(value: float) -> str:
    return measure(value, "per mm", 2)


def _describe(n: VesselNumbers) -> str:
    is_contrast = n.show_curves == CONTRAST
    what = "contrast in the picture" if is_contrast else "absorption of the blood"
    vein, artery = (contrast_words(v) if is_contrast else _per_mm(v) for v in n.values())
    return plain(
        f"Two curves of {what} against wavelength from 700 to 1000 nm, solid for a vein with "
        f"{n.saturation_percent:.0f} % oxygen saturation, dashed for an artery with "
        f"{percent(n.artery_saturation)}, both {measure(n.lumen_diameter_mm, 'mm', 1)} "
        f"across and {measure(n.upper_wall_depth_mm, 'mm', 1)} deep. At "
        f"{measure(n.picture_wavelength_nm, 'nm', 0)} the vein has {vein} "
        f"and the artery {artery}. {n.verdict}"
    )


def _draw(n: VesselNumbers) -> str:
    vein, artery = n.curves()
    vein_here, artery_here = n.values()
    words: Callable[[float], str]
    if n.show_curves == CONTRAST:
        highest = max(vein.max(), artery.max())
        top, step = next(each for each in TOPS if each[0] >= 1.35 * highest)
        digits = 0 if step >= 0.01 else 1
        up = Scale(0, top, step, "contrast in the picture", lambda share: percent(share, digits))
        words = contrast_words
    else:
        up = Scale(0, 0.8, 0.2, "light that the blood absorbs, per mm")
        words = _per_mm
    plot = Plot(Scale(700, 1000, 50, "wavelength, nm", "{:.0f}".format), up)
    nm = n.wavelengths_nm
    plot.curve(nm, artery, colour=drawing.CATHETER, dash="7 5")
    plot.curve(nm, vein)
    high = up.high * 0.94, up.high * 0.86
    plot.label(715, high[0], "solid: vein", colour=drawing.VEIN)
    plot.label(715, high[1], "dashed: artery", colour=drawing.CATHETER)
    at = n.picture_wavelength_nm
    plot.mark(
        at,
        vein_here,
        f"{measure(at, 'nm', 0)}: vein {words(vein_here)}, artery {words(artery_here)}",
        colour=drawing.INK,
    )
    x, y = plot.place(at, artery_here)
    plot.sheet.curve(
        [(x, y - 7), (x + 7, y), (x, y + 7), (x - 7, y), (x, y - 7)],
        colour=drawing.CATHETER,
    )
    return plot.svg()
