"""Room light: how a projected picture stands out, and what a larger picture costs."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent, rounded
from cubital.calc.shared.units import MM_PER_CM
from cubital.explore.kit import drawing
from cubital.explore.kit.department import device_in_use
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words
from cubital.tables.focus import room_light

WIDTH_STEP_MM = 4
ROOMS, CONTRASTS = (0, 5), (-2, 4)  # ends of the scales, as powers of ten
CURVE_POINTS = 101
WIDTH, HEIGHT = 440, 388
STRIP_Y, STRIP_WIDE = 352, 44
LINES_X = (50, 130, 210, 290, 370)


class RoomChoice(Choice):
    """A kind of place with its room light."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Room light")

    def options(self) -> dict[object, str]:
        return {
            row.key: f"{row.words}, {measure(row.illuminance_lx, 'lx', 0)}"
            for row in room_light().values()
        }


def widths_mm() -> tuple[float, float]:
    """Return from half to twice the width of the device's picture, in whole steps from it."""
    width, step = device_in_use().picture_width_mm, WIDTH_STEP_MM
    return width - step * math.floor(width / 2 / step), width + step * math.ceil(width / step)


class PictureAndRoom(Explorer):
    """The projected picture against the light of the room."""

    inputs = ("room", "picture_width_mm")
    title = traitlets.Unicode("Room light and size of the picture").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} All the light falls evenly in the picture; colour, the shine of moist skin "
        "and light that leaks into the dark parts are left out. The strip is a sketch: a screen "
        "is not skin."
    ).tag(sync=True)
    room = RoomChoice("examination-room")
    picture_width_mm = Quantity(
        96,
        of="picture_width_mm",
        step=WIDTH_STEP_MM,
        label="Width of the picture on the skin",
        unit_words="millimetres",
        part=widths_mm,
    )

    @traitlets.default("picture_width_mm")
    def _as_wide_as_made(self) -> float:
        return float(device_in_use().picture_width_mm)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The contrast in one room for one size of picture."""
        n = room_numbers(RoomState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(f"Lit skin is {times(n.ratio)} unlit skin. {n.verdict}"),
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class RoomState:
    """The room and the width of the picture."""

    room: str
    picture_width_mm: float


@dataclass(frozen=True, kw_only=True, eq=False)
class RoomNumbers(RoomState):
    """The projected picture's contrast in one room, and over the room light.

    A Weber contrast is the picture's light over the room's; a ratio is lit skin over unlit skin.
    """

    height_mm: float
    area_cm2: float
    projected_lx: float  # the picture's light on the skin
    room_lx: float
    weber: float
    ratio: float
    needed: float  # Weber contrast from which the picture counts as easily seen
    noticed: float  # Weber contrast that is just noticed
    limit_lx: float  # room light up to which the contrast is enough
    verdict: str
    room_words: str
    rooms_lx: np.ndarray
    webers: np.ndarray  # in each of these room lights


def room_numbers(state: RoomState) -> RoomNumbers:
    """Compute the contrast in one room for one size of picture."""
    device = device_in_use()
    place = room_light()[state.room]
    height = state.picture_width_mm * device.picture_height_mm / device.picture_width_mm
    lit = calc.picture_illuminance_lx(
        device.light_output_lm, picture_width_mm=state.picture_width_mm, picture_height_mm=height
    )
    contrast = calc.picture_contrast(lit, room_lx=place.illuminance_lx)
    noticed = tables.constant("contrast-just-noticed").value - 1
    rooms = 10 ** np.linspace(*ROOMS, CURVE_POINTS)
    if contrast.weber >= device.weber_needed:
        verdict = "Easily seen."
    else:
        verdict = "Too little to rely on." if contrast.weber >= noticed else "Not seen."
    return RoomNumbers(
        **vars(state),
        height_mm=height,
        area_cm2=state.picture_width_mm * height / MM_PER_CM**2,
        projected_lx=lit,
        room_lx=place.illuminance_lx,
        weber=contrast.weber,
        ratio=contrast.ratio,
        needed=device.weber_needed,
        noticed=noticed,
        limit_lx=calc.room_light_limit_lx(lit, weber_needed=device.weber_needed),
        verdict=verdict,
        room_words=place.words,
        rooms_lx=rooms,
        webers=calc.picture_contrast(lit, room_lx=rooms).weber,
    )


def _readings(n: RoomNumbers) -> tuple[Reading, ...]:
    return (
        Reading(
            "Picture",
            f"{n.picture_width_mm:g} by {measure(n.height_mm, 'mm', 0)}",
            f"{measure(n.area_cm2, 'cm²', 0)} of skin.",
        ),
        Reading("Light of the picture on the skin", rounded(n.projected_lx, "lx")),
        Reading("Picture light over room light", _plain_number(n.weber), n.verdict),
        Reading("Lit skin over unlit skin", times(n.ratio)),
        Reading(
            "Enough contrast up to a room light of",
            rounded(n.limit_lx, "lx"),
            f"Where picture light is {percent(n.needed)} of room light.",
        ),
    )


def _describe(n: RoomNumbers) -> str:
    return plain_words(
        f"A falling line of contrast, picture light over room light, against the room light, on "
        f"scales of powers of ten, for a picture of {n.picture_width_mm:g} by "
        f"{measure(n.height_mm, 'mm', 0)}. A dashed level at {n.needed:g} is what the course "
        f"calls easily seen; a dotted level at {n.noticed:.2g} is just noticed. The ring: "
        f"{n.room_words}, {measure(n.room_lx, 'lx', 0)}, contrast "
        f"{_plain_number(n.weber)}. "
        f"{n.verdict} Below, a strip of unlit skin with five lit lines in that contrast."
    )


def _plain_number(value: float) -> str:
    return f"{value:,.0f}" if value >= 100 else f"{value:.2f}"  # as many figures as mean something


def times(ratio: float) -> str:
    """A ratio of brightness in words."""
    return f"{_plain_number(ratio)} times"


def _written(power: float) -> str:
    return f"{10**power:,.6g}"


def _draw(n: RoomNumbers) -> str:
    plot = Plot(
        Scale(*ROOMS, 1, "room light on the skin, lx", _written),
        Scale(*CONTRASTS, 1, "picture light over room light", _written),
        size=(WIDTH, HEIGHT),
        box=(66, 404, 54, 258),
    )
    levels = ((n.needed, "easily seen above this", "7 4"), (n.noticed, "just noticed", "2 4"))
    for weber, _, dash in levels:
        y = plot.up(np.log10(weber))
        plot.sheet.line((plot.left, y), (plot.right, y), colour=drawing.MARKER, dash=dash)
    plot.curve(np.log10(n.rooms_lx), np.log10(n.webers))
    plot.mark(
        np.log10(n.room_lx),
        np.log10(n.weber),
        f"{measure(n.room_lx, 'lx', 0)} in the room: {_plain_number(n.weber)}. {n.verdict}",
    )
    for weber, words, _ in levels:  # beside the axis, where the curve is high above
        place = (plot.left + 6, plot.up(np.log10(weber)) - 5)
        plot.sheet.words(place, words, colour=drawing.MARKER, size=13, halo=True)
    # the brighter one is full white
    words = "lit lines on the skin, in this contrast"
    draw_strip(plot.sheet, words, line=1, beside=1 / n.ratio)
    return plot.svg()


def draw_strip(sheet: drawing.Sheet, words: str, *, line: float, beside: float) -> None:
    """Draw lines on skin, each of a share of a screen's full light."""
    sheet.words((8, STRIP_Y - 32), words, size=13)
    top, bottom = STRIP_Y - STRIP_WIDE / 2, STRIP_Y + STRIP_WIDE / 2
    sheet.line((8, STRIP_Y), (WIDTH - 8, STRIP_Y), colour=_grey(beside), width=STRIP_WIDE)
    for x in LINES_X:
        sheet.line((x, top), (x + 20, bottom), colour=_grey(line), width=6)


def _grey(share: float) -> str:
    """The grey of a screen that gives off a share of its full light (sRGB)."""
    # the curve of sRGB (IEC 61966-2-1), as in drawing.contrast
    level = 12.92 * share if share <= 0.0031308 else 1.055 * share ** (1 / 2.4) - 0.055
    return f"#{round(255 * level):02x}" + f"{round(255 * level):02x}" * 2
