"""Tables on where a line falls: round limbs, ways of holding, the check on a target."""

from __future__ import annotations

import numpy as np

from cubital import calc
from cubital.explore.lesson_tables import LessonTable
from cubital.explore.wording import measure, percent
from cubital.explore.working_distance import off_words
from cubital.tables.focus import holdings

LIMBS_MM = {"upper arm": 50, "forearm": 40, "a child's forearm": 25}
"""Radii of round limbs, teaching assumptions within the usual range of the limits."""
PLACES_MM = (5, 10, 15, 20)
MARKS_MM = ((-30, -20), (30, -20), (30, 20), (-30, 20), (0, 0))
READ_OFF_MM = ((0.2, -0.1), (-0.1, 0.2), (0.1, 0.1), (-0.2, -0.1), (0.0, -0.1))
"""How far each mark is read wrongly with a ruler; fixed, so that the table is always the same."""
CHECKED_MM = (0, 5, 15)


def limb_table() -> LessonTable:
    """The registration error beside the highest line of round limbs."""
    device = calc.scenario_device()

    def cell(radius: float, place: float) -> str:
        drop = calc.limb_drop_mm(place, limb_radius_mm=radius)
        error = calc.registration_error_mm(
            drop,
            baseline_mm=device.baseline_mm,
            reference_distance_mm=device.working_distance_mm,
        )
        return f"{measure(drop, 'mm', 1)} farther, line {measure(error, 'mm', 1)} beside it"

    return LessonTable(
        caption="A vein beside the highest line of a round limb, which is at the working distance",
        columns=("Limb, and its radius", *(f"{p} mm to the side" for p in PLACES_MM)),
        rows=tuple(
            (f"{words}, {radius} mm", *(cell(radius, place) for place in PLACES_MM))
            for words, radius in LIMBS_MM.items()
        ),
        note=(
            "Baseline across the arm. The radii are teaching assumptions. Simulated, not "
            "clinically validated."
        ),
    )


def holding_table(*, room_lx: float, place_mm: float, tilt_deg: float) -> LessonTable:
    """What each way of holding leaves of the window, the registration and the contrast."""
    device = calc.scenario_device()

    def row(key: str) -> tuple[str, ...]:
        found = calc.view_budget(
            device, holding=key, room_lx=room_lx, place_mm=place_mm, tilt_deg=tilt_deg
        )
        return (
            holdings()[key].words,
            f"{measure(found.window_used_mm, 'mm', 1)}, {percent(found.window_share)}",
            f"{measure(found.registration_error_mm, 'mm', 1)}, {percent(found.registration_share)}",
            "holds" if found.holds else "; ".join(found.reasons),
        )

    return LessonTable(
        caption=(
            f"A vein {measure(place_mm, 'mm', 0)} from the middle, skin tilted by {tilt_deg:g} "
            f"degrees, {measure(room_lx, 'lx', 0)} in the room"
        ),
        columns=(
            "The device is",
            "Off the working distance, share of the window",
            "Line beside the vein, share of what is tolerated",
            "Together",
        ),
        rows=tuple(row(key) for key in holdings()),
        note=(
            "Steady parts are added at their worst, chance ones at two standard deviations. How "
            "steady a hand is, is a teaching assumption. Simulated, not clinically validated."
        ),
    )


def target_check(distance_error_mm: float) -> calc.DailyCheck:
    """The check of shown against true marks on a flat target at some distance."""
    device = calc.scenario_device()
    shift = calc.registration_offset_mm(
        distance_error_mm,
        baseline_mm=device.baseline_mm,
        reference_distance_mm=device.working_distance_mm,
        rotation_deg=0,
    )
    true = np.array(MARKS_MM, float)
    return calc.check_registration(true + shift + np.array(READ_OFF_MM), true_mm=true)


def target_table() -> LessonTable:
    """The check of shown against true position with the target at three distances."""

    def row(error: float) -> tuple[str, ...]:
        found = target_check(error)
        return (
            off_words(error),
            measure(found.fit.largest_error_mm, "mm", 1),
            found.verdict,
            "; ".join(found.remarks) or "nothing stands out",
        )

    return LessonTable(
        caption=f"{len(MARKS_MM)} marks on a flat target, read with a ruler",
        columns=("The target is", "Farthest mark from its place", "Verdict", "What stands out"),
        rows=tuple(row(error) for error in CHECKED_MM),
        note=(
            f"{measure(calc.scenario_device().registration_tolerance_mm, 'mm', 0)} is tolerated, "
            "a teaching assumption; the readings are invented. Simulated, not clinically "
            "validated."
        ),
    )
