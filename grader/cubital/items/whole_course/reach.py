"""Items that join what is seen, what was measured, and how much of a catheter lies in the vein."""

from functools import cache
from itertools import product
from math import log2

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.reaching.track import way
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent

SHARE = "Why the share in the vein matters"
CHOOSING = "Choosing length and angle for a depth"

_SHARE_TOLERANCE = 0.0055  # two decimals, or whole per cent, are asked for

# ------------------------------------------ from the measured middle to the share in the vein


def _draw_measured(draw: Draw) -> dict:
    vein, near = draw.step(2.6, 4.4, 0.2), draw.step(3.0, 7.0, 0.1)
    return {
        "length_mm": draw.choose((32, 45, 48)),
        "vein_diameter_mm": vein,
        "middle_depth_mm": round(near + vein / 2, 1),
        "insertion_angle_deg": draw.step(22, 38, 1),
    }


def _near(v: Values) -> float:
    """The near wall is as far above the middle as the middle is above the far wall."""
    below = calc.depth_to_wall_mm(
        v["middle_depth_mm"], vein_diameter_mm=v["vein_diameter_mm"], wall="centre"
    )
    return 2 * v["middle_depth_mm"] - below


def _share(v: Values, depth_mm: float | None = None, angle_deg: float | None = None) -> float:
    return calc.fraction_in_vein(
        v["length_mm"],
        near_wall_depth_mm=_near(v) if depth_mm is None else depth_mm,
        insertion_angle_deg=v["insertion_angle_deg"] if angle_deg is None else angle_deg,
    )


def _measured_route(v: Values) -> str:
    near = _near(v)
    gone = way(near, v["insertion_angle_deg"])
    return (
        f"{v['middle_depth_mm']:.1f} − {v['vein_diameter_mm'] / 2:.1f} = {near:.1f} mm to the near "
        f"wall; {near:.1f} mm / sin {v['insertion_angle_deg']:.0f}° = {gone:.1f} mm on the way; "
        f"({v['length_mm']:.0f} − {gone:.1f}) / {v['length_mm']:.0f} = {_share(v):.2f}; this "
        f"course asks for {per_cent(_GUIDE_SHARE)}"
    )


SHARE_FROM_MIDDLE = NumberItem(
    id="whole-share-from-middle",
    version=3,
    title="From a scan to the share in the vein",
    points=2,
    section=SHARE,
    draw_values=_draw_measured,
    ask=lambda v: (
        f"The line in the picture is sharp. Ultrasound gives a vein {v['vein_diameter_mm']:.1f} mm "
        f"across, its middle {v['middle_depth_mm']:.1f} mm deep. You have a "
        f"{v['length_mm']:.0f} mm catheter and plan {v['insertion_angle_deg']:.0f} degrees to the "
        "skin, in to the hub. What share of the catheter comes to lie in the vein, counted from "
        "the near wall? Give two decimals, or whole per cent."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="0.35 or 35 %",
    answer=_share,
    absolute_tolerance=_SHARE_TOLERANCE,
    slips=(
        Slip(
            "centre-for-near-wall",
            "the depth of the middle is taken for that of the near wall: take off half the "
            "diameter",
            lambda v: _share(v, v["middle_depth_mm"]),
        ),
        Slip(
            "diameter-for-radius",
            "the whole diameter is taken off: take off half of it, since the depth runs to the"
            " middle",
            lambda v: _share(v, v["middle_depth_mm"] - v["vein_diameter_mm"]),
        ),
        Slip(
            "angle-left-out",
            "the depth is taken for the way: divide it by the sine, since at a slant the way "
            "is longer",
            lambda v: _share(v, angle_deg=90),  # straight down
        ),
        Slip(
            "outside-for-inside",
            "the share that is used up on the way is given: take it off the whole",
            lambda v: 1 - _share(v),
        ),
    ),
    route=_measured_route,
)


# ------------------------------------------------ from contrast and noise to a catheter's length

_GUIDE_SHARE = 0.65  # the course's guide for the share in the vein
_TIMES_NOISE = 3  # how far a band must stand out of the noise to be seen
_STRAIGHT_DOWN_DEG = 90
_SHORTEST_MM, _LONGEST_MM = 19, 48  # of the catheters in the lesson


def _length(v: Values, *, depth_mm: float | None = None, share: float | None = None) -> float:
    """The shortest catheter that keeps a share of itself in the vein at a depth."""
    depth = _deepest(v) if depth_mm is None else depth_mm
    left = 1 - _GUIDE_SHARE if share is None else 1 - share
    return way(depth, v["insertion_angle_deg"]) / left


def _deepest(v: Values, times: float = _TIMES_NOISE) -> float:
    """The depth at which a contrast that halves step by step reaches what is needed."""
    halvings = log2(v["contrast"] / (times * v["noise"]))
    return halvings * v["halving_mm"]


def _straight_line(v: Values) -> float:
    """The depth, if each step took away as much contrast as the first."""
    lost = 1 - _TIMES_NOISE * v["noise"] / v["contrast"]
    return 2 * lost * v["halving_mm"]


@cache
def _pictures() -> tuple[dict, ...]:
    """Every picture and angle for which a catheter is made that is long enough."""
    found = []
    for noise, halvings, tenths, angle in product(
        (0.01, 0.015, 0.02), (2, 3), range(12, 19), range(22, 41)
    ):
        v = {
            "noise": noise,
            "contrast": round(_TIMES_NOISE * noise * 2**halvings, 3),
            "halving_mm": tenths / 10,
            "insertion_angle_deg": angle,
        }
        if _SHORTEST_MM <= _length(v) <= _LONGEST_MM:
            found.append(v)
    return tuple(found)


def _length_route(v: Values) -> str:
    needed = _TIMES_NOISE * v["noise"]
    halvings = round(log2(v["contrast"] / needed))
    depth, angle = _deepest(v), v["insertion_angle_deg"]
    return (
        f"3 × {100 * v['noise']:.1f} % = {100 * needed:.1f} %, which is "
        f"{100 * v['contrast']:.0f} % halved {halvings} times: "
        f"{halvings} × {v['halving_mm']:.1f} mm = {depth:.1f} mm; "
        f"{depth:.1f} mm / sin {angle:.0f}° = {way(depth, angle):.1f} mm, at most 35 % of the "
        f"length: {_length(v):.1f} mm"
    )


LENGTH_FOR_SEEN = NumberItem(
    id="whole-length-for-seen",
    version=2,
    title="Long enough for what is seen",
    points=2,
    section=CHOOSING,
    draw_values=lambda draw: dict(draw.choose(_pictures())),
    ask=lambda v: (
        f"A picture has a noise of {100 * v['noise']:.1f} %. A vein is seen while its contrast is "
        f"at least 3 times the noise. Close under the skin its contrast would be "
        f"{100 * v['contrast']:.0f} %; suppose that every {v['halving_mm']:.1f} mm more of depth "
        f"halves it. You go in at {v['insertion_angle_deg']:.0f} degrees, and 65 % of the catheter "
        "is to lie in the vein. How long must the catheter be, at the least, for the deepest such "
        "vein that is still seen? Take the depth as that of the near wall. Give one decimal, "
        "rounded up."
    ),
    unit="mm",
    quantity="answered_catheter_length_mm",
    example="52.5 mm",
    answer=_length,
    absolute_tolerance=0.11,
    relative_tolerance=0.006,
    minutes=3.0,
    slips=(
        Slip(
            "noise-for-needed",
            "a contrast as large as the noise is taken for seen: ask for three times the noise",
            lambda v: _length(v, depth_mm=_deepest(v, times=1)),
        ),
        Slip(
            "straight-line-for-curve",
            "each step is given the same loss: halve what is left each time",
            lambda v: _length(v, depth_mm=_straight_line(v)),
        ),
        Slip(
            "inside-for-outside",
            "the way is divided by the share in the vein: divide it by the share outside",
            lambda v: _length(v, share=1 - _GUIDE_SHARE),
        ),
        Slip(
            "share-left-out",
            "the way to the vein is given: add the share that is to lie in the vein",
            lambda v: _length(v, share=0),
        ),
        Slip(
            "angle-left-out",
            "the depth is taken for the way: divide it by the sine, since at a slant the way "
            "is longer",
            lambda v: way(_deepest(v), _STRAIGHT_DOWN_DEG) / (1 - _GUIDE_SHARE),
        ),
    ),
    route=_length_route,
)
