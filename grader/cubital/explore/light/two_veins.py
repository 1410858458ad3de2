"""Two veins in one picture, the patient's and another: does the picture tell how deep they lie?"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc
from cubital.calc.shared.formatting import measure
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Sheet
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Reading
from cubital.explore.kit.skin_light import (
    contrast_words,
    depth_slider,
    diameter_slider,
    melanin_slider,
    plain,
    skin_of,
)

WAVELENGTH_NM = 850
LEFT_DEPTH_MM, LEFT_DIAMETER_MM = 3, 3
ACROSS_MM, ALONG_MM = 52, 22
PX_PER_MM = 8
LEFT_AT_MM, RIGHT_AT_MM = 12, 35
SKIN_GREY, GAIN = 200, 2
NOISE_SHARE = 0.01
SAME = 0.005  # of contrast: half the noise of one pixel
SECTION_PX_PER_MM = 9
SURFACE_Y = 56
WIDTH, HEIGHT = ACROSS_MM * SECTION_PX_PER_MM, 200


class TwoVeins(Explorer):
    """The patient's vein on the left, and one of the learner's own on the right."""

    inputs = ("upper_wall_depth_mm", "lumen_diameter_mm", "melanin_percent")
    title = traitlets.Unicode("Two veins, one picture").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} The picture above, the cut through the arm below; each vein is shown as a "
        f"bell-shaped band, and all differences {GAIN} times as strong as they are. The "
        "grey picture alone does not tell which vein lies deeper."
    ).tag(sync=True)
    upper_wall_depth_mm = depth_slider(1, label="Depth of the right vein", part=(0.5, 6))
    lumen_diameter_mm = diameter_slider(1.5, label="Diameter of the right vein")
    melanin_percent = melanin_slider(5)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The picture of both veins, and the cut that it does not show."""
        n = pair_numbers(PairState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain(
                f"Left {contrast_words(n.left_contrast)}, right "
                f"{contrast_words(n.right_contrast)}. {n.verdict}"
            ),
            readings=_readings(n),
            numbers=n,
            frame=_frame(n),
        )


@dataclass(frozen=True, kw_only=True)
class PairState:
    """The right vein, and the skin over both."""

    upper_wall_depth_mm: float
    lumen_diameter_mm: float
    melanin_percent: float


@dataclass(frozen=True, kw_only=True)
class PairNumbers(PairState):
    """How both veins look: contrast and width in the picture.

    The depth and the diameter are the right vein's; the left one has LEFT_DEPTH_MM and
    LEFT_DIAMETER_MM. Contrasts are shares by which a vein is darker than the skin beside it.
    """

    left_contrast: float
    right_contrast: float
    left_width_mm: float
    right_width_mm: float
    verdict: str


def pair_numbers(state: PairState) -> PairNumbers:
    """Compute how both veins look, and which one is darker."""
    depths = np.array([LEFT_DEPTH_MM, state.upper_wall_depth_mm])
    diameters = np.array([LEFT_DIAMETER_MM, state.lumen_diameter_mm])
    skin = skin_of(picture_wavelength_nm=WAVELENGTH_NM, melanin_percent=state.melanin_percent)
    contrasts = calc.skin_vein_contrast(depths, lumen_diameter_mm=diameters, **skin)
    widths = calc.skin_apparent_width_mm(depths, lumen_diameter_mm=diameters, **skin)
    more = float(contrasts[1] - contrasts[0])
    return PairNumbers(
        **vars(state),
        left_contrast=float(contrasts[0]),
        right_contrast=float(contrasts[1]),
        left_width_mm=float(widths[0]),
        right_width_mm=float(widths[1]),
        verdict=(
            "Equally dark: matched."
            if abs(more) < SAME
            else f"The {'right' if more > 0 else 'left'} one is darker."
        ),
    )


@functools.cache
def _noise() -> np.ndarray:
    """One and the same noise for every picture, so that only the veins change it."""
    shape = (ALONG_MM * PX_PER_MM, ACROSS_MM * PX_PER_MM)
    return np.random.default_rng(1).normal(0, NOISE_SHARE, shape)


def _frame(n: PairNumbers) -> np.ndarray:
    across = (np.arange(ACROSS_MM * PX_PER_MM) + 0.5) / PX_PER_MM
    light = np.ones_like(across)
    bands = (
        (LEFT_AT_MM, n.left_width_mm, n.left_contrast),
        (RIGHT_AT_MM, n.right_width_mm, n.right_contrast),
    )
    for place, width_mm, contrast in bands:
        away = (across - place) / width_mm
        light *= 1 - contrast * 0.5 ** (4 * away**2)  # half at half the width
    grey = SKIN_GREY * (1 + GAIN * (light - 1 + _noise()))
    frame: np.ndarray = np.clip(np.rint(grey), 0, 255).astype(np.uint8)
    return frame


def _readings(n: PairNumbers) -> tuple[Reading, ...]:
    return (
        Reading(
            "Left vein, contrast",
            contrast_words(n.left_contrast),
            f"Looks {measure(n.left_width_mm, 'mm', 1)} wide.",
        ),
        Reading(
            "Right vein, contrast",
            contrast_words(n.right_contrast),
            f"Looks {measure(n.right_width_mm, 'mm', 1)} wide. {n.verdict}",
        ),
    )


def _describe(n: PairNumbers) -> str:
    return plain(
        "A grey picture of skin with two upright dark bands, their contrast "
        f"{contrast_words(n.left_contrast)} on the left and "
        f"{contrast_words(n.right_contrast)} on the right. {n.verdict} Below it, a cut "
        f"through the skin: on the left a vein {measure(LEFT_DIAMETER_MM, 'mm', 1)} across, "
        f"{measure(LEFT_DEPTH_MM, 'mm', 1)} deep; on the right one "
        f"{measure(n.lumen_diameter_mm, 'mm', 1)} across, "
        f"{measure(n.upper_wall_depth_mm, 'mm', 1)} deep."
    )


def _draw(n: PairNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    scale = SECTION_PX_PER_MM
    sheet.words((8, 18), "The cut through the skin, to one scale", bold=True)
    sheet.line((0, SURFACE_Y), (WIDTH, SURFACE_Y), width=2)
    sheet.words((8, SURFACE_Y - 8), "skin's surface", colour=drawing.QUIET, size=13)
    veins = (
        (LEFT_AT_MM, LEFT_DEPTH_MM, LEFT_DIAMETER_MM),
        (RIGHT_AT_MM, n.upper_wall_depth_mm, n.lumen_diameter_mm),
    )
    for place, depth, diameter in veins:
        x, top = scale * place, SURFACE_Y + scale * depth
        radius = scale * diameter / 2
        sheet.line((x, SURFACE_Y), (x, top), colour=drawing.MARKER, dash="2 3", width=1.5)
        sheet.circle((x, top + radius), radius, fill=drawing.LUMEN, colour=drawing.VEIN, width=2)
        beside = x + scale * LEFT_DIAMETER_MM / 2 + 8
        rows = (("deep", depth, drawing.MARKER), ("across", diameter, drawing.VEIN))
        for row, (words, value, colour) in enumerate(rows):
            sheet.words(
                (beside, SURFACE_Y + 40 + 20 * row),
                f"{measure(value, 'mm', 1)} {words}",
                colour=colour,
            )
    ruler = HEIGHT - 24
    sheet.line((8, ruler), (8 + 5 * scale, ruler), width=2)
    for end in (8, 8 + 5 * scale):
        sheet.line((end, ruler - 5), (end, ruler + 5), width=2)
    sheet.words((16 + 5 * scale, ruler + 5), "5 mm", colour=drawing.QUIET, size=13)
    sheet.words((WIDTH / 2, HEIGHT - 6), n.verdict, bold=True)
    return sheet.svg()
