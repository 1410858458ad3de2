"""Items on batteries: how long a charge lasts, when it is enough, hours without a device."""

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent

BATTERIES = "Before and after the shift: batteries and chargers"

_MIN_PER_H = 60
_ABOUT_THE_SAME = 0.25  # share by which charging and running differ


# -------------------------------------------------------------------------- how long it lasts


def _draw_lasts(draw: Draw) -> dict:
    return {
        "run_time_h": draw.policy["run_time_h"],
        "battery_left": draw.step(0.70, 0.90, 0.05),
        "patients_per_h": draw.step(2, 4, 1),
        "minutes_each": draw.step(5, 9, 1),
    }


def _on_share(v: Values) -> float:
    return v["patients_per_h"] * v["minutes_each"] / _MIN_PER_H


def _lasts(v: Values, *, battery: float | None = None, on: float | None = None) -> float:
    """The hours for which a full unit lasts, from its run time and the share of time it is on."""
    left = v["battery_left"] if battery is None else battery
    return v["run_time_h"] * left / (_on_share(v) if on is None else on)


LASTS = NumberItem(
    id="ready-lasts",
    version=2,
    title="How long an old battery lasts",
    points=2,
    section=BATTERIES,
    draw_values=_draw_lasts,
    ask=lambda v: (
        f"When new and full, the device runs for {v['run_time_h']:.1f} h. Its battery has aged: a "
        f"full one now gives {per_cent(v['battery_left'])} of that. It is on for "
        f"{v['minutes_each']:.0f} minutes at each patient, with {v['patients_per_h']:.0f} patients "
        "an hour, and off in between. You take it full. After how many hours is it empty, if its "
        "use is spread evenly? Give one decimal."
    ),
    unit="h",
    quantity="answered_time_h",
    example="1.5 h",
    answer=_lasts,
    absolute_tolerance=0.06,
    relative_tolerance=0.005,
    slips=(
        Slip(
            "always-on",
            "the device is reckoned as on all the time: count only the time in use",
            lambda v: _lasts(v, on=1),
        ),
        Slip(
            "ageing-left-out",
            "the run time of a new battery is taken: use what the old one still gives",
            lambda v: _lasts(v, battery=1),
        ),
        Slip(
            "lost-for-left",
            "what the battery has lost is taken: use what it still gives",
            lambda v: _lasts(v, battery=1 - v["battery_left"]),
        ),
        Slip(
            "multiplied-by-share-on",
            "the run time is multiplied by the share of the time in use: divide, since less "
            "use makes it last longer",
            lambda v: _lasts(v, on=1 / _on_share(v)),
        ),
    ),
    route=lambda v: (
        f"{v['run_time_h']:.1f} h × {per_cent(v['battery_left'])} = {_lasts(v, on=1):.2f} h with "
        f"the light on; {v['patients_per_h']:.0f} × {v['minutes_each']:.0f} min = "
        f"{_MIN_PER_H * _on_share(v):.0f} of {_MIN_PER_H} min; {_lasts(v, on=1):.2f} h ÷ "
        f"{_on_share(v):.2f} = {_lasts(v):.1f} h"
    ),
)


# -------------------------------------------------------------------- charging before a list


def _draw_before_list(draw: Draw) -> dict:
    return {
        "run_time_h": draw.policy["run_time_h"],
        "charge_time_h": draw.policy["charge_time_h"],
        "charge_left": draw.step(0.05, 0.20, 0.01),
        "patients": draw.step(6, 10, 1),
        "minutes_each": draw.step(9, 14, 1),
    }


def _needed_min(v: Values) -> float:
    return v["patients"] * v["minutes_each"]


def _needed(v: Values) -> float:
    """The share of a full charge that the list takes."""
    return _needed_min(v) / (_MIN_PER_H * v["run_time_h"])


def _minute_for_minute(v: Values) -> float | None:
    """The charging that the slip leads to; where both times are about the same, it is no slip."""
    if abs(v["charge_time_h"] / v["run_time_h"] - 1) < _ABOUT_THE_SAME:
        return None
    return _needed_min(v) - _MIN_PER_H * v["charge_left"] * v["run_time_h"]


def _charging_min(v: Values, share: float) -> float:
    """How long it takes to put in a share of a full charge."""
    return _MIN_PER_H * share * v["charge_time_h"]


BEFORE_LIST = NumberItem(
    id="ready-before-list",
    version=3,
    title="On charge before a list",
    points=2,
    section=BATTERIES,
    draw_values=_draw_before_list,
    ask=lambda v: (
        f"The only unit comes back with {per_cent(v['charge_left'])} of its charge. The next list "
        f"has {v['patients']:.0f} patients, with {v['minutes_each']:.0f} minutes of use at each. A "
        f"full unit runs for {v['run_time_h']:.1f} h; from empty to full takes "
        f"{v['charge_time_h']:.1f} h, and the charge goes in evenly. How many minutes must it be "
        "on charge, at the least, so that it lasts for the list? Whole minutes will do, to "
        "the nearest or rounded up."
    ),
    unit="min",
    quantity="answered_charging_min",
    example="5 min",
    answer=lambda v: _charging_min(v, _needed(v) - v["charge_left"]),
    absolute_tolerance=1.0,  # whole minutes, rounded or rounded up
    slips=(
        Slip(
            "charge-left-forgotten",
            "the charge that is left is forgotten: take it off, since only what is missing "
            "must go in",
            lambda v: _charging_min(v, _needed(v)),
        ),
        Slip(
            "charged-to-full",
            "it is charged until full: stop at what the list takes",
            lambda v: _charging_min(v, 1 - v["charge_left"]),
        ),
        Slip(
            "minute-for-minute",
            (
                "a minute on charge is taken to give a minute of use: work with both times, the "
                "run time and the time to charge"
            ),
            _minute_for_minute,
        ),
        Slip(
            "left-as-share-of-list",
            "the charge that is left is taken as a share of the list: take it as a share of a "
            "full charge",
            lambda v: _charging_min(v, _needed(v) * (1 - v["charge_left"])),
        ),
    ),
    route=lambda v: (
        f"{v['patients']:.0f} × {v['minutes_each']:.0f} min = {_needed_min(v):.0f} min, which is "
        f"{100 * _needed(v):.1f} % of {v['run_time_h']:.1f} h; "
        f"{100 * _needed(v):.1f} % − {per_cent(v['charge_left'])} = "
        f"{100 * (_needed(v) - v['charge_left']):.1f} % is missing; that share of "
        f"{v['charge_time_h']:.1f} h is {_charging_min(v, _needed(v) - v['charge_left']):.1f} min"
    ),
)


# ---------------------------------------------------------------------- hours without a device


_CLEAR_H = 0.2  # from the beginning and the end of a gap
_ENOUGH = 12  # shifts to draw from


def _in_second_gap(shift_h: float, run_time_h: float, charge_time_h: float) -> bool:
    """Tell whether a shift ends while the unit is on charge for the second time."""
    begins = 2 * run_time_h + charge_time_h
    return begins + _CLEAR_H <= shift_h <= begins + charge_time_h - _CLEAR_H


def _draw_hours_without(draw: Draw) -> dict:
    """Draw a shift that ends in the second gap, where the department's device has one by then."""
    new, charge = draw.policy["run_time_h"], draw.policy["charge_time_h"]
    shifts = [
        {"shift_h": halves / 2, "run_time_h": round(new - tenths / 10, 2)}
        for halves in range(12, 27)
        for tenths in range(3, 11)
    ]
    ends_so = [one for one in shifts if _in_second_gap(**one, charge_time_h=charge)]
    return {
        **draw.choose(ends_so if len(ends_so) >= _ENOUGH else shifts),
        "new_run_time_h": new,
        "charge_time_h": charge,
    }


def _with_device(v: Values, run_time_h: float) -> float:
    return calc.on_time_h(v["shift_h"], run_time_h=run_time_h, charge_time_h=v["charge_time_h"])


def _without(v: Values) -> float:
    return v["shift_h"] - _with_device(v, v["run_time_h"])


def _by_label(v: Values) -> float | None:
    """Reckoned with a new unit; None where that one is on charge for once only, as in the next."""
    without = v["shift_h"] - _with_device(v, v["new_run_time_h"])
    return without if without > v["charge_time_h"] + _CLEAR_H else None


def _spans(v: Values) -> str:
    """Say when the device runs, from the start of the shift."""
    shift = calc.charge_schedule(
        v["shift_h"],
        batteries=1,
        chargers=1,
        run_time_h=v["run_time_h"],
        charge_time_h=v["charge_time_h"],
    )
    runs = [span for span in shift.spans if span.what == "run"]
    return ", ".join(f"{span.start_h:.1f} to {span.end_h:.1f} h" for span in runs)


HOURS_WITHOUT = NumberItem(
    id="ready-hours-without",
    version=3,
    title="Hours without a device",
    points=2,
    section=BATTERIES,
    draw_values=_draw_hours_without,
    ask=lambda v: (
        f"A ward has one unit. New, it ran for {v['new_run_time_h']:.1f} h; timed last week, a "
        f"full charge gave {v['run_time_h']:.1f} h. Charging from empty to full takes "
        f"{v['charge_time_h']:.1f} h. A shift of {v['shift_h']:.1f} h starts with it full. It is "
        "used without a break until it is empty, goes on charge at once, and comes back when it is "
        "full. "
        "For how many hours of the shift is there no device? Give one decimal."
    ),
    unit="h",
    quantity="answered_time_h",
    example="1.5 h",
    answer=_without,
    absolute_tolerance=0.06,
    slips=(
        Slip(
            "long-run-share",
            "the average over a long time is taken: follow this shift hour by hour, since it "
            "starts with a full charge",
            lambda v: (
                v["shift_h"]
                * (1 - calc.charge_availability(v["run_time_h"], charge_time_h=v["charge_time_h"]))
            ),
        ),
        Slip(
            "first-gap-only",
            "only the first gap is counted: go on to the end of the shift, past the second",
            lambda v: v["charge_time_h"],
        ),
        Slip(
            "never-charged",
            "the unit is taken to be gone once it is empty: count it in again once it is charged",
            lambda v: v["shift_h"] - v["run_time_h"],
        ),
        Slip(
            "label-for-timed",
            "the run time of a new unit is taken: use the one that was timed",
            _by_label,
        ),
    ),
    route=lambda v: (
        f"It runs {_spans(v)}: {_with_device(v, v['run_time_h']):.1f} h in all; "
        f"{v['shift_h']:.1f} h − {_with_device(v, v['run_time_h']):.1f} h = {_without(v):.1f} h"
    ),
)
