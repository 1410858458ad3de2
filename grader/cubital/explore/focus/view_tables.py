"""Tables on where a line falls: round limbs, sizes of the picture, and ways of holding."""

from __future__ import annotations

from cubital import calc
from cubital.calc.shared.formatting import measure, percent, rounded
from cubital.explore.kit.department import device_in_use
from cubital.explore.kit.table import LessonTable
from cubital.tables.focus import holdings

LIMBS_MM = {"upper arm": 50, "forearm": 40, "a child's forearm": 25}
"""Radii of round limbs, teaching assumptions within the usual range of the limits."""
PLACES_MM = (5, 10, 15, 20)


def limb_table() -> LessonTable:
    """The registration error beside the highest line of round limbs."""
    device = device_in_use()

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


def picture_size_table(*, tilt_deg: float) -> LessonTable:
    """What a larger picture costs: light on each place, and registration at its edge."""
    device = device_in_use()

    def row(width: float) -> tuple[str, ...]:
        height = width * device.picture_height_mm / device.picture_width_mm
        lit = calc.picture_illuminance_lx(
            device.light_output_lm, picture_width_mm=width, picture_height_mm=height
        )
        limit = calc.room_light_limit_lx(lit, weber_needed=device.weber_needed)
        shifts = (
            calc.registration_error_on_slope_mm(
                edge,
                tilt_deg=tilt_deg,
                baseline_mm=device.baseline_mm,
                reference_distance_mm=device.working_distance_mm,
            )
            for edge in (-width / 2, width / 2)
        )
        return (
            f"{width:.0f} by {measure(height, 'mm', 0)}",
            rounded(lit, "lx"),
            rounded(limit, "lx"),
            measure(max(map(abs, shifts)), "mm", 1),
        )

    return LessonTable(
        caption=(
            "The same projector, its picture smaller or larger, on skin tilted by "
            f"{tilt_deg:g} degrees"
        ),
        columns=(
            "Picture on the skin",
            "Its light on the skin",
            "Easily seen up to a room light of",
            "Line beside the vein at the worse edge, baseline along the slope",
        ),
        rows=tuple(row(device.picture_width_mm * times) for times in (0.5, 1, 2)),
        note=(
            "Two teaching assumptions: the baseline, and that a picture is easily seen where its "
            "light is half of the room light. Simulated, not clinically validated."
        ),
    )


def _together(view: calc.ViewBudget) -> str:
    """Whether a view holds; if not, what fails."""
    fails = {
        "outside the window": view.window_share > 1,
        "line beside the vein": view.registration_share > 1,
        "room too bright": view.weber < device_in_use().weber_needed,
    }
    return "; ".join(words for words, is_so in fails.items() if is_so) or "holds"


def holding_table(*, room_lx: float, place_mm: float, tilt_deg: float) -> LessonTable:
    """What each way of holding leaves of the window, the registration and the contrast."""
    device = device_in_use()

    def row(key: str) -> tuple[str, ...]:
        view = calc.view_budget(
            device, holding=key, room_lx=room_lx, place_mm=place_mm, tilt_deg=tilt_deg
        )
        return (
            holdings()[key].words,
            f"{measure(view.window_used_mm, 'mm', 1)}, {percent(view.window_share)}",
            f"{measure(view.registration_error_mm, 'mm', 1)}, {percent(view.registration_share)}",
            _together(view),
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
            "Errors that stay the same are added at their worst, those that vary by chance at two "
            "standard deviations. How steady a hand is, is a teaching assumption. Simulated, not "
            "clinically validated."
        ),
    )
