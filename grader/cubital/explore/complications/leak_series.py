"""Series of pictures of a leak of clear fluid: one that is seen, one that is not."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Choice, Count, Explorer, Picture, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words
from cubital.scene.anatomy.person import anatomy
from cubital.scene.anatomy.vessels import Scene, View
from cubital.scene.happening.event import Event
from cubital.scene.happening.events import Nothing
from cubital.scene.happening.leaking import Infiltration, UnseenInfiltration
from cubital.scene.happening.series import Series, series
from cubital.scene.truth.band_contrast import band_contrast

SEED, VESSEL, PLACE_MM = 5, "basilic", 72.0
"""A forearm whose veins show well, and a place on one of them near the picture's middle."""
VIEW = View(320, 240, 0.3)
GAP_PX, WHITE = 8, 255
MINUTES, ONSET_MIN = 20, 2
RATE_ML_PER_H = 30.0
SECONDS, MINUTES_PER_HOUR = 60, 60
OVER, DEEP, LOOSE = "over the vein", "deep", "loose tissue"
TAKES_UP_MM = {OVER: 100, DEEP: 100, LOOSE: 200}
"""Length of arm that takes the fluid up, a teaching assumption."""


class Leak(Choice):
    """Where the fluid goes in the left series."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Left series: the fluid goes")

    def options(self) -> dict[object, str]:
        return {
            OVER: "under the skin, over the vein",
            DEEP: "deep, under the veins",
            LOOSE: "thin and wide in loose tissue",
        }


@functools.cache
def forearm() -> Scene:
    """The forearm of these series."""
    return Scene(anatomy("forearm", seed=SEED, age_group="adult"), view=VIEW, seed=SEED)


@functools.cache
def leak_series(leak: str | None) -> Series:
    """One picture a minute while fluid goes to one of the places, or nothing leaks."""
    where = {"at_mm": PLACE_MM, "onset_s": ONSET_MIN * SECONDS, "rate_ml_per_h": RATE_ML_PER_H}
    event: Event = Nothing()
    if leak == OVER:
        event = Infiltration(VESSEL, **where)
    elif leak is not None:
        event = UnseenInfiltration(VESSEL, why=leak, **where)
    return series(event, forearm(), frames=MINUTES + 1, interval_s=SECONDS)


@functools.cache
def _contrasts(leak: str | None) -> tuple[float, ...]:
    vein = forearm().anatomy.vessel(VESSEL)
    return tuple(
        band_contrast(frame, view=VIEW, vessel=vein, at_mm=PLACE_MM)
        for frame in leak_series(leak).frames
    )


class SeenAndUnseen(Explorer):
    """Two series of one arm side by side: fluid leaks in the left one, nothing in the right."""

    inputs = ("minute", "leak")
    title = traitlets.Unicode("A leak that is seen and one that is not").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Left: {RATE_ML_PER_H:.0f} mL/h leak from minute {ONSET_MIN}. Right: the same "
        "arm at the same time, and nothing leaks. That deep or thinly spread clear fluid changes "
        "nothing in the picture is a teaching assumption."
    ).tag(sync=True)
    minute = Count(
        0,
        low=0,
        high=MINUTES,
        label="Minutes since the first picture",
        unit="min",
        unit_words="minutes",
    )
    leak = Leak(OVER)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The two pictures of one minute, and what is measured in them and on the arm."""
        n = leak_numbers(LeakState(**state))
        return Picture(
            svg=_draw_contrasts(n),
            alt=_describe_leak(n),
            spoken=plain_words(
                f"Minute {n.minute}, {_ml(n.volume_ml)} outside the vein. {n.verdict}."
            ),
            readings=_leak_readings(n),
            numbers=n,
            frame=n.frame,
        )


@dataclass(frozen=True, kw_only=True)
class LeakState:
    """The minute since the first picture, and where the fluid goes in the left series."""

    minute: int
    leak: str


@dataclass(frozen=True, kw_only=True)
class LeakNumbers(LeakState):
    """The two pictures of one minute, and what is measured in them and on the arm.

    A contrast is how much darker the vein is at the leak than the skin beside it, as a share.
    """

    frame: np.ndarray
    """Both grey pictures side by side (rows, columns), one byte each."""
    volume_ml: float
    """Outside the vein, in the left series."""
    contrasts: tuple[float, ...]
    """Minute by minute in the left series."""
    quiet_contrasts: tuple[float, ...]
    """Minute by minute in the right series, where nothing leaks."""
    contrast: float
    quiet_contrast: float
    at_first: float
    """Contrast in the first picture of the left series."""
    differing: int
    """Pixels that differ between left and right."""
    pixels: int
    """Of one picture."""
    girth_rise_mm: float
    verdict: str


def leak_numbers(state: LeakState) -> LeakNumbers:
    """Measure the two pictures of one minute, and compute the volume outside the vein."""
    minute, leak = state.minute, state.leak
    left, right = leak_series(leak).frames[minute], leak_series(None).frames[minute]
    hours = max(minute - ONSET_MIN, 0) / MINUTES_PER_HOUR
    volume = calc.infiltrated_volume_ml(RATE_ML_PER_H, time_h=hours) if hours else 0.0
    limb = forearm().anatomy.limb
    girth = 2 * np.pi * limb.half_width_mm  # a round arm
    contrasts, quiet = _contrasts(leak), _contrasts(None)
    differing = int((left != right).sum())
    return LeakNumbers(
        **vars(state),
        frame=np.hstack([left, np.full((left.shape[0], GAP_PX), WHITE, np.uint8), right]),
        volume_ml=volume,
        contrasts=contrasts,
        quiet_contrasts=quiet,
        contrast=contrasts[minute],
        quiet_contrast=quiet[minute],
        at_first=contrasts[0],
        differing=differing,
        pixels=left.size,
        girth_rise_mm=calc.girth_rise_mm(
            volume, girth_mm=girth, swollen_length_mm=TAKES_UP_MM[leak]
        )
        if volume
        else 0.0,
        verdict=_leak_verdict(volume, differing),
    )


def _leak_verdict(volume: float, differing: int) -> str:
    if not volume:
        return "Nothing has leaked yet"
    if differing:
        return "The two pictures differ"
    return "Fluid leaks, and the two pictures are the same"


def _ml(volume: float) -> str:
    return measure(volume, "mL", 1)


def _leak_readings(n: LeakNumbers) -> tuple[Reading, ...]:
    return (
        Reading(
            "Outside the vein, left",
            _ml(n.volume_ml),
            f"It goes {Leak(OVER).options()[n.leak]}.",
        ),
        Reading(
            "Band of the vein, left",
            f"{percent(n.at_first, 1)} at first, {percent(n.contrast, 1)} now",
            "It is so much darker than the skin beside it.",
        ),
        Reading(
            "Band of the vein, right",
            f"{percent(n.quiet_contrasts[0], 1)} at first, {percent(n.quiet_contrast, 1)} now",
            "It changes a little by the hand's tremor and the camera's noise alone.",
        ),
        Reading(
            "Points that differ, left from right",
            f"{n.differing:,} of {n.pixels:,}",
            f"{n.verdict}.",
        ),
        Reading(
            "By tape, this arm is thicker by",
            f"{measure(n.girth_rise_mm, 'mm', 1)} thicker",
            "If the arm takes the fluid up evenly.",
        ),
    )


def _describe_leak(n: LeakNumbers) -> str:
    where = {
        OVER: "fluid gathers under the skin over the vein",
        DEEP: "fluid gathers deep under the veins",
        LOOSE: "fluid spreads thin in loose tissue",
    }[n.leak]
    return plain_words(
        "Two near-infrared pictures of one forearm with dark veins, minute "
        f"{n.minute}. Left, {where}: {_ml(n.volume_ml)} so far. Right, nothing leaks. "
        f"{n.verdict}. The vein's band at the leak is {percent(n.contrast, 1)} darker than "
        f"the skin on the left and {percent(n.quiet_contrast, 1)} on the right. Below, both "
        "curves of it up to now."
    )


def _draw_contrasts(n: LeakNumbers) -> str:
    plot = Plot(
        Scale(0, MINUTES, 5, "minutes since the first picture"),
        Scale(0, 0.3, 0.1, "how much darker the vein's band is", percent),
        size=(440, 250),
        box=(66, 424, 60, 190),
    )
    now = n.minute + 1  # no more than has been, so that what comes can be foretold
    minutes = np.arange(now)
    plot.upright(ONSET_MIN, "the leak begins")
    plot.curve(minutes, n.contrasts[:now], width=4)
    plot.curve(minutes, n.quiet_contrasts[:now], colour=drawing.CATHETER, dash="6 5", width=2)
    plot.label(19.6, 0.245, "solid: left", colour=drawing.VEIN, anchor="end")
    plot.label(14.5, 0.245, "dashed: right", colour=drawing.CATHETER, anchor="end")
    plot.mark(
        n.minute,
        n.contrast,
        f"Minute {n.minute}: left {percent(n.contrast, 1)}, right {percent(n.quiet_contrast, 1)}",
    )
    return plot.svg()
