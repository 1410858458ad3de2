"""Tilt and turn: how a tilted skin stretches the picture and uses up the window."""

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
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.section import plain_words

TILTS_DEG, ERRORS_MM = (0, 45), (-24, 24)
WIDTH, HEIGHT = 440, 356
MIDDLE, SKIN_Y, PX_PER_MM = 220, 196, 2.1
DEVICE_Y, BEAM_Y, MOST_BELOW_PX = 30, 52, 130


class SideChoice(Choice):
    """Which side of the picture runs along the tilt: the turn of the device about its axis."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Turn of the device: along the slope lies")

    def options(self) -> dict[object, str]:
        device = device_in_use()
        return {
            "long": f"the long side, {device.picture_width_mm:g} mm",
            "short": f"the short side, {device.picture_height_mm:g} mm (turned by 90 degrees)",
        }


class TiltedSkin(Explorer):
    """A picture on tilted skin, from the side, against the window."""

    inputs = ("tilt_deg", "distance_error_mm", "side")
    title = traitlets.Unicode("Tilt and turn").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} The skin is flat and drawn to scale; the distance to the device is not. The "
        "length is measured along the skin."
    ).tag(sync=True)
    tilt_deg = Quantity(
        0,
        of="tilt_deg",
        step=1,
        label="Tilt of the skin against the device",
        unit_words="degrees",
        part=TILTS_DEG,
    )
    distance_error_mm = Quantity(
        0,
        of="distance_error_mm",
        step=1,
        label="Middle beyond the working distance",
        unit_words="millimetres",
        part=ERRORS_MM,
    )
    side = SideChoice("long")

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """What one tilt does to one picture."""
        n = tilt_numbers(TiltState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(f"{percent(n.sharp_share)} of the length is in the window."),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class TiltState:
    """How the skin lies under the device, and how the device is turned."""

    tilt_deg: float
    distance_error_mm: float  # of the picture's middle
    side: str  # that lies along the slope: long or short


@dataclass(frozen=True, kw_only=True)
class TiltNumbers(TiltState):
    """What one tilt does to one picture, along the slope.

    Places are distances beyond the working distance; below 0: nearer.
    """

    length_mm: float  # of that side
    long_mm: float  # of the long side
    window_mm: float  # either side of the working distance
    span_mm: float  # from the nearest end to the farthest, in depth
    ends_mm: tuple[float, float]  # the nearest end and the farthest
    sharp_share: float  # of the length, in the window
    stretch: float  # length along the slope over length on level skin
    light_share: float  # projected light on the skin over that on level skin
    largest_tilt_deg: float  # that keeps all the length in the window; 0 if none does


def tilt_numbers(state: TiltState) -> TiltNumbers:
    """Compute how much of one picture on tilted skin lies in the window."""
    device = device_in_use()
    length = device.picture_width_mm if state.side == "long" else device.picture_height_mm
    middle, window = state.distance_error_mm, device.window_mm
    span = calc.tilt_depth_span_mm(length, tilt_deg=state.tilt_deg)
    ends = (middle - span / 2, middle + span / 2)
    inside = max(0, min(ends[1], window) - max(ends[0], -window))
    room = window - abs(middle)
    return TiltNumbers(
        **vars(state),
        length_mm=length,
        long_mm=device.picture_width_mm,
        window_mm=window,
        span_mm=span,
        ends_mm=ends,
        sharp_share=inside / span if span else float(room >= 0),
        stretch=calc.tilt_stretch(state.tilt_deg),
        light_share=calc.illuminance_on_tilt_lx(1, tilt_deg=state.tilt_deg),
        largest_tilt_deg=calc.largest_tilt_deg(length, window_mm=room) if room > 0 else 0.0,
    )


def _readings(n: TiltNumbers) -> tuple[Reading, ...]:
    near, far = n.ends_mm
    return (
        Reading(
            "From nearest to farthest end",
            measure(n.span_mm, "mm", 1),
            f"The window is {measure(2 * n.window_mm, 'mm', 0)} from end to end.",
        ),
        Reading("Nearest end", off_words(round(near))),
        Reading("Farthest end", off_words(round(far))),
        Reading("Share of the length in the window", percent(n.sharp_share)),
        Reading(
            "Largest tilt that keeps all of it in the window",
            measure(n.largest_tilt_deg, "degrees", 0) if n.largest_tilt_deg else "none does",
        ),
        Reading("Stretch along the slope", percent(n.stretch)),
        Reading("Projected light on the skin", percent(n.light_share)),
    )


def _describe(n: TiltNumbers) -> str:
    near, far = n.ends_mm
    return plain_words(
        f"From the side: a device above the skin, {measure(n.length_mm, 'mm', 0)} of picture "
        f"on skin tilted by {measure(n.tilt_deg, 'degrees', 0)}. The middle is "
        f"{off_words(n.distance_error_mm)}; one end is {off_words(round(near))}, the other "
        f"{off_words(round(far))}. Two dashed lines are the window's ends, "
        f"{measure(n.window_mm, 'mm', 0)} either side. {percent(n.sharp_share)} of the "
        "length lies between them, drawn thick; the rest is drawn thin and dashed."
    )


def _draw(n: TiltNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    sheet.words(
        (8, 16), f"{percent(n.sharp_share)} of the length is in the window", bold=True,
        colour=drawing.MARKER,
    )  # fmt: skip
    sheet.line((MIDDLE - 26, DEVICE_Y + 12), (MIDDLE + 26, DEVICE_Y + 12), width=14)
    sheet.words((MIDDLE + 36, DEVICE_Y + 17), "device", size=13)
    places = [_place(n, share) for share in (-1, 1)]
    for place in places:
        sheet.line((MIDDLE, BEAM_Y), place, colour=drawing.QUIET, dash="1 4")
    levels = (
        (-1, "window, nearest", drawing.MARKER, "7 4"),
        (0, "working distance", drawing.QUIET, "2 4"),
        (1, "window, farthest", drawing.MARKER, "7 4"),
    )
    px = _px_per_mm(n)
    heights = [SKIN_Y + sign * px * n.window_mm for sign, *_ in levels]
    for y, (_, _, colour, dash) in zip(heights, levels, strict=True):
        sheet.line((8, y), (WIDTH - 8, y), colour=colour, dash=dash, width=1.5)
    sheet.line(*places, colour=drawing.CATHETER, width=2, dash="5 4")
    if n.sharp_share > 0:
        sheet.line(*_sharp(n), colour=drawing.VEIN, width=6)
    for y, (sign, words, colour, _) in zip(heights, levels, strict=True):
        # on the side where the skin lies away from that end of the window
        place = (8 if sign > 0 else WIDTH - 8, y - 5)
        sheet.words(
            place, words, anchor="start" if sign > 0 else "end", size=13, halo=True, colour=colour
        )
    sheet.line((8, HEIGHT - 20), (8 + 20 * px, HEIGHT - 20), width=2)
    sheet.words((16 + 20 * px, HEIGHT - 15), "20 mm", size=13, colour=drawing.QUIET)
    sheet.words(
        (WIDTH - 8, HEIGHT - 15), "thick: in the window; thin, dashed: outside it",
        anchor="end", size=13,
    )  # fmt: skip
    return sheet.svg()


def _px_per_mm(n: TiltNumbers) -> float:
    """The scale of the drawing: the steepest and lowest skin of the device stays on the sheet."""
    lowest_mm = ERRORS_MM[1] + n.long_mm / 2 * math.sin(math.radians(TILTS_DEG[1]))
    return min(PX_PER_MM, MOST_BELOW_PX / max(lowest_mm, n.window_mm))


def _place(n: TiltNumbers, share: float) -> drawing.Point:
    """A place on the skin, from -1 at the nearest end to 1 at the farthest."""
    half = _px_per_mm(n) * n.length_mm / 2
    tilt = math.radians(n.tilt_deg)
    return (
        MIDDLE + share * half * math.cos(tilt),
        SKIN_Y + _px_per_mm(n) * n.distance_error_mm + share * half * math.sin(tilt),
    )


def _sharp(n: TiltNumbers) -> tuple[drawing.Point, drawing.Point]:
    """The two ends of the part that is in the window."""
    (near, far), window = n.ends_mm, n.window_mm
    if far == near:
        return _place(n, -1), _place(n, 1)
    along = [2 * (z - near) / (far - near) - 1 for z in (max(near, -window), min(far, window))]
    return _place(n, along[0]), _place(n, along[1])
