"""Distance: how sharply the device sees at it, and how large a vein looks in the picture."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.department import device_in_use
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words

VEINS_MM = (1, 6)
LEAST_REACH_MM, TICK_MM, TICK_BLUR_MM = 40, 20, 0.2
WIDTH, HEIGHT = 440, 400
BARS_X, BARS_Y, BAR_GAP, BAR_MM_PX, LONGEST_BAR_PX = 20, 330, 46, 45, 400
CURVE_POINTS = 81


def distances_mm() -> tuple[float, float]:
    """Return from where to where the device is moved: well beyond both ends of its window."""
    device = device_in_use()
    reach = max(LEAST_REACH_MM, TICK_MM * math.ceil(device.window_mm / 15))  # four thirds of it
    return device.working_distance_mm - reach, device.working_distance_mm + reach


class WorkingDistance(Explorer):
    """Blur on the skin and size in the picture against the distance."""

    inputs = ("object_distance_mm", "vein_diameter_mm")
    title = traitlets.Unicode("Distance: sharpness and size").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} This is the blur by the lens alone; the skin itself adds much more. Nothing "
        "sudden happens at the ends of the window: sharpness fades."
    ).tag(sync=True)
    object_distance_mm = Quantity(
        220,
        of="object_distance_mm",
        step=1,
        label="Distance from device to skin",
        unit_words="millimetres",
        part=distances_mm,
    )
    vein_diameter_mm = Quantity(
        3,
        of="vein_diameter_mm",
        step=0.5,
        label="Vein, as wide as it is on the skin",
        unit_words="millimetres",
        part=VEINS_MM,
    )

    @traitlets.default("object_distance_mm")
    def _held_as_made(self) -> float:
        return float(device_in_use().working_distance_mm)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """Sharpness and size at one distance."""
        n = distance_numbers(DistanceState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(f"{n.verdict} Scale {percent(n.scale)}."),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class DistanceState:
    """The distance from device to skin, and the vein."""

    object_distance_mm: float
    vein_diameter_mm: float  # on the skin


@dataclass(frozen=True, kw_only=True, eq=False)
class DistanceNumbers(DistanceState):
    """Sharpness and size at one distance, and the blur over the distance."""

    error_mm: float  # beyond the working distance; below 0: nearer
    working_distance_mm: float
    near_mm: float  # the window's ends, as distances
    far_mm: float
    is_inside: bool
    verdict: str
    blur_mm: float  # of a point, on the skin
    scale: float  # size in the picture over size at the working distance
    shown_mm: float  # width of the vein in the picture
    light_share: float  # projected light on the skin over that at the working distance
    distances_mm: np.ndarray
    blurs_mm: np.ndarray  # at each of these distances


def distance_numbers(state: DistanceState) -> DistanceNumbers:
    """Compute sharpness and size at one distance."""
    device = device_in_use()
    lens = {
        "focus_distance_mm": device.working_distance_mm,
        "focal_length_mm": device.focal_length_mm,
        "f_number": device.f_number,
    }
    error = state.object_distance_mm - device.working_distance_mm
    scale = calc.camera_scale(error, reference_distance_mm=device.working_distance_mm)
    near, far = (device.working_distance_mm + sign * device.window_mm for sign in (-1, 1))
    distances = np.linspace(*distances_mm(), CURVE_POINTS)
    is_inside = near <= state.object_distance_mm <= far
    return DistanceNumbers(
        **vars(state),
        error_mm=error,
        working_distance_mm=device.working_distance_mm,
        near_mm=near,
        far_mm=far,
        is_inside=is_inside,
        verdict="Inside the window." if is_inside else "Outside the window.",
        blur_mm=calc.blur_on_skin_mm(state.object_distance_mm, **lens),
        scale=scale,
        shown_mm=scale * state.vein_diameter_mm,
        light_share=calc.illuminance_at_distance_lx(
            1, distance_error_mm=error, reference_distance_mm=device.working_distance_mm
        ),
        distances_mm=distances,
        blurs_mm=calc.blur_on_skin_mm(distances, **lens),
    )


def off_words(error_mm: float) -> str:
    """How far from the working distance, in words."""
    if error_mm == 0:
        return "at the working distance"
    side = "too far" if error_mm > 0 else "too near"
    return f"{measure(abs(error_mm), 'mm', 0)} {side}"


def _readings(n: DistanceNumbers) -> tuple[Reading, ...]:
    window = f"{n.near_mm:g} to {measure(n.far_mm, 'mm', 0)}"
    return (
        Reading("Place", off_words(n.error_mm), f"{n.verdict} The window: {window}."),
        Reading("A point is smeared on the skin to", measure(n.blur_mm, "mm", 2)),
        Reading("Size in the picture", percent(n.scale), "100 % at the working distance."),
        Reading(
            f"A vein of {measure(n.vein_diameter_mm, 'mm', 1)} measures there",
            measure(n.shown_mm, "mm", 2),
        ),
        Reading("Projected light on the skin", percent(n.light_share)),
    )


def _describe(n: DistanceNumbers) -> str:
    return plain_words(
        f"A curve of the blur on the skin against the distance, in the shape of a V with its tip "
        f"at the working distance, {measure(n.working_distance_mm, 'mm', 0)}. Upright lines "
        f"mark the window from {n.near_mm:g} to {measure(n.far_mm, 'mm', 0)}. The ring "
        f"stands at {measure(n.object_distance_mm, 'mm', 0)}, {off_words(n.error_mm)}: "
        f"blur {measure(n.blur_mm, 'mm', 2)}. {n.verdict} Below, two bars: a vein of "
        f"{measure(n.vein_diameter_mm, 'mm', 1)} on the skin measures "
        f"{measure(n.shown_mm, 'mm', 2)} in the picture."
    )


def _draw(n: DistanceNumbers) -> str:
    most_blur = TICK_BLUR_MM * math.ceil(float(n.blurs_mm.max()) / TICK_BLUR_MM)
    plot = Plot(
        Scale(n.distances_mm[0], n.distances_mm[-1], TICK_MM, "distance from device to skin, mm"),
        Scale(0, most_blur, TICK_BLUR_MM, "blur on the skin, mm"),
        size=(WIDTH, HEIGHT),
        box=(66, 424, 54, 240),
    )
    plot.upright(n.near_mm, "window", dash="7 4")
    plot.upright(n.far_mm, "window", dash="7 4")
    plot.curve(n.distances_mm, n.blurs_mm)
    distance = measure(n.object_distance_mm, "mm", 0)
    plot.mark(
        n.object_distance_mm,
        n.blur_mm,
        f"{distance}: blur {measure(n.blur_mm, 'mm', 2)}. {n.verdict}",
    )
    longest = VEINS_MM[1] * n.working_distance_mm / n.distances_mm[0]
    mm_px = min(BAR_MM_PX, LONGEST_BAR_PX / longest)
    _bar(plot.sheet, 0, (n.vein_diameter_mm, mm_px), "the vein on the skin", 1)
    _bar(plot.sheet, 1, (n.shown_mm, mm_px), "the same vein in the picture", 2)
    return plot.svg()


def _bar(
    sheet: drawing.Sheet, row: int, length: tuple[float, float], words: str, digits: int
) -> None:
    length_mm, mm_px = length
    y, end = BARS_Y + BAR_GAP * row, BARS_X + mm_px * length_mm
    colour = drawing.CATHETER if row else drawing.VEIN
    sheet.words(
        (BARS_X, y - 12), f"{words}: {measure(length_mm, 'mm', digits)}", colour=colour, size=13
    )
    sheet.line((BARS_X, y), (end, y), colour=colour, width=4, dash="8 3" if row else "")
    for x in (BARS_X, end):
        sheet.line((x, y - 7), (x, y + 7), colour=colour, width=2)
