"""Items on the fit of line and vein: the shift, what a vein allows, and what a rest gains."""

from functools import cache

from cubital import calc
from cubital.items.focus.focusing import assumed, figures, window_mm, working_mm
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.kinds.text import TextItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent
from cubital.tables.focus import holdings

REGISTRATION = "Registration: is the line on the vein?"
HOLDING = "In the hand or on a stand"
CHECK = "Check the line against the truth"


def _baseline_mm() -> float:
    return assumed().baseline_mm


def _shift_at(v: Values, distance_error_mm: float) -> float:
    """Return the size of the shift, whichever side it falls to."""
    shift = calc.registration_error_mm(
        distance_error_mm, baseline_mm=_baseline_mm(), reference_distance_mm=working_mm(v)
    )
    return abs(shift)


# ------------------------------------------------------------------------ beside the highest line

_LIMBS = (("a forearm", 40), ("a slim forearm", 32), ("a child's forearm", 25))  # radii, mm
_LEAST_OFF_MM = 2  # less than this at the vein is hardly a shift


def _draw_limb(draw: Draw) -> dict:
    limb, radius = draw.choose(_LIMBS)
    place = draw.step(12, 20, 1)
    drop = round(calc.limb_drop_mm(place, limb_radius_mm=radius), 1)
    held = [
        off
        for off in (*range(-8, 0), *range(1, 9))
        if abs(off) >= _LEAST_OFF_MM and abs(drop + off) >= _LEAST_OFF_MM
    ]
    return {
        "device": figures(draw),
        "limb": limb,
        "place_mm": place,
        "drop_mm": drop,
        "distance_error_mm": draw.choose(held),
    }


def _off_at_vein(v: Values) -> float:
    return v["drop_mm"] + v["distance_error_mm"]


def _too(distance_error_mm: float) -> str:
    return f"{abs(distance_error_mm):.0f} mm too {'far' if distance_error_mm > 0 else 'near'}"


def _limb_route(v: Values) -> str:
    sign = "+" if v["distance_error_mm"] > 0 else "−"
    off = _off_at_vein(v)
    return (
        f"{v['drop_mm']:.1f} mm {sign} {abs(v['distance_error_mm']):.0f} mm: at the vein the skin "
        f"is {abs(off):.1f} mm too {'far' if off > 0 else 'near'}; {_baseline_mm():.0f} mm × "
        f"{abs(off):.1f} mm / {working_mm(v):.0f} mm = {_shift_at(v, off):.2f} mm"
    )


SHIFT = NumberItem(
    id="focal-shift",
    version=3,
    title="Optional: a vein on the side of the arm",
    optional=True,
    points=2,
    section=REGISTRATION,
    draw_values=_draw_limb,
    ask=lambda v: (
        f"A vein runs {v['place_mm']:.0f} mm to the side of the highest line of {v['limb']}. "
        f"There the skin lies {v['drop_mm']:.1f} mm lower than at the highest line, and the "
        f"device is held {_too(v['distance_error_mm'])} for the highest line. Camera and "
        f"projector are {_baseline_mm():.0f} mm apart, across the arm; the working distance is "
        f"{working_mm(v):.0f} mm. How far beside this vein does its line fall? Give two decimals."
    ),
    unit="mm",
    quantity="answered_length_mm",
    example="2.55 mm",
    answer=lambda v: _shift_at(v, _off_at_vein(v)),
    absolute_tolerance=0.02,
    slips=(
        Slip(
            "hold-left-out",
            "only the round limb is counted: add how far off the device is held",
            lambda v: _shift_at(v, v["drop_mm"]),
        ),
        Slip(
            "limb-left-out",
            "only the distance to the highest line is counted: add how much lower the skin "
            "lies at the vein",
            lambda v: _shift_at(v, v["distance_error_mm"]),
        ),
        Slip(
            "lower-counted-as-nearer",
            "skin that lies lower is counted as nearer: count it as farther from the device",
            lambda v: _shift_at(v, v["distance_error_mm"] - v["drop_mm"]),
        ),
    ),
    route=_limb_route,
)


# ----------------------------------------------------------------------- what a vein allows


def _allowed(v: Values, shift_mm: float) -> float:
    return calc.distance_error_allowed_mm(
        shift_mm, baseline_mm=_baseline_mm(), reference_distance_mm=working_mm(v)
    )


def _half(v: Values) -> float:
    return v["vein_diameter_mm"] / 2


ALLOWED = NumberItem(
    id="focal-allowed",
    version=3,
    title="How far off before the line leaves the vein",
    points=2,
    section=REGISTRATION,
    draw_values=lambda draw: {
        "device": figures(draw),
        "vein_diameter_mm": draw.step(1.2, 3.2, 0.1),
    },
    ask=lambda v: (
        f"A vein measured by ultrasound is {v['vein_diameter_mm']:.1f} mm across. At the working "
        f"distance of {working_mm(v):.0f} mm the line runs along its middle. Camera and projector "
        f"are {_baseline_mm():.0f} mm apart, across the vein. How far off the working distance "
        "may the skin be before the middle of the line reaches the edge of this vein? Give one "
        "decimal."
    ),
    unit="mm",
    quantity="answered_length_mm",
    example="8.5 mm",
    answer=lambda v: _allowed(v, _half(v)),
    absolute_tolerance=0.1,
    slips=(
        Slip(
            "diameter-for-radius",
            "the whole diameter is taken for the shift: use half of it, from the middle to the"
            " edge",
            lambda v: _allowed(v, v["vein_diameter_mm"]),
        ),
        Slip(
            "tolerance-for-this-vein",
            "the course's tolerance is taken: use this vein's own, since a thinner one allows less",
            lambda v: _allowed(v, assumed().registration_tolerance_mm),
        ),
        Slip(
            "sharp-for-on-the-vein",
            "the window of sharpness is given: check the line too, since a sharp one can lie "
            "beside its vein",
            window_mm,
        ),
    ),
    route=lambda v: (
        f"{_half(v):.2f} mm × {working_mm(v):.0f} mm / {_baseline_mm():.0f} mm = "
        f"{_allowed(v, _half(v)):.1f} mm"
    ),
)


# ----------------------------------------------------------------------- what a rest gains


_LESSONS = {"device": {}}  # the answer is read off the lesson's figure, which is of its device


@cache  # an integral, asked for many times over
def _share(holding: str, setting_error_mm: float, within_mm: float) -> float:
    """The share of a long hold that the distance stays within so much of the working distance."""
    held = holdings()[holding]
    return calc.share_of_time_in_window(
        within_mm,
        setting_error_mm=setting_error_mm,
        drift_sd_mm=held.drift_sd_mm,
        tremor_amplitude_mm=held.tremor_amplitude_mm,
    )


def _seconds(v: Values, holding: str, within_mm: float) -> float:
    share = _share(holding, v["setting_error_mm"], within_mm)
    return calc.check("hold_time_s", v["hold_time_s"]) * share


def _on_vein(v: Values, holding: str) -> float:
    return _seconds(v, holding, _allowed(_LESSONS, assumed().registration_tolerance_mm))


def _gained(v: Values) -> float:
    return _on_vein(v, "braced") - _on_vein(v, "hand-held")


REST = NumberItem(
    id="focal-rest",
    version=2,
    title="Optional: what resting the hand gains",
    optional=True,
    points=2,
    section=HOLDING,
    draw_values=lambda draw: {
        "setting_error_mm": draw.step(4, 8, 1),
        "hold_time_s": draw.step(30, 120, 5),
    },
    ask=lambda v: (
        f"A colleague holds the device for you for {v['hold_time_s']:.0f} seconds, set "
        f"{v['setting_error_mm']:.0f} mm too far. Set the lesson's figure of hand and stand "
        "to this, first for the free hand and then for a rested hand. Each time read the "
        "time with the line on the vein in long holds. How many more seconds is the line on "
        "the vein when the hand is rested? Whole seconds will do."
    ),
    unit="s",
    quantity="answered_seconds",
    example="45 s",
    answer=_gained,
    absolute_tolerance=1.15,  # two readings of whole per cent, then whole seconds
    slips=(
        Slip(
            "rested-hand-only",
            "the seconds with the rested hand are given: take off those that the free hand has"
            " as well",
            lambda v: _on_vein(v, "braced"),
        ),
        Slip(
            "sharp-for-on-the-vein",
            "the time in the window is read: read the time with the line on the vein",
            lambda v: (
                _seconds(v, "braced", window_mm(_LESSONS))
                - _seconds(v, "hand-held", window_mm(_LESSONS))
            ),
        ),
    ),
    route=lambda v: (
        f"({per_cent(_on_vein(v, 'braced') / v['hold_time_s'])} − "
        f"{per_cent(_on_vein(v, 'hand-held') / v['hold_time_s'])}) × {v['hold_time_s']:.0f} s, "
        f"about {_gained(v):.0f} s"
    ),
)


# --------------------------------------------------------------------------- in own words


def _draw_stand(draw: Draw) -> dict:
    return {
        "setting_error_mm": draw.step(11, 16, 1),
        "limb": draw.choose(("forearm", "upper arm", "back of the hand")),
    }


STAND = TextItem(
    id="focal-stand",
    title="Tell a colleague about the stand",
    points=3,
    section=CHECK,
    draw_values=_draw_stand,
    ask=lambda v: (
        f"A colleague has put the device on a stand over the {v['limb']}, "
        f"{v['setting_error_mm']:.0f} mm farther than its working distance. The line is sharp and "
        "does not move. “It is on the stand,” they say, “so the line is on the vein.” In four or "
        "five sentences, tell them why it may not be, how to set it right, and how to check it "
        "before anyone goes in."
    ),
    mark_scheme=(
        "Camera and projector sit side by side and agree at the working distance only: off it the "
        "line is shifted though it is sharp, and a stand holds a mistake as steadily as a good "
        "setting (1 point).",
        "Set the distance with the spacer, marks or light that the device gives, not by "
        "sharpness; level it, bring the vein to the middle; set it again when the arm has moved "
        "(1 point).",
        "Feel the vein and see whether the line runs along its middle, in two directions; if they "
        "differ after setting, believe the finger, do not aim beside the line by guess, and check "
        "on the target or go on without the device (1 point).",
    ),
)
