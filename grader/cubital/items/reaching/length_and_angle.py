"""The item on choosing length and angle for a depth."""

from collections.abc import Sequence
from functools import cache
from math import ceil, floor
from typing import NamedTuple

from cubital import calc
from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.reaching.lying import CHOOSING, DEPTHS_MM, inside_mm
from cubital.items.reaching.track import room
from cubital.items.sizing.ratio import smallest_vein, upper_diameter
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import listed
from cubital.items.writing.wording import per_cent, sentence_case, with_article
from cubital.tables import reaching as evidence


class _Case(NamedTuple):
    """A gauge, two lengths of it, two angles and a depth of which only one pairing does."""

    gauge: int
    short_mm: float
    long_mm: float
    flat_deg: float
    steep_deg: float
    near_wall_depth_mm: float


_FLAT_DEG, _STEEP_DEG = (20, 25, 30), (40, 45)
_CLEAR = 0.03  # a share this far from the wanted one is not a matter of rounding


@cache
def _wanted() -> float:
    """The lesson's guide: from this share none failed in one study."""
    return max(row.low for row in evidence.survival() if row.measure == "fraction")


@cache
def _cases() -> tuple[_Case, ...]:
    """Cases in which the short catheter needs the steep needle and the long one does not."""
    found = []
    for gauge in (20, 18):
        lengths = calc.gauge(gauge).lengths_mm
        pairs = [(a, b) for a in lengths for b in lengths if a < b]
        for short, long in pairs:
            for flat in _FLAT_DEG:
                for steep in _STEEP_DEG:
                    for depth in DEPTHS_MM:
                        case = _Case(gauge, short, long, flat, steep, depth)
                        if _parts_them(case):
                            found.append(case)
    return tuple(found)


def _parts_them(case: _Case) -> bool:
    def share(length: float, angle: float) -> float:
        return calc.fraction_in_vein(
            length, near_wall_depth_mm=case.near_wall_depth_mm, insertion_angle_deg=angle
        )

    return (
        share(case.short_mm, case.flat_deg) < _wanted() - _CLEAR
        and share(case.long_mm, case.flat_deg) > _wanted() + _CLEAR
        and share(case.short_mm, case.steep_deg) > _wanted() + _CLEAR
    )


def _draw_choice(draw: Draw) -> dict:
    case = draw.choose(_cases())
    smallest = smallest_vein(upper_diameter(case.gauge), draw.policy["ratio_limit"])
    v = case._asdict() | {
        "vein_diameter_mm": round(ceil(10 * smallest) / 10 + draw.step(0.1, 0.8, 0.1), 1),
        "insertion_angle_deg": case.flat_deg,
        "length_mm": case.long_mm,
    }
    middle = (room(v) + room(v, case.steep_deg)) / 2
    straight = draw.choose((True, False))
    extra = draw.step(4, 12, 1) if straight else -draw.step(4, 10, 1)
    return v | {
        "room_wanted_mm": round(2 * middle) / 2,
        "straight_mm": floor(inside_mm(v) + extra),
        "order": draw.shuffled(("long-flat", "short-flat", "short-steep", "none")),
    }


def _does(v: Values) -> bool:
    return v["straight_mm"] >= inside_mm(v)


def _choice_options(v: Values) -> Sequence[Option]:
    short, long = f"{v['short_mm']:.0f} mm", f"{v['long_mm']:.0f} mm"
    flat, steep = f"{v['flat_deg']:.0f} degrees", f"{v['steep_deg']:.0f} degrees"
    texts = (
        Option(
            "long-flat",
            f"{long} at {flat}: enough of it lies in the vein, and there is room before the far "
            "wall.",
            ""
            if _does(v)
            else "overlooks that the vein must be straight as far as the catheter is to lie in it",
        ),
        Option(
            "short-flat",
            f"{short} at {flat}: it reaches the vein with room to spare, and a shorter catheter "
            "lets through a little more.",
            "is content when the catheter reaches the vein: too little of it comes to lie there",
        ),
        Option(
            "short-steep",
            f"{short} at {steep}: the steeper needle leaves enough of it in the vein.",
            "looks at the share alone: a steeper needle has less room before the far wall, and "
            "here too little",
        ),
        Option(
            "none",
            "None of these: try the angles in between; if none does, look for a vein that is "
            f"shallower, or straight for longer than {v['straight_mm']:.0f} mm.",
            "turns down a vein although one of the catheters lies well in it" if _does(v) else "",
        ),
    )
    return listed(v, texts)


CHOICE = ChoiceItem(
    id="reach-length-and-angle",
    title="Choose the length and the angle",
    points=2,
    section=CHOOSING,
    draw_values=_draw_choice,
    ask=lambda v: (
        f"{sentence_case(with_article(v['gauge']))} catheter suits the vein: by ultrasound it is "
        f"{v['vein_diameter_mm']:.1f} mm across, and its near wall is "
        f"{v['near_wall_depth_mm']:.1f} mm deep. Beyond the place where the catheter would enter "
        f"it, the vein is straight and free of forks for {v['straight_mm']:.0f} mm. You want at "
        f"least {per_cent(_wanted())} of the catheter in the vein, and at least "
        f"{v['room_wanted_mm']:.1f} mm of room straight on between the walls. On the trolley are "
        f"{v['short_mm']:.0f} mm and {v['long_mm']:.0f} mm catheters of this gauge. Which of these "
        "do you choose?"
    ),
    options=_choice_options,
)
