"""Items on the time in the vein: how long it was, when half are left, how many it takes."""

from math import ceil

from cubital import calc
from cubital.calc.shared.units import MINUTES_PER_HOUR
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent

REMOVAL = "Removal"

_HOURS_PER_DAY = 24  # exact
_MINUTES_IN_HUNDREDTHS = 100  # 14:30 read as 14.30
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


# -------------------------------------------------------------------------- how long it was in


def _draw_dwell(draw: Draw) -> dict:
    return {
        "day": draw.step(0, 6, 1),
        "days": draw.step(2, 4, 1),
        "in_h": draw.step(6, 22, 1),
        "in_min": draw.step(6, 54, 6),
        "out_h": draw.step(6, 22, 1),
        "out_min": draw.step(6, 54, 6),
    }


def _clock_h(v: Values, which: str, minutes: float = MINUTES_PER_HOUR) -> float:
    """A time of day in hours."""
    return v[f"{which}_h"] + v[f"{which}_min"] / minutes


def _later_h(v: Values, minutes: float = MINUTES_PER_HOUR) -> float:
    """How much later in the day it came out than it went in; below 0 if earlier."""
    return _clock_h(v, "out", minutes) - _clock_h(v, "in", minutes)


def _full_days_h(v: Values) -> float:
    return _HOURS_PER_DAY * v["days"]


def _day(v: Values, after_days: float = 0) -> str:
    return _DAYS[int(v["day"] + after_days) % len(_DAYS)]


def _clock(v: Values, which: str) -> str:
    return f"{v[f'{which}_h']:02.0f}:{v[f'{which}_min']:02.0f}"


DWELL = NumberItem(
    id="patient-dwell",
    version=3,
    title="How long it was in",
    points=2,
    section=REMOVAL,
    draw_values=_draw_dwell,
    ask=lambda v: (
        f"The notes say: put in on {_day(v)} at {_clock(v, 'in')}. On the {_day(v, v['days'])} "
        f"after, at {_clock(v, 'out')}, you take it out. How long was it in, for the record? Give "
        "hours with one decimal, or days, hours and minutes."
    ),
    unit="h",
    quantity="answered_dwell_h",
    example="126.3 h or 5 days 6 h 18 min",
    answer=lambda v: _full_days_h(v) + _later_h(v),
    absolute_tolerance=0.06,
    slips=(
        Slip(
            "dates-only",
            "only the dates are subtracted: count the times of day as well",
            _full_days_h,
        ),
        Slip(
            "both-days-counted",
            "the first and the last day are both counted in full: count from clock time to "
            "clock time",
            lambda v: _full_days_h(v) + _later_h(v) + _HOURS_PER_DAY,
        ),
        Slip(
            "clock-the-wrong-way",
            "the two times of day are subtracted the wrong way round: check whether the last "
            "day is full",
            lambda v: _full_days_h(v) - _later_h(v),
        ),
        Slip(
            "minutes-as-decimals",
            "minutes are read as hundredths of an hour: divide them by 60",
            lambda v: _full_days_h(v) + _later_h(v, _MINUTES_IN_HUNDREDTHS),
        ),
    ),
    route=lambda v: (
        f"{v['days']:.0f} × 24 h to {_clock(v, 'in')} on the {_day(v, v['days'])}, then "
        f"{_later_h(v):+.1f} h to {_clock(v, 'out')}: {_full_days_h(v) + _later_h(v):.1f} h"
    ),
)


# ---------------------------------------------------------------------- until half are left


def lasting(failing_share: float, days: float) -> float:
    """Return the chance to last for so many days, each with the same share that fails."""
    return calc.chance_of_at_least(days, trials=days, success_share=1 - failing_share)


def _half_left(v: Values) -> int:
    """The first whole day after which at most half are left."""
    return calc.insertions_needed(1 - v["failing_share"], confidence=0.5)


def _added_up_to(v: Values, share: float) -> int:
    """The first whole day on which the days' shares, added, come to ``share``."""
    return ceil(round(share / v["failing_share"], 6))  # free of rounding noise


def _days_of_half(v: Values) -> str:
    last = _half_left(v)
    shares = [f"day {day}: {lasting(v['failing_share'], day):.3f}" for day in (last - 1, last)]
    planned = v["planned_days"]
    return (
        f"{1 - v['failing_share']:.3f} last each day; {', '.join(shares)}; "
        f"{lasting(v['failing_share'], planned):.3f} last all {planned:.0f} days planned, so the "
        "device to ask for is a midline or a longer line"
    )


HALF_LEFT = NumberItem(
    id="patient-half-left",
    version=3,
    title="Optional: when only half are left",
    optional=True,
    points=2,
    section=REMOVAL,
    draw_values=lambda draw: {
        "failing_share": draw.step(0.04, 0.095, 0.005),
        "planned_days": draw.step(10, 21, 1),
    },
    ask=lambda v: (
        f"A drug is planned for {v['planned_days']:.0f} days. You ask for a midline or a longer "
        "line before the first needle, and the prescriber wants to know why a short catheter will "
        "not do. On your ward "
        f"{100 * v['failing_share']:.1f} % of those in place fail on any one day, the first day "
        "and the later ones alike. Of the catheters put in today, after how many days are fewer "
        "than half left? Give whole days."
    ),
    unit="days",
    quantity="answered_days_in_vein",
    example="24 days",
    answer=_half_left,
    absolute_tolerance=0.4,
    slips=(
        Slip(
            "chances-added",
            (
                "the daily shares are added up until they make half: take each day's share of "
                "the catheters that are left"
            ),
            lambda v: _added_up_to(v, 0.5),
        ),
        Slip(
            "one-day-early",
            "the count stops a day early: go on until fewer than half are left",
            lambda v: _half_left(v) - 1,
        ),
    ),
    route=_days_of_half,
)


# ---------------------------------------------------------------------- how many more it takes


def _draw_more(draw: Draw) -> dict:
    return {
        "patients": draw.step(10, 40, 2),
        "days": draw.step(4, 7, 1),
        "failing_share": draw.step(0.05, 0.16, 0.01),
    }


def _more(v: Values, days: float) -> float:
    return v["patients"] * v["failing_share"] * days


MORE_CATHETERS = NumberItem(
    id="patient-more-catheters",
    version=2,
    title="Optional: how many more catheters it takes",
    optional=True,
    points=2,
    section=REMOVAL,
    draw_values=_draw_more,
    ask=lambda v: (
        f"{v['patients']:.0f} patients get a drug for {v['days']:.0f} days each, one catheter at a "
        f"time. On any one day {per_cent(v['failing_share'])} of the catheters in place fail. "
        "What fails is replaced the same evening, except on the last day, when the drug has been "
        "given. How many catheters, on average, must be put in besides the first ones? "
        "Give one decimal."
    ),
    unit="catheters",
    quantity="answered_more_catheters",
    example="45.5 catheters",
    answer=lambda v: _more(v, v["days"] - 1),
    absolute_tolerance=0.06,
    slips=(
        Slip(
            "last-day-counted",
            "the last day is counted: leave it out, since what fails then is not put in again",
            lambda v: _more(v, v["days"]),
        ),
        Slip(
            "patients-for-catheters",
            "the patients whose first catheter fails are counted: count catheters, since a "
            "second can fail as well",
            lambda v: v["patients"] * (1 - lasting(v["failing_share"], v["days"] - 1)),
        ),
        Slip(
            "first-ones-counted",
            "the first catheters are counted too: leave them out, since the question asks for more",
            lambda v: v["patients"] + _more(v, v["days"] - 1),
        ),
    ),
    route=lambda v: (
        f"{v['patients']:.0f} in place × {v['failing_share']:.2f} a day × {v['days'] - 1:.0f} days "
        f"= {_more(v, v['days'] - 1):.1f} catheters"
    ),
)
