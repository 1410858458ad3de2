"""A vein and an artery by wavelength: what their blood takes, and how they show."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.skin_light import (
    FULL,
    contrast_words,
    depth_slider,
    diameter_slider,
    plain,
    wavelength_slider,
)
from cubital.explore.kit.wording import measure, percent
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
    def compute(state: Mapping[str, object]) -> Picture:
        """Both vessels at one wavelength, and over all of them."""
        n = vessel_numbers(state)
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain(
                f"Vein {contrast_words(n['vein_contrast'])}, artery "
                f"{contrast_words(n['artery_contrast'])}. {n['verdict']}"
            ),
            readings=_readings(n),
            numbers=n,
        )


def vessel_numbers(state: Mapping[str, object]) -> dict[str, object]:
    """The numbers behind the figure, by name; the curves are arrays over the wavelength."""
    limit = tables.limits()["picture_wavelength_nm"]
    step = 10
    wavelengths = np.arange(limit.low, limit.high + step / 2, step)
    artery = light.blood()["arterial"]
    found: dict[str, object] = {**state, "wavelengths_nm": wavelengths}
    here = int(np.argmin(np.abs(wavelengths - state["picture_wavelength_nm"])))
    kinds = {
        "vein": state["saturation_percent"] / FULL,
        "artery": artery.oxygen_saturation,
    }
    for kind, saturation in kinds.items():
        absorbed = calc.blood_absorption_per_mm(
            wavelengths, oxygen_saturation=saturation, haematocrit=artery.haematocrit
        )
        contrasts = calc.skin_vein_contrast(
            state["upper_wall_depth_mm"],
            lumen_diameter_mm=state["lumen_diameter_mm"],
            picture_wavelength_nm=wavelengths,
            epidermal_melanin_fraction=MELANIN_PERCENT / FULL,
            vessel_absorption_per_mm=absorbed,
        )
        found |= {
            f"{kind}_absorptions": absorbed,
            f"{kind}_contrasts": contrasts,
            f"{kind}_absorption": float(absorbed[here]),
            f"{kind}_contrast": float(contrasts[here]),
        }
    apart = found["artery_contrast"] / found["vein_contrast"] - 1
    return found | {
        "artery_saturation": artery.oxygen_saturation,
        "apart": apart,
        "verdict": _verdict(apart),
    }


def _verdict(apart: float) -> str:
    if abs(apart) < 0.05:  # a twentieth: far below what depth or size do
        return "They look the same."
    paler, darker = ("vein", "artery") if apart > 0 else ("artery", "vein")
    return f"The {paler} looks paler than the {darker}: depth can do as much."


def _readings(n: Mapping[str, object]) -> tuple[Reading, ...]:
    return (
        Reading("Contrast of the vein", contrast_words(n["vein_contrast"])),
        Reading("Contrast of the artery", contrast_words(n["artery_contrast"]), n["verdict"]),
        Reading("Blood in the vein absorbs", _per_mm(n["vein_absorption"])),
        Reading(
            "Blood in the artery absorbs",
            _per_mm(n["artery_absorption"]),
            f"At {percent(n['artery_saturation'])} saturation.",
        ),
    )


def _per_mm(value: float) -> str:
    return measure(value, "per mm", 2)


def _describe(n: Mapping[str, object]) -> str:
    shown = n["show_curves"]
    what = "contrast in the picture" if shown == CONTRAST else "absorption of the blood"
    write = contrast_words if shown == CONTRAST else _per_mm
    return plain(
        f"Two curves of {what} against wavelength from 700 to 1000 nm, solid for a vein with "
        f"{n['saturation_percent']:.0f} % oxygen saturation, dashed for an artery with "
        f"{percent(n['artery_saturation'])}, both {measure(n['lumen_diameter_mm'], 'mm', 1)} "
        f"across and {measure(n['upper_wall_depth_mm'], 'mm', 1)} deep. At "
        f"{measure(n['picture_wavelength_nm'], 'nm', 0)} the vein has {write(n[f'vein_{shown}'])} "
        f"and the artery {write(n[f'artery_{shown}'])}. {n['verdict']}"
    )


def _draw(n: Mapping[str, object]) -> str:
    shown = n["show_curves"]
    vein, artery = n[f"vein_{shown}s"], n[f"artery_{shown}s"]
    if shown == CONTRAST:
        highest = max(vein.max(), artery.max())
        top, step = next(each for each in TOPS if each[0] >= 1.35 * highest)
        digits = 0 if step >= 0.01 else 1
        up = Scale(0, top, step, "contrast in the picture", lambda share: percent(share, digits))
        words = contrast_words
    else:
        up = Scale(0, 0.8, 0.2, "light that the blood absorbs, per mm")
        words = _per_mm
    plot = Plot(Scale(700, 1000, 50, "wavelength, nm", "{:.0f}".format), up)
    nm = n["wavelengths_nm"]
    plot.curve(nm, artery, colour=drawing.CATHETER, dash="7 5")
    plot.curve(nm, vein)
    high = up.high * 0.94, up.high * 0.86
    plot.label(715, high[0], "solid: vein", colour=drawing.VEIN)
    plot.label(715, high[1], "dashed: artery", colour=drawing.CATHETER)
    at = n["picture_wavelength_nm"]
    plot.mark(
        at,
        n[f"vein_{shown}"],
        f"{measure(at, 'nm', 0)}: vein {words(n[f'vein_{shown}'])}, "
        f"artery {words(n[f'artery_{shown}'])}",
        colour=drawing.INK,
    )
    x, y = plot.place(at, n[f"artery_{shown}"])
    plot.sheet.curve(
        [(x, y - 7), (x + 7, y), (x, y + 7), (x - 7, y), (x, y - 7)],
        colour=drawing.CATHETER,
    )
    return plot.svg()
