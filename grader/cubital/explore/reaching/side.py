"""From the side: the catheter's path to the vein, what lies in it, and the far wall."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import traitlets

from cubital import calc
from cubital.calc.reaching.insertion import Reach
from cubital.calc.shared.formatting import measure, percent
from cubital.calc.shared.spans import Span
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Sheet
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Reading
from cubital.explore.kit.section import (
    LengthChoice,
    Section,
    insertion_angle,
    key_row,
    near_wall_depth,
    plain_words,
    to_wall_mm,
    vein_diameter,
)
from cubital.explore.reaching.share import study_words

WIDTH, HEIGHT = 440, 302
ENTRY, RIGHT, PX_PER_MM = (34, 64), 366, 6.4
KEY_Y = 218
LYING_MM = 0.7  # drawn so far below the near wall


class SideView(Explorer):
    """How a catheter of some length comes to lie in a vein, cut along the vein."""

    inputs = ("insertion_angle_deg", "near_wall_depth_mm", "vein_diameter_mm", "length_mm")
    title = traitlets.Unicode("Needle, catheter and vein from the side").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} A drawing of what was typed in, not of a patient. A straight needle, a flat "
        "skin and a vein parallel to it; a needle also pushes the skin and the wall before it."
    ).tag(sync=True)
    insertion_angle_deg = insertion_angle(25)
    near_wall_depth_mm = near_wall_depth(6)
    vein_diameter_mm = vein_diameter(3)
    length_mm = LengthChoice(32)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The distance to both walls and the share in the vein."""
        numbers = side_numbers(SideState(**state))
        return Picture(
            svg=_draw(numbers),
            alt=_describe(numbers),
            spoken=plain_words(
                f"{percent(numbers.share, 1)} in the vein. Far wall at "
                f"{measure(numbers.far_wall_mm, 'mm', 1)}."
            ),
            readings=_readings(numbers),
            numbers=numbers,
        )


@dataclass(frozen=True, kw_only=True)
class SideState:
    """Angle [degrees], the vein by ultrasound [mm] and the length of the catheter [mm]."""

    insertion_angle_deg: float
    near_wall_depth_mm: float
    vein_diameter_mm: float
    length_mm: float


@dataclass(frozen=True, kw_only=True)
class SideNumbers(SideState):
    """Distances along the needle from the skin, and what of the catheter lies in the vein."""

    near_wall_mm: float
    far_wall_mm: float
    room_mm: float
    """Between the walls, straight on."""
    reach: Reach
    """The same distances as ranges, with the uncertainty of depth, diameter and angle."""
    length_in_vein_mm: float
    share: float
    """Of the catheter's length, in the vein."""


def side_numbers(state: SideState) -> SideNumbers:
    """Compute the distances to both walls and the share of the catheter in the vein."""
    depth, angle = state.near_wall_depth_mm, state.insertion_angle_deg
    place = {"near_wall_depth_mm": depth, "insertion_angle_deg": angle}
    approach = {"vein_diameter_mm": state.vein_diameter_mm, "insertion_angle_deg": angle}
    near, far = (to_wall_mm(depth, wall=wall, **approach) for wall in ("near", "far"))
    return SideNumbers(
        **vars(state),
        near_wall_mm=near,
        far_wall_mm=far,
        room_mm=far - near,
        reach=calc.reach_along_needle(depth, **approach),
        length_in_vein_mm=calc.length_in_vein_mm(state.length_mm, **place),
        share=calc.fraction_in_vein(state.length_mm, **place),
    )


def _readings(n: SideNumbers) -> tuple[Reading, ...]:
    def span(ends: Span) -> str:
        return f"It may be {ends.low:.1f} to {measure(float(ends.high), 'mm', 1)}."

    reach = n.reach
    return (
        Reading(
            f"Length in the vein, of {measure(n.length_mm, 'mm', 0)}",
            measure(n.length_in_vein_mm, "mm", 1),
        ),
        Reading("Share in the vein", percent(n.share, 1), study_words(n.share)),
        Reading(
            "From the skin to the near wall",
            measure(n.near_wall_mm, "mm", 1),
            span(reach.near_wall),
        ),
        Reading(
            "Straight on to the far wall",
            measure(n.far_wall_mm, "mm", 1),
            span(reach.far_wall),
        ),
        Reading(
            "Room between the walls, straight on",
            measure(n.room_mm, "mm", 1),
            f"You can be sure of {measure(float(reach.sure_room_mm), 'mm', 1)}.",
        ),
    )


def _describe(n: SideNumbers) -> str:
    lies = (
        f"{measure(n.length_in_vein_mm, 'mm', 1)} lie in the vein, {percent(n.share, 1)}"
        if n.share
        else "it ends before the vein"
    )
    return plain_words(
        f"A cut along the vein, to one scale. The skin is a line at the top; a vein "
        f"{measure(n.vein_diameter_mm, 'mm', 1)} across runs below it, its near wall "
        f"{measure(n.near_wall_depth_mm, 'mm', 1)} deep. A catheter of "
        f"{measure(n.length_mm, 'mm', 0)} goes in at "
        f"{measure(n.insertion_angle_deg, 'degrees', 0)}, meets the near wall after "
        f"{measure(n.near_wall_mm, 'mm', 1)} and bends along the vein: {lies}. A dotted line "
        f"goes straight on and meets the far wall at {measure(n.far_wall_mm, 'mm', 1)}."
    )


def _draw(n: SideNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    view = Section(sheet, px_per_mm=PX_PER_MM, entry=ENTRY, right=RIGHT)
    angle, inside = n.insertion_angle_deg, n.length_in_vein_mm
    says = f"{percent(n.share, 1)} of the catheter in the vein"
    sheet.words((8, 18), says if inside else "The catheter does not reach the vein", bold=True)
    view.tissue(n.near_wall_depth_mm, n.vein_diameter_mm)
    view.hub(angle)
    track_mm = min(n.near_wall_mm, n.length_mm)
    wall = view.along(track_mm, angle)
    view.sheet.line(ENTRY, wall, colour=drawing.CATHETER, width=3, dash="6 3")
    if inside:
        met = view.line(wall, n.room_mm, angle, colour=drawing.MARKER, dash="2 4")
        if met:
            sheet.circle(met, 5, fill=drawing.PAPER, colour=drawing.MARKER, width=2.5)
        level = wall[1] + PX_PER_MM * LYING_MM
        bend = (wall[0] + min(6, PX_PER_MM * inside), level)
        sheet.curve(
            (wall, bend, (wall[0] + PX_PER_MM * inside, level)), colour=drawing.CATHETER, width=5
        )
    _draw_key(view, n)
    return sheet.svg()


def _draw_key(view: Section, n: SideNumbers) -> None:
    inside = measure(n.length_in_vein_mm, "mm", 1)
    track = measure(n.length_mm - n.length_in_vein_mm, "mm", 1)
    rows = (
        (f"catheter outside the vein, {track}", drawing.CATHETER, 3, "6 3"),
        (f"catheter in the vein, {inside}", drawing.CATHETER, 5, ""),
        (
            f"needle straight on: far wall {measure(n.far_wall_mm, 'mm', 1)} from the skin",
            drawing.MARKER,
            2,
            "2 4",
        ),
    )
    for place, (words, colour, width, dash) in enumerate(rows):
        key_row(view.sheet, KEY_Y + 22 * place, words, colour=colour, width=width, dash=dash)
    view.ruler((8, KEY_Y + 66))
