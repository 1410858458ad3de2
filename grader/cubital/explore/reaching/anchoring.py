"""Whether the vein holds still: its shift to the side under the needle's push."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc
from cubital.calc.shared.formatting import measure
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Sheet
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words, spread, vein_diameter
from cubital.tables import reading

PUSHES_N, PUSHED_N = (0, 3), (0.2, 3)
CURVE_POINTS = 61
SIZE, BOX = (440, 452), (50, 320, 216, 392)
PX_PER_MM, SKIN_Y, CENTRE = 10, 52, (130, 110)
SHORT_WORDS = {"loose": "loose skin", "resting": "firm skin", "stretched": "held skin"}
DASHES = {"loose": "2 4", "resting": "8 4", "stretched": ""}


class SkinChoice(Choice):
    """How the skin is held, out of the table."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Skin")

    def options(self) -> dict[object, str]:
        return {key: row.words for key, row in reading.sideways().items()}


class AnchoredVein(Explorer):
    """How far the needle's push rolls a vein to the side, with and without traction."""

    inputs = ("push_n", "skin", "vein_diameter_mm")
    title = traitlets.Unicode("A vein under the needle's push").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} How far a vein gives way is a teaching assumption: no source was found. "
        "Plain geometry: a needle without width, aimed at the vein's middle."
    ).tag(sync=True)
    push_n = Quantity(
        0.5,
        of="push_n",
        step=0.1,
        label="Sideways push of the needle",
        unit_words="newtons",
        part=PUSHED_N,
    )
    skin = SkinChoice("loose")
    vein_diameter_mm = vein_diameter(3)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The shift for one push, and how it grows with the push."""
        numbers = anchor_numbers(AnchoringState(**state))
        return Picture(
            svg=_draw(numbers),
            alt=_describe(numbers),
            spoken=plain_words(f"Shift {measure(numbers.shift_mm, 'mm', 1)}. {numbers.verdict}."),
            readings=_readings(numbers),
            numbers=numbers,
        )


@dataclass(frozen=True, kw_only=True)
class AnchoringState:
    """Sideways push of the needle [N], how the skin is held, and the vein's diameter [mm]."""

    push_n: float
    skin: str
    vein_diameter_mm: float


@dataclass(frozen=True, kw_only=True)
class AnchoringNumbers(AnchoringState):
    """The vein's shift to the side at the chosen push, and over the push for each skin."""

    shift_mm: float
    half_mm: float
    """Half the vein's diameter: beyond this shift the needle passes beside the vein."""
    rolled: bool
    rolls_from_n: float | None
    """The least push at which the vein rolls away; None if it does not within the scale."""
    pushes_n: np.ndarray
    curves: dict[str, np.ndarray]
    """Shift [mm] for each of `pushes_n`, by how the skin is held."""
    verdict: str


def anchor_numbers(state: AnchoringState) -> AnchoringNumbers:
    """Compute the shift at the chosen push and its curves over the push."""
    vein, skin = state.vein_diameter_mm, state.skin
    shift = calc.sideways_shift_mm(state.push_n, skin=skin)
    rolled = calc.rolls_from_needle(shift, vein_diameter_mm=vein)
    pushes = np.linspace(*PUSHES_N, CURVE_POINTS)
    curves = {key: calc.sideways_shift_mm(pushes, skin=key) for key in reading.sideways()}
    off = np.flatnonzero(calc.rolls_from_needle(curves[skin], vein_diameter_mm=vein))
    return AnchoringNumbers(
        **vars(state),
        shift_mm=shift,
        half_mm=vein / 2,
        rolled=rolled,
        rolls_from_n=float(pushes[off[0]]) if off.size else None,
        pushes_n=pushes,
        curves=curves,
        verdict="The vein has rolled away: the needle passes beside it"
        if rolled
        else "The needle meets the vein",
    )


def _readings(n: AnchoringNumbers) -> tuple[Reading, ...]:
    start = n.rolls_from_n
    return (
        Reading("Shift to the side", measure(n.shift_mm, "mm", 1), f"{n.verdict}."),
        Reading("Half the vein's diameter", measure(n.half_mm, "mm", 2)),
        Reading(
            "Rolls away from a push of about",
            f"none up to {PUSHES_N[1]} N" if start is None else measure(start, "N", 2),
        ),
    )


def _describe(n: AnchoringNumbers) -> str:
    return plain_words(
        "Above, a cut across the arm to one scale: a vein "
        f"{measure(n.vein_diameter_mm, 'mm', 1)} across, pushed "
        f"{measure(n.shift_mm, 'mm', 1)} to the side of the needle that was "
        f"aimed at its middle. {n.verdict}. Below, the shift against the push for loose, firm "
        "and held skin, the loose highest and the held lowest, with a line at half the vein's "
        f"diameter, {measure(n.half_mm, 'mm', 2)}. Ringed: "
        f"{reading.sideways()[n.skin].words}, {measure(n.push_n, 'N', 1)}."
    )


def _draw(n: AnchoringNumbers) -> str:
    plot = Plot(
        Scale(*PUSHES_N, 1, "sideways push, N"),
        Scale(0, 7, 1, "shift of the vein to the side, mm"),
        size=SIZE,
        box=BOX,
    )
    _draw_section(plot.sheet, n)
    for key, shifts in n.curves.items():
        chosen = key == n.skin
        plot.curve(
            n.pushes_n,
            shifts,
            colour=drawing.VEIN if chosen else drawing.QUIET,
            width=3.5 if chosen else 1.5,
            dash=DASHES[key],
        )
    half = plot.up(n.half_mm)
    plot.sheet.line(
        (plot.left, half), (plot.right, half), colour=drawing.MARKER, width=1.5, dash="12 3 2 3"
    )
    named = [
        *((plot.up(shifts[-1]), SHORT_WORDS[key], key) for key, shifts in n.curves.items()),
        (half, "half the vein", ""),
    ]
    for label, (place, words, key) in zip(spread([row[0] for row in named]), named, strict=True):
        chosen = key == n.skin
        colour = drawing.VEIN if chosen else drawing.QUIET if key else drawing.MARKER
        plot.sheet.line((plot.right, place), (plot.right + 8, label), colour=colour)
        plot.sheet.words((plot.right + 11, label + 4), words, colour=colour, size=13, bold=chosen)
    plot.mark(n.push_n, n.shift_mm, n.verdict)
    return plot.svg()


def _draw_section(sheet: Sheet, n: AnchoringNumbers) -> None:
    x, y = CENTRE
    radius = PX_PER_MM * n.half_mm
    moved = (x + PX_PER_MM * n.shift_mm, y)
    sheet.line((8, SKIN_Y), (282, SKIN_Y), width=2)
    sheet.words((290, SKIN_Y + 4), "skin", size=13)
    sheet.circle(moved, radius, fill=drawing.LUMEN, colour=drawing.VEIN, width=3)
    sheet.circle(CENTRE, radius, colour=drawing.QUIET, width=1.5, dash="3 3")
    sheet.line((x, 28), (x, y), colour=drawing.CATHETER, width=3)
    sheet.pointer((x, y + 4), colour=drawing.CATHETER, size=5, up=False)
    sheet.words((290, 84), "upright: needle", colour=drawing.CATHETER, size=13)
    sheet.words((290, 104), "solid: vein now", colour=drawing.VEIN, size=13)
    sheet.words((290, 124), "dashed: before", colour=drawing.QUIET, size=13)
    sheet.line((290, 146), (290 + 5 * PX_PER_MM, 146), width=2)
    for end in (290, 290 + 5 * PX_PER_MM):
        sheet.line((end, 141), (end, 151), width=2)
    sheet.words((290 + 5 * PX_PER_MM + 8, 151), measure(5, "mm", 0), colour=drawing.QUIET, size=13)
