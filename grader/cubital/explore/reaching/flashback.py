"""Blood in the chamber: where the needle's tip and the catheter's end may be by then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import traitlets

from cubital import calc, tables
from cubital.calc.reaching.insertion import Reach
from cubital.calc.shared.formatting import measure
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Sheet
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.section import (
    Section,
    insertion_angle,
    near_wall_depth,
    plain_words,
    to_wall_mm,
    vein_diameter,
)

WIDTH, HEIGHT = 440, 350
ENTRY, RIGHT, PX_PER_MM = (44, 78), 366, 9.6
KEY_Y = 276
OUTSIDE_MM = 3.5  # so much is drawn above the skin
NEEDLE_MM, DEPTHS_MM = (2, 25), (1, 8)


class Stage(NamedTuple):
    """Where the tips are, whether blood shows, and what comes next."""

    words: str
    blood: str
    next_step: str


SHORT = Stage(
    "Short of the vein",
    "none yet",
    "Go on slowly along the line, at the same angle.",
)
NEEDLE_ONLY = Stage(
    "Needle in the vein, catheter not yet",
    "may show",
    "Stop. Lower the needle, then needle and catheter together a little further. Slid off now, "
    "the catheter would push at the wall from outside.",
)
BOTH = Stage(
    "Needle and catheter in the vein",
    "may show",
    "Hold the needle still and slide the catheter off it, along the vein.",
)
THROUGH = Stage(
    "At the far wall or through it",
    "may have shown, and may go on",
    "Blood in the chamber does not take this back. Swelling, or a catheter that will not slide: "
    "stop, tourniquet off, take it out, press.",
)


class TipsAtTheVein(Explorer):
    """The needle's tip and the catheter's end at the walls of the vein."""

    inputs = ("needle_in_mm", "insertion_angle_deg", "near_wall_depth_mm", "vein_diameter_mm")
    title = traitlets.Unicode("Blood in the chamber, and where the tips are").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Nobody sees this at the bedside, and no vein picture shows it. How far the "
        "catheter's end is behind the needle's tip, and the angle lowered to, are teaching "
        "assumptions; a real vein is pushed and pulled by the needle."
    ).tag(sync=True)
    needle_in_mm = Quantity(
        10,
        of="needle_in_mm",
        step=0.5,
        label="Needle under the skin, along the needle",
        unit_words="millimetres",
        part=NEEDLE_MM,
    )
    insertion_angle_deg = insertion_angle(25)
    near_wall_depth_mm = near_wall_depth(6, DEPTHS_MM)
    vein_diameter_mm = vein_diameter(3)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """Where both tips are, and the room that is left."""
        numbers = tip_numbers(TipState(**state))
        return Picture(
            svg=_draw(numbers),
            alt=_describe(numbers),
            spoken=f"{numbers.stage.words}. Blood: {numbers.stage.blood}.",
            readings=_readings(numbers),
            numbers=numbers,
        )


@dataclass(frozen=True, kw_only=True)
class TipState:
    """Length of needle under the skin [mm], angle [degrees], and the vein by ultrasound [mm]."""

    needle_in_mm: float
    insertion_angle_deg: float
    near_wall_depth_mm: float
    vein_diameter_mm: float


@dataclass(frozen=True, kw_only=True)
class TipNumbers(TipState):
    """Where needle tip and catheter end are; distances from the skin are along the needle."""

    near_wall_mm: float
    far_wall_mm: float
    reach: Reach
    """The same distances as ranges, with the uncertainty of depth, diameter and angle."""
    catheter_end_mm: float
    lead_mm: float
    """How far the needle's tip is ahead of the catheter's end."""
    lowered_angle_deg: float
    room_mm: float
    """From the tip straight on to the far wall."""
    room_lowered_mm: float
    """From the tip to the far wall with the needle lowered."""
    is_in_vein: bool
    stage: Stage


def tip_numbers(state: TipState) -> TipNumbers:
    """Compute where both tips are and the room that is left to the far wall."""
    lead = tables.constant("needle-lead").value
    lowered = min(tables.constant("lowered-angle").value, state.insertion_angle_deg)
    depth, vein = state.near_wall_depth_mm, {"vein_diameter_mm": state.vein_diameter_mm}
    approach = vein | {"insertion_angle_deg": state.insertion_angle_deg}
    near, far = (to_wall_mm(depth, wall=wall, **approach) for wall in ("near", "far"))
    flat = to_wall_mm(depth, wall="far", insertion_angle_deg=lowered, **vein)
    tip = state.needle_in_mm
    room = max(far - tip, 0)
    reach = calc.reach_along_needle(depth, **approach)
    return TipNumbers(
        **vars(state),
        near_wall_mm=near,
        far_wall_mm=far,
        reach=reach,
        catheter_end_mm=max(tip - lead, 0),
        lead_mm=lead,
        lowered_angle_deg=lowered,
        room_mm=room,
        room_lowered_mm=room * flat / far,  # the same depth is left, at another angle
        is_in_vein=near <= tip < far,
        stage=_stage(tip, tip - lead, near, far),
    )


def _stage(tip: float, catheter_end: float, near: float, far: float) -> Stage:
    if tip < near:
        return SHORT
    if tip >= far:
        return THROUGH
    return NEEDLE_ONLY if catheter_end < near else BOTH


def _readings(n: TipNumbers) -> tuple[Reading, ...]:
    stage, span = n.stage, n.reach.near_wall
    lowered = measure(n.lowered_angle_deg, "degrees", 0)
    inside = n.is_in_vein
    return (
        Reading("Where the tips are", stage.words, stage.next_step),
        Reading("Blood in the chamber", stage.blood),
        Reading(
            "Near wall, along the needle",
            measure(n.near_wall_mm, "mm", 1),
            f"It may be {span.low:.1f} to {measure(float(span.high), 'mm', 1)}.",
        ),
        Reading(
            "Room to the far wall, straight on",
            measure(n.room_mm, "mm", 1) if inside else "not in the vein",
        ),
        Reading(
            f"The same, lowered to {lowered}",
            measure(n.room_lowered_mm, "mm", 1) if inside else "not in the vein",
        ),
    )


def _describe(n: TipNumbers) -> str:
    room = (
        f"Straight on, the far wall is {measure(n.room_mm, 'mm', 1)} away; lowered to "
        f"{measure(n.lowered_angle_deg, 'degrees', 0)}, "
        f"{measure(n.room_lowered_mm, 'mm', 1)}. "
        if n.is_in_vein
        else ""
    )
    return plain_words(
        "A cut along the vein, to one scale: skin, near wall and far wall as lines, a needle at "
        f"{measure(n.insertion_angle_deg, 'degrees', 0)} with its tip "
        f"{measure(n.needle_in_mm, 'mm', 1)} from the skin and the catheter's end "
        f"{measure(n.lead_mm, 'mm', 0)} behind it. The near wall is at "
        f"{measure(n.near_wall_mm, 'mm', 1)}, the far wall at "
        f"{measure(n.far_wall_mm, 'mm', 1)} along the needle. {n.stage.words}. {room}"
        f"Blood in the chamber: {n.stage.blood}."
    )


def _draw(n: TipNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    view = Section(sheet, px_per_mm=PX_PER_MM, entry=ENTRY, right=RIGHT)
    angle = n.insertion_angle_deg
    sheet.words((8, 18), n.stage.words, bold=True)
    sheet.words((8, 38), f"blood in the chamber: {n.stage.blood}", colour=drawing.MARKER)
    view.tissue(n.near_wall_depth_mm, n.vein_diameter_mm)
    tip = view.along(n.needle_in_mm, angle)
    if n.is_in_vein:
        for length_mm, line_angle, dash in (
            (n.room_lowered_mm, n.lowered_angle_deg, "9 4"),
            (n.room_mm, angle, "2 4"),
        ):
            end = view.line(tip, length_mm, line_angle, colour=drawing.MARKER, dash=dash)
            if end:
                sheet.circle(end, 4, fill=drawing.PAPER, colour=drawing.MARKER, width=2)
    sheet.line(ENTRY, tip, colour=drawing.INK, width=2.5)
    outside, end = view.along(-OUTSIDE_MM, angle), view.along(n.catheter_end_mm, angle)
    sheet.line(outside, end, colour=drawing.CATHETER, width=7)
    _draw_key(view, n)
    return sheet.svg()


def _draw_key(view: Section, n: TipNumbers) -> None:
    lowered = measure(n.lowered_angle_deg, "degrees", 0)
    rows = (
        ("catheter, over the needle", drawing.CATHETER, 7, ""),
        (f"needle, {measure(n.lead_mm, 'mm', 0)} ahead", drawing.INK, 2.5, ""),
        ("straight on", drawing.MARKER, 2, "2 4"),
        (f"lowered to {lowered}", drawing.MARKER, 2, "9 4"),
    )
    for place, (words, colour, width, dash) in enumerate(rows):
        down, across = divmod(place, 2)
        x = 8 + 222 * across
        y = KEY_Y + 24 * down
        view.sheet.line((x, y), (x + 30, y), colour=colour, width=width, dash=dash)
        view.sheet.words((x + 38, y + 5), words, size=13)
    view.ruler((8, KEY_Y + 56))
