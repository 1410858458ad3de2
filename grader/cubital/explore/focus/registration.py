"""Registration: why a sharp line can lie beside its vein, from above and from the side."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import traitlets

from cubital import calc
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.focus.working_distance import off_words
from cubital.explore.kit import drawing
from cubital.explore.kit.department import device_in_use
from cubital.explore.kit.drawing import Sheet
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.section import plain_words

LEAST_ERRORS_MM, BASELINES_MM, TURNS_DEG = 30, (0, 48), (0, 180)
WIDTH, HEIGHT = 440, 436
TOP_MIDDLE, TOP_HALF, TOP_PX = (320, 136), 84, 12
VEIN_MM = 3  # the vein that is drawn from above
SIDE_X, DEVICE_Y, PLANE_Y, SIDE_PX, DEEP_PX = 150, 264, 372, 4, 1.2


def errors_mm() -> tuple[float, float]:
    """Return how far off the working distance the skin may be: to the window's end at least."""
    most = max(LEAST_ERRORS_MM, math.ceil(device_in_use().window_mm))
    return -most, most


class ShownAndTrue(Explorer):
    """The vein, and the line that is projected for it, off the reference plane."""

    inputs = ("distance_error_mm", "baseline_mm", "rotation_deg")
    title = traitlets.Unicode("The line and the vein").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Camera and projector are taken as points side by side that agree at the "
        "working distance; the delay of a moving picture is left out. Seen from the side, widths "
        "are drawn larger than heights."
    ).tag(sync=True)
    distance_error_mm = Quantity(
        12,
        of="distance_error_mm",
        step=1,
        label="Skin beyond the working distance",
        unit_words="millimetres",
        part=errors_mm,
    )
    baseline_mm = Quantity(
        24,
        of="baseline_mm",
        step=2,
        label="Baseline: camera to projector",
        unit_words="millimetres",
        part=BASELINES_MM,
    )
    rotation_deg = Quantity(
        0,
        of="rotation_deg",
        step=5,
        label="Turn of the device (0: baseline across the arm)",
        unit_words="degrees",
        part=TURNS_DEG,
    )

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """Where the line falls at one distance, baseline and turn."""
        n = registration_numbers(RegistrationState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(f"{_sideways(n)}. {n.verdict}"),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class RegistrationState:
    """Where the skin lies, and how camera and projector lie to each other and to the arm."""

    distance_error_mm: float  # of the skin, beyond the working distance; below 0: nearer
    baseline_mm: float
    rotation_deg: float  # of the device; at 0 the baseline lies across the arm


@dataclass(frozen=True, kw_only=True)
class RegistrationNumbers(RegistrationState):
    """The registration error at one distance, baseline and turn; x across the arm, y along it."""

    offset_mm: tuple[float, float]  # from the true place to the projected one
    sideways_mm: float  # its parts, without their signs
    along_mm: float
    size_mm: float
    tolerance_mm: float  # the largest registration error that is tolerated
    window_mm: float  # either side of the working distance
    most_error_mm: float  # that the slider reaches
    most_shift_mm: float  # there, with the widest baseline
    allowed_mm: float  # distance error at which that tolerance is reached
    verdict: str
    is_sharp: bool


def registration_numbers(state: RegistrationState) -> RegistrationNumbers:
    """Compute where the projected line falls at one distance, baseline and turn."""
    device = device_in_use()
    planes = {
        "baseline_mm": state.baseline_mm,
        "reference_distance_mm": device.working_distance_mm,
    }
    offset = calc.registration_offset_mm(
        state.distance_error_mm, rotation_deg=state.rotation_deg, **planes
    )
    tolerance = device.registration_tolerance_mm
    size = abs(calc.registration_error_mm(state.distance_error_mm, **planes))
    return RegistrationNumbers(
        **vars(state),
        offset_mm=(offset.x_mm, offset.y_mm),
        sideways_mm=abs(offset.x_mm),
        along_mm=abs(offset.y_mm),
        size_mm=size,
        tolerance_mm=tolerance,
        window_mm=device.window_mm,
        most_error_mm=errors_mm()[1],
        most_shift_mm=BASELINES_MM[1] * errors_mm()[1] / device.working_distance_mm,
        allowed_mm=calc.distance_error_allowed_mm(tolerance, **planes),
        verdict=(
            f"More than the {measure(tolerance, 'mm', 0)} tolerated."
            if size > tolerance
            else f"Within the {measure(tolerance, 'mm', 0)} tolerated."
        ),
        is_sharp=abs(state.distance_error_mm) <= device.window_mm,
    )


def _sideways(n: RegistrationNumbers) -> str:
    return f"The line lies {measure(n.sideways_mm, 'mm', 1)} beside the vein"


def _towards(part_mm: float, onward: str, back: str) -> str:
    """Where a part of the shift points; nothing where it rounds to nothing."""
    if abs(part_mm) < 0.05:  # written as 0.0 mm
        return ""
    return onward if part_mm > 0 else back


def _readings(n: RegistrationNumbers) -> tuple[Reading, ...]:
    no_limit = "any distance" if n.baseline_mm == 0 else measure(n.allowed_mm, "mm", 1)
    return (
        Reading("Shift of the picture", measure(n.size_mm, "mm", 1), n.verdict),
        Reading(
            "The part beside the vein",
            measure(n.sideways_mm, "mm", 1),
            _towards(n.offset_mm[0], "To the right in the figure.", "To the left in the figure."),
        ),
        Reading(
            "The part along the vein",
            measure(n.along_mm, "mm", 1),
            _towards(n.offset_mm[1], "Down in the figure.", "Up in the figure."),
        ),
        Reading(
            "Skin",
            off_words(n.distance_error_mm),
            "Inside the window: it looks sharp." if n.is_sharp else "Outside the window.",
        ),
        Reading(
            f"Distance off that shifts it by {measure(n.tolerance_mm, 'mm', 0)}",
            no_limit,
            f"The window is {measure(n.window_mm, 'mm', 0)} either side.",
        ),
    )


def _describe(n: RegistrationNumbers) -> str:
    return plain_words(
        "In the upper part, seen from above: the true vein as a solid band along the arm, the "
        f"projected line dashed. {_sideways(n)}"
        f"{_towards(n.offset_mm[0], ', to the right', ', to the left')}, and "
        f"a fork is shown {measure(n.along_mm, 'mm', 1)} along it; "
        f"an arrow of {measure(n.size_mm, 'mm', 1)} leads from the true fork to the shown one. "
        "In the lower part, seen from the side: camera and projector "
        f"{measure(n.baseline_mm, 'mm', 0)} apart; their lines cross at the working distance, and "
        f"the skin is {off_words(n.distance_error_mm)}. {n.verdict}"
    )


def _draw(n: RegistrationNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    sheet.words((8, 16), f"{_sideways(n)}", bold=True, colour=drawing.MARKER)
    _from_above(sheet, n)
    _from_the_side(sheet, n)
    return sheet.svg()


def _from_above(sheet: Sheet, n: RegistrationNumbers) -> None:
    px = min(TOP_PX, TOP_HALF / n.most_shift_mm)
    (x, y), (dx, dy) = TOP_MIDDLE, (px * part for part in n.offset_mm)
    top, low = y - TOP_HALF, y + TOP_HALF
    sheet.words((8, 40), "from above; the arm runs up and down", size=13, colour=drawing.QUIET)
    sheet.line((x, top), (x, low), colour=drawing.LUMEN, width=px * VEIN_MM)
    for sign in (-1, 1):
        edge = x + sign * px * VEIN_MM / 2
        sheet.line((edge, top), (edge, low), colour=drawing.VEIN, width=2)
    sheet.line((x + dx, top), (x + dx, low), colour=drawing.CATHETER, width=3, dash="8 5")
    sheet.line((x, y), (x + dx, y + dy), colour=drawing.MARKER, width=2)
    sheet.circle((x + dx, y + dy), 8, fill=drawing.PAPER, colour=drawing.MARKER, width=3)
    _cross(sheet, (x, y), drawing.VEIN)
    sheet.words((8, 66), "band: the true vein", colour=drawing.VEIN, size=13)
    sheet.words((8, 86), "dashed: the line", colour=drawing.CATHETER, size=13)
    sheet.words((8, 106), "cross: true fork", colour=drawing.VEIN, size=13)
    sheet.words((8, 126), "ring: shown fork", colour=drawing.MARKER, size=13)
    sheet.line((8, low - 6), (8 + 5 * px, low - 6), width=2)
    sheet.words((16 + 5 * px, low - 1), "5 mm", size=13, colour=drawing.QUIET)


def _cross(sheet: Sheet, place: drawing.Point, colour: str) -> None:
    x, y = place
    for sign in (-1, 1):
        sheet.line((x - 5, y - sign * 5), (x + 5, y + sign * 5), colour=colour, width=2)


def _from_the_side(sheet: Sheet, n: RegistrationNumbers) -> None:
    camera = SIDE_X
    projector = SIDE_X + SIDE_PX * n.baseline_mm
    error, size = n.distance_error_mm, n.size_mm
    shown = camera - SIDE_PX * size * (1 if error > 0 else -1)
    skin = PLANE_Y + DEEP_PX * error * LEAST_ERRORS_MM / n.most_error_mm
    sheet.words((8, DEVICE_Y - 20), "from the side", size=13, colour=drawing.QUIET)
    sheet.words((camera - 10, DEVICE_Y + 4), "camera", anchor="end", size=13)
    sheet.words((projector + 12, DEVICE_Y + 4), "projector", size=13)
    sheet.line((SIDE_X - 70, PLANE_Y), (WIDTH - 8, PLANE_Y), colour=drawing.QUIET, dash="2 4")
    sheet.line((SIDE_X - 70, skin), (WIDTH - 8, skin), width=3)
    sheet.line((camera, DEVICE_Y), (camera, skin), colour=drawing.VEIN, width=2)
    sheet.line((projector, DEVICE_Y), (shown, skin), colour=drawing.CATHETER, width=2, dash="8 5")
    sheet.circle((camera, DEVICE_Y), 6, fill=drawing.VEIN, colour=drawing.VEIN)
    sheet.circle((projector, DEVICE_Y), 6, fill=drawing.PAPER, colour=drawing.CATHETER, width=3)
    sheet.circle((shown, skin), 8, fill=drawing.PAPER, colour=drawing.MARKER, width=3)
    _cross(sheet, (camera, skin), drawing.VEIN)
    sheet.words((WIDTH - 8, PLANE_Y + (-7 if error >= 0 else 16)), "working distance", anchor="end",
                size=13, colour=drawing.QUIET, halo=True)  # fmt: skip
    if abs(error) > 2:  # else the two lines are one
        side = 16 if error > 0 else -7
        sheet.words((WIDTH - 8, skin + side), f"skin, {off_words(error)}", anchor="end", size=13,
                    halo=True)  # fmt: skip
    sheet.words((8, HEIGHT - 8), f"shift {measure(size, 'mm', 1)}, "
                f"{percent(size / n.tolerance_mm)} of what is tolerated", size=13)  # fmt: skip
