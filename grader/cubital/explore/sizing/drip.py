"""Drops and hours: how fast a drip must drop for a bag to last as ordered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, rounded
from cubital.calc.shared.units import SECONDS_PER_MINUTE
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Axis, Sheet
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading

WIDTH, HEIGHT = 420, 330
LEFT, RIGHT = 50, 396
MOST_DRAWN = 150
TIME_SCALES = ((1, 0.25), (4, 1), (12, 2), (24, 4))
"""Ends of the time scale in hours, each with the step of its ticks."""
STRIP_Y = 62
TOP, BOTTOM = 124, 270


class DropFactorChoice(Choice):
    """The drop factor of a giving set out of the table of sets."""

    def __init__(self, default: float) -> None:
        super().__init__(default, label="Giving set", unit="drops/mL")

    def options(self) -> dict[object, str]:
        return {
            row.drop_factor_per_ml: f"{row.words}, {row.drop_factor_per_ml:g} drops to 1 mL"
            for row in tables.drop_factors()
        }


class DripAndTime(Explorer):
    """Drops a minute for a volume to run in over a time."""

    inputs = ("volume_ml", "time_h", "drop_factor_per_ml")
    title = traitlets.Unicode("Drops and hours").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} An even drip; a real one changes with the arm's position and the height of "
        "the bag, and a set's drops vary in size, so it is counted again."
    ).tag(sync=True)

    volume_ml = Quantity(
        500,
        of="volume_ml",
        step=50,
        label="Volume to run in",
        unit_words="millilitres",
        part=(50, 1000),
    )
    time_h = Quantity(
        4,
        of="time_h",
        step=0.5,
        label="Time to run it in",
        unit_words="hours",
        part=(0.5, TIME_SCALES[-1][0]),
    )
    drop_factor_per_ml = DropFactorChoice(20)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The drip for one order."""
        n = drip_numbers(DripState(**state))
        drops = n.drops_per_min
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=f"{drops:.0f} drops a minute.",
            readings=(
                Reading("Rate", rounded(n.rate_ml_per_h, "mL/h")),
                Reading("Drops a minute", f"{drops:.0f}", f"{drops:.1f} before rounding"),
                Reading("One drop every", rounded(SECONDS_PER_MINUTE / drops, "s")),
            ),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class DripState:
    """One order and the giving set it runs through."""

    volume_ml: float
    time_h: float
    drop_factor_per_ml: float


@dataclass(frozen=True, kw_only=True)
class DripNumbers(DripState):
    """One order, and the rate and the drops that fulfil it."""

    rate_ml_per_h: float
    drops_per_min: float


def drip_numbers(state: DripState) -> DripNumbers:
    """Compute the drip for one order."""
    rate = calc.infusion_rate_ml_per_h(state.volume_ml, time_h=state.time_h)
    return DripNumbers(
        **vars(state),
        rate_ml_per_h=rate,
        drops_per_min=calc.drip_rate_per_min(rate, drop_factor_per_ml=state.drop_factor_per_ml),
    )


def _describe(n: DripNumbers) -> str:
    return (
        f"Above, one minute with {n.drops_per_min:.0f} drops marked on it. Below, the volume "
        f"left in the bag: a straight line from {n.volume_ml:g} mL down to nothing after "
        f"{n.time_h:g} hours, which is {rounded(n.rate_ml_per_h, 'mL/h')} with a set of "
        f"{n.drop_factor_per_ml:g} drops to 1 mL."
    ).replace("\N{NO-BREAK SPACE}", " ")


def _draw(n: DripNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    minute = Axis(0, SECONDS_PER_MINUTE, LEFT, RIGHT)
    drops = n.drops_per_min
    sheet.words((16, 22), f"One minute: {drops:.0f} drops", bold=True)
    sheet.line((LEFT, STRIP_Y), (RIGHT, STRIP_Y), width=1.5)
    if drops > MOST_DRAWN:
        words = "more drops than can be drawn one by one"
        sheet.words((LEFT, STRIP_Y - 8), words, colour=drawing.VEIN, size=13)
    else:
        for moment in minute.ticks(SECONDS_PER_MINUTE / drops):
            x = minute(moment)
            sheet.line((x, STRIP_Y - 22), (x, STRIP_Y), colour=drawing.VEIN, width=1.5)
    for tick in minute.ticks(15):
        sheet.line((minute(tick), STRIP_Y), (minute(tick), STRIP_Y + 5))
        sheet.words((minute(tick), STRIP_Y + 19), f"{tick:.0f} s", anchor="middle", size=13)

    end_h, step = next(s for s in TIME_SCALES if s[0] >= n.time_h)
    hours = Axis(0, end_h, LEFT, RIGHT)
    left = Axis(0, n.volume_ml, BOTTOM, TOP)
    sheet.words((16, TOP - 12), "Volume left, mL", bold=True)
    for share in (0, 0.5, 1):
        y = left(share * n.volume_ml)
        sheet.line((LEFT, y), (RIGHT, y), colour=drawing.GRID)
        sheet.words((LEFT - 6, y + 4), f"{share * n.volume_ml:g}", anchor="end", size=13)
    sheet.line((LEFT, TOP), (LEFT, BOTTOM), width=1.5)
    sheet.line((LEFT, BOTTOM), (RIGHT, BOTTOM), width=1.5)
    for tick in hours.ticks(step):
        sheet.line((hours(tick), BOTTOM), (hours(tick), BOTTOM + 5))
        sheet.words((hours(tick), BOTTOM + 19), f"{tick:g} h", anchor="middle", size=13)
    end = (hours(n.time_h), BOTTOM)
    sheet.curve(((LEFT, TOP), end), colour=drawing.VEIN, width=3)
    sheet.circle(end, 6, fill=drawing.PAPER, colour=drawing.MARKER, width=3)
    sheet.words(
        (max(min(end[0], RIGHT - 44), LEFT + 20), BOTTOM + 40),
        f"empty at {measure(n.time_h, 'h', 1)}",
        anchor="middle",
        colour=drawing.MARKER,
    )
    return sheet.svg()
