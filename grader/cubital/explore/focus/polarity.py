"""Light lines on unlit skin beside dark lines on lit skin: what an eye notices in each room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure
from cubital.explore.focus.room_light import HEIGHT, WIDTH, RoomChoice, draw_strip
from cubital.explore.kit import drawing
from cubital.explore.kit.department import device_in_use
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words
from cubital.tables.focus import room_light

LIGHT, DARK = "light", "dark"
ROOMS, TIMES = (0, 5), (0, 4)  # ends of the scales, as powers of ten
CURVE_POINTS = 81


class Lines(Choice):
    """Which way round the picture shows a vein."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Veins are shown as")

    def options(self) -> dict[object, str]:
        """Both ways, in words."""
        return {LIGHT: "light lines on unlit skin", DARK: "dark lines on lit skin"}


class LightOrDarkLines(Explorer):
    """The same projector and room, with the veins lit or with all but the veins lit."""

    inputs = ("room", "lines")
    title = traitlets.Unicode("Light lines or dark lines").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} A line of 1 mm on even skin, looked at for two seconds by a young eye that "
        "is used to the brightness around the line. Glare, colour and the shine of moist skin are "
        "left out. The strip is a sketch: a screen is not skin."
    ).tag(sync=True)
    room = RoomChoice("night")
    lines = Lines(LIGHT)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """How clearly the lines stand out in one room, this way round."""
        n = line_numbers(LineState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(f"{_times(n.times)} the least that the eye notices."),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class LineState:
    """The room, and which way round the lines are shown."""

    room: str
    lines: str


@dataclass(frozen=True, kw_only=True, eq=False)
class LineNumbers(LineState):
    """Line and skin beside it, and how many times the least difference that an eye notices.

    Luminances are in cd/m2, room light in lux; `contrast` is the difference as a share of the skin
    beside the line.
    """

    room_lx: float
    room_words: str
    line_cd_per_m2: float
    beside_cd_per_m2: float
    contrast: float
    least: float  # the contrast that is just noticed there
    times: float
    rooms_lx: np.ndarray
    times_light: np.ndarray  # in each of these rooms
    times_dark: np.ndarray


def line_numbers(state: LineState) -> LineNumbers:
    """Compute line and skin in one room, and how clearly both ways stand out over all rooms."""
    place = room_light()[state.room]
    device = device_in_use()
    line, beside = luminances_cd_per_m2(place.illuminance_lx, lines=state.lines, device=device)
    least = least_difference_cd_per_m2(beside)
    darkest = min(row.illuminance_lx for row in room_light().values())
    rooms = np.geomspace(darkest, 10 ** ROOMS[1], CURVE_POINTS)
    over = {lines: times_noticed(rooms, lines=lines, device=device) for lines in (LIGHT, DARK)}
    return LineNumbers(
        **vars(state),
        room_lx=place.illuminance_lx,
        room_words=place.words,
        line_cd_per_m2=line,
        beside_cd_per_m2=beside,
        contrast=abs(line - beside) / beside,
        least=least / beside,
        times=abs(line - beside) / least,
        rooms_lx=rooms,
        times_light=over[LIGHT],
        times_dark=over[DARK],
    )


def times_noticed(room_lx: Any, *, lines: str, device: calc.ViewDevice) -> Any:
    """Return how many times the least difference that an eye notices, for room light in lux."""
    line, skin = luminances_cd_per_m2(room_lx, lines=lines, device=device)
    return np.abs(line - skin) / least_difference_cd_per_m2(skin)


def luminances_cd_per_m2(room_lx: Any, *, lines: str, device: calc.ViewDevice) -> tuple[Any, Any]:
    """Return the luminance of a line and of the skin beside it, for room light in lux."""
    projected = calc.picture_illuminance_lx(
        device.light_output_lm,
        picture_width_mm=device.picture_width_mm,
        picture_height_mm=device.picture_height_mm,
    )
    reflects = tables.constant("skin-reflectance").value
    unlit, lit = (
        calc.luminance_cd_per_m2(lux, surface_reflectance=reflects)
        for lux in (room_lx, room_lx + projected)
    )
    return (lit, unlit) if lines == LIGHT else (unlit, lit)


def least_difference_cd_per_m2(beside_cd_per_m2: Any) -> Any:
    """Return the least difference that an eye notices on skin of this luminance."""
    width, away = (tables.constant(key).value for key in ("projected-line-width", "eye-distance"))
    arcmin = 60 * np.degrees(np.arctan(width / away))
    return calc.noticed_difference_cd_per_m2(beside_cd_per_m2, target_arcmin=float(arcmin))


def _times(value: float) -> str:
    return f"{value:,.0f} times" if value >= 10 else f"{value:.1f} times"


def _share(value: float) -> str:
    return f"{100 * value:,.0f} %" if value >= 0.1 else f"{100 * value:.1f} %"


def _luminance(value: float) -> str:
    return measure(value, "cd/m²", 0 if value >= 10 else 1)


def _readings(n: LineNumbers) -> tuple[Reading, ...]:
    return (
        Reading("Brightness of the line", _luminance(n.line_cd_per_m2)),
        Reading("Brightness of the skin beside it", _luminance(n.beside_cd_per_m2)),
        Reading("Difference, of the skin beside it", _share(n.contrast)),
        Reading("Least difference that the eye notices there", _share(n.least)),
        Reading("How many times that", _times(n.times)),
    )


def _describe(n: LineNumbers) -> str:
    other = n.times_dark if n.lines == LIGHT else n.times_light
    beside = np.interp(n.room_lx, n.rooms_lx, other)
    return plain_words(
        "Two falling curves against the room light, on scales of powers of ten: how many times the "
        "least difference that an eye notices. Light lines on unlit skin start far higher; in the "
        "brightest rooms both curves meet. "
        f"The ring: {n.room_words}, {measure(n.room_lx, 'lx', 0)}, "
        f"{Lines(LIGHT).options()[n.lines]}: {_times(n.times)}. The other way round it is "
        f"{_times(float(beside))}. Below, a strip of skin with five lines as they stand out there."
    )


def _written(power: float) -> str:
    return f"{10**power:,.6g}"


def _draw(n: LineNumbers) -> str:
    plot = Plot(
        Scale(*ROOMS, 1, "room light on the skin, lx", _written),
        Scale(*TIMES, 1, "times the least that the eye notices", _written),
        size=(WIDTH, HEIGHT),
        box=(66, 404, 54, 258),
    )
    rooms = np.log10(n.rooms_lx)
    plot.curve(rooms, np.log10(n.times_light))
    plot.curve(rooms, np.log10(n.times_dark), colour=drawing.MARKER, dash="7 4")
    words = (
        ("solid: light lines on unlit skin", drawing.VEIN, 16),
        ("dashed: dark lines on lit skin", drawing.MARKER, 34),
    )
    for text, colour, below in words:
        place = (plot.right - 4, plot.top + below)
        plot.sheet.words(place, text, anchor="end", colour=colour, size=13, halo=True)
    plot.mark(
        np.log10(n.room_lx),
        np.log10(n.times),
        f"{measure(n.room_lx, 'lx', 0)} in the room: {_times(n.times)} the least noticed",
    )
    brightest = max(n.line_cd_per_m2, n.beside_cd_per_m2)
    draw_strip(
        plot.sheet,
        f"{Lines(LIGHT).options()[n.lines]}, in this room",
        line=n.line_cd_per_m2 / brightest,
        beside=n.beside_cd_per_m2 / brightest,
    )
    return plot.svg()
