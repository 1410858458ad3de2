"""How wide a vein looks in the picture, against how wide it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.skin_light import (
    depth_slider,
    diameter_slider,
    plain,
    skin_of,
    wavelength_slider,
)

CURVE_POINTS = 40
SHALLOW_MM = 1
MELANIN_PERCENT = 5
TOP_MM = 20


class TrueAndApparentWidth(Explorer):
    """The width of a vein's dark band against the vein's true diameter."""

    inputs = ("lumen_diameter_mm", "upper_wall_depth_mm", "picture_wavelength_nm")
    title = traitlets.Unicode("True and apparent width").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Light alone, in skin with {MELANIN_PERCENT} % melanin: the camera's own blur "
        "and the distance add to it. The width is that of the dark band at half of its contrast."
    ).tag(sync=True)
    lumen_diameter_mm = diameter_slider(3, label="True diameter of the vein")
    upper_wall_depth_mm = depth_slider(3)
    picture_wavelength_nm = wavelength_slider(850)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """How wide one vein looks, and how that goes with its diameter."""
        n = width_numbers(WidthState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain(
                f"{measure(n.lumen_diameter_mm, 'mm', 1)} looks "
                f"{measure(n.width_mm, 'mm', 1)} wide."
            ),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class WidthState:
    """The vein and the light that it is seen by."""

    lumen_diameter_mm: float
    upper_wall_depth_mm: float
    picture_wavelength_nm: float


@dataclass(frozen=True, kw_only=True, eq=False)
class WidthNumbers(WidthState):
    """One vein's true and apparent width, and both curves over the true diameter."""

    width_mm: float  # in the picture, at half of the contrast
    times: float  # width in the picture over the true diameter
    diameters_mm: np.ndarray
    widths_mm: np.ndarray  # at each of these diameters, at this depth
    shallow_widths_mm: np.ndarray  # the same, SHALLOW_MM deep


def width_numbers(state: WidthState) -> WidthNumbers:
    """Compute how wide one vein looks, and how that goes with its diameter."""
    limit = tables.limits()["lumen_diameter_mm"]
    diameters = np.linspace(limit.low, limit.high, CURVE_POINTS)
    skin = skin_of(
        picture_wavelength_nm=state.picture_wavelength_nm, melanin_percent=MELANIN_PERCENT
    )
    *curve, width = calc.skin_apparent_width_mm(
        state.upper_wall_depth_mm,
        lumen_diameter_mm=np.append(diameters, state.lumen_diameter_mm),
        **skin,
    )
    return WidthNumbers(
        **vars(state),
        width_mm=float(width),
        times=float(width / state.lumen_diameter_mm),
        diameters_mm=diameters,
        widths_mm=np.array(curve),
        shallow_widths_mm=calc.skin_apparent_width_mm(
            SHALLOW_MM, lumen_diameter_mm=diameters, **skin
        ),
    )


def _readings(n: WidthNumbers) -> tuple[Reading, ...]:
    return (
        Reading("True diameter", measure(n.lumen_diameter_mm, "mm", 1)),
        Reading("Width in the picture", measure(n.width_mm, "mm", 1)),
        Reading(
            "Width in the picture, over the true",
            f"{n.times:.1f} times",
            "No catheter is chosen by the picture's width.",
        ),
    )


def _describe(n: WidthNumbers) -> str:
    return plain(
        f"Curves of the width in the picture against the true diameter at "
        f"{measure(n.picture_wavelength_nm, 'nm', 0)}. The solid one, for an upper wall "
        f"{measure(n.upper_wall_depth_mm, 'mm', 1)} deep, stands beside the dashed line of a "
        f"picture that shows the true width, and a dotted one for a depth of "
        f"{measure(SHALLOW_MM, 'mm', 0)}. A vein {measure(n.lumen_diameter_mm, 'mm', 1)} across "
        f"looks {measure(n.width_mm, 'mm', 1)} wide, {n.times:.1f} times its true width."
    )


def _draw(n: WidthNumbers) -> str:
    plot = Plot(
        Scale(0, 6, 1, "true diameter, mm"),
        Scale(0, TOP_MM, 5, "width in the picture, mm"),
    )
    diameters = n.diameters_mm
    plot.curve([0, diameters[-1]], [0, diameters[-1]], colour=drawing.CATHETER, dash="7 5")
    plot.curve(diameters, n.shallow_widths_mm, colour=drawing.QUIET, dash="2 4", width=2)
    plot.curve(diameters, n.widths_mm)
    plot.label(6, 2.2, "dashed: true width", colour=drawing.CATHETER, anchor="end")
    plot.label(0.2, 18.4, f"dotted: {measure(SHALLOW_MM, 'mm', 0)} deep", colour=drawing.QUIET)
    plot.label(
        0.2,
        17,
        f"solid: {measure(n.upper_wall_depth_mm, 'mm', 1)} deep",
        colour=drawing.VEIN,
    )
    plot.mark(
        n.lumen_diameter_mm,
        n.width_mm,
        f"{measure(n.lumen_diameter_mm, 'mm', 1)} looks {measure(n.width_mm, 'mm', 1)} wide",
    )
    return plot.svg()
