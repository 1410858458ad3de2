"""Items that join a rate, the time between two looks, and what is felt."""

from math import cbrt, sqrt

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent

PICTURE = "No picture rules out infiltration"
SMALL_ARM = "The same leak in a small arm"

_MINUTES = 60  # in an hour
_MM_PER_CM = 10
_SHARE_TOLERANCE = 0.0055  # two decimals, or whole per cent, are asked for

# ------------------------------------------------------------- how long until it can be felt


def _draw_felt(draw: Draw) -> dict:
    return {
        "rate_ml_per_h": draw.step(30, 80, 5),
        "outside_share": draw.choose((0.4, 0.6, 0.7, 0.8)),
        "swelling_diameter_mm": draw.step(30, 50, 2),
    }


def _held_ml(width_mm: float) -> float:
    """The volume of a swelling of the lesson's shape: by the cube of its width."""
    return (width_mm / calc.swelling_diameter_mm(1)) ** 3


def _rule() -> str:
    """The volume of a swelling that is 1 cm across, in mL, as a question prints it."""
    return f"{_held_ml(_MM_PER_CM):.4f}"


def _minutes_to(v: Values, *, volume_ml: float | None = None, share: float | None = None) -> float:
    leak = v["rate_ml_per_h"] * (v["outside_share"] if share is None else share)
    held = _held_ml(v["swelling_diameter_mm"]) if volume_ml is None else volume_ml
    return calc.infusion_time_h(held, rate_ml_per_h=leak) * _MINUTES


def _by_square(v: Values) -> float:
    """The volume, if it went with the square of the width in centimetres."""
    width_cm = v["swelling_diameter_mm"] / _MM_PER_CM
    return _held_ml(_MM_PER_CM) * width_cm**2


def _felt_route(v: Values) -> str:
    width, held = v["swelling_diameter_mm"] / _MM_PER_CM, _held_ml(v["swelling_diameter_mm"])
    leak = v["rate_ml_per_h"] * v["outside_share"]
    return (
        f"{_rule()} × {width:.1f}³ = {held:.2f} mL; {v['outside_share']:.1f} × "
        f"{v['rate_ml_per_h']:.0f} = {leak:.1f} mL/h go outside; {held:.2f} mL / {leak:.1f} mL/h = "
        f"{_minutes_to(v):.1f} min"
    )


UNTIL_FELT = NumberItem(
    id="whole-until-felt",
    version=2,
    title="How long a leak is not felt",
    points=2,
    section=PICTURE,
    draw_values=_draw_felt,
    ask=lambda v: (
        f"A pump runs saline at {v['rate_ml_per_h']:.0f} mL/h. A catheter with little of its "
        f"length in the vein slips, and {per_cent(v['outside_share'])} of the fluid now runs "
        "outside. The picture does not change. Suppose that all that runs outside stays in the "
        "swelling, and that a hand finds a swelling once it is "
        f"{v['swelling_diameter_mm']:.0f} mm across. In the lesson's shape a swelling holds, in "
        f"mL, {_rule()} × width³, with the width in cm. How many minutes after the catheter "
        "slipped can a hand find it at the soonest? Give one decimal."
    ),
    unit="min",
    quantity="answered_until_felt_min",
    example="55.5 min",
    answer=_minutes_to,
    absolute_tolerance=0.06,
    relative_tolerance=0.01,
    minutes=3.0,
    slips=(
        Slip(
            "all-outside",
            "all of the fluid is taken to run outside: count only the share that leaks",
            lambda v: _minutes_to(v, share=1),
        ),
        Slip(
            "inside-for-outside",
            "the share that still reaches the vein is taken: use the share outside",
            lambda v: _minutes_to(v, share=1 - v["outside_share"]),
        ),
        Slip(
            "square-for-cube",
            "the width is squared: cube it, since a swelling grows in height as well",
            lambda v: _minutes_to(v, volume_ml=_by_square(v)),
        ),
    ),
    route=_felt_route,
)


# ----------------------------------------------------- from the look to the share of a child's arm


def _draw_child(draw: Draw) -> dict:
    return {
        "rate_ml_per_h": draw.step(6, 20, 1),
        "look_every_min": draw.choose((20, 30, 40, 90)),
        "limb_length_mm": draw.step(130, 200, 2),
    }


def _child_ml(v: Values, minutes: float | None = None) -> float:
    apart = v["look_every_min"] if minutes is None else minutes
    return calc.infiltrated_volume_ml(v["rate_ml_per_h"], time_h=apart / _MINUTES)


def _swollen_share(v: Values, volume_ml: float | None = None) -> float:
    width = calc.swelling_diameter_mm(_child_ml(v) if volume_ml is None else volume_ml)
    return calc.swelling_length_share(width, limb_length_mm=v["limb_length_mm"])


def _by_square_root(v: Values) -> float:
    width_cm = sqrt(_child_ml(v) / _held_ml(_MM_PER_CM))
    return calc.swelling_length_share(width_cm * _MM_PER_CM, limb_length_mm=v["limb_length_mm"])


def _child_route(v: Values) -> str:
    volume = _child_ml(v)
    width = cbrt(volume / _held_ml(_MM_PER_CM))
    return (
        f"{v['rate_ml_per_h']:.0f} mL/h × {v['look_every_min']:.0f} min = {volume:.1f} mL; "
        f"∛({volume:.1f} / {_rule()}) = {width:.1f} cm; {_MM_PER_CM * width:.0f} mm / "
        f"{v['limb_length_mm']:.0f} mm = {_swollen_share(v):.2f}"
    )


CHILD_SHARE = NumberItem(
    id="whole-child-share",
    version=3,
    title="Between two looks, in a child's arm",
    points=2,
    section=SMALL_ARM,
    draw_values=_draw_child,
    ask=lambda v: (
        f"A pump runs {v['rate_ml_per_h']:.0f} mL/h into a child's forearm, "
        f"{v['limb_length_mm']:.0f} mm long. You plan to look and feel every "
        f"{v['look_every_min']:.0f} minutes. At worst all of it runs outside from right after a "
        f"look until the next one. In the lesson's shape a swelling is ∛(volume / {_rule()}) cm "
        "across, with the volume in mL. What share of the forearm's length is swollen by then? "
        "Give two decimals, or whole per cent."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="0.08 or 8 %",
    answer=_swollen_share,
    absolute_tolerance=_SHARE_TOLERANCE,
    minutes=3.0,
    slips=(
        Slip(
            "half-way-leak",
            "the leak is taken to have begun half-way: begin right after the look, for the "
            "worst case",
            lambda v: _swollen_share(v, _child_ml(v) / 2),
        ),
        Slip(
            "one-hour-for-the-time",
            "what runs in one hour is taken: multiply by the time between two looks",
            lambda v: _swollen_share(v, _child_ml(v, _MINUTES)),
        ),
    ),
    route=_child_route,
)
