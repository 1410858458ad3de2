"""How a vein's contrast falls with depth, and where it sinks into the noise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.skin_light import (
    FULL,
    contrast_words,
    depth_slider,
    diameter_slider,
    melanin_slider,
    plain,
    skin_of,
    wavelength_slider,
)
from cubital.tables.rows import Limit

CURVE_POINTS = 313  # every 0.025 mm: the crossing is then exact to far below a tenth
POINTS_DRAWN = 8  # one in so many
TOP = 0.5


class ContrastAndDepth(Explorer):
    """Contrast of a vein against its depth, with what the noise hides."""

    inputs = (
        "upper_wall_depth_mm",
        "lumen_diameter_mm",
        "picture_wavelength_nm",
        "melanin_percent",
        "noise_percent",
    )
    title = traitlets.Unicode("Contrast and depth").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Even skin without hair or texture, in a dark room: real skin hides more. How "
        "much skin scatters light is known to a factor of two only, and so is the contrast."
    ).tag(sync=True)
    upper_wall_depth_mm = depth_slider(3)
    lumen_diameter_mm = diameter_slider(3)
    picture_wavelength_nm = wavelength_slider(850)
    melanin_percent = melanin_slider(5)
    noise_percent = Quantity(
        1,
        of="noise_percent",
        step=0.1,
        label="Noise, on a white surface",
        unit_words="per cent of the brightness",
    )

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The contrast of one vein, and the depth at which it is lost."""
        n = contrast_numbers(ContrastState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain(
                f"Contrast {contrast_words(n.contrast)}. {n.verdict} "
                f"Deepest vein seen: {n.deepest_words}."
            ),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class ContrastState:
    """The vein, the light, the skin and the noise."""

    upper_wall_depth_mm: float
    lumen_diameter_mm: float
    picture_wavelength_nm: float
    melanin_percent: float
    noise_percent: float  # on a white surface


@dataclass(frozen=True, kw_only=True, eq=False)
class ContrastNumbers(ContrastState):
    """A vein's contrast, what the noise lets through, and the curve over the depth.

    Contrasts are shares by which the vein is darker than the skin beside it.
    """

    contrast: float
    brightness: float  # share of the light that the skin sends back
    times: float  # contrast over noise from which a vein counts as seen
    needed: float  # contrast from which it does in this skin
    is_seen: bool
    verdict: str
    deepest_mm: float  # upper wall of the deepest vein that is seen; 0 if none is
    deepest_words: str
    stated_mm: float  # depth that is stated for the ward's device
    depths_mm: np.ndarray
    contrasts: np.ndarray  # at each of these depths


def contrast_numbers(state: ContrastState) -> ContrastNumbers:
    """Compute the contrast of one vein, and the depth at which the noise hides it."""
    limit = tables.limits()["upper_wall_depth_mm"]
    depths = np.linspace(limit.low, limit.high, CURVE_POINTS)
    skin = skin_of(
        picture_wavelength_nm=state.picture_wavelength_nm, melanin_percent=state.melanin_percent
    )
    *curve, contrast = calc.skin_vein_contrast(
        np.append(depths, state.upper_wall_depth_mm),
        lumen_diameter_mm=state.lumen_diameter_mm,
        **skin,
    )
    brightness = calc.skin_brightness_share(**skin)
    times = tables.constant("contrast-to-noise-needed").value
    needed = times * state.noise_percent / FULL / np.sqrt(brightness)
    deepest = _crossing(depths, np.array(curve), needed)
    is_seen = bool(contrast >= needed)
    return ContrastNumbers(
        **vars(state),
        contrast=float(contrast),
        brightness=brightness,
        times=times,
        needed=float(needed),
        is_seen=is_seen,
        verdict="This vein is seen." if is_seen else "This vein is lost in the noise.",
        deepest_mm=deepest,
        deepest_words=_deepest_words(deepest, limit),
        stated_mm=tables.profile().depth_reach_mm,
        depths_mm=depths,
        contrasts=np.array(curve),
    )


def _crossing(depths: np.ndarray, curve: np.ndarray, needed: float) -> float:
    """The depth at which a falling curve reaches the needed value; 0 or the last if it does not."""
    if curve[0] < needed:
        return 0.0
    return float(np.interp(-needed, -curve, depths))


def _deepest_words(deepest: float, limit: Limit) -> str:
    if deepest == 0:
        return f"none, not even at {measure(limit.low, 'mm', 1)}"
    if deepest >= limit.high:
        return f"{measure(limit.high, 'mm', 0)} or deeper"
    return measure(deepest, "mm", 1)


def _readings(n: ContrastNumbers) -> tuple[Reading, ...]:
    return (
        Reading(
            f"Contrast at {measure(n.upper_wall_depth_mm, 'mm', 1)}",
            contrast_words(n.contrast),
            n.verdict,
        ),
        Reading(
            "Contrast needed to be seen",
            contrast_words(n.needed),
            f"{n.times:g} times the noise in this skin: a teaching assumption.",
        ),
        Reading("Deepest upper wall that is seen", n.deepest_words),
        Reading("Light that the skin sends back", percent(n.brightness)),
    )


def _describe(n: ContrastNumbers) -> str:
    return plain(
        f"A curve of contrast against depth falls steeply for a vein "
        f"{measure(n.lumen_diameter_mm, 'mm', 1)} across at "
        f"{measure(n.picture_wavelength_nm, 'nm', 0)} and {n.melanin_percent:.0f} % melanin. "
        f"At {measure(n.upper_wall_depth_mm, 'mm', 1)} the contrast is "
        f"{contrast_words(n.contrast)}; a dashed line marks the {contrast_words(n.needed)} "
        f"needed to be seen. {n.verdict} Deepest vein seen: {n.deepest_words}. A dotted "
        f"upright marks the {measure(n.stated_mm, 'mm', 0)} stated for the ward's device."
    )


def _draw(n: ContrastNumbers) -> str:
    plot = Plot(
        Scale(0, 8, 1, "depth of the upper wall, mm"),
        Scale(0, TOP, 0.1, "contrast", percent),
    )
    plot.upright(n.stated_mm, f"stated for the device: {measure(n.stated_mm, 'mm', 0)}")
    depths, curve = n.depths_mm[::POINTS_DRAWN], n.contrasts[::POINTS_DRAWN]
    plot.curve([0, 8], [n.needed] * 2, colour=drawing.MARKER, width=1.5, dash="7 5")
    plot.curve(depths, curve)
    needed = contrast_words(n.needed)
    if n.needed <= TOP:
        needed_words = f"dashed: needed to be seen, {needed}"
    else:
        needed_words = f"needed: {needed}, off the scale"
    legend = [
        ("solid: contrast", drawing.VEIN),
        (needed_words, drawing.MARKER),
    ]
    if 0 < n.deepest_mm < n.depths_mm[-1]:
        plot.sheet.pointer(
            (plot.across(n.deepest_mm), plot.up(n.needed) - 3),
            colour=drawing.CATHETER,
            size=6,
            up=False,
        )
        legend.append((f"triangle: deepest seen, {n.deepest_words}", drawing.CATHETER))
    for row, (words, colour) in enumerate(legend):
        plot.label(1.7, TOP * (0.86 - 0.09 * row), words, colour=colour)
    plot.mark(
        n.upper_wall_depth_mm,
        n.contrast,
        f"Contrast {contrast_words(n.contrast)} at {measure(n.upper_wall_depth_mm, 'mm', 1)}"
        f": {'seen' if n.is_seen else 'not seen'}",
        colour=drawing.INK,
    )
    return plot.svg()
