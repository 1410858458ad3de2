"""Is a straight piece of vein long enough: the catheter against the next valve, fork or joint."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import traitlets

from cubital import calc
from cubital.calc.shared.formatting import measure
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Axis, Sheet
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.section import LengthChoice, insertion_angle, near_wall_depth, plain_words

WIDTH, HEIGHT = 440, 236
FREE_MM, DEPTHS_MM, REACH_MM = (15, 60), (1, 8), 64
ACROSS = Axis(0, REACH_MM, 16, 424)
VEIN_Y, VEIN_HEIGHT, TICK_MM = 108, 30, 10
JOINING_PX = 26


class Barrier(Choice):
    """What ends the straight, free piece of vein."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="What ends it")

    def options(self) -> dict[object, str]:
        """What it may be, in words."""
        return {
            "valve": "a valve",
            "fork": "a bifurcation: another vein joins",
            "joint": "a joint's crease",
        }


class StraightStretch(Explorer):
    """The part of a catheter in the vein against the straight, free piece ahead of it."""

    inputs = (
        "free_stretch_mm",
        "barrier",
        "length_mm",
        "near_wall_depth_mm",
        "insertion_angle_deg",
    )
    title = traitlets.Unicode("Straight, free and long enough").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Schematic, seen from above, to one scale along the vein. The catheter is "
        "taken to lie straight, its hub at the skin; the vein by finger and ultrasound may differ "
        "from what the picture shows."
    ).tag(sync=True)
    free_stretch_mm = Quantity(
        35,
        of="free_stretch_mm",
        step=1,
        label="Straight, free vein ahead of the place of entry",
        unit_words="millimetres",
        part=FREE_MM,
    )
    barrier = Barrier("valve")
    length_mm = LengthChoice(32)
    near_wall_depth_mm = near_wall_depth(3, DEPTHS_MM)
    insertion_angle_deg = insertion_angle(25)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """Where the catheter's end comes to lie, and what is left to the barrier."""
        n = stretch_numbers(StretchState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(f"{n.verdict}. {n.spare_words}."),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class StretchState:
    """The straight, free piece of vein, what ends it, and the path of the catheter to it."""

    free_stretch_mm: float
    barrier: str  # a key of Barrier's options
    length_mm: float  # of the catheter
    near_wall_depth_mm: float
    insertion_angle_deg: float


@dataclass(frozen=True, kw_only=True)
class StretchNumbers(StretchState):
    """How far the catheter reaches, along the vein from the place of entry."""

    in_vein_mm: float  # of the catheter's length
    fraction: float  # of the catheter's length, in the vein
    spare_mm: float  # from the catheter's end to the barrier; below 0: too long by so much
    barrier_name: str
    verdict: str
    spare_words: str


def stretch_numbers(state: StretchState) -> StretchNumbers:
    """Compute where the catheter's end comes to lie, and what is left to the barrier."""
    path = {
        "near_wall_depth_mm": state.near_wall_depth_mm,
        "insertion_angle_deg": state.insertion_angle_deg,
    }
    in_vein = calc.length_in_vein_mm(state.length_mm, **path)
    spare = state.free_stretch_mm - in_vein
    name = {"valve": "the valve", "fork": "the bifurcation", "joint": "the joint"}[state.barrier]
    if in_vein <= 0:
        verdict = "The catheter does not reach this vein"
        spare_words = "No part of it lies in the vein"
    elif spare > 0:
        verdict = f"Its end stays short of {name}"
        spare_words = f"{measure(spare, 'mm', 1)} to spare"
    else:
        verdict = f"Its end reaches {name}"
        spare_words = f"{measure(-spare, 'mm', 1)} too long"
    return StretchNumbers(
        **vars(state),
        in_vein_mm=in_vein,
        fraction=calc.fraction_in_vein(state.length_mm, **path),
        spare_mm=spare,
        barrier_name=name,
        verdict=verdict,
        spare_words=spare_words,
    )


def _readings(n: StretchNumbers) -> tuple[Reading, ...]:
    return (
        Reading("Catheter in the vein", measure(n.in_vein_mm, "mm", 1)),
        Reading("Straight, free vein ahead", measure(n.free_stretch_mm, "mm", 0)),
        Reading(
            n.verdict,
            n.spare_words,
            "Feel along it first: the finger finds what the picture leaves out."
            if n.spare_mm > 0
            else "Enter farther down, take a shorter catheter that still holds, or another vein.",
        ),
    )


def _describe(n: StretchNumbers) -> str:
    return plain_words(
        "A vein from above as a straight strip, the place of entry at its left end. A catheter of "
        f"{measure(n.length_mm, 'mm', 0)} at {measure(n.insertion_angle_deg, 'degrees', 0)} "
        f"to a near wall {measure(n.near_wall_depth_mm, 'mm', 1)} deep lies "
        f"{measure(n.in_vein_mm, 'mm', 1)} in the vein; {n.barrier_name} is "
        f"{measure(n.free_stretch_mm, 'mm', 0)} ahead. {n.verdict}: {n.spare_words}."
    )


def _draw(n: StretchNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    top, bottom = VEIN_Y - VEIN_HEIGHT / 2, VEIN_Y + VEIN_HEIGHT / 2
    sheet.words((8, 20), n.verdict, bold=True)
    sheet.words((8, 40), n.spare_words, colour=drawing.MARKER)
    sheet.line(
        (ACROSS.start, VEIN_Y), (ACROSS.end, VEIN_Y), colour=drawing.LUMEN, width=VEIN_HEIGHT
    )
    for wall in (top, bottom):
        sheet.line((ACROSS.start, wall), (ACROSS.end, wall), colour=drawing.VEIN, width=3)
    _draw_barrier(sheet, n.barrier, ACROSS(n.free_stretch_mm), top, bottom)
    if n.in_vein_mm > 0:
        end = ACROSS(min(n.in_vein_mm, REACH_MM))
        sheet.line((ACROSS.start, VEIN_Y), (end, VEIN_Y), colour=drawing.CATHETER, width=9)
    ruler = bottom + 34
    sheet.line((ACROSS.start, ruler), (ACROSS.end, ruler))
    for tick in ACROSS.ticks(TICK_MM):
        sheet.line((ACROSS(tick), ruler), (ACROSS(tick), ruler + 5))
        sheet.words((ACROSS(tick), ruler + 19), f"{tick:g}", anchor="middle", size=13)
    sheet.words((ACROSS.end, ruler + 38), "mm along the vein from its entry", anchor="end", size=13)
    key = ruler + 60
    sheet.line((8, key), (38, key), colour=drawing.CATHETER, width=9)
    sheet.words((46, key + 5), "catheter in the vein", size=13)
    sheet.line((230, key), (260, key), colour=drawing.MARKER, width=3, dash="6 4")
    sheet.words((268, key + 5), n.barrier_name, size=13)
    return sheet.svg()


def _draw_barrier(sheet: Sheet, barrier: str, x: float, top: float, bottom: float) -> None:
    middle = (top + bottom) / 2
    if barrier == "fork":  # another vein joins, from the hand's side
        for start in (x, x - JOINING_PX):
            end = start - JOINING_PX, top - JOINING_PX
            sheet.line((start, top), end, colour=drawing.VEIN, width=3)
    elif barrier == "valve":
        for wall in (top, bottom):
            sheet.line((x - 12, wall), (x, middle), colour=drawing.VEIN, width=3)
    sheet.line((x, top - 14), (x, bottom + 14), colour=drawing.MARKER, width=3, dash="6 4")
