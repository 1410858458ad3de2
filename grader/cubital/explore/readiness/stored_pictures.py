"""A store that overwrites its oldest picture: when a picture to be kept is lost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Count, Explorer, Picture, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words

LONGEST_SHIFTS = 14
CURVE_POINTS = 70
FIRST_SHIFTS = 0.1  # where the curve begins: no chance is drawn for nothing expected


class StoredPictures(Explorer):
    """The chance that a picture is overwritten before it is copied."""

    inputs = ("pictures_per_shift", "pictures_to_keep", "shifts_to_copy")
    title = traitlets.Unicode("Pictures in the store").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} A full store overwrites its oldest picture without a question. Pictures come "
        "one by one and by chance, as many on every shift on average; the figure knows no busy "
        "week."
    ).tag(sync=True)
    pictures_per_shift = Count(
        40, low=5, high=120, label="Pictures taken a shift", unit="pictures", unit_words="pictures"
    )
    pictures_to_keep = Count(
        60,
        low=1,
        high=300,
        label="Pictures in the store to keep, the latest ones",
        unit="pictures",
        unit_words="pictures",
    )
    shifts_to_copy = Count(
        3,
        low=1,
        high=LONGEST_SHIFTS,
        label="Shifts until they are copied",
        unit="shifts",
        unit_words="shifts",
    )

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The chance of loss at one time, and how it grows."""
        numbers = storage_numbers(StorageState(**state))
        return Picture(
            svg=_draw(numbers),
            alt=_describe(numbers),
            spoken=plain_words(f"Chance of loss {chance_words(numbers.chance)}."),
            readings=_readings(numbers),
            numbers=numbers,
        )


@dataclass(frozen=True, kw_only=True)
class StorageState:
    """Pictures taken a shift, latest pictures to keep, and shifts until they are copied."""

    pictures_per_shift: int
    pictures_to_keep: int
    shifts_to_copy: int


@dataclass(frozen=True, kw_only=True)
class StorageNumbers(StorageState):
    """The chance that the oldest picture to keep is overwritten before it is copied."""

    stored_pictures: int
    """How many the store holds."""
    room: int
    """The oldest is overwritten by new picture number `room`; 0 if it is already gone."""
    safe_shifts: float
    """Shifts until the oldest is overwritten, on average."""
    expected: int
    """New pictures until they are copied, on average."""
    chance: float
    lost: int
    """Pictures to keep that are lost if just as many are taken as expected."""
    shifts: np.ndarray
    chances: np.ndarray
    """Chance of loss for each of `shifts`."""


def storage_numbers(state: StorageState) -> StorageNumbers:
    """Compute the chance of loss by the time of copying, and its curve over the shifts."""
    stored, shift = tables.profile().stored_pictures, tables.constant("shift-length").value
    rate, keep = state.pictures_per_shift, state.pictures_to_keep
    room = stored - keep + 1  # the oldest to keep is gone with the last of so many new ones
    shifts = np.linspace(FIRST_SHIFTS, LONGEST_SHIFTS, CURVE_POINTS)
    expected = rate * state.shifts_to_copy
    lasts_h = calc.time_to_loss_h(rate / shift, stored_pictures=room) if room > 0 else 0.0
    return StorageNumbers(
        **vars(state),
        stored_pictures=stored,
        room=max(room, 0),
        safe_shifts=lasts_h / shift,
        expected=expected,
        chance=_chance(expected, room),
        lost=min(calc.stored_range(keep + expected, stored_pictures=stored).lost, keep),
        shifts=shifts,
        chances=np.array([_chance(rate * each, room) for each in shifts]),
    )


def _chance(expected: float, room: int) -> float:
    return calc.chance_of_loss(expected, stored_pictures=room) if room > 0 else 1.0


def chance_words(chance: float) -> str:
    """A chance to a tenth of a per cent; never quite none, never quite certain."""
    if chance < 0.001:
        return f"below {percent(0.001, 1)}"
    if chance > 0.999:
        return f"above {percent(0.999, 1)}"
    return percent(chance, 1)


def _shifts(n: StorageNumbers) -> str:
    return f"{n.shifts_to_copy} shift{'s' * (n.shifts_to_copy > 1)}"


def _readings(n: StorageNumbers) -> tuple[Reading, ...]:
    return (
        Reading(
            "Chance that the oldest is lost by then",
            chance_words(n.chance),
            f"Copied after {_shifts(n)}; {n.expected} new pictures expected.",
        ),
        Reading(
            "The oldest is lost, on average, after",
            measure(n.safe_shifts, "shifts", 1),
            f"With new picture number {n.room}." if n.room else "The picture is already gone.",
        ),
        Reading(
            "Lost by then, if just as many are taken as expected",
            f"{n.lost} of {n.pictures_to_keep}",
        ),
        Reading("The store holds", f"{n.stored_pictures} pictures"),
    )


def _describe(n: StorageNumbers) -> str:
    mean = f"{n.safe_shifts:.1f} shifts, when the picture is lost on average"
    shape = (
        f"It lies at the bottom, then rises steeply about an upright line at {mean}"
        if n.safe_shifts <= LONGEST_SHIFTS
        else f"It begins to rise only towards {mean}, beyond the scale"
    )
    return plain_words(
        f"A curve of the chance that the oldest of {n.pictures_to_keep} pictures to keep is "
        f"overwritten, against the shifts until they are copied, for a store of "
        f"{n.stored_pictures} and {n.pictures_per_shift} pictures a shift. {shape}. "
        f"Ringed: {_shifts(n)}, chance "
        f"{chance_words(n.chance)}."
    )


def _draw(n: StorageNumbers) -> str:
    plot = Plot(
        Scale(0, LONGEST_SHIFTS, 2, "shifts until the pictures are copied"),
        Scale(0, 1, 0.25, "chance that the oldest is lost", written=percent),
        box=(66, 424, 58, 272),
        size=(440, 340),
    )
    plot.curve(n.shifts, n.chances)
    _draw_mean(plot, n.safe_shifts)
    words = f"After {_shifts(n)}: chance of loss {chance_words(n.chance)}"
    plot.mark(n.shifts_to_copy, n.chance, words)
    return plot.svg()


def _draw_mean(plot: Plot, shifts: float) -> None:
    """An upright line; its words stand where the curve is not: above it on the left, or below."""
    if not plot.across.holds(shifts):
        return
    ends = plot.place(shifts, plot.up.low), plot.place(shifts, plot.up.high)
    plot.sheet.line(*ends, colour=drawing.CATHETER, dash="2 3")
    is_late = shifts > LONGEST_SHIFTS / 2
    x, y = plot.place(shifts, 0.82 if is_late else 0.1)
    plot.sheet.words(
        (x - 8 if is_late else x + 8, y),
        f"average: {shifts:.1f} shifts",
        anchor="end" if is_late else "start",
        colour=drawing.CATHETER,
        size=13,
        halo=True,
    )
