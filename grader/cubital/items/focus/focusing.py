"""Items on the working distance: size in the picture, smear, a wider picture, and tilt."""

from functools import cache
from math import ceil, floor, radians

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw

DISTANCE = "Working distance and window"
TILT = "Tilt and turn"


_FIGURES = (
    "working_distance_mm",
    "window_mm",
    "picture_width_mm",
    "picture_height_mm",
    "light_output_lm",
)


def figures(draw: Draw) -> dict[str, float]:
    """Return the figures of the department's device, for a learner's values."""
    return {name: draw.policy[name] for name in _FIGURES}


def device(v: Values) -> calc.ViewDevice:
    """Return the device that a learner is asked about, with what is assumed of its optics."""
    return assumed()._replace(**v["device"])


@cache  # asked for many times over
def assumed() -> calc.ViewDevice:
    """Return the course's own device; what it assumes of lens and projector holds for any."""
    return calc.scenario_device()


def working_mm(v: Values) -> float:
    """Return the working distance of the device."""
    return device(v).working_distance_mm


def window_mm(v: Values) -> float:
    """Return how far either side of it the picture is called sharp."""
    return device(v).window_mm


# ------------------------------------------------------------------ the same vein, looked at again


def _draw_shown(draw: Draw) -> dict:
    own = figures(draw)
    off = draw.step(8, floor(own["window_mm"]), 1)
    return {
        "device": own,
        "vein_diameter_mm": draw.step(2.4, 4.4, 0.1),
        "object_distance_mm": own["working_distance_mm"] + draw.choose((-off, off)),
    }


def _scale(v: Values) -> float:
    return calc.camera_scale(
        v["object_distance_mm"] - working_mm(v), reference_distance_mm=working_mm(v)
    )


def _shown(v: Values) -> float:
    return v["vein_diameter_mm"] * _scale(v)


SHOWN_WIDTH = NumberItem(
    id="focal-shown-width",
    version=3,
    title="The same vein, looked at again",
    points=2,
    section=DISTANCE,
    draw_values=_draw_shown,
    ask=lambda v: (
        f"A colleague held the device at its working distance of {working_mm(v):.0f} mm and "
        f"measured the dark band of a vein in the picture: {v['vein_diameter_mm']:.1f} mm. You "
        f"look at the same place from {v['object_distance_mm']:.0f} mm; the picture is sharp, and "
        "nothing in the arm has changed. How wide does the band measure in your picture? Give "
        "two decimals."
    ),
    unit="mm",
    quantity="answered_length_mm",
    example="1.95 mm",
    answer=_shown,
    absolute_tolerance=0.02,
    slips=(
        Slip(
            "farther-shows-larger",
            "the picture is taken to show things larger from farther away: expect that of the "
            "projected picture, not of the camera's",
            lambda v: v["vein_diameter_mm"] / _scale(v),
        ),
        Slip(
            "sharp-so-unchanged",
            "a sharp picture is taken to have its size unchanged: allow for the distance "
            "inside the window too",
            lambda v: v["vein_diameter_mm"],
        ),
        Slip(
            "square-for-length",
            "the width is changed with the square of the distance: change it in step, since it"
            " is a length",
            lambda v: _shown(v) * _scale(v),
        ),
    ),
    route=lambda v: (
        f"{v['vein_diameter_mm']:.1f} mm × {working_mm(v):.0f} mm / "
        f"{v['object_distance_mm']:.0f} mm = {_shown(v):.2f} mm"
    ),
)


# ------------------------------------------------------------------------ waiting for the blur


def _smear_at_window_mm(v: Values) -> float:
    """The smear at the end of the window, with two decimals."""
    smear = calc.blur_on_skin_mm(
        working_mm(v) + window_mm(v),
        focus_distance_mm=working_mm(v),
        focal_length_mm=device(v).focal_length_mm,
        f_number=device(v).f_number,
    )
    return round(smear, 2)


def _draw_smear(draw: Draw) -> dict:
    own = {"device": figures(draw)}
    end = _smear_at_window_mm(own)
    return own | {"smear_mm": draw.step(ceil(40 * end) / 20, floor(90 * end) / 20, 0.05)}


def _times_smear(v: Values) -> float:
    return calc.check("answered_length_mm", v["smear_mm"]) / _smear_at_window_mm(v)


def _off_by_eye(v: Values) -> float:
    return window_mm(v) * _times_smear(v)


SMEAR = NumberItem(
    id="focal-smear",
    version=3,
    title="Optional: waiting for the blur",
    optional=True,
    points=2,
    section=DISTANCE,
    draw_values=_draw_smear,
    ask=lambda v: (
        f"At the end of the window, {window_mm(v):.0f} mm beyond the working distance, the "
        f"lens smears each point to a spot {_smear_at_window_mm(v):.2f} mm across. The spot "
        "grows in step with the distance off. Someone moves away from the arm and watches "
        f"for blur alone. They notice it when the spot is {v['smear_mm']:.2f} mm across. How "
        "far beyond the working distance is the skin at that moment? Whole millimetres will "
        "do."
    ),
    unit="mm",
    quantity="answered_length_mm",
    example="25 mm",
    answer=_off_by_eye,
    absolute_tolerance=0.6,
    relative_tolerance=0.02,
    slips=(
        Slip(
            "beyond-the-window",
            "the distance is counted from the end of the window: count from the working distance",
            lambda v: _off_by_eye(v) - window_mm(v),
        ),
        Slip(
            "from-the-device",
            "the distance between device and skin is given: take off the working distance",
            lambda v: working_mm(v) + _off_by_eye(v),
        ),
        Slip(
            "grows-as-square",
            "the smear is taken to grow with the square of the distance off: let it grow in step",
            lambda v: window_mm(v) * _times_smear(v) ** 0.5,
        ),
    ),
    route=lambda v: (
        f"{v['smear_mm']:.2f} mm / {_smear_at_window_mm(v):.2f} mm × {window_mm(v):.0f} mm = "
        f"{_off_by_eye(v):.0f} mm"
    ),
)


# --------------------------------------------------------------------------- a wider picture


def _width_mm(v: Values) -> float:
    return device(v).picture_width_mm


def _draw_wider(draw: Draw) -> dict:
    own = figures(draw)
    wide = own["picture_width_mm"]
    beyond = own["window_mm"] / own["working_distance_mm"]  # from there on outside the window
    low, high = ceil(wide * (1 + beyond) + 1), floor(wide * (1 + 4 * beyond))
    return {"device": own, "picture_width_mm": draw.step(low, max(low + 5, high), 1)}


def _distance_for(v: Values, own_width_mm: float) -> float:
    return working_mm(v) * calc.check("picture_width_mm", v["picture_width_mm"]) / own_width_mm


WIDER = NumberItem(
    id="focal-wider",
    version=3,
    title="A longer piece of arm in the picture",
    points=2,
    section=DISTANCE,
    draw_values=_draw_wider,
    ask=lambda v: (
        f"At its working distance of {working_mm(v):.0f} mm the device projects a picture "
        f"{_width_mm(v):.0f} by {device(v).picture_height_mm:.0f} mm. A learner wants "
        f"{v['picture_width_mm']:.0f} mm of a forearm in one picture, along its long side, and "
        "moves away. At what distance from the skin is the picture that long? Whole millimetres "
        "will do."
    ),
    unit="mm",
    quantity="answered_length_mm",
    example="230 mm",
    answer=lambda v: _distance_for(v, _width_mm(v)),
    absolute_tolerance=1,
    slips=(
        Slip(
            "nearer-for-larger",
            "the distance is made shorter: go farther off, where the projected picture is larger",
            lambda v: working_mm(v) ** 2 / _distance_for(v, _width_mm(v)),
        ),
        Slip(
            "added-for-scaled",
            "the missing millimetres are added to the distance: multiply, since picture and "
            "distance grow by the same share",
            lambda v: working_mm(v) + v["picture_width_mm"] - _width_mm(v),
        ),
        Slip(
            "short-for-long-side",
            "the short side of the picture is taken: use the long one",
            lambda v: _distance_for(v, device(v).picture_height_mm),
        ),
    ),
    route=lambda v: (
        f"{working_mm(v):.0f} mm × {v['picture_width_mm']:.0f} mm / {_width_mm(v):.0f} mm = "
        f"{_distance_for(v, _width_mm(v)):.0f} mm, outside the window, which ends "
        f"at {working_mm(v) + window_mm(v):.0f} mm"
    ),
)


# ---------------------------------------------------------------- tilt and distance in one window


def _tilt(v: Values, *, window_left_mm: float, field_mm: float | None = None) -> float:
    return calc.largest_tilt_deg(field_mm or v["field_mm"], window_mm=window_left_mm)


def _draw_tilt(draw: Draw) -> dict:
    own = figures(draw)
    window = own["window_mm"]
    return {
        "device": own,
        "field_mm": draw.step(2 * ceil(window * 5 / 3), 2 * floor(window * 5 / 2), 2),
        "distance_error_mm": draw.step(3, max(5, floor(window * 0.6)), 1),
    }


def _left_mm(v: Values) -> float:
    return window_mm(v) - v["distance_error_mm"]


def _largest_tilt(v: Values) -> float:
    return _tilt(v, window_left_mm=_left_mm(v))


LARGEST_TILT = NumberItem(
    id="focal-largest-tilt",
    version=3,
    title="How far may the skin slope",
    points=2,
    section=TILT,
    draw_values=_draw_tilt,
    ask=lambda v: (
        f"You want {v['field_mm']:.0f} mm of a vein sharp, from end to end, on skin that slopes "
        f"along the vein. The middle of this piece is {v['distance_error_mm']:.0f} mm beyond the "
        f"working distance, and the window is {window_mm(v):.0f} mm either side. At what tilt does "
        "the end of the piece that is farther from the device just reach the end of the window? "
        "Give one decimal."
    ),
    unit="degrees",
    quantity="answered_angle_deg",
    example="2.5 degrees",
    answer=_largest_tilt,
    absolute_tolerance=0.3,
    slips=(
        Slip(
            "whole-window-for-tilt",
            "the tilt is given the whole window: take off what the distance has used up",
            lambda v: _tilt(v, window_left_mm=window_mm(v)),
        ),
        Slip(
            "whole-for-half",
            "the whole length is taken: use half of it, from the middle to the far end",
            lambda v: _tilt(v, window_left_mm=_left_mm(v), field_mm=2 * v["field_mm"]),
        ),
        Slip(
            "cosine-for-sine",
            "the cosine is taken for the sine: measure the tilt from level",
            lambda v: 90 - _largest_tilt(v),
        ),
        Slip(
            "calculator-in-radians",
            "the calculator is set to radians: set it to degrees first",
            lambda v: radians(_largest_tilt(v)),
        ),
    ),
    route=lambda v: (
        f"{window_mm(v):.0f} mm − {v['distance_error_mm']:.0f} mm = {_left_mm(v):.0f} mm are left; "
        f"half of {v['field_mm']:.0f} mm × sin tilt = {_left_mm(v):.0f} mm, so the tilt is "
        f"{_largest_tilt(v):.1f} degrees"
    ),
)
