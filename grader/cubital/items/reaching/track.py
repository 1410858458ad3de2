"""Items on the way to the vein: its walls, the way along the needle, the room, holding it still."""

from math import asin, degrees, sin

from cubital import calc, tables
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.tables import reading

WALLS = "Two walls, and the way along the needle"
HOLD = "Hold the vein still"
BLOOD = "Blood in the chamber"

WAY_TOLERANCE_MM = 0.06  # one decimal is asked for
_FLATTEST_DEG, _STEEPEST_DEG = 15, 45


def way(depth_mm: float, angle_deg: float) -> float:
    """Return the way along the needle down to a depth."""
    return calc.track_length_mm(depth_mm, insertion_angle_deg=angle_deg)


def draw_angle(draw: Draw) -> float:
    """Draw an angle between needle and skin, in whole degrees."""
    return draw.step(_FLATTEST_DEG, _STEEPEST_DEG, 1)


def _as_radians(angle_deg: float) -> float | None:
    """The angle whose sine a calculator set to radians shows; None if that is not above 0."""
    shown = sin(angle_deg)
    acute = degrees(asin(abs(shown)))
    lowest = tables.limits()["insertion_angle_deg"].low
    return acute if shown > 0 and acute >= lowest else None


# ------------------------------------------------------------------------- depth to which wall


def _draw_near_wall(draw: Draw) -> dict:
    return {
        "near_wall_depth_mm": draw.step(2.5, 8.0, 0.1),
        "vein_diameter_mm": draw.step(2.0, 4.4, 0.2),
    }


def centre_depth(v: Values) -> float:
    """Return the depth of the vein's middle."""
    return calc.depth_to_wall_mm(
        v["near_wall_depth_mm"], vein_diameter_mm=v["vein_diameter_mm"], wall="centre"
    )


def _above_centre(v: Values) -> float:
    return centre_depth(v) - v["near_wall_depth_mm"]


NEAR_WALL = NumberItem(
    id="reach-near-wall",
    version=2,
    title="Depth to which wall",
    points=2,
    section=WALLS,
    draw_values=_draw_near_wall,
    ask=lambda v: (
        "A colleague has measured by ultrasound to the middle of the vein: it is "
        f"{centre_depth(v):.1f} mm deep, and the vein is {v['vein_diameter_mm']:.1f} mm across. "
        "How deep is the near wall? Give one decimal."
    ),
    unit="mm",
    quantity="near_wall_depth_mm",
    example="9.5 mm",
    answer=lambda v: v["near_wall_depth_mm"],
    absolute_tolerance=WAY_TOLERANCE_MM,
    slips=(
        Slip(
            "centre-for-near-wall",
            "the depth of the middle is taken for that of the near wall: ask which one was "
            "measured",
            centre_depth,
        ),
        Slip(
            "diameter-for-radius",
            "the whole diameter is taken off: take off half of it, since the depth runs to the"
            " middle",
            lambda v: centre_depth(v) - 2 * _above_centre(v),
        ),
        Slip(
            "far-for-near-wall",
            "half the diameter is added, which gives the far wall: take it off for the near wall",
            lambda v: calc.depth_to_wall_mm(
                v["near_wall_depth_mm"], vein_diameter_mm=v["vein_diameter_mm"], wall="far"
            ),
        ),
    ),
    route=lambda v: (
        f"{centre_depth(v):.1f} mm − {v['vein_diameter_mm']:.1f} mm / 2 = "
        f"{v['near_wall_depth_mm']:.1f} mm"
    ),
)


# -------------------------------------------------------------------------- way along the needle


def _draw_track(draw: Draw) -> dict:
    return {
        "near_wall_depth_mm": draw.step(2.0, 8.0, 0.5),
        "insertion_angle_deg": draw_angle(draw),
    }


def _track(v: Values) -> float:
    return way(v["near_wall_depth_mm"], v["insertion_angle_deg"])


def _track_in_radians(v: Values) -> float | None:
    angle = _as_radians(v["insertion_angle_deg"])
    return None if angle is None else way(v["near_wall_depth_mm"], angle)


TRACK = NumberItem(
    id="reach-track",
    version=2,
    title="Optional: the way along the needle",
    optional=True,
    points=2,
    section=WALLS,
    draw_values=_draw_track,
    ask=lambda v: (
        f"The near wall of a vein is {v['near_wall_depth_mm']:.1f} mm deep. The needle goes in at "
        f"{v['insertion_angle_deg']:.0f} degrees to the skin. How far is it along the needle, "
        "from the skin to the near wall? Give one decimal."
    ),
    unit="mm",
    quantity="answered_way_mm",
    example="34.5 mm",
    answer=_track,
    absolute_tolerance=WAY_TOLERANCE_MM,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "angle-left-out",
            "the depth is taken for the way: divide it by the sine, since at a slant the way "
            "is longer",
            lambda v: v["near_wall_depth_mm"],
        ),
        Slip(
            "cosine-for-sine",
            "the cosine is taken for the sine: check that a flatter needle has the longer way",
            lambda v: way(v["near_wall_depth_mm"], 90 - v["insertion_angle_deg"]),
        ),
        Slip(
            "calculator-in-radians",
            "the calculator is set to radians: set it to degrees first",
            _track_in_radians,
        ),
    ),
    route=lambda v: (
        f"{v['near_wall_depth_mm']:.1f} mm / sin {v['insertion_angle_deg']:.0f}° = "
        f"{_track(v):.1f} mm"
    ),
)


# -------------------------------------------------------------------------- room to the far wall


def _draw_room(draw: Draw) -> dict:
    return {
        "near_wall_depth_mm": draw.step(2.0, 8.0, 0.5),
        "vein_diameter_mm": draw.step(2.0, 4.4, 0.1),
        "insertion_angle_deg": draw_angle(draw),
    }


def room(v: Values, angle_deg: float | None = None) -> float:
    """Return the room between the walls along the needle, straight on."""
    reach = calc.reach_along_needle(
        v["near_wall_depth_mm"],
        vein_diameter_mm=v["vein_diameter_mm"],
        insertion_angle_deg=v["insertion_angle_deg"] if angle_deg is None else angle_deg,
        depth_error_mm=0,
        diameter_error_mm=0,
    )
    return reach.sure_room_mm


ROOM = NumberItem(
    id="reach-room",
    version=2,
    title="How much further the tip may go",
    points=2,
    section=WALLS,
    draw_values=_draw_room,
    ask=lambda v: (
        f"The near wall of a vein is {v['near_wall_depth_mm']:.1f} mm deep, and the vein is "
        f"{v['vein_diameter_mm']:.1f} mm across. At {v['insertion_angle_deg']:.0f} degrees the "
        "needle's tip has just come through the near wall. How much further may it go, straight "
        "on at this angle, before it touches the far wall? Take the depth and the width as "
        "exact. Give one decimal."
    ),
    unit="mm",
    quantity="answered_way_mm",
    example="18.5 mm",
    answer=room,
    absolute_tolerance=WAY_TOLERANCE_MM,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "angle-left-out",
            "the diameter is taken for the room: divide it by the sine, since at a slant the "
            "room is longer",
            lambda v: v["vein_diameter_mm"],
        ),
        Slip(
            "from-the-skin",
            "the way is counted from the skin: start at the near wall, where the tip is",
            lambda v: way(
                calc.depth_to_wall_mm(
                    v["near_wall_depth_mm"], vein_diameter_mm=v["vein_diameter_mm"], wall="far"
                ),
                v["insertion_angle_deg"],
            ),
        ),
        Slip(
            "cosine-for-sine",
            "the cosine is taken for the sine: check that a flatter needle has more room",
            lambda v: room(v, 90 - v["insertion_angle_deg"]),
        ),
    ),
    route=lambda v: (
        f"from wall to wall, whatever the depth: {v['vein_diameter_mm']:.1f} mm / "
        f"sin {v['insertion_angle_deg']:.0f}° = {room(v):.1f} mm"
    ),
)


# ----------------------------------------------------------------- the catheter's end, behind it


def _lead_mm() -> float:
    return tables.constant("needle-lead").value


def _draw_catheter_end(draw: Draw) -> dict:
    v = _draw_track(draw)
    beyond = draw.step(0.3, _lead_mm() - 0.3, 0.1)
    return {**v, "needle_in_mm": round(_track(v) + beyond, 1)}


def _beyond(v: Values) -> float:
    return v["needle_in_mm"] - _track(v)


CATHETER_END = NumberItem(
    id="reach-catheter-end",
    version=2,
    title="Until the catheter's end is in too",
    points=2,
    section=BLOOD,
    draw_values=_draw_catheter_end,
    ask=lambda v: (
        f"The near wall is {v['near_wall_depth_mm']:.1f} mm deep. At "
        f"{v['insertion_angle_deg']:.0f} degrees the needle is {v['needle_in_mm']:.1f} mm under "
        "the skin, counted along the needle, and blood shows. The catheter's end is "
        f"{_lead_mm():.1f} mm behind the needle's tip. Held at this angle, how much further would "
        "both have to go together until the catheter's end is at the near wall? Give one decimal."
    ),
    unit="mm",
    quantity="answered_way_mm",
    example="2.6 mm",
    answer=lambda v: _lead_mm() - _beyond(v),
    absolute_tolerance=0.1,
    slips=(
        Slip(
            "needle-in-already-left-out",
            "the whole way from tip to catheter is added: take off what the tip is beyond the "
            "wall already",
            lambda _v: _lead_mm(),
        ),
        Slip(
            "needle-for-catheter",
            "how far the tip is beyond the wall is given: reckon with the catheter's end, "
            "which is behind it",
            _beyond,
        ),
    ),
    route=lambda v: (
        f"{v['near_wall_depth_mm']:.1f} mm / sin {v['insertion_angle_deg']:.0f}° = "
        f"{_track(v):.2f} mm to the near wall; {v['needle_in_mm']:.1f} − {_track(v):.2f} = "
        f"{_beyond(v):.2f} mm beyond it; {_lead_mm():.1f} − {_beyond(v):.2f} = "
        f"{_lead_mm() - _beyond(v):.1f} mm"
    ),
)


# --------------------------------------------------------------------------- held and loose skin


_SHIFTED_VEIN_MM = 3.0  # as the lesson's figure opens; how far a vein moves does not hang on it


def _shift(v: Values, skin: str) -> float:
    return calc.sideways_shift_mm(v["push_n"], skin=skin)


def _draw_shift(draw: Draw) -> dict:
    return {"skin": draw.choose(("loose", "resting")), "push_n": draw.step(0.5, 1.9, 0.1)}


def _shift_route(v: Values) -> str:
    free, held = (round(_shift(v, skin), 1) for skin in (v["skin"], "stretched"))
    return (
        f"the figure gives {free:.1f} mm, and {held:.1f} mm in skin held stretched along the vein; "
        f"{free:.1f} − {held:.1f} = {free - held:.1f} mm"
    )


SHIFT = NumberItem(
    id="reach-shift",
    version=3,
    title="What holding the skin saves",
    points=2,
    section=HOLD,
    draw_values=_draw_shift,
    ask=lambda v: (
        f"A needle pushes a vein, {_SHIFTED_VEIN_MM:.1f} mm across, to the side with "
        f"{v['push_n']:.1f} N, in {reading.sideways()[v['skin']].words}. Set the lesson's figure "
        "to this and read how far the vein moves; then choose skin that is held stretched along "
        "the vein instead, and read again. How much movement does holding prevent? Give one "
        "decimal."
    ),
    unit="mm",
    quantity="answered_way_mm",
    example="2.4 mm",
    answer=lambda v: _shift(v, v["skin"]) - _shift(v, "stretched"),
    absolute_tolerance=0.11,  # the difference of two readings with one decimal each
    slips=(
        Slip(
            "unheld-only",
            "the shift without holding is given: take off what is left when the skin is held",
            lambda v: _shift(v, v["skin"]),
        ),
    ),
    route=_shift_route,
)
