"""Items on what is seen: contrast over noise, greatest depth, width, and depth misjudged."""

from functools import cache

from cubital import calc, tables
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.kinds.text import TextItem
from cubital.items.writing.draw import Draw

BEST_CASE = "A stated greatest depth is a best case"
TONE = "Skin tone and oxygen"
WIDTH = "How wide it looks"
REACH = "Seen is not reachable"

_WAVELENGTH_NM = 850.0
_FULL = 100  # per cent in one

# ---------------------------------------------------------------------------- contrast over noise


def _draw_over_noise(draw: Draw) -> dict:
    skin = draw.step(120, 200, 1)
    return {
        "skin_level": skin,
        "vein_level": skin - draw.step(6, 24, 1),
        "noise_level": draw.step(1.5, 5.0, 0.1),
    }


def _over_noise(v: Values) -> float:
    difference = calc.check("answered_level", v["skin_level"] - v["vein_level"])
    return difference / calc.check("answered_level", v["noise_level"])


def _times_needed() -> float:
    return tables.constant("contrast-to-noise-needed").value


OVER_NOISE = NumberItem(
    id="light-over-noise",
    version=2,
    title="Optional: contrast over noise",
    optional=True,
    points=2,
    section=BEST_CASE,
    draw_values=_draw_over_noise,
    ask=lambda v: (
        f"In a picture with brightness from 0 to 255, plain skin has {v['skin_level']:.0f} on "
        f"average, and its noise, as a standard deviation, is {v['noise_level']:.1f} of these "
        f"steps. The darkest part of a band has {v['vein_level']:.0f}. To be seen, a band "
        f"must stand out by at least {_times_needed():.0f} times the noise. By how many times "
        "does this one? Type the number alone, with one decimal."
    ),
    unit="",
    quantity="answered_times",
    example="0.9",
    answer=_over_noise,
    absolute_tolerance=0.055,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "brightness-for-difference",
            "the brightness of the band is compared with the noise: compare its difference "
            "from the skin",
            lambda v: v["vein_level"] / v["noise_level"],
        ),
        Slip(
            "needed-counted-in",
            "the factor that is needed is divided in already: compare it with the answer "
            "afterwards",
            lambda v: _over_noise(v) / _times_needed(),
        ),
    ),
    route=lambda v: (
        f"({v['skin_level']:.0f} − {v['vein_level']:.0f}) / {v['noise_level']:.1f} = "
        f"{_over_noise(v):.1f}; to be seen, at least {_times_needed():.0f}"
    ),
)


# ----------------------------------------------------------------- deepest vein that is seen


def _draw_deepest(draw: Draw) -> dict:
    return {
        "depth_reach_mm": draw.policy["depth_reach_mm"],
        "lumen_diameter_mm": draw.step(1.0, 4.0, 0.5),
        "melanin_percent": draw.choose((2, 5, 10, 20)),
        "noise_percent": draw.step(0.6, 1.6, 0.2),
    }


@cache  # a search along the depth, asked for many times over
def _deepest_seen(
    diameter_mm: float, melanin_percent: float, noise_percent: float, times: float | None
) -> float:
    return calc.skin_deepest_visible_mm(
        noise_percent / _FULL,
        lumen_diameter_mm=diameter_mm,
        picture_wavelength_nm=_WAVELENGTH_NM,
        epidermal_melanin_fraction=melanin_percent / _FULL,
        contrast_to_noise=times,
    )


def _deepest(v: Values, *, diameter: float | None = None, times: float | None = None) -> float:
    return _deepest_seen(
        diameter or v["lumen_diameter_mm"], v["melanin_percent"], v["noise_percent"], times
    )


def _deepest_at_noise_itself(v: Values) -> float | None:
    """Where the contrast is down to the noise; beyond the figure's range it is not read off."""
    deepest = _deepest(v, times=1)
    return deepest if deepest < tables.limits()["upper_wall_depth_mm"].high else None


DEEPEST = NumberItem(
    id="light-deepest",
    version=4,
    title="The deepest vein that is seen",
    points=2,
    section=BEST_CASE,
    draw_values=_draw_deepest,
    ask=lambda v: (
        f"Set the lesson's figure of contrast and depth to a vein {v['lumen_diameter_mm']:.1f} mm "
        f"across at {_WAVELENGTH_NM:.0f} nm, in skin with {v['melanin_percent']} % melanin, and to "
        f"a noise of {v['noise_percent']:.1f} % on a white surface. The device states "
        f"{v['depth_reach_mm']:.0f} mm. How deep may the upper wall of this vein lie "
        "and still be seen? Give one decimal."
    ),
    unit="mm",
    quantity="answered_depth_mm",
    example="0.5 mm",
    answer=_deepest,
    absolute_tolerance=0.12,
    slips=(
        Slip(
            "stated-for-this",
            "the depth that the device states is taken for this vein: read the curve, since "
            "the stated depth is a best case",
            lambda v: v["depth_reach_mm"],
        ),
        Slip(
            "noise-itself",
            "the curve is followed down to the noise itself: stop where the contrast is "
            "several times the noise",
            _deepest_at_noise_itself,
        ),
        Slip(
            "centre-for-near-wall",
            "the depth of the vein's centre is given: read to the upper wall",
            lambda v: _deepest(v) + v["lumen_diameter_mm"] / 2,
        ),
    ),
    route=lambda v: (
        f"in the figure, with {v['lumen_diameter_mm']:.1f} mm, {v['melanin_percent']} % "
        f"melanin and {v['noise_percent']:.1f} % noise, the contrast is no longer enough to "
        f"stand out from the noise at {_deepest(v):.1f} mm"
    ),
)


# -------------------------------------------------------------- frames against noise


def _draw_frames(draw: Draw) -> dict:
    times = draw.choose((2, 3, 4, 5, 6, 7))
    wanted = draw.step(0.3, 0.7, 0.1)
    return {"noise_percent": round(times * wanted, 1), "wanted_percent": wanted}


def _noise_ratio(v: Values) -> float:
    noise = calc.check("noise_percent", v["noise_percent"])
    return noise / calc.check("noise_percent", v["wanted_percent"])


FRAMES = NumberItem(
    id="light-frames",
    version=2,
    title="Optional: a longer look",
    optional=True,
    points=2,
    section=TONE,
    draw_values=_draw_frames,
    ask=lambda v: (
        "A device can lay several frames over each other and show their average, while the hand "
        "holds still. The grain differs from frame to frame, so its noise falls with the square "
        f"root of their number. One frame has a noise of {v['noise_percent']:.1f} %; you want "
        f"{v['wanted_percent']:.1f} %. How many frames must be averaged? Type the number alone, "
        "with no word after it."
    ),
    unit="",
    quantity="answered_times",
    example="7",
    answer=lambda v: _noise_ratio(v) ** 2,
    absolute_tolerance=0.25,
    slips=(
        Slip(
            "linear-for-root",
            "noise is taken to fall in step with the number of frames: square the factor that "
            "is wanted",
            _noise_ratio,
        ),
    ),
    route=lambda v: (
        f"{v['noise_percent']:.1f} % / {v['wanted_percent']:.1f} % = {_noise_ratio(v):.0f}; "
        f"{_noise_ratio(v):.0f} × {_noise_ratio(v):.0f} = {_noise_ratio(v) ** 2:.0f} frames"
    ),
)


# ------------------------------------------------------------------ how wide it looks

_MELANIN = 0.05  # the skin of the lesson's figure
_SHALLOW_MM = 1.0  # the depth of that figure's dotted curve


def _draw_width(draw: Draw) -> dict:
    return {
        "lumen_diameter_mm": draw.step(1.5, 4.5, 0.1),
        "upper_wall_depth_mm": draw.step(1.8, 5.0, 0.1),
    }


def _width(v: Values, depth_mm: float | None = None) -> float:
    return calc.skin_apparent_width_mm(
        depth_mm or v["upper_wall_depth_mm"],
        lumen_diameter_mm=v["lumen_diameter_mm"],
        picture_wavelength_nm=_WAVELENGTH_NM,
        epidermal_melanin_fraction=_MELANIN,
    )


APPARENT_WIDTH = NumberItem(
    id="light-apparent-width",
    title="How wide a vein looks",
    points=2,
    section=WIDTH,
    version=3,
    draw_values=_draw_width,
    ask=lambda v: (
        f"A vein is {v['lumen_diameter_mm']:.1f} mm across, and its upper wall lies "
        f"{v['upper_wall_depth_mm']:.1f} mm deep. Set the lesson's figure of true and apparent "
        f"width to these, at {_WAVELENGTH_NM:.0f} nm; its skin has {_FULL * _MELANIN:.0f} % "
        "melanin. How wide is the vein's dark band in the picture? Give one decimal."
    ),
    unit="mm",
    quantity="answered_width_mm",
    example="12.5 mm",
    answer=_width,
    absolute_tolerance=0.12,
    relative_tolerance=0.015,
    slips=(
        Slip(
            "size-from-picture",
            "the picture is taken to show the true width: reckon with a wider band, since "
            "scattering spreads it",
            lambda v: v["lumen_diameter_mm"],
        ),
        Slip(
            "shallow-curve",
            "the dotted curve is read, for a vein close under the skin: read the curve of this"
            " depth",
            lambda v: _width(v, _SHALLOW_MM),
        ),
        Slip(
            "depth-added",
            "the depth is simply added to the width: read the curve, since blurs do not add up"
            " like lengths",
            lambda v: v["lumen_diameter_mm"] + v["upper_wall_depth_mm"],
        ),
    ),
    route=lambda v: (
        f"in the figure, with the upper wall {v['upper_wall_depth_mm']:.1f} mm deep, the curve "
        f"over a true width of {v['lumen_diameter_mm']:.1f} mm stands at {_width(v):.1f} mm"
    ),
)


# ------------------------------------------------- seen, and deeper than was thought


_LENGTHS_MM = (25.0, 32.0)  # of a 20 G catheter for adults


def _draw_deeper(draw: Draw) -> dict:
    thought = draw.step(2.0, 3.5, 0.5)
    return {
        "length_mm": draw.choose(_LENGTHS_MM),
        "insertion_angle_deg": draw.step(20, 35, 1),
        "thought_depth_mm": thought,
        "upper_wall_depth_mm": thought + draw.step(1.0, 2.5, 0.5),
    }


def _deeper(v: Values) -> float:
    return v["upper_wall_depth_mm"] - v["thought_depth_mm"]


def _way(v: Values, depth_mm: float, *, angle: float | None = None) -> float:
    return calc.track_length_mm(depth_mm, insertion_angle_deg=angle or v["insertion_angle_deg"])


DEEPER = NumberItem(
    id="light-deeper-than-thought",
    version=3,
    title="Deeper than it looked",
    points=2,
    section=REACH,
    draw_values=_draw_deeper,
    ask=lambda v: (
        f"From a dark line you took a vein to be {v['thought_depth_mm']:.1f} mm deep, and "
        f"planned with a 20 G catheter {v['length_mm']:.0f} mm long, at "
        f"{v['insertion_angle_deg']:.0f} degrees to the skin. Ultrasound, done before you go "
        f"in, finds the vein's upper wall {v['upper_wall_depth_mm']:.1f} mm deep. How many "
        "millimetres less of the catheter come to lie in the vein than you had planned? Take "
        "all lines as straight, and give one decimal."
    ),
    unit="mm",
    quantity="answered_way_mm",
    example="0.9 mm",
    answer=lambda v: _way(v, _deeper(v)),
    absolute_tolerance=0.06,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "angle-left-out",
            "the millimetres of depth are given: divide by the sine, since at a slant each "
            "costs more catheter",
            _deeper,
        ),
        Slip(
            "cosine-for-sine",
            "the angle is taken from the upright: measure it from the skin",
            lambda v: _way(v, _deeper(v), angle=90 - v["insertion_angle_deg"]),
        ),
        Slip(
            "whole-way-for-difference",
            "the whole way to the vein is given: take off the part that was reckoned with already",
            lambda v: _way(v, v["upper_wall_depth_mm"]),
        ),
        Slip(
            "left-for-lost",
            "what is left for the vein is given: give what the greater depth costs",
            lambda v: v["length_mm"] - _way(v, v["upper_wall_depth_mm"]),
        ),
    ),
    route=lambda v: (
        f"{v['upper_wall_depth_mm']:.1f} mm − {v['thought_depth_mm']:.1f} mm = "
        f"{_deeper(v):.1f} mm deeper; {_deeper(v):.1f} mm / sin {v['insertion_angle_deg']:.0f}° = "
        f"{_way(v, _deeper(v)):.1f} mm"
    ),
)


# ------------------------------------------------------------------------------ in own words


BEST_CASE_REASONS = TextItem(
    id="light-best-case",
    version=2,
    title="Tell a colleague why nothing shows",
    points=3,
    section=BEST_CASE,
    draw_values=lambda draw: {
        "depth_reach_mm": draw.policy["depth_reach_mm"],
        "place": draw.choose(
            ("in the crook of the elbow", "on the forearm", "on the back of the hand")
        ),
        "lumen_diameter_mm": draw.step(1.0, 2.0, 0.5),
    },
    ask=lambda v: (
        f"A colleague says: “The device sees {v['depth_reach_mm']:.0f} mm deep, and "
        f"it shows nothing {v['place']}, so there is no vein.” The veins you hope for there are "
        f"about {v['lumen_diameter_mm']:.1f} mm across. In three or four sentences, tell them why "
        "a stated greatest depth is a best case, and what to do where the picture shows nothing."
    ),
    mark_scheme=(
        "A vein is seen only as long as its contrast stands out from the noise, and contrast "
        "falls fast with depth; the stated depth is for the best of everything: a wide vein, "
        "light skin, little noise (1 point).",
        "Names at least two things that make it less here: a thinner vein, more melanin and so "
        "less light, room light, a hand that moves (1 point).",
        "That you see nothing does not mean that nothing is there: look, feel, change the "
        "arm's position, dim the room or hold still, or use ultrasound (1 point).",
    ),
)
