"""Items on fluid outside the vein: how much there can be, and how wide it has become."""

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw

PICTURE = "No picture rules out infiltration"
SMALL_ARM = "The same leak in a small arm"

_MINUTES = 60  # in an hour
_FULL = 100  # per cent in one


def _clock(minute_of_day: float) -> str:
    hour, minute = divmod(round(minute_of_day), _MINUTES)
    return f"{hour:02d}:{minute:02d}"


# ----------------------------------------------------------------------------- how much at most


def _draw_outside(draw: Draw) -> dict:
    return {
        "rate_ml_per_h": draw.step(30, 125, 5),
        "felt_at_min": draw.step(7 * _MINUTES, 18 * _MINUTES, 5),
        "apart_min": draw.step(25, 110, 5),
    }


def _found_at(v: Values) -> float:
    return v["felt_at_min"] + v["apart_min"]


def _outside(v: Values, time_h: float | None = None) -> float:
    hours = v["apart_min"] / _MINUTES if time_h is None else time_h
    return calc.infiltrated_volume_ml(v["rate_ml_per_h"], time_h=hours)


def _by_clock_as_decimal(v: Values) -> float | None:
    """The clock's figures taken off each other as if they were decimals: 15.05 less 14.20."""

    def decimal(minute_of_day: float) -> float:
        hour, minute = divmod(round(minute_of_day), _MINUTES)
        return hour + minute / _FULL

    hours = decimal(_found_at(v)) - decimal(v["felt_at_min"])
    return _outside(v, hours)


OUTSIDE = NumberItem(
    id="comp-outside",
    version=3,
    title="How much may lie outside",
    points=2,
    section=PICTURE,
    draw_values=_draw_outside,
    ask=lambda v: (
        f"A pump runs sodium chloride 0.9 % at {v['rate_ml_per_h']:.0f} mL/h. At "
        f"{_clock(v['felt_at_min'])} you felt the site, and it was well. At "
        f"{_clock(_found_at(v))} it is swollen and cool, and you stop the pump, which has not "
        "alarmed. You write it down. At most, how much can have run outside the vein since "
        "you last felt the site? Whole millilitres will do, to the nearest or rounded up."
    ),
    unit="mL",
    quantity="answered_outside_ml",
    example="8 mL",
    answer=_outside,
    absolute_tolerance=1.0,  # whole millilitres, to the nearest or rounded up
    slips=(
        Slip(
            "minutes-as-decimals",
            "the times of the clock are subtracted as decimals: count 60 minutes to the hour",
            _by_clock_as_decimal,
        ),
        Slip(
            "one-hour-for-the-time",
            "what runs in one hour is given: multiply by the time between the two looks",
            lambda v: v["rate_ml_per_h"],
        ),
        Slip(
            "half-way-leak",
            "the leak is taken to have begun half-way: count from the last good look, for at most",
            lambda v: _outside(v) / 2,
        ),
    ),
    route=lambda v: (
        f"{v['apart_min']:.0f} min = {v['apart_min'] / _MINUTES:.3f} h; "
        f"{v['rate_ml_per_h']:.0f} mL/h × {v['apart_min'] / _MINUTES:.3f} h = {_outside(v):.1f} mL"
    ),
)


# ------------------------------------------------------------------------- twice the width


def _draw_widths(draw: Draw) -> dict:
    first = draw.step(24, 40, 1)
    return {"first_mm": first, "now_mm": round(first * draw.step(1.3, 2.2, 0.05))}


def _times_as_wide(v: Values) -> float:
    now = calc.check("swelling_diameter_mm", v["now_mm"])
    return now / calc.check("swelling_diameter_mm", v["first_mm"])


def _times_as_much(v: Values) -> float:
    """Of one shape, volume goes with the cube of the width."""
    return _times_as_wide(v) ** 3


TIMES_AS_MUCH = NumberItem(
    id="comp-times-as-much",
    version=2,
    title="A little wider, much more fluid",
    points=2,
    section=SMALL_ARM,
    draw_values=_draw_widths,
    ask=lambda v: (
        f"When a swelling was found, it measured {v['first_mm']:.0f} mm across, and its edge was "
        f"marked. An hour later it turns out that the infusion was never stopped, and the swelling "
        f"measures {v['now_mm']:.0f} mm across. Take its shape as the same. How many times as "
        "much fluid lies there now? Type the number alone, with one decimal."
    ),
    unit="",
    quantity="answered_times",
    example="1.4",
    answer=_times_as_much,
    absolute_tolerance=0.06,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "width-for-volume",
            "the widths are compared: cube them, since twice the width is eight times the volume",
            _times_as_wide,
        ),
        Slip(
            "area-for-volume",
            "the areas on the skin are compared: cube the widths, since the swelling has also "
            "risen",
            lambda v: _times_as_wide(v) ** 2,
        ),
        Slip(
            "tripled-for-cubed",
            "the width is multiplied by three: multiply width by width by width",
            lambda v: 3 * _times_as_wide(v),
        ),
        Slip(
            "more-for-times",
            "only what has been added is given: say how many times as much there is in all",
            lambda v: _times_as_much(v) - 1,
        ),
    ),
    route=lambda v: (
        f"{v['now_mm']:.0f} mm / {v['first_mm']:.0f} mm = {_times_as_wide(v):.2f} times as wide; "
        f"{_times_as_wide(v):.2f}³ = {_times_as_much(v):.1f} times as much"
    ),
)


# --------------------------------------------------------------------- the share of a child's arm


def _draw_limb_share(draw: Draw) -> dict:
    limb = draw.step(110, 200, 2)
    upper = draw.step(6, 24, 2)
    return {
        "limb_length_mm": limb,
        "girth_mm": draw.step(140, 186, 2),
        "upper_edge_mm": upper,
        "lower_edge_mm": upper + round(limb * draw.step(0.16, 0.6, 0.02)),
    }


def _swelling_mm(v: Values) -> float:
    return v["lower_edge_mm"] - v["upper_edge_mm"]


def _of_limb(v: Values, swelling_mm: float | None = None, limb_mm: float | None = None) -> float:
    return calc.swelling_length_share(
        _swelling_mm(v) if swelling_mm is None else swelling_mm,
        limb_length_mm=limb_mm or v["limb_length_mm"],
    )


LIMB_SHARE = NumberItem(
    id="comp-limb-share",
    version=3,
    title="A swelling on a child's arm",
    points=2,
    section=SMALL_ARM,
    draw_values=_draw_limb_share,
    ask=lambda v: (
        f"A child's forearm is {v['limb_length_mm']:.0f} mm long from the elbow crease to the "
        f"wrist. A swelling reaches from {v['upper_edge_mm']:.0f} mm to "
        f"{v['lower_edge_mm']:.0f} mm below the elbow crease; in its middle the arm is "
        f"{v['girth_mm']:.0f} mm round. Your local form asks what share of the forearm's length is "
        "swollen. What do you write? Give two decimals, or whole per cent."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="0.75 or 75 %",
    answer=_of_limb,
    absolute_tolerance=0.0055,
    slips=(
        Slip(
            "edge-for-length",
            "the way from the elbow crease to the far edge is taken: measure from edge to edge",
            lambda v: _of_limb(v, v["lower_edge_mm"]),
        ),
        Slip(
            "girth-for-length",
            "the swelling is compared with the way round the arm: compare it with the arm's length",
            lambda v: _of_limb(v, limb_mm=v["girth_mm"]),
        ),
        Slip(
            "per-cent-sign-missing",
            "per cent are typed without their sign: type 30 % or 0.30",
            lambda v: _FULL * _of_limb(v),
        ),
    ),
    route=lambda v: (
        f"{v['lower_edge_mm']:.0f} mm − {v['upper_edge_mm']:.0f} mm = {_swelling_mm(v):.0f} mm; "
        f"{_swelling_mm(v):.0f} mm / {v['limb_length_mm']:.0f} mm = {_of_limb(v):.2f}"
    ),
)
