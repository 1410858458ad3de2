"""What the lesson on readiness says of a department's own device."""

from cubital import calc, tables
from cubital.explore.kit.department import Said, whose
from cubital.explore.readiness.battery_day import always_on

_SHARE = 0.25  # of the time that the device is on, as in the lesson
_KEPT, _A_SHIFT = 60, 40  # pictures, as in the lesson
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def own_sentences(profile: tables.Profile) -> tuple[Said, ...]:
    """Return what the lesson says otherwise of a department's device."""
    of, run, charge = whose(profile), profile.run_time_h, profile.charge_time_h
    shift = tables.constant("shift-length").value
    gone = without_device_h(profile)
    units, chargers = always_on(1, run_time_h=run, charge_time_h=charge)
    both = always_on(2, run_time_h=run, charge_time_h=charge)
    lasts = run / _SHARE
    room = profile.stored_pictures - _KEPT + 1
    keeps = f"{_units(units)} and {_chargers(chargers)}"
    serves = "one does for the shift" if lasts >= shift else f"one does not last {shift:g} h"
    return (
        Said(
            "read-the-questions",
            f"{profile.working_distance_mm:g} mm for the device of {of}",
            "220 mm for the device of this course",
        ),
        Said(
            "batteries-and-chargers",
            f"The device of {of} runs for {run:.1f} h when it is full, and takes {charge:.1f} h to "
            "charge",
            "The device of this course runs for 3.5 h when it is full, and takes 2.5 h to charge",
        ),
        Said(
            "read-the-battery-day",
            f"the first gap comes {run:.1f} h into the shift, and {gone:.1f} of the {shift:g} h "
            f"are without a device. With {keeps} there is no gap.",
            "the first gap comes 3.5 h into the shift, and 5.0 of the 12 h are without a device. "
            "With a second unit there is no gap, and one charger is enough.",
        ),
        Said(
            "read-the-battery-day",
            f"a full unit lasts {lasts:.1f} h",
            "a full unit lasts 14.0 h",
        ),
        Said("read-the-battery-day", f"and {serves}", "and one does for the shift"),
        Said("read-the-battery-day", f"{charge:.1f} h without a", "2.5 h without a"),
        Said(
            "numbers-of-units",
            f"= {run:.1f} ÷ {run + charge:.1f} = {100 * run / (run + charge):.0f} % of the time",
            "= 3.5 ÷ 6.0 = 58 % of the time",
        ),
        Said(
            "numbers-of-units",
            f"{run + charge:.1f} ÷ {run:.1f} = {(run + charge) / run:.1f}, so {_COUNTS[units]}; ",
            "6.0 ÷ 3.5 = 1.7, so two; ",
        ),
        Said(
            "numbers-of-units",
            f"{charge:.1f} ÷ {run:.1f} = {charge / run:.2f}, so {_COUNTS[chargers]}",
            "2.5 ÷ 3.5 = 0.71, so one",
        ),
        Said(
            "numbers-of-units",
            f"the figure asks for {_units(both[0])} and {_chargers(both[1])}",
            "the figure asks for four units and two chargers",
        ),
        Said(
            "stored-pictures",
            f"The device of {of} keeps {profile.stored_pictures} pictures.",
            "The device of this course keeps 340 pictures.",
        ),
        Said(
            "when-the-oldest-goes",
            "Take the course's own device, with 340 pictures. Say the ward takes",
            "Say the ward takes",
        ),
        Said(
            "read-the-store",
            f"**With the {profile.stored_pictures} pictures of {of}**, and the latest {_KEPT} to "
            f"be kept, the oldest of these goes with new picture number {room}; at {_A_SHIFT} a "
            f"shift that is after {room / _A_SHIFT:.1f} shifts, on average. The figure keeps to "
            "the course's own device.",
        ),
        Said(
            "what-we-have-done",
            f"{keeps} keep one device of {of} at hand",
            "two units and one charger keep one device of this course at hand",
        ),
    )


def without_device_h(profile: tables.Profile) -> float:
    """Return for how many hours of the lesson's shift one full unit with a charger is not there."""
    schedule = calc.charge_schedule(
        tables.constant("shift-length").value,
        batteries=1,
        chargers=1,
        stations=1,
        start_charge=[1],
        run_time_h=profile.run_time_h,
        charge_time_h=profile.charge_time_h,
    )
    return float(sum((end - start) * missing for start, end, missing in schedule.gaps))


def _units(number: int) -> str:
    return f"{_COUNTS[number]} unit{'s' if number != 1 else ''}"


def _chargers(number: int) -> str:
    return f"{_COUNTS[number]} charger{'s' if number != 1 else ''}"
