"""Items on how much of the catheter comes to lie in the vein, and what that takes."""

from functools import cache
from math import radians

from cubital import calc, tables
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.reaching.track import WAY_TOLERANCE_MM, draw_angle, way
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent

SHARE = "Why the share in the vein matters"
CHOOSING = "Choosing length and angle for a depth"

_GAUGES = (22, 20, 18)
DEPTHS_MM = tuple(depth / 2 for depth in range(4, 19))  # 2.0 to 9.0
_MOST_OUTSIDE = 0.7  # so much of the catheter may be used up on the way


@cache
def _lengths_mm() -> tuple[float, ...]:
    """Lengths of adults' catheters of these gauges, by the table of joint limits."""
    found = set()
    for limit in tables.joint_limits():
        if limit.age_group == "adult" and limit.gauge in _GAUGES:
            made = calc.gauge(limit.gauge).lengths_mm
            found |= {n for n in made if limit.length_low_mm <= n <= limit.length_high_mm}
    return tuple(sorted(found))


def _draw_lying(draw: Draw) -> dict:
    length, angle = draw.choose(_lengths_mm()), draw_angle(draw)
    deepest = _MOST_OUTSIDE * length / way(1, angle)
    return {
        "length_mm": length,
        "near_wall_depth_mm": draw.choose([d for d in DEPTHS_MM if d <= deepest]),
        "insertion_angle_deg": angle,
    }


def _place(v: Values, angle_deg: float | None = None) -> dict[str, float]:
    return {
        "near_wall_depth_mm": v["near_wall_depth_mm"],
        "insertion_angle_deg": v["insertion_angle_deg"] if angle_deg is None else angle_deg,
    }


def inside_mm(v: Values, angle_deg: float | None = None) -> float:
    """Return the length that comes to lie in the vein, at the drawn angle or another."""
    return calc.length_in_vein_mm(v["length_mm"], **_place(v, angle_deg))


def _share(v: Values, angle_deg: float | None = None) -> float:
    return calc.fraction_in_vein(v["length_mm"], **_place(v, angle_deg))


def _upright(_v: Values) -> float:
    """Straight down: the angle at which the way is the depth."""
    return 90


def _other_angle(v: Values) -> float:
    """The angle whose sine is this one's cosine."""
    return 90 - v["insertion_angle_deg"]


def _way_words(v: Values) -> str:
    return (
        f"{v['near_wall_depth_mm']:.1f} mm / sin {v['insertion_angle_deg']:.0f}° = "
        f"{v['length_mm'] - inside_mm(v):.1f} mm on the way"
    )


# ---------------------------------------------------------------------------- length in the vein

LENGTH_IN_VEIN = NumberItem(
    id="reach-length-in-vein",
    version=3,
    title="Length left in the vein",
    points=2,
    section=SHARE,
    draw_values=_draw_lying,
    ask=lambda v: (
        f"A {v['length_mm']:.0f} mm catheter goes in to the hub, at "
        f"{v['insertion_angle_deg']:.0f} degrees; the near wall is "
        f"{v['near_wall_depth_mm']:.1f} mm deep. How much of its length comes to lie in the "
        "vein, counted from the near wall? Give one decimal."
    ),
    unit="mm",
    quantity="answered_way_mm",
    example="4.5 mm",
    answer=inside_mm,
    absolute_tolerance=WAY_TOLERANCE_MM,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "outside-for-inside",
            "the way to the vein is given: take it off the length",
            lambda v: v["length_mm"] - inside_mm(v),
        ),
        Slip(
            "angle-left-out",
            "the depth is taken off the length: take off the way, which at a slant is longer",
            lambda v: inside_mm(v, _upright(v)),
        ),
        Slip(
            "cosine-for-sine",
            "the cosine is taken for the sine: check that a flatter needle uses up more catheter",
            lambda v: inside_mm(v, _other_angle(v)),
        ),
    ),
    route=lambda v: (
        f"{_way_words(v)}; {v['length_mm']:.0f} − {v['length_mm'] - inside_mm(v):.1f} = "
        f"{inside_mm(v):.1f} mm"
    ),
)


# ----------------------------------------------------------------------------- share in the vein

SHARE_IN_VEIN = NumberItem(
    id="reach-share",
    version=3,
    title="Share of the catheter in the vein",
    points=2,
    section=SHARE,
    draw_values=_draw_lying,
    ask=lambda v: (
        f"The near wall of a vein is {v['near_wall_depth_mm']:.1f} mm deep. What share of a "
        f"{v['length_mm']:.0f} mm catheter comes to lie in the vein, if it goes in to the hub at "
        f"{v['insertion_angle_deg']:.0f} degrees? Give two decimals, or per cent; whole "
        "per cent will do."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="0.15 or 15 %",
    answer=_share,
    absolute_tolerance=0.0055,
    slips=(
        Slip(
            "outside-for-inside",
            "the share outside the vein is given: take it off the whole",
            lambda v: 1 - _share(v),
        ),
        Slip(
            "angle-left-out",
            "the depth is compared with the length: divide it by the sine first, since at a "
            "slant the way is longer",
            lambda v: _share(v, _upright(v)),
        ),
        Slip(
            "cosine-for-sine",
            "the cosine is taken for the sine: check that a flatter needle uses up more catheter",
            lambda v: _share(v, _other_angle(v)),
        ),
        Slip(
            "per-cent-sign-missing",
            "per cent are typed without their sign: type 45 % or 0.45",
            lambda v: 100 * _share(v),
        ),
    ),
    route=lambda v: (
        f"{_way_words(v)}; ({v['length_mm']:.0f} − {v['length_mm'] - inside_mm(v):.1f}) / "
        f"{v['length_mm']:.0f} = {_share(v):.2f}"
    ),
)


# ----------------------------------------------------------------------- angle for a wanted share

_SHARES_WANTED = (0.6, 0.65, 0.7, 0.75)  # about the guide of the lesson
_ANGLES_ASKED_DEG = (14, 44)


def _angle(v: Values, share: float | None = None) -> float:
    return calc.angle_for_fraction_deg(
        v["fraction_wanted"] if share is None else share,
        length_mm=v["length_mm"],
        near_wall_depth_mm=v["near_wall_depth_mm"],
    )


@cache
def _reachable(length_mm: float, share: float) -> tuple[float, ...]:
    """Depths that a usual angle reaches with this share."""
    low, high = (length_mm * (1 - share) / way(1, angle) for angle in _ANGLES_ASKED_DEG)
    return tuple(depth for depth in DEPTHS_MM if low <= depth <= high)


def _draw_angle_for_share(draw: Draw) -> dict:
    length, share = draw.choose(_lengths_mm()), draw.choose(_SHARES_WANTED)
    return {
        "length_mm": length,
        "fraction_wanted": share,
        "near_wall_depth_mm": draw.choose(_reachable(length, share)),
    }


def _way_left(v: Values) -> float:
    """What the share wanted in the vein leaves of the catheter for the way to it."""
    return v["length_mm"] * (1 - v["fraction_wanted"])


def _way_left_words(v: Values) -> str:
    return (
        f"{per_cent(1 - v['fraction_wanted'])} of {v['length_mm']:.0f} mm, {_way_left(v):.2f} mm, "
        "is left for the way"
    )


ANGLE = NumberItem(
    id="reach-angle",
    version=2,
    title="Optional: the flattest angle that does",
    optional=True,
    points=2,
    section=CHOOSING,
    draw_values=_draw_angle_for_share,
    ask=lambda v: (
        f"A {v['length_mm']:.0f} mm catheter is to reach a vein whose near wall is "
        f"{v['near_wall_depth_mm']:.1f} mm deep. It goes in to the hub, and at least "
        f"{per_cent(v['fraction_wanted'])} of it is to lie in the vein. What is the flattest angle "
        "to the skin that does it? Give one decimal; rounded up is on the safe side."
    ),
    unit="degrees",
    quantity="answered_angle_deg",
    example="55.5 degrees",
    answer=_angle,
    absolute_tolerance=0.3,
    slips=(
        Slip(
            "inside-for-outside",
            "the share wanted in the vein is used up on the way: use the rest for the way",
            lambda v: _angle(v, 1 - v["fraction_wanted"]),
        ),
        Slip(
            "share-left-out",
            "the whole catheter is used up on the way: keep the share that is to lie in the vein",
            lambda v: _angle(v, 0),
        ),
        Slip(
            "cosine-for-sine",
            "the cosine is taken for the sine: measure the angle from the skin, not from upright",
            lambda v: 90 - _angle(v),
        ),
        Slip(
            "calculator-in-radians",
            "the calculator is set to radians: set it to degrees first",
            lambda v: radians(_angle(v)),
        ),
    ),
    route=lambda v: (
        f"{_way_left_words(v)}; {v['near_wall_depth_mm']:.1f} / {_way_left(v):.2f} = "
        f"{v['near_wall_depth_mm'] / _way_left(v):.3f}, which is the sine of {_angle(v):.2f}°"
    ),
)


# --------------------------------------------------------------- deepest vein for a wanted share

_FLATTEST_DEG, _STEEPEST_DEG = 20, 45


def _deepest(v: Values, share: float, angle_deg: float) -> float:
    """The depth at which the way uses up what the share leaves."""
    return v["length_mm"] * (1 - share) / way(1, angle_deg)


DEEPEST = NumberItem(
    id="reach-deepest",
    version=3,
    title="The deepest vein for a catheter",
    points=2,
    section=SHARE,
    draw_values=lambda draw: {
        "length_mm": draw.choose(_lengths_mm()),
        "fraction_wanted": draw.choose(_SHARES_WANTED),
        "insertion_angle_deg": draw.step(_FLATTEST_DEG, _STEEPEST_DEG, 1),
    },
    ask=lambda v: (
        f"You go in at {v['insertion_angle_deg']:.0f} degrees with a {v['length_mm']:.0f} mm "
        f"catheter, and want at least {per_cent(v['fraction_wanted'])} of it in the vein. How "
        "deep may the near wall be at most? Give one decimal; rounded down is on the safe side."
    ),
    unit="mm",
    quantity="near_wall_depth_mm",
    example="1.5 mm",
    answer=lambda v: _deepest(v, v["fraction_wanted"], v["insertion_angle_deg"]),
    absolute_tolerance=0.105,  # one decimal, rounded down or not
    slips=(
        Slip(
            "inside-for-outside",
            "the share wanted in the vein is used up on the way: use the rest for the way",
            lambda v: _deepest(v, 1 - v["fraction_wanted"], v["insertion_angle_deg"]),
        ),
        Slip(
            "angle-left-out",
            "the way is taken for the depth: multiply it by the sine, since at a slant the "
            "needle goes less deep",
            lambda v: _deepest(v, v["fraction_wanted"], _upright(v)),
        ),
        Slip(
            "cosine-for-sine",
            "the cosine is taken for the sine: check that a flatter needle goes less deep",
            lambda v: _deepest(v, v["fraction_wanted"], _other_angle(v)),
        ),
    ),
    route=lambda v: (
        f"{_way_left_words(v)}; {_way_left(v):.2f} mm × sin {v['insertion_angle_deg']:.0f}° = "
        f"{_deepest(v, v['fraction_wanted'], v['insertion_angle_deg']):.2f} mm"
    ),
)
