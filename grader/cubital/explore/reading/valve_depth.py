"""A valve of a vein in the near-infrared picture, as the vein lies deeper."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital.calc.shared.formatting import NBSP, measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Axis, Sheet
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Quantity, Reading
from cubital.explore.reading.arm_by_cause import short
from cubital.scene.anatomy.vessels import Anatomy, Camera, Limb, Scene, Skin, Valve, Vessel, View
from cubital.scene.light import picture
from cubital.scene.light.sinuses import diameter_with_valves_mm
from cubital.scene.truth import visibility

VIEW = View(192, 144, 0.17)
HALF_MM, BEND_MM, BENDS_MM = 40, 1.5, 18  # of the vein, and how it swings from side to side
POINTS = 161
VALVE_MM = 40.0  # from the vein's far end: in the picture's middle
FLAT = Limb(200, sag_mm=0)  # a limb so broad that it is flat here
WIDTH, HEIGHT, MIDDLE_Y = 440, 190, 108
REACH_MM, OUTLINE_POINTS, DRAWN_DEPTH_MM = 12, 97, 1.0
CLEAR_PX = 24  # of the picture's foot, away from the valve
ACROSS = Axis(-REACH_MM, REACH_MM, 56, 384)
KEPT = 64


class ValveUnderSkin(Explorer):
    """One valve of one vein, seen through more or less skin."""

    inputs = ("depth_mm", "diameter_mm")
    title = traitlets.Unicode("A valve in the picture").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} How much a valve narrows and widens a vein is a teaching assumption, chosen "
        "large. The ratio is that of a filter that knows what to look for: the eye sees less. "
        "In the grey picture the heart is at the top."
    ).tag(sync=True)
    depth_mm = Quantity(
        0.4,
        of="upper_wall_depth_mm",
        step=0.1,
        label="Depth of the vein's upper wall",
        unit_words="millimetres",
        part=(0.3, 4),
    )
    diameter_mm = Quantity(
        4,
        of="lumen_diameter_mm",
        step=0.1,
        label="Diameter of the vein",
        unit_words="millimetres",
        part=(2, 5),
    )

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The picture of the vein with its valve, and whether the valve stands out."""
        return _picture(ValveState(**state))


@functools.lru_cache(maxsize=KEPT)
def _picture(state: ValveState) -> Picture:
    n, frame = valve_numbers(state)
    return Picture(
        svg=_draw(n),
        alt=_describe(n),
        spoken=f"The valve is {_seen(n)}: contrast over noise {short(n.ratio)}.",
        readings=_readings(n),
        numbers=n,
        frame=frame,
    )


@dataclass(frozen=True, kw_only=True)
class ValveState:
    """The vein: how deep its upper wall lies, and its diameter away from the valve."""

    depth_mm: float
    diameter_mm: float


@dataclass(frozen=True, kw_only=True)
class ValveNumbers(ValveState):
    """How the valve stands out in the picture, and the vein's true widths beside it."""

    ratio: float  # contrast over noise, for a filter that knows the valve's shape
    needed: float  # contrast over noise from which it counts as seen
    is_seen: bool
    notch_mm: float
    bulge_mm: float
    darker: float  # share by which the vein below the valve is darker than skin


def scene_of(state: ValveState) -> Scene:
    """The scene that the controls stand for: one vein that runs up the picture, with one valve."""
    down = np.linspace(HALF_MM, -HALF_MM, POINTS)
    even = np.ones(POINTS)
    vein = Vessel(
        "vein",
        "vein",
        BEND_MM * np.sin(down / BENDS_MM),
        down,
        state.depth_mm * even,
        state.diameter_mm * even,
    )
    person = Anatomy("forearm", "adult", 1, FLAT, (vein,), (Valve("vein", VALVE_MM),))
    return Scene(person, Skin(texture_share=0.015), VIEW, Camera(fall_off=0.1), seed=4)


@functools.lru_cache(maxsize=KEPT)
def outline_mm(diameter_mm: float) -> tuple[np.ndarray, np.ndarray]:
    """Compute distances along the vein from the valve, and the vein's true diameter there."""
    scene = scene_of(ValveState(depth_mm=DRAWN_DEPTH_MM, diameter_mm=diameter_mm))
    (vein,) = scene.anatomy.vessels
    along = VALVE_MM + np.linspace(-REACH_MM, REACH_MM, OUTLINE_POINTS)
    return along - VALVE_MM, diameter_with_valves_mm(vein, scene.anatomy.valves, along)


def valve_numbers(state: ValveState) -> tuple[ValveNumbers, np.ndarray]:
    """Compute whether the valve stands out of the noise, and the frame."""
    scene = scene_of(state)
    light, bare = picture.light(scene), picture.background(scene)
    (ratio,) = visibility.valve_ratios(scene, light, visibility.TextureNoise(scene, bare)).values()
    _, widths = outline_mm(state.diameter_mm)
    rows = slice(VIEW.height_px - CLEAR_PX, VIEW.height_px)  # of the vein as it is below the valve
    needed = visibility.needed()
    numbers = ValveNumbers(
        **vars(state),
        ratio=max(float(ratio), 0.0),
        needed=needed,
        is_seen=bool(ratio >= needed),
        notch_mm=float(widths.min()),
        bulge_mm=float(widths.max()),
        darker=float((1 - light[rows] / bare[rows]).max(axis=1).mean()),
    )
    return numbers, picture.exposed(scene, light)


def _seen(n: ValveNumbers) -> str:
    return "seen" if n.is_seen else "not seen"


def _readings(n: ValveNumbers) -> tuple[Reading, ...]:
    return (
        Reading(
            "The valve: contrast over noise",
            short(n.ratio),
            f"{_seen(n).capitalize()}; it counts as seen from {n.needed:g}.",
        ),
        Reading("The vein beside it", f"{percent(n.darker)} darker than skin"),
        Reading("True width at the notch", measure(n.notch_mm, "mm", 1)),
        Reading("True width at the bulge", measure(n.bulge_mm, "mm", 1)),
    )


def _describe(n: ValveNumbers) -> str:
    knot = (
        "In its middle it narrows, with a bulge just above."
        if n.is_seen
        else "It looks evenly wide: no knot stands out of the noise."
    )
    text = (
        f"A grey picture of skin, heart above, with one dark band from top to bottom: a vein "
        f"{measure(n.diameter_mm, 'mm', 1)} across whose upper wall is "
        f"{measure(n.depth_mm, 'mm', 1)} deep, {percent(n.darker)} darker than the skin. "
        f"{knot} The valve's contrast over noise is {short(n.ratio)}. Below, the vein's true "
        f"outline: {measure(n.notch_mm, 'mm', 1)} at the notch, then "
        f"{measure(n.bulge_mm, 'mm', 1)} at the bulge, on the side of the heart."
    )
    return text.replace(NBSP, " ")


def _draw(n: ValveNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    sheet.words((8, 20), f"The valve is {_seen(n)} in the picture", bold=True)
    sheet.words((8, 40), "The vein's true outline, to scale:", colour=drawing.QUIET, size=13)
    distances, widths = outline_mm(n.diameter_mm)
    px = (ACROSS.end - ACROSS.start) / (ACROSS.high - ACROSS.low)
    for side in (-1, 1):
        walls = MIDDLE_Y + side * px * widths / 2
        places = [(ACROSS(distance), wall) for distance, wall in zip(distances, walls, strict=True)]
        sheet.curve(places, colour=drawing.VEIN, width=3)
        meets = ACROSS(0), MIDDLE_Y + side * px * n.notch_mm / 2
        sheet.line(meets, (ACROSS(n.notch_mm / 3), MIDDLE_Y), colour=drawing.MARKER, width=3)
    low = MIDDLE_Y + px * widths.max() / 2
    sheet.words((ACROSS(0) - 8, low + 14), "notch", anchor="end", size=13)
    sheet.words((ACROSS(distances[widths.argmax()]), low + 14), "bulge", size=13)
    sheet.words((8, MIDDLE_Y + 5), "hand", size=13)
    sheet.words((WIDTH - 8, MIDDLE_Y + 5), "heart", anchor="end", size=13)
    return sheet.svg()
