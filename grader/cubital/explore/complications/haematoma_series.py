"""A series of pictures of a haematoma, by tourniquet and by pressing."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure
from cubital.explore.complications.leak_series import PLACE_MM, SECONDS, VESSEL, forearm
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Choice, Count, Explorer, Picture, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words
from cubital.scene.happening.leaking import Haematoma
from cubital.scene.happening.series import Series, series

ON, OFF = "on", "off"
NEVER = "never"
BLOOD_MINUTES, MOST_ML, PER_MINUTE = 10, 6, 4


class Tourniquet(Choice):
    """Whether the tourniquet is still on while the vein leaks."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Tourniquet")

    def options(self) -> dict[object, str]:
        return {ON: "left on", OFF: "taken off at once"}


class Pressing(Choice):
    """When firm pressure begins."""

    def __init__(self, default: object) -> None:
        super().__init__(default, label="Firm pressure")

    def options(self) -> dict[object, str]:
        return {NEVER: "none", 3: "after 3 minutes", 1: "after 1 minute"}


def vein_pressure_mmhg(tourniquet: str) -> float:
    """The pressure in the vein with the tourniquet on or off, by the table."""
    row = tables.constant("scene-haematoma-pressure")
    return row.value if tourniquet == ON else row.low


def pressed_after_min(pressing: int | str) -> float | None:
    """Return after how many minutes firm pressure begins, or None if it never does."""
    return None if pressing == NEVER else float(pressing)


@functools.cache
def blood_series(tourniquet: str, pressing: int | str) -> tuple[Haematoma, Series]:
    """One picture a minute while blood leaks from the vein, and the event."""
    event = Haematoma(
        VESSEL,
        at_mm=PLACE_MM,
        onset_s=0,
        vein_pressure_mmhg=vein_pressure_mmhg(tourniquet),
        pressed_after_min=pressed_after_min(pressing),
    )
    frames = BLOOD_MINUTES + 1
    return event, series(event, forearm(), frames=frames, interval_s=SECONDS)


class HaematomaGrowing(Explorer):
    """Blood leaks from a vein: the patch in the picture and the volume, minute by minute."""

    inputs = ("minute", "tourniquet", "pressing")
    title = traitlets.Unicode("A haematoma grows").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} How fast a vein leaks and how the tissue pushes back are teaching "
        "assumptions; clotting and blood thinners are left out. Times are for comparing, not for "
        "a patient."
    ).tag(sync=True)
    minute = Count(
        0,
        low=0,
        high=BLOOD_MINUTES,
        label="Minutes since the vein was breached",
        unit="min",
        unit_words="minutes",
    )
    tourniquet = Tourniquet(ON)
    pressing = Pressing(NEVER)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The picture of one minute, and how the volume goes on."""
        n = blood_numbers(HaematomaState(**state))
        return Picture(
            svg=_draw_volumes(n),
            alt=_describe_blood(n),
            spoken=plain_words(
                f"Minute {n.minute}: {measure(n.volume_ml, 'mL', 1)}, patch "
                f"{measure(n.patch_mm, 'mm', 0)} across."
            ),
            readings=_blood_readings(n),
            numbers=n,
            frame=n.frame,
        )


@dataclass(frozen=True, kw_only=True)
class HaematomaState:
    """The minute, whether the tourniquet is on, and after how many minutes it is pressed."""

    minute: int
    tourniquet: str
    pressing: int | str


@dataclass(frozen=True, kw_only=True)
class HaematomaNumbers(HaematomaState):
    """The picture of one minute, the blood outside the vein, and its curves over the minutes."""

    frame: np.ndarray
    """Grey picture (rows, columns), one byte each."""
    minutes: np.ndarray
    volumes_ml: np.ndarray
    """As chosen; one for each of `minutes`, like the next two."""
    best_ml: np.ndarray
    """Tourniquet taken off, and pressed after 1 minute."""
    worst_ml: np.ndarray
    """Tourniquet left on, and never pressed."""
    volume_ml: float
    """Blood outside the vein at this minute."""
    best_now_ml: float
    patch_mm: float
    """Diameter of the dark patch in the picture."""
    limit_ml: float
    """Volume at which the tissue's pressure equals that in the vein."""


def blood_numbers(state: HaematomaState) -> HaematomaNumbers:
    """Compute the haematoma at one minute, and its curves over the minutes."""
    event, shown = blood_series(state.tourniquet, state.pressing)
    minutes = np.linspace(0, BLOOD_MINUTES, PER_MINUTE * BLOOD_MINUTES + 1)
    pressure = vein_pressure_mmhg(state.tourniquet)
    time_s = state.minute * SECONDS

    def volumes(tourniquet: str, pressing: int | str) -> np.ndarray:
        return np.asarray(
            calc.haematoma_volume_ml(
                minutes,
                vein_pressure_mmhg=vein_pressure_mmhg(tourniquet),
                pressed_after_min=pressed_after_min(pressing),
            )
        )

    at = PER_MINUTE * state.minute
    chosen = volumes(state.tourniquet, state.pressing)
    best, worst = volumes(OFF, 1), volumes(ON, NEVER)
    return HaematomaNumbers(
        **vars(state),
        frame=shown.frames[state.minute],
        minutes=minutes,
        volumes_ml=chosen,
        best_ml=best,
        worst_ml=worst,
        volume_ml=float(chosen[at]),
        best_now_ml=float(best[at]),
        patch_mm=event.diameter_mm(time_s),
        limit_ml=calc.haematoma_limit_ml(pressure),
    )


def _blood_readings(n: HaematomaNumbers) -> tuple[Reading, ...]:
    return (
        Reading("Blood outside the vein", measure(n.volume_ml, "mL", 1), f"{_held(n)}."),
        Reading("Dark patch in the picture", f"{measure(n.patch_mm, 'mm', 0)} across"),
        Reading(
            "Bleeding would stop by itself at",
            measure(n.limit_ml, "mL", 1),
            "When the tissue pushes back as hard as the vein.",
        ),
        Reading(
            "Tourniquet off and pressed after 1 minute",
            measure(n.best_now_ml, "mL", 1),
            "At the same minute.",
        ),
    )


def _held(n: HaematomaNumbers) -> str:
    held = Tourniquet(ON).options()[n.tourniquet]
    return f"Tourniquet {held}, firm pressure {Pressing(NEVER).options()[n.pressing]}"


def _describe_blood(n: HaematomaNumbers) -> str:
    patch = (
        "no patch yet"
        if not n.volume_ml
        else f"a dark patch without sharp edges, {measure(n.patch_mm, 'mm', 0)} across, lies "
        "over one vein"
    )
    return plain_words(
        f"A near-infrared picture of a forearm with dark veins, minute {n.minute}: {patch}. "
        f"{_held(n)}. Below, the blood outside the vein up to "
        f"now, {measure(n.volume_ml, 'mL', 1)}, between the curve of a tourniquet left on "
        "and never pressed and that of one taken off and pressed after a minute."
    )


def _draw_volumes(n: HaematomaNumbers) -> str:
    plot = Plot(
        Scale(0, BLOOD_MINUTES, 2, "minutes since the vein was breached"),
        Scale(0, MOST_ML, 2, "blood outside the vein, mL"),
        size=(440, 260),
        box=(66, 424, 60, 200),
    )
    now = PER_MINUTE * n.minute + 1  # no more than has been
    minutes = n.minutes[:now]
    plot.curve(minutes, n.worst_ml[:now], colour=drawing.CATHETER, dash="7 5", width=2)
    plot.curve(minutes, n.best_ml[:now], colour=drawing.QUIET, dash="2 4", width=2)
    plot.curve(minutes, n.volumes_ml[:now])
    plot.label(0.2, 5.4, "dashed: on, not pressed", colour=drawing.CATHETER)
    plot.label(0.2, 4.7, "dotted: off, pressed after 1", colour=drawing.QUIET)
    plot.label(9.9, 5.4, "solid: as chosen", colour=drawing.VEIN, anchor="end")
    plot.mark(
        n.minute,
        n.volume_ml,
        f"Minute {n.minute}: {measure(n.volume_ml, 'mL', 1)}, patch "
        f"{measure(n.patch_mm, 'mm', 0)} across",
    )
    return plot.svg()
