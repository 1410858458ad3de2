"""A vein stroked empty between a finger and a valve, and how it fills again, frame by frame."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc
from cubital.calc.shared.formatting import NBSP, measure
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Axis, Sheet
from cubital.explore.kit.explorer import (
    SIMULATED,
    Choice,
    Count,
    Explorer,
    Picture,
    Quantity,
    Reading,
)
from cubital.scene.anatomy.person import anatomy
from cubital.scene.anatomy.vessels import Scene, Skin, View
from cubital.scene.happening.refilling import Front, Refill, without
from cubital.scene.happening.series import Unsteadiness, moved, unsteadiness
from cubital.scene.light import geometry, picture

SEED, VESSEL = 2, "median"
DEPTH_MM, DIAMETER_MM = 0.8, 3.5  # a shallow, wide vein, so that its valve shows
FINGER_MM, STROKED_TO_MM = 54, 100  # from the vein's far end
DRAWN_MM = 48, 104
ONSET_S, INTERVAL_S, LAST = 0.75, 0.25, 34
KEPT = 64
WIDTH, HEIGHT = 440, 210
TOP_Y, BAR_Y, BAR_HEIGHT = 30, 92, 22
LEAST_MM = 0.05  # an empty piece that is shorter than this is none


class ValveChoice(Choice):
    """Whether the valves of the vein close."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="The valves")

    def options(self) -> dict[object, str]:
        """The two ways, with their words."""
        return {"close": "close", "leak": "do not close"}


class RefillSteps(Explorer):
    """A series of frames of a vein that is stroked empty and fills again."""

    inputs = ("frame_number", "velocity_mm_per_s", "valves")
    title = traitlets.Unicode("Stroked empty, and filling again").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} The fingers are not drawn. How fast blood runs, and that the front is sharp, "
        "are teaching assumptions; a valve is drawn larger than most are "
        "seen. In the grey picture the heart is at the top; the bar below is its straight vein."
    ).tag(sync=True)
    frame_number = Count(
        0, low=0, high=LAST, label="Frame", unit=f"of {LAST}", unit_words=f"of {LAST}"
    )
    velocity_mm_per_s = Quantity(
        20,
        of="velocity_mm_per_s",
        step=1,
        label="Speed of the blood in the vein",
        unit_words="millimetres a second",
        part=(6, 40),
    )
    valves = ValveChoice("close")

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """One frame, what is empty in it, and where the front is."""
        return _picture(RefillState(**state))


@functools.lru_cache(maxsize=KEPT)
def _picture(state: RefillState) -> Picture:
    n = refill_numbers(state)
    return Picture(
        svg=_draw(n),
        alt=_describe(n),
        spoken=f"{measure(n.time_s, 'seconds', 2)}: {n.stage}. {n.empty_words}.".replace(NBSP, " "),
        readings=_readings(n),
        numbers=n,
        frame=frame_of(state),
    )


@functools.cache
def scene() -> Scene:
    """The simulated forearm: three bands, the stroked one in the middle."""
    person = anatomy("forearm", seed=SEED, artery=False, depth_mm=DEPTH_MM, diameter_mm=DIAMETER_MM)
    return Scene(person, Skin(texture_share=0.015), View(320, 240, 0.22), seed=SEED)


@functools.lru_cache(maxsize=KEPT)
def event(velocity_mm_per_s: float, valves: str) -> tuple[Refill, tuple[Front, ...]]:
    """The stroke and the refill, and its fronts."""
    refill = Refill(
        VESSEL,
        finger_mm=FINGER_MM,
        stroked_to_mm=STROKED_TO_MM,
        onset_s=ONSET_S,
        vein_velocity_mm_per_s=velocity_mm_per_s,
        valves_close=valves == "close",
    )
    return refill, tuple(refill.fronts(scene()))


def frame_of(state: RefillState) -> np.ndarray:
    """The grey frame of that number, with the stir and the noise of its series."""
    refill, _ = event(state.velocity_mm_per_s, state.valves)
    number = state.frame_number
    light = picture.light(scene(), refill.change(scene(), INTERVAL_S * number))
    stir = _stir()
    lit = moved(light, stir.columns_px[number], stir.rows_px[number])
    lit = lit * np.float32(stir.brightness[number])
    return picture.exposed(scene(), lit, number=number)


@functools.cache
def _stir() -> Unsteadiness:
    return unsteadiness(scene(), LAST + 1)


@functools.cache
def valve_places_mm() -> tuple[float, ...]:
    """The valves of the stroked vein, from its far end."""
    return tuple(sorted(v.along_mm for v in scene().anatomy.valves if v.vessel == VESSEL))


@functools.cache
def part_in_picture_mm() -> tuple[float, float]:
    """The stretch of the vein that the picture shows, by its rows."""
    vessel = scene().anatomy.vessel(VESSEL)
    _, row = geometry.to_picture(scene().view, vessel.x_mm, vessel.y_mm)
    inside = (row >= 0) & (row <= scene().view.height_px - 1)
    ends = vessel.along_mm[inside]
    return float(ends.min()), float(ends.max())


@dataclass(frozen=True, kw_only=True)
class RefillState:
    """The frame of the series, the speed of the blood, and whether the valves close."""

    frame_number: int
    velocity_mm_per_s: float
    valves: str  # close or leak


@dataclass(frozen=True, kw_only=True)
class RefillNumbers(RefillState):
    """What of the vein is empty at one moment, and how its front runs.

    Places are along the vein from its far end, times from the start of the series.
    """

    time_s: float
    stage: str
    empty_mm: tuple[tuple[float, float], ...]  # ends of each empty piece
    empty_length_mm: float
    empty_words: str
    held_to_mm: float  # end of the piece that stays empty while the lower finger holds
    held_length_mm: float
    lifted_s: float  # when the lower finger is lifted
    stroked_s: float  # when the stroke ends
    comes_from: str  # the side that blood fills the vein from: below (the hand) or above
    front: Front
    front_length_mm: float
    front_lasts_s: float
    front_velocity_mm_per_s: float
    full_s: float  # when the front has run its length


def refill_numbers(state: RefillState) -> RefillNumbers:
    """Compute what is empty in one frame, and how the front runs."""
    refill, fronts = event(state.velocity_mm_per_s, state.valves)
    time_s = INTERVAL_S * state.frame_number
    swept = refill.stroke_velocity_mm_per_s * max(time_s - ONSET_S, 0)
    stroked = FINGER_MM, min(FINGER_MM + swept, STROKED_TO_MM)
    empty = tuple(
        part
        for part in without(stroked, [front.filled_mm(time_s) for front in fronts])
        if part[1] - part[0] > LEAST_MM
    )
    empty_length = sum(end - start for start, end in empty)
    held = refill.emptied(scene())
    comes_from = "below" if held.front_starts_at_mm else "above"
    (main,) = (front for front in fronts if front.comes_from == comes_from)
    length = abs(main.end_mm - main.start_mm)
    lasts = calc.refill_time_s(
        length, vein_diameter_mm=main.diameter_mm, vein_flow_ml_per_min=main.flow_ml_per_min
    )
    return RefillNumbers(
        **vars(state),
        time_s=time_s,
        stage=_stage(time_s, refill, comes_from, is_empty=bool(empty)),
        empty_mm=empty,
        empty_length_mm=empty_length,
        empty_words=f"Empty: {measure(empty_length, 'mm', 1)}" if empty else "Nothing is empty",
        held_to_mm=held.to_mm,
        held_length_mm=held.to_mm - held.from_mm,
        lifted_s=refill.lifted_s,
        stroked_s=refill.stroked_s,
        comes_from=comes_from,
        front=main,
        front_length_mm=length,
        front_lasts_s=lasts,
        front_velocity_mm_per_s=calc.velocity_between_valves_mm_per_s(length, front_time_s=lasts),
        full_s=main.begins_s + lasts,
    )


def _stage(time_s: float, refill: Refill, comes_from: str, *, is_empty: bool) -> str:
    if time_s <= ONSET_S:
        return "At rest"
    if time_s < refill.stroked_s:
        return "The upper finger strokes towards the heart"
    if comes_from == "above" and is_empty:
        return "No valve holds: the vein fills back from the heart"
    if not is_empty:
        return "Full again"
    if time_s <= refill.lifted_s:
        return "Held by the lower finger: empty up to the valve"
    return "The finger is off: the front runs towards the heart"


def _readings(n: RefillNumbers) -> tuple[Reading, ...]:
    closes = n.comes_from == "below"
    speed = measure(n.front_velocity_mm_per_s, "mm/s", 1)
    return (
        Reading("Time", measure(n.time_s, "s", 2), f"{n.stage}."),
        Reading("Empty now", measure(n.empty_length_mm, "mm", 1)),
        Reading(
            "Stays empty while the finger holds",
            measure(n.held_length_mm, "mm", 1) if closes else "nothing",
            "From the lower finger to the last valve of the stroke."
            if closes
            else "No valve stops the blood that runs back.",
        ),
        Reading(
            "Speed of the front",
            speed,
            f"{'From the hand' if closes else 'From the heart'}: "
            f"{measure(n.front_length_mm, 'mm', 1)} in {measure(n.front_lasts_s, 's', 2)}.",
        ),
    )


def _describe(n: RefillNumbers) -> str:
    parts = " and ".join(f"from {a:.0f} to {b:.0f} mm" for a, b in n.empty_mm)
    pale = f"It is pale {parts}, counted from its far end." if parts else "It is dark all along."
    text = (
        f"Frame {n.frame_number} of {LAST}, at {measure(n.time_s, 's', 2)}: a grey picture "
        "of a simulated forearm, hand below, with three dark bands from top to bottom, and a "
        "thinner one that joins the right one. "
        f"The middle one is stroked. {n.stage}. {pale} Below, the same vein laid straight, "
        f"with the lower finger at {FINGER_MM} mm, the stroke's end at {STROKED_TO_MM} mm and its "
        f"valves at {_listed(valves_shown())} mm."
    )
    return text.replace(NBSP, " ")


def valves_shown() -> tuple[float, ...]:
    """The valves on the drawn stretch of the vein."""
    low, high = part_in_picture_mm()
    return tuple(place for place in valve_places_mm() if low <= place <= high)


def _listed(places: tuple[float, ...]) -> str:
    words = [f"{place:.0f}" for place in places]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _draw(n: RefillNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    low, high = DRAWN_MM
    across = Axis(low, high, 16, 424)
    bottom, middle = BAR_Y + BAR_HEIGHT, BAR_Y + BAR_HEIGHT / 2
    sheet.words((8, 18), n.stage, bold=True)
    sheet.line((across(low), middle), (across(high), middle), colour=drawing.VEIN, width=BAR_HEIGHT)
    for start, end in n.empty_mm:
        sheet.line(
            (across(start), middle),
            (across(end), middle),
            colour=drawing.LUMEN,
            width=BAR_HEIGHT - 4,
        )
    for place in valves_shown():
        x = across(place)
        sheet.line((x - 7, BAR_Y - 5), (x, middle), colour=drawing.MARKER, width=3)
        sheet.line((x - 7, bottom + 5), (x, middle), colour=drawing.MARKER, width=3)
        sheet.words((x, BAR_Y - 12), "valve", anchor="middle", colour=drawing.MARKER, size=13)
    for place, words, anchor, is_on in (
        (FINGER_MM, "lower finger", "middle", ONSET_S < n.time_s <= n.lifted_s),
        (STROKED_TO_MM, "stroked to here", "end", n.time_s >= n.stroked_s),
    ):
        x = across(place)
        if is_on:
            sheet.pointer((x, bottom + 2), colour=drawing.CATHETER, size=7)
            sheet.words((x, bottom + 32), words, anchor=anchor, size=13)
    ruler = BAR_Y + BAR_HEIGHT + 52
    sheet.line((across(low), ruler), (across(high), ruler))
    for tick in across.ticks(10):
        sheet.line((across(tick), ruler), (across(tick), ruler + 5))
        sheet.words((across(tick), ruler + 19), f"{tick:g}", anchor="middle", size=13)
    sheet.words((8, ruler + 36), "hand", size=13)
    sheet.words((WIDTH / 2, ruler + 36), "mm along the vein", anchor="middle", size=13)
    sheet.words((WIDTH - 8, ruler + 36), "heart", anchor="end", size=13)
    sheet.words((8, TOP_Y + 12), "dark: full of blood; pale: empty", colour=drawing.QUIET, size=13)
    return sheet.svg()
