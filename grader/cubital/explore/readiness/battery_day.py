"""A shift of batteries: which unit is in use, on charge, full or empty, and the first gap."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import traitlets

from cubital import calc, tables
from cubital.calc.readiness.charging import CHARGE, RUN, ChargeSchedule
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.department import profile_in_use
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
from cubital.explore.kit.section import plain_words

MOST_UNITS, MOST_CHARGERS, MOST_DEVICES = 6, 4, 3
WIDTH, HEIGHT = 440, 386
LEFT, RIGHT, TOP, BOTTOM = 66, 424, 52, 246
TALLEST_ROW, ROW_GAP = 64, 8
GAP_TOP, GAP_LOW = 256, 274
TICK_H, ZIGZAG_PX = 2, 4
FULL, EMPTY = "full, waiting", "empty, waiting"
STYLES = {
    RUN: ("in use: the charge falls", drawing.VEIN, 3, ""),
    CHARGE: ("on charge: it rises", drawing.CATHETER, 2.5, "7 4"),
    FULL: (FULL, drawing.VEIN, 1.5, "2 3"),
    EMPTY: (EMPTY, drawing.MARKER, 2.5, "2 5"),
}
"""How a unit's line is drawn by what the unit does: words, colour, width, dash."""

Stretch = tuple[str, float, float, float, float]
"""What a unit does, from when to when [h], and its charge before and after [-]."""


class StartChoice(Choice):
    """How the units come into the shift."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="At the start of the shift")

    def options(self) -> dict[object, str]:
        return {
            "full": "all units are full",
            "empty": "all units are empty: nobody put them on charge",
            "one": "one unit is full, the others are empty",
        }


class BatteryDay(Explorer):
    """Units, chargers and use through a shift, and when the first gap comes."""

    inputs = ("at_start", "use_percent", "stations", "units", "chargers")
    title = traitlets.Unicode("A shift of batteries").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} A unit is a device with its battery inside. It is used until it is empty, "
        "goes on charge at once if a charger is free, and is used again only when it is full. "
        "Run and charge time are those of the local profile, of a new battery; an old one runs "
        "for less."
    ).tag(sync=True)
    at_start = StartChoice("full")
    use_percent = Quantity(
        100,
        of="use_percent",
        step=5,
        label="Share of the time that it is switched on",
        unit_words="per cent",
    )
    stations = Count(
        1,
        low=1,
        high=MOST_DEVICES,
        label="Devices that are wanted at a time",
        unit="devices",
        unit_words="devices",
    )
    units = Count(1, low=1, high=MOST_UNITS, label="Units", unit="units", unit_words="units")
    chargers = Count(
        1, low=1, high=MOST_CHARGERS, label="Chargers", unit="chargers", unit_words="chargers"
    )

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The shift of one stock of units and chargers."""
        numbers = battery_numbers(BatteryDayState(**state))
        return Picture(
            svg=_draw(numbers),
            alt=_describe(numbers),
            spoken=plain_words(f"{_gap_words(numbers)}."),
            readings=_readings(numbers),
            numbers=numbers,
        )


@dataclass(frozen=True, kw_only=True)
class BatteryDayState:
    """Charge at the start, use [%], devices wanted at a time, and the stock."""

    at_start: str
    use_percent: float
    stations: int
    units: int
    chargers: int


@dataclass(frozen=True, kw_only=True)
class BatteryDayNumbers(BatteryDayState):
    """A shift of one stock of units and chargers, hour by hour."""

    run_time_h: float
    """How long a full unit lasts, by the share of the time that it is switched on."""
    charge_time_h: float
    shift_h: float
    schedule: ChargeSchedule
    first_gap_h: float | None
    """From the start of the shift; None without a gap."""
    gap_h: float
    """Hours without a device, added up over the devices that are missing."""
    wanted_h: float
    """Hours of all devices that are wanted."""
    units_needed: int
    chargers_needed: int
    """The least stock that leaves no gap in the longest shift."""
    availability: float
    """Share of the time that one unit alone can be used, in the long run."""
    lines: list[list[Stretch]]
    """Each unit's stretches, in order."""


def battery_numbers(state: BatteryDayState) -> BatteryDayNumbers:
    """Compute the shift of one stock of units and chargers."""
    profile = profile_in_use()
    shift = tables.constant("shift-length").value
    longest = tables.limits()["run_time_h"].high
    lasts = min(profile.run_time_h * 100 / state.use_percent, longest)
    charge_time_h = profile.charge_time_h
    units, devices = state.units, state.stations
    full = {"full": units, "one": 1, "empty": 0}[state.at_start]
    schedule = calc.charge_schedule(
        shift,
        batteries=units,
        chargers=state.chargers,
        stations=devices,
        start_charge=[1] * full + [0] * (units - full),
        run_time_h=lasts,
        charge_time_h=charge_time_h,
    )
    units_needed, chargers_needed = always_on(
        devices, run_time_h=lasts, charge_time_h=charge_time_h
    )
    return BatteryDayNumbers(
        **vars(state),
        run_time_h=lasts,
        charge_time_h=charge_time_h,
        shift_h=shift,
        schedule=schedule,
        first_gap_h=schedule.first_gap_h,
        gap_h=sum((end - start) * missing for start, end, missing in schedule.gaps),
        wanted_h=devices * shift,
        units_needed=units_needed,
        chargers_needed=chargers_needed,
        availability=calc.charge_availability(lasts, charge_time_h=charge_time_h),
        lines=[
            unit_line(
                schedule,
                unit,
                run_time_h=lasts,
                charge_time_h=charge_time_h,
                is_full=unit < full,
                shift_h=shift,
            )
            for unit in range(units)
        ],
    )


def always_on(devices: int, *, run_time_h: float, charge_time_h: float) -> tuple[int, int]:
    """Return the units, and the fewest chargers with them, that leave no gap in the longest shift.

    Devices that start a shift together come to be changed together: their empty units queue for
    the chargers, so that it can take more chargers than it would in turn.
    """
    units = calc.units_for_always_on(
        run_time_h, charge_time_h=charge_time_h, stations=devices, in_turn=False
    )
    longest = tables.limits()["shift_h"].high
    chargers = calc.chargers_for_always_on(
        run_time_h, charge_time_h=charge_time_h, stations=devices
    )
    while (
        chargers < devices
        and calc.charge_schedule(
            longest,
            batteries=units,
            chargers=chargers,
            stations=devices,
            run_time_h=run_time_h,
            charge_time_h=charge_time_h,
        ).gaps
    ):
        chargers += 1
    return units, chargers


def unit_line(
    schedule: ChargeSchedule,
    unit: int,
    *,
    run_time_h: float,
    charge_time_h: float,
    is_full: bool,
    shift_h: float,
) -> list[Stretch]:
    """Return what one unit does through the shift, stretch by stretch."""
    now, charge = 0.0, float(is_full)
    stretches: list[Stretch] = []
    for _, what, start, end in (span for span in schedule.spans if span.battery == unit):
        if start > now:
            stretches.append((FULL if charge else EMPTY, now, start, charge, charge))
        lasts = end - start
        after = charge - lasts / run_time_h if what == RUN else charge + lasts / charge_time_h
        after = min(max(after, 0.0), 1.0)
        stretches.append((what, start, end, charge, after))
        now, charge = end, round(after, 9)  # what is left of rounding is no charge
    if now < shift_h:
        stretches.append((FULL if charge else EMPTY, now, shift_h, charge, charge))
    return stretches


def _gap_words(n: BatteryDayNumbers) -> str:
    first = n.first_gap_h
    if first is None:
        return "No gap in this shift"
    if first == 0:
        return "A gap at once, at the start of the shift"
    return f"The first gap comes {measure(first, 'h', 1)} into the shift"


def _stock(units: int, chargers: int) -> str:
    return f"{units} unit{'s' * (units > 1)}, {chargers} charger{'s' * (chargers > 1)}"


def _readings(n: BatteryDayNumbers) -> tuple[Reading, ...]:
    first, unit = n.first_gap_h, "h" if n.stations == 1 else "device-hours"
    return (
        Reading(
            "First gap",
            "none" if first is None else f"{measure(first, 'h', 1)} into the shift",
            f"With {_stock(n.units, n.chargers)}.",
        ),
        Reading(
            "Without a device, in all",
            measure(n.gap_h, unit, 1),
            f"Of {measure(n.wanted_h, unit, 0)} that are wanted.",
        ),
        Reading("A full unit lasts", measure(n.run_time_h, "h", 1)),
        Reading(
            "To go on day and night without a break",
            _stock(n.units_needed, n.chargers_needed),
            "All full at the start, and someone there to change them.",
        ),
        Reading("One unit alone, in the long run", f"{percent(n.availability)} of the time"),
    )


def _missing(n: BatteryDayNumbers, missing: int) -> str:
    return "" if n.stations == 1 else f" ({missing} missing)"


def _describe(n: BatteryDayNumbers) -> str:
    starts = StartChoice("full").options()[n.at_start]
    gaps = ", ".join(
        f"{start:.1f} to {measure(end, 'h', 1)}{_missing(n, missing)}"
        for start, end, missing in n.schedule.gaps
    )
    return plain_words(
        f"The charge of {_stock(n.units, n.chargers)} through a shift of "
        f"{measure(n.shift_h, 'h', 0)}, one row for each unit; {starts}, each is switched on "
        f"for {percent(n.use_percent / 100)} of the time, {n.stations} wanted at a time. A "
        f"line falls in use over {measure(n.run_time_h, 'h', 1)} and rises on charge over "
        f"{measure(n.charge_time_h, 'h', 1)}. {_gap_words(n)}. Gaps: {gaps or 'none'}."
    )


def _draw(n: BatteryDayNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    hours = Axis(0, n.shift_h, LEFT, RIGHT)
    is_gap = n.first_gap_h is not None
    sheet.words((8, 18), _gap_words(n), colour=drawing.MARKER if is_gap else drawing.INK, bold=True)
    sheet.words((8, 40), "charge: top of a row full, bottom of a row empty", size=13)
    for tick in hours.ticks(TICK_H):
        sheet.line((hours(tick), TOP), (hours(tick), GAP_LOW + 5), colour=drawing.GRID)
        sheet.words((hours(tick), GAP_LOW + 19), f"{tick:g}", anchor="middle", size=13)
    sheet.words((RIGHT, GAP_LOW + 38), "hours into the shift", anchor="end", size=13)
    pitch = min((BOTTOM - TOP) / n.units, TALLEST_ROW)
    for unit, line in enumerate(n.lines):
        top = TOP + unit * pitch
        _draw_unit(sheet, hours, Axis(0, 1, top + pitch - ROW_GAP, top + 2), line)
        sheet.words((8, top + pitch / 2 + 2), f"unit {unit + 1}", size=13)
    sheet.words((8, GAP_LOW - 4), "gaps", size=13, bold=True)
    sheet.line((LEFT, GAP_LOW), (RIGHT, GAP_LOW), width=1.5)
    if n.stations > 1:
        sheet.words((8, GAP_LOW + 38), "height of a gap: devices missing", size=13)
    for start, end, missing in n.schedule.gaps:
        top = GAP_LOW - (GAP_LOW - GAP_TOP) * missing / n.stations
        _draw_gap(sheet, (hours(start), hours(end)), top)
    if not is_gap:
        sheet.words((LEFT + 6, GAP_LOW - 4), "none", size=13, halo=True)
    for place, (words, colour, width, dash) in enumerate(STYLES.values()):
        x, y = (8, 214)[place % 2], 342 + 24 * (place // 2)
        sheet.line((x, y), (x + 34, y), colour=colour, width=width, dash=dash)
        sheet.words((x + 42, y + 4), words, size=12)
    return sheet.svg()


def _draw_unit(sheet: Sheet, hours: Axis, level: Axis, line: list[Stretch]) -> None:
    sheet.line((LEFT, level(0)), (RIGHT, level(0)), colour=drawing.GRID)
    for what, start, end, before, after in line:
        _, colour, width, dash = STYLES[what]
        ends = (hours(start), level(before)), (hours(end), level(after))
        sheet.line(*ends, colour=colour, width=width, dash=dash)


def _draw_gap(sheet: Sheet, ends: tuple[float, float], top: float) -> None:
    """A block with a zigzag in it, so that it is more than a colour."""
    left, right = ends
    corners = ((left, top), (right, top), (right, GAP_LOW), (left, GAP_LOW), (left, top))
    sheet.curve(corners, colour=drawing.MARKER, width=2)
    points = [
        (left + ZIGZAG_PX * k, (GAP_LOW, top)[k % 2])
        for k in range(int((right - left) / ZIGZAG_PX) + 1)
    ]
    if len(points) > 1:
        sheet.curve(points, colour=drawing.MARKER, width=1)
