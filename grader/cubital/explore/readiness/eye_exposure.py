"""Infrared light at the eye: what an invented lamp gives, and the limit against the time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import log10
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.readiness.exposure import Margin
from cubital.calc.shared.formatting import rounded
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words
from cubital.tables import readiness

LAMP = "ring-lamp"
DISTANCES_MM = (30, 600)
EXPONENTS, LEVELS = (0, 4.5), (0, 5)
"""Powers of ten at the ends of the axes: of the time in s, of the irradiance in W/m2."""
CURVE_POINTS = 60
SIZE, BOX = (440, 364), (66, 424, 58, 296)


class TimeChoice(Choice):
    """How long the light falls on the eye."""

    def __init__(self, default: float) -> None:
        super().__init__(default, label="Time that the light falls on the eye", unit="s")

    def options(self) -> dict[object, str]:
        return {
            1: "1 s, a glance",
            5: "5 s",
            60: "1 minute",
            600: "10 minutes",
            3600: "1 hour",
            28800: "8 hours, all added up",
        }


class EyeExposure(Explorer):
    """The light of an invented lamp at the eye against the limit for that time."""

    inputs = ("source_distance_mm", "exposure_time_s")
    title = traitlets.Unicode("Light at the eye and its limit").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} {readiness.light_sources()[LAMP].notice} A margin permits nobody to look "
        "into a light. The limits are for lamps and LEDs, not for lasers."
    ).tag(sync=True)
    source_distance_mm = Quantity(
        220,
        of="source_distance_mm",
        step=5,
        label="Distance from the lamp to the eye",
        unit_words="millimetres",
        part=DISTANCES_MM,
    )
    exposure_time_s = TimeChoice(600)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The margins at one distance and one time, and the limit at all times."""
        numbers = exposure_numbers(ExposureState(**state))
        return Picture(
            svg=_draw(numbers),
            alt=_describe(numbers),
            spoken=plain_words(f"Cornea and lens: {margin_words(numbers.eye)}."),
            readings=_readings(numbers),
            numbers=numbers,
        )


@dataclass(frozen=True, kw_only=True)
class ExposureState:
    """Distance from the lamp to the eye [mm] and time that the light falls on it [s]."""

    source_distance_mm: float
    exposure_time_s: float


@dataclass(frozen=True, kw_only=True)
class ExposureNumbers(ExposureState):
    """Exposure and limit for eye and skin, and the limit for the eye over the time."""

    words: str
    """The time in words."""
    eye: Margin
    """Cornea and lens."""
    retina: Margin
    skin: Margin | None
    """None where the guideline has no limit in numbers for that time."""
    lowest_margin: float
    times_s: np.ndarray
    limits_w_per_m2: np.ndarray
    """Limit for cornea and lens for each of `times_s`."""


def exposure_numbers(state: ExposureState) -> ExposureNumbers:
    """Compute the margins at the chosen distance and time, and the limit over the time."""
    margins = calc.exposure_margins(LAMP, **vars(state)).margins
    by_hazard: dict[str, Margin] = {}
    for row in margins:  # two guidelines have a limit for the retina: the lower one counts
        known = by_hazard.get(row.hazard)
        by_hazard[row.hazard] = row if known is None or row.margin < known.margin else known
    longest = tables.limits()["exposure_time_s"].high
    times = np.geomspace(10 ** EXPONENTS[0], longest, CURVE_POINTS)
    return ExposureNumbers(
        **vars(state),
        words=TimeChoice(1).options()[state.exposure_time_s].partition(",")[0],
        eye=by_hazard["cornea and lens"],
        retina=by_hazard["retina"],
        skin=by_hazard.get("skin"),
        lowest_margin=min(row.margin for row in margins),
        times_s=times,
        limits_w_per_m2=calc.eye_irradiance_limit_w_per_m2(times),
    )


def margin_words(row: Margin) -> str:
    """How many times below its limit, or how many times over it."""
    if row.within:
        return f"{_times(row.margin)} below the limit"
    return f"over the limit, {_times(1 / row.margin)} as much"


def _times(value: float) -> str:
    return rounded(value, "times")


def _readings(n: ExposureNumbers) -> tuple[Reading, ...]:
    eye, skin = n.eye, n.skin
    return (
        Reading("Light at the eye", rounded(eye.exposure, "W/m²")),
        Reading(f"Limit for {n.words}, cornea and lens", rounded(eye.limit, "W/m²")),
        Reading("Cornea and lens", margin_words(eye)),
        Reading(
            "Retina, in a long look",
            margin_words(n.retina),
            "By the lower of two limits in use; it hardly depends on the time.",
        ),
        Reading(
            "Skin",
            "no limit in numbers" if skin is None else margin_words(skin),
            "From 10 s on warmth and pain warn, in a patient who can feel and move."
            if skin is None
            else "Against burns, in a short time.",
        ),
    )


def _describe(n: ExposureNumbers) -> str:
    eye = n.eye
    level = "below" if eye.within else "above"
    return plain_words(
        "The limit of infrared light on cornea and lens against the time of exposure, on scales "
        "that go by tens: it falls from left to right and is level from 1,000 s on. A dashed line "
        f"straight across is the lamp's light at {n.source_distance_mm:g} mm, "
        f"{rounded(eye.exposure, 'W/m²')}. At {n.words} it is {level} the limit of "
        f"{rounded(eye.limit, 'W/m²')}: {margin_words(eye)}. Retina: {margin_words(n.retina)}."
    )


def _power(exponent: float) -> str:
    return f"{10**exponent:,.0f}"


def _draw(n: ExposureNumbers) -> str:
    eye = n.eye
    plot = Plot(
        Scale(*EXPONENTS, 1, "time in the light, s", written=_power),
        Scale(
            *LEVELS, 1, "infrared at the eye, W/m²; each line is ten times the last", written=_power
        ),
        size=SIZE,
        box=BOX,
    )
    plot.curve(np.log10(n.times_s), np.log10(n.limits_w_per_m2))
    plot.label(1.3, 3.65, "limit", colour=drawing.VEIN)
    plot.label(1.3, 4.35, "over the limit", colour=drawing.INK)
    given, limit, time = log10(eye.exposure), log10(eye.limit), log10(n.exposure_time_s)
    plot.sheet.line(
        plot.place(EXPONENTS[0], given),
        plot.place(EXPONENTS[1], given),
        colour=drawing.CATHETER,
        width=2.5,
        dash="7 4",
    )
    words = f"the lamp at {n.source_distance_mm:g} mm"
    x, y = plot.place(0.1, given)
    above = given < LEVELS[0] + 1
    plot.sheet.words(
        (x, y - 8 if above else y + 17), words, colour=drawing.CATHETER, size=13, halo=True
    )
    top, low = plot.place(time, limit), plot.place(time, given)
    plot.sheet.line(top, low, colour=drawing.MARKER, width=3)
    for place in (top, low):
        plot.sheet.circle(place, 5, fill=drawing.PAPER, colour=drawing.MARKER, width=2.5)
    plot.sheet.words((8, 18), f"{n.words}: {margin_words(eye)}", colour=drawing.MARKER, bold=True)
    return plot.svg()
