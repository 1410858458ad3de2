"""Holding: how a hand or a stand keeps the device in the window, and the line on the vein."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.focus.working_distance import off_words
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import (
    SIMULATED,
    Choice,
    Count,
    Explorer,
    Picture,
    Quantity,
    Reading,
)
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words
from cubital.tables.focus import holdings

ERRORS_MM, MOST_MM, HOLD_S = (-24, 24), 36, 20
STEPS_PER_S = 20  # enough for the line of a slow drift; the tremor is far thinner than the line
SEEDS = (1, 12)
WIDTH, HEIGHT = 440, 352
BOX = (66, 424, 54, 296)


class HoldingChoice(Choice):
    """A way of holding the device."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="The device is")

    def options(self) -> dict[object, str]:
        return {row.key: row.words for row in holdings().values()}


class HandOrStand(Explorer):
    """The distance over a hold of twenty seconds, against window and registration."""

    inputs = ("holding", "setting_error_mm", "hold")
    title = traitlets.Unicode("In the hand or on a stand").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} How a hand drifts is a guess made for teaching; fatigue, speech, a patient "
        "who moves and the tilting of the hand are left out."
    ).tag(sync=True)
    holding = HoldingChoice("hand-held")
    setting_error_mm = Quantity(
        6,
        of="setting_error_mm",
        step=1,
        label="Distance set too far by (below 0: too near)",
        unit_words="millimetres",
        part=ERRORS_MM,
    )
    hold = Count(
        4, low=SEEDS[0], high=SEEDS[1], label="Which hold", unit="of 12", unit_words="of twelve"
    )

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """One simulated hold, and what long holds come to."""
        n = holding_numbers(HoldingState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(
                f"{percent(n.window_share)} of the time in the window, "
                f"{percent(n.tolerance_share)} with the line on the vein."
            ),
            readings=_readings(n),
            numbers=n,
        )


@functools.lru_cache(maxsize=64)
def _wander(holding: str, hold: int) -> calc.HoldRuns:
    """A simulated hold about the distance that was set; the same seed gives the same hold."""
    held = holdings()[holding]
    return calc.simulate_hold(
        HOLD_S,
        setting_error_mm=0,
        drift_sd_mm=held.drift_sd_mm,
        drift_time_s=held.drift_time_s,
        tremor_amplitude_mm=held.tremor_amplitude_mm,
        tremor_hz=held.tremor_hz,
        seed=hold,
        holds=1,
        steps_per_s=STEPS_PER_S,
    )


@dataclass(frozen=True, kw_only=True)
class HoldingState:
    """The way of holding, the distance that was set, and which hold."""

    holding: str
    setting_error_mm: float  # distance set beyond the working distance; below 0: nearer
    hold: int  # which of the simulated holds


@dataclass(frozen=True, kw_only=True, eq=False)
class HoldingNumbers(HoldingState):
    """How long one way of holding keeps the device near the working distance.

    Shares are of the time: of many long holds, and of this hold, whose course is two arrays.
    """

    words: str  # for the way of holding
    window_mm: float  # either side of the working distance
    allowed_mm: float  # distance error at which the registration's tolerance is reached
    tolerance_mm: float  # the largest registration error that is tolerated
    window_share: float  # long holds: in the window
    tolerance_share: float  # long holds: with the line on the vein
    this_window_share: float
    this_tolerance_share: float
    tremor_lag_mm: float  # by which the delayed picture lags behind the tremor
    times_s: np.ndarray
    errors_mm: np.ndarray  # at each of these times, beyond the working distance


def holding_numbers(state: HoldingState) -> HoldingNumbers:
    """Compute one simulated hold, and the shares of time of long holds."""
    device, held = calc.scenario_device(), holdings()[state.holding]
    allowed = calc.distance_error_allowed_mm(
        device.registration_tolerance_mm,
        baseline_mm=device.baseline_mm,
        reference_distance_mm=device.working_distance_mm,
    )
    moves = {
        "setting_error_mm": state.setting_error_mm,
        "drift_sd_mm": held.drift_sd_mm,
        "tremor_amplitude_mm": held.tremor_amplitude_mm,
    }
    wander = _wander(state.holding, state.hold)
    errors = state.setting_error_mm + wander.distance_error_mm[0]
    return HoldingNumbers(
        **vars(state),
        words=held.words,
        window_mm=device.window_mm,
        allowed_mm=allowed,
        tolerance_mm=device.registration_tolerance_mm,
        window_share=calc.share_of_time_in_window(device.window_mm, **moves),
        tolerance_share=calc.share_of_time_in_window(allowed, **moves),
        this_window_share=float(np.mean(np.abs(errors) <= device.window_mm)),
        this_tolerance_share=float(np.mean(np.abs(errors) <= allowed)),
        tremor_lag_mm=calc.tremor_lag_error_mm(
            held.tremor_amplitude_mm, tremor_hz=held.tremor_hz, latency_ms=device.latency_ms
        ),
        times_s=wander.time_s,
        errors_mm=errors,
    )


def _readings(n: HoldingNumbers) -> tuple[Reading, ...]:
    return (
        Reading(
            "Long holds: time in the window",
            percent(n.window_share),
            f"Within {measure(n.window_mm, 'mm', 0)}: the picture is sharp.",
        ),
        Reading(
            "Long holds: time with the line on the vein",
            percent(n.tolerance_share),
            f"Within {measure(n.allowed_mm, 'mm', 1)}: shifted by "
            f"{measure(n.tolerance_mm, 'mm', 0)} at most.",
        ),
        Reading("This hold: in the window", percent(n.this_window_share)),
        Reading("This hold: the line on the vein", percent(n.this_tolerance_share)),
        Reading("Tremor shifts the picture, by its delay", measure(n.tremor_lag_mm, "mm", 2)),
    )


def _describe(n: HoldingNumbers) -> str:
    return plain_words(
        f"Distance from the working distance over {HOLD_S} seconds, {n.words}, set "
        f"{off_words(n.setting_error_mm)}: hold {n.hold} of {SEEDS[1]}. Dashed lines are "
        f"the window's ends, {measure(n.window_mm, 'mm', 0)} either side; dotted lines, "
        f"{measure(n.allowed_mm, 'mm', 1)} either side, are where the projected line has "
        f"shifted by {measure(n.tolerance_mm, 'mm', 0)}. In this hold the curve is "
        f"{percent(n.this_window_share)} of the time in the window and "
        f"{percent(n.this_tolerance_share)} between the dotted lines."
    )


def _signed(value: float) -> str:
    return f"{value:+g}".replace("-", "\N{MINUS SIGN}") if value else "0"


def _draw(n: HoldingNumbers) -> str:
    plot = Plot(
        Scale(0, HOLD_S, 5, "time, s"),
        Scale(-MOST_MM, MOST_MM, 12, "too far (+) or too near (\N{MINUS SIGN}), mm", _signed),
        size=(WIDTH, HEIGHT),
        box=BOX,
    )
    levels = (
        (n.window_mm, "sharp up to here", drawing.MARKER, "7 4"),
        (n.allowed_mm, "line on the vein up to here", drawing.CATHETER, "2 3"),
    )
    late = n.errors_mm[len(n.errors_mm) // 2 :]
    free = -1 if np.mean(late) > 0 else 1  # the names stand where the curve is not
    for height, words, colour, dash in levels:
        for sign in (-1, 1):
            y = plot.up(sign * height)
            plot.sheet.line((plot.left, y), (plot.right, y), colour=colour, dash=dash)
        place = (plot.right, plot.up(free * height) + (-5 if free > 0 else 15))
        plot.sheet.words(place, words, anchor="end", colour=colour, size=13, halo=True)
    plot.curve(n.times_s, n.errors_mm, width=2)
    plot.sheet.words(
        (8, 16),
        f"This hold: sharp {percent(n.this_window_share)}, on the vein "
        f"{percent(n.this_tolerance_share)} of the time",
        colour=drawing.MARKER,
        bold=True,
    )
    return plot.svg()
