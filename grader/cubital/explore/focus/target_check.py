"""The check on a target: projected marks against true ones, and what a failed check is due to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.focus.working_distance import off_words
from cubital.explore.kit import drawing
from cubital.explore.kit.department import device_in_use
from cubital.explore.kit.drawing import Sheet
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.section import plain_words

ERRORS_MM, TURNS_DEG = (-24, 24), (-3, 3)
TRUE_MM = tuple((x, y) for y in (-20, 0, 20) for x in (-30, 0, 30))
"""Nine marks on the target, in rows."""
READ_OFF_MM = (
    (0.2, -0.1), (-0.1, 0.2), (0.1, 0.1), (-0.2, -0.1), (0.0, -0.1), (0.1, 0.2), (0.0, 0.0),
    (-0.2, -0.2), (0.1, 0.0),
)  # fmt: skip
"""How far each is read wrongly with a ruler: invented, and right on average."""
WIDTH, HEIGHT = 440, 400
MIDDLE, PX_PER_MM, ERROR_PX = (220, 182), 4, 16


class CheckOnTarget(Explorer):
    """Nine projected marks against nine true ones, with the package's verdict."""

    inputs = ("distance_error_mm", "rotation_deg")
    title = traitlets.Unicode("The check on a target").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} The readings are invented, each up to a third of a millimetre off, as with "
        "a ruler. What is tolerated is a teaching assumption."
    ).tag(sync=True)
    distance_error_mm = Quantity(
        0,
        of="distance_error_mm",
        step=1,
        label="Target beyond the working distance",
        unit_words="millimetres",
        part=ERRORS_MM,
    )
    rotation_deg = Quantity(
        0,
        of="rotation_deg",
        step=0.5,
        label="Fault: picture turned in the device",
        unit_words="degrees",
        part=TURNS_DEG,
    )

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The check at one distance with one fault."""
        n = check_numbers(CheckState(**state), device_in_use())
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(f"{n.verdict}. {n.reason}"),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class CheckState:
    """Where the target lies, and the fault of the device."""

    distance_error_mm: float  # of the target, beyond the working distance; below 0: nearer
    rotation_deg: float  # by which the picture is turned in the device


@dataclass(frozen=True, kw_only=True, eq=False)
class CheckNumbers(CheckState):
    """A check of the registration on a target: the marks, the verdict and the fitted fault.

    The arrays have a row x, y for each mark [mm].
    """

    true_mm: np.ndarray
    shown_mm: np.ndarray  # where the projected marks were read
    is_in_place: np.ndarray  # whether each mark lies within the tolerance
    verdict: str
    reason: str
    farthest_mm: float  # the largest distance of a projected mark from its true place
    shift_mm: float  # fitted, of the whole picture
    turn_deg: float  # fitted
    scale: float  # fitted, size of the projected picture over the true one
    tolerance_mm: float
    remarks: tuple[str, ...]


def check_numbers(state: CheckState, device: calc.ViewDevice) -> CheckNumbers:
    """Compute what the check gives at one distance with one fault."""
    shift = calc.registration_offset_mm(
        state.distance_error_mm,
        baseline_mm=device.baseline_mm,
        reference_distance_mm=device.working_distance_mm,
        rotation_deg=0,
    )
    turn = np.radians(state.rotation_deg)
    turned = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    true = np.array(TRUE_MM, float)
    shown = true @ turned + shift + np.array(READ_OFF_MM)
    check = calc.check_registration(
        shown, true_mm=true, registration_tolerance_mm=device.registration_tolerance_mm
    )
    return CheckNumbers(
        **vars(state),
        true_mm=true,
        shown_mm=shown,
        is_in_place=np.hypot(*(shown - true).T) <= check.tolerance_mm,
        verdict=check.verdict.capitalize(),
        reason=check.reason,
        farthest_mm=check.fit.largest_error_mm,
        shift_mm=float(np.hypot(check.fit.offset_x_mm, check.fit.offset_y_mm)),
        turn_deg=check.fit.rotation_deg,
        scale=check.fit.scale,
        tolerance_mm=check.tolerance_mm,
        remarks=check.remarks,
    )


def _remark(n: CheckNumbers, word: str) -> str:
    """What the check remarks on one thing, as a sentence; nothing if it does not."""
    remarks = [remark for remark in n.remarks if word in remark]
    return f"{remarks[0].capitalize()}." if remarks else ""


def _readings(n: CheckNumbers) -> tuple[Reading, ...]:
    close = _remark(n, "close to the limit")
    return (
        Reading("Verdict", n.verdict, close),
        Reading(
            "Farthest mark from its place",
            measure(n.farthest_mm, "mm", 1),
            f"{measure(n.tolerance_mm, 'mm', 0)} is tolerated.",
        ),
        Reading("Marks in their place", f"{n.is_in_place.sum()} of {len(TRUE_MM)}"),
        Reading("Whole picture shifted by", measure(n.shift_mm, "mm", 1), _remark(n, "shifted by")),
        Reading("Turned by", measure(abs(n.turn_deg), "degrees", 1), _remark(n, "is turned by")),
        Reading("Size", percent(n.scale, 1), _remark(n, "too ")),
    )


def _describe(n: CheckNumbers) -> str:
    return plain_words(
        f"A flat target from above with nine crosses, the true marks, each in a dashed circle of "
        f"{measure(n.tolerance_mm, 'mm', 0)}. {n.is_in_place.sum()} projected marks lie in "
        f"their circle, drawn as dots; the others are drawn as triangles. The target is "
        f"{off_words(n.distance_error_mm)}. The picture is shifted by "
        f"{measure(n.shift_mm, 'mm', 1)} and turned by "
        f"{measure(abs(n.turn_deg), 'degrees', 1)}. {n.verdict}. {n.reason}"
    )


def _draw(n: CheckNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    sheet.words(
        (8, 16),
        f"{n.verdict}: the farthest mark is {measure(n.farthest_mm, 'mm', 1)} off",
        bold=True,
        colour=drawing.MARKER,
    )
    for true, shown, inside in zip(n.true_mm, n.shown_mm, n.is_in_place, strict=True):
        x, y = _moved(MIDDLE, true, PX_PER_MM)
        place = _moved((x, y), shown - true, ERROR_PX)
        sheet.circle((x, y), ERROR_PX * n.tolerance_mm, colour=drawing.VEIN, width=1.5, dash="3 3")
        for across, down in ((9, 0), (0, 9)):
            sheet.line((x - across, y - down), (x + across, y + down), colour=drawing.VEIN)
        sheet.line((x, y), place, colour=drawing.QUIET)
        if inside:
            sheet.circle(place, 4, fill=drawing.CATHETER, colour=drawing.CATHETER)
        else:
            sheet.pointer(place, size=7)
    circle = measure(n.tolerance_mm, "mm", 0)
    times = f"{ERROR_PX / PX_PER_MM:g} times"
    for row, words in enumerate(
        (
            f"crosses: the true marks, {TRUE_MM[1][0] - TRUE_MM[0][0]} mm apart along a row",
            f"circles: {circle} about each; errors are drawn {times} as large",
            "dots: projected marks in place; tips of triangles: off",
        )
    ):
        sheet.words((8, HEIGHT - 48 + 20 * row), words, size=13)
    return sheet.svg()


def _moved(place: drawing.Point, by: np.ndarray, scale: float) -> drawing.Point:
    return place[0] + scale * float(by[0]), place[1] + scale * float(by[1])
