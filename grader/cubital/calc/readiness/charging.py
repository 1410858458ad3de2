"""A shift of batteries and chargers, event by event."""

import heapq
from collections import deque
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from cubital.calc.shared.quantities import check, checked, single_whole, written

RUN, CHARGE = "run", "charge"


class ChargeSpan(NamedTuple):
    """A battery at work or on charge, from when to when."""

    battery: int
    what: str
    start_h: float
    end_h: float


class ChargeSchedule(NamedTuple):
    """A shift as it was simulated."""

    spans: tuple[ChargeSpan, ...]
    kept_h: float
    kept_share: float
    gaps: tuple[tuple[float, float, int], ...]
    first_gap_h: float | None


@checked("batteries", "chargers", "stations", form=single_whole)
def charge_schedule(
    shift_h: float,
    *,
    batteries: int,
    chargers: int,
    run_time_h: float,
    charge_time_h: float,
    stations: int = 1,
    start_charge: Sequence[float] | None = None,
) -> ChargeSchedule:
    """Return which battery runs and which charges through a shift, event by event.

    `kept = sum of run times / (k T)`; charging a battery with share q takes `(1 - q) c`

    Parameters
    ----------
    shift_h : float
        Length T of the shift [h]
    batteries : int
        Number of batteries [-]
    chargers : int
        Number of chargers [-]
    run_time_h : float
        Run time r of a full battery [h]
    charge_time_h : float
        Charge time c from empty to full [h]
    stations : int, optional
        Number k of devices to keep running [-]
    start_charge : sequence of float, optional
        Charge of each battery at the start, as a share; all full if not given [-]

    Returns
    -------
    ChargeSchedule
        Spans by battery [h], device-hours kept [h] and their share [-], gaps (from, to [h], devices
        standing) and when the first gap begins [h]; None if there is none

    Notes
    -----
    Shift 0.1 to 200 h, batteries 1 to 100, chargers 1 to 100, run and charge time 0.05 to 100 h,
    stations 1 to 100, charge 0 to 1. A battery runs only when full, until empty; who waits longest
    goes first, and at the start the fullest. Changes take no time; charge goes in evenly; fading
    batteries, and use that stops and starts, are left out. A device that charges with its battery
    inside is one battery.

    Examples
    --------
    >>> shift = charge_schedule(12, batteries=1, chargers=1, run_time_h=3.5, charge_time_h=2.5)
    >>> shift.kept_h, shift.gaps
    (7.0, ((3.5, 6.0, 1), (9.5, 12.0, 1)))
    >>> spare = charge_schedule(12, batteries=2, chargers=1, run_time_h=3.5, charge_time_h=2.5)
    >>> spare.first_gap_h is None
    True

    References
    ----------
    baccelli-1992
    """
    units, stalls = batteries, chargers
    shift, run = _exact("shift_h", shift_h), _exact("run_time_h", run_time_h)
    charge = _exact("charge_time_h", charge_time_h)
    shares = [1] * units if start_charge is None else [*start_charge]
    if len(shares) != units:
        raise ValueError(f"start_charge has {len(shares)} values: it must have one a battery")
    levels = [_exact("start_charge", share) for share in shares]
    spans = _spans(shift, run, charge, (stations, stalls), levels)
    kept = sum(end - start for _, what, start, end in spans if what == RUN)
    gaps = _gaps(spans, stations, shift)
    return ChargeSchedule(
        spans=tuple(ChargeSpan(b, what, float(a), float(e)) for b, what, a, e in spans),
        kept_h=float(kept),
        kept_share=float(kept / (stations * shift)),
        gaps=tuple((float(a), float(b), missing) for a, b, missing in gaps),
        first_gap_h=float(gaps[0][0]) if gaps else None,
    )


def _exact(quantity: str, value: Any) -> Any:
    """Return a checked number as the fraction that its decimals write: events then coincide."""
    from fractions import Fraction  # noqa: PLC0415 - on use: it would slow the import

    return Fraction(written(check(quantity, value)))


def _spans(shift: Any, run: Any, charge: Any, places: tuple[int, int], levels: list) -> list[tuple]:
    """Go from event to event: an empty battery waits for a charger, a full one for a device."""
    fullest_first = sorted(range(len(levels)), key=lambda unit: -levels[unit])
    waiting = {
        RUN: deque(unit for unit in fullest_first if levels[unit] == 1),
        CHARGE: deque(unit for unit in fullest_first if levels[unit] < 1),
    }
    free = dict(zip((RUN, CHARGE), places, strict=True))
    levels, now, events, spans = [*levels], 0, [], []
    while True:
        for what, queue in waiting.items():
            while queue and free[what]:
                unit = queue.popleft()
                free[what] -= 1
                lasts = run if what == RUN else (1 - levels[unit]) * charge
                levels[unit] = 0 if what == RUN else 1
                spans.append((unit, what, now, min(now + lasts, shift)))
                heapq.heappush(events, (now + lasts, len(spans), what, unit))
        if not events or events[0][0] >= shift:
            return spans
        now = events[0][0]
        while events and events[0][0] == now:
            _, _, what, unit = heapq.heappop(events)
            free[what] += 1
            waiting[CHARGE if what == RUN else RUN].append(unit)


def _gaps(spans: list[tuple], devices: int, shift: Any) -> list[tuple]:
    """Return the times at which fewer than all devices run, and how many stand."""
    changes: dict[Any, int] = {0: 0, shift: 0}
    for _, what, start, end in spans:
        if what == RUN:
            changes[start] = changes.get(start, 0) + 1
            changes[end] = changes.get(end, 0) - 1
    gaps: list[tuple] = []
    running, times = 0, sorted(changes)
    for begin, end in pairwise(times):
        running += changes[begin]
        missing = devices - running
        if missing and gaps and gaps[-1][1:] == (begin, missing):
            gaps[-1] = (gaps[-1][0], end, missing)
        elif missing:
            gaps.append((begin, end, missing))
    return gaps
