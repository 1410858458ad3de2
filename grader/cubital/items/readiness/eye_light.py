"""Items on light at the eye: its share of the limit, how near eyes may be, and a child's eyes."""

from math import sqrt

from cubital import calc
from cubital.calc.shared.units import M_PER_MM
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import listed, with_wrong
from cubital.items.writing.wording import per_cent

LIGHT = "Light and eyes"

_S_PER_MIN = 60


def _draw_lamp(draw: Draw) -> dict:
    """What the safety report of an invented lamp says: light at a distance."""
    return {
        "source_distance_mm": draw.choose((200, 250, 300)),
        "light_w_per_m2": draw.step(4.0, 9.0, 0.5),
        "minutes": draw.step(20, 90, 10),
    }


def _limit(v: Values) -> float:
    return calc.eye_irradiance_limit_w_per_m2(v["minutes"] * _S_PER_MIN)


# ---------------------------------------------------------------------------- share of the limit


def _draw_eye_share(draw: Draw) -> dict:
    return {**_draw_lamp(draw), "eyes_mm": draw.step(100, 160, 10)}


def _light_at(v: Values, distance_mm: float) -> float:
    """The light at a distance, from that in the lamp's report."""
    intensity = v["light_w_per_m2"] * (v["source_distance_mm"] * M_PER_MM) ** 2
    return calc.irradiance_w_per_m2(intensity, source_distance_mm=distance_mm)


def _eye_share(v: Values) -> float:
    return _light_at(v, v["eyes_mm"]) / _limit(v)


def _nearer(v: Values) -> float:
    return v["source_distance_mm"] / v["eyes_mm"]


EYE_SHARE = NumberItem(
    id="ready-eye-share",
    version=2,
    title="Light at eyes that come nearer",
    points=2,
    section=LIGHT,
    draw_values=_draw_eye_share,
    ask=lambda v: (
        f"The safety report of an invented lamp gives {v['light_w_per_m2']:.1f} W/m² of infrared "
        f"light at {v['source_distance_mm']:.0f} mm. Afterwards you find that a child's cover had "
        f"slipped: for {v['minutes']:.0f} minutes in all, the eyes were {v['eyes_mm']:.0f} mm from "
        "the lamp. Work out the light at the eyes. What share is it of the lesson's limit for "
        "cornea and lens, for that time? Whole per cent will do."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="95 %",
    answer=_eye_share,
    absolute_tolerance=0.006,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "distance-not-squared",
            "the distance is reckoned once only: square it, since half as far means four times"
            " the light",
            lambda v: v["light_w_per_m2"] * _nearer(v) / _limit(v),
        ),
        Slip(
            "distance-left-out",
            "the light at the report's distance is taken: convert it to the distance of the eyes",
            lambda v: v["light_w_per_m2"] / _limit(v),
        ),
        Slip(
            "margin-for-share",
            "limit divided by light is given, the margin: divide light by limit for the share",
            lambda v: 1 / _eye_share(v),
        ),
    ),
    route=lambda v: (
        f"{v['light_w_per_m2']:.1f} W/m² × ({v['source_distance_mm']:.0f} ÷ {v['eyes_mm']:.0f})² = "
        f"{_light_at(v, v['eyes_mm']):.1f} W/m²; ÷ {_limit(v):.0f} W/m² = {per_cent(_eye_share(v))}"
    ),
)


# ---------------------------------------------------------------------------- how near is allowed


def _draw_nearest(draw: Draw) -> dict:
    return {**_draw_lamp(draw), "margin_wanted": draw.choose((4, 5, 8, 10))}


def _nearest(v: Values, margin: float) -> float:
    """The distance at which the light is the limit divided by the margin."""
    return v["source_distance_mm"] * sqrt(margin * v["light_w_per_m2"] / _limit(v))


def _wanted(v: Values) -> float:
    return v["margin_wanted"] * v["light_w_per_m2"] / _limit(v)


NEAREST = NumberItem(
    id="ready-nearest",
    version=3,
    title="How near eyes may come",
    points=2,
    section=LIGHT,
    draw_values=_draw_nearest,
    ask=lambda v: (
        f"A department's rule is that infrared light at anybody's eyes stays at least "
        f"{v['margin_wanted']:.0f} times below the limit. The safety report of its invented lamp "
        f"gives {v['light_w_per_m2']:.1f} W/m² at {v['source_distance_mm']:.0f} mm; the limit is "
        f"{_limit(v):.0f} W/m². You set the stop of the stand. What is the shortest distance from "
        "lamp to eyes that keeps the rule? Whole millimetres will do, to the nearest or "
        "rounded up."
    ),
    unit="mm",
    quantity="answered_eye_distance_mm",
    example="45 mm",
    answer=lambda v: _nearest(v, v["margin_wanted"]),
    absolute_tolerance=1.5,  # whole millimetres, rounded or rounded up
    relative_tolerance=0.005,
    slips=(
        Slip(
            "distance-not-squared",
            "the light is taken to fall in step with the distance: take the square root",
            lambda v: v["source_distance_mm"] * _wanted(v),
        ),
        Slip(
            "margin-left-out",
            "the distance for the limit itself is given: keep the margin that the rule wants",
            lambda v: _nearest(v, 1),
        ),
        Slip(
            "margin-on-the-distance",
            "the distance is multiplied by the margin: apply the margin to the light, before "
            "the root",
            lambda v: v["margin_wanted"] * _nearest(v, 1),
        ),
    ),
    route=lambda v: (
        f"{_limit(v):.0f} ÷ {v['margin_wanted']:.0f} = {_limit(v) / v['margin_wanted']:.1f} W/m² "
        f"keeps the rule; {v['source_distance_mm']:.0f} mm × √({v['light_w_per_m2']:.1f} ÷ "
        f"{_limit(v) / v['margin_wanted']:.1f}) = {_nearest(v, v['margin_wanted']):.0f} mm"
    ),
)


# --------------------------------------------------------------------------------- a child's eyes


def _draw_child(draw: Draw) -> dict:
    wrong = (
        "margin-for-permission",
        "unseen-for-harmless",
        "short-looks",
        "shows-the-source",
        "pressed-cover",
        "goes-nearer",
    )
    return {
        "age_months": draw.step(1, 9, 1),
        "place": draw.choose(("at the scalp", "in a hand held beside the face", "at the neck")),
        "eyes_mm": draw.step(120, 200, 10),
        "minutes": draw.step(5, 15, 5),
        "order": with_wrong(draw, "eyes-out-of-light", wrong),
    }


def _times_below(v: Values) -> float:
    found = calc.exposure_margins(
        exposure_time_s=v["minutes"] * _S_PER_MIN, source_distance_mm=v["eyes_mm"]
    )
    return found.margins[0].margin


def _child_options(v: Values) -> list[Option]:
    half = v["eyes_mm"] / 2
    texts = (
        Option(
            "eyes-out-of-light",
            "With a helper who holds a folded cloth before the eyes, so that nose and mouth "
            "are clear, and looks at the face; or not at all.",
        ),
        Option(
            "margin-for-permission",
            f"Switch it on: at {v['eyes_mm']:.0f} mm the light is {_times_below(v):.1f} times "
            "below the limit, so the eyes need no cover.",
            "takes a margin for a permission: a limit is no comfort zone, and the figure knows "
            "neither the device nor these eyes",
        ),
        Option(
            "unseen-for-harmless",
            "With a helper who looks at the face and covers the eyes if the child blinks or "
            "turns away from the light.",
            "counts on a blink: nobody blinks at light that is not seen",
        ),
        Option(
            "short-looks",
            f"With a few seconds of light at a time, or less than {v['minutes']:.0f} minutes "
            "in all: then the eyes can be left as they are.",
            "shortens the look instead of covering the eyes: what reaches them in each look is "
            "the same",
        ),
        Option(
            "shows-the-source",
            "Let the child see the light from a little way off, so that it is not frightened. "
            "Then have a helper hold a cloth before the eyes.",
            "points the light at a face to calm a child: nobody looks into the source",
        ),
        Option(
            "pressed-cover",
            "With a pad pressed on the eyes and taped over nose and cheeks, so that no light "
            "gets in, or not enough to need a helper.",
            "covers the eyes by pressure: nothing presses on them, nose and mouth stay free, and "
            "someone watches the face",
        ),
        Option(
            "goes-nearer",
            f"With a helper who looks at the face, and the device nearer, at {half:.0f} mm "
            "from the eyes: the light then falls on a smaller field.",
            "goes nearer to spare the eyes: at half the distance there is four times the light",
        ),
    )
    return listed(v, texts)


CHILD_EYES = ChoiceItem(
    id="ready-child-eyes",
    version=2,
    title="A child's eyes near the light",
    points=2,
    section=LIGHT,
    draw_values=_draw_child,
    ask=lambda v: (
        f"A colleague with experience is to place a catheter {v['place']} of a child of "
        f"{v['age_months']:.0f} month{'' if v['age_months'] == 1 else 's'}, and you hold the "
        f"device. It is not an emergency. The eyes are {v['eyes_mm']:.0f} mm from the device's "
        f"lamp and uncovered, and you expect to look for {v['minutes']:.0f} minutes. "
        "What do you do?"
    ),
    options=_child_options,
)
