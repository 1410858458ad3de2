"""Items on noise that stays and noise that goes, and on what processing shows and invents."""

from cubital import calc, tables
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.kinds.text import TextItem
from cubital.items.writing.draw import Draw

FADE = "What makes a band fade"
PROCESSING = "What processing hides and what it invents"

_FULL = 100  # per cent in one

# -------------------------------------------------- frames against noise, and what stays in place


def _draw_average(draw: Draw) -> dict:
    return {
        "contrast_percent": draw.step(5, 9, 0.5),
        "noise_percent": draw.step(2.5, 5, 0.5),
        "still_percent": draw.step(0.8, 1.6, 0.1),
        "frames": draw.choose((4, 9, 16, 25)),
    }


def _camera(v: Values) -> float:
    """The camera's noise left in the average of the frames."""
    return v["noise_percent"] / v["frames"] ** 0.5


def _stands_out(v: Values, camera: float, still: float) -> float:
    noise = (camera**2 + still**2) ** 0.5
    return v["contrast_percent"] / calc.check("noise_percent", noise)


AVERAGED = NumberItem(
    id="read-averaged",
    version=3,
    title="Optional: a longer look at hairy skin",
    optional=True,
    points=2,
    section=FADE,
    draw_values=_draw_average,
    ask=lambda v: (
        f"A band is {v['contrast_percent']:.1f} % darker than the skin. In one frame the "
        f"camera's noise is {v['noise_percent']:.1f} %, and hair and blotches make another "
        f"{v['still_percent']:.1f} %. The device shows the average of {v['frames']} frames. "
        "The camera's noise differs from frame to frame and falls with the square root of "
        "their number; hair and blotches are the same in all of them. Two noises a and b "
        "together make √(a² + b²). How many times the noise does the band stand out from the "
        "average? Type the number alone, with one decimal."
    ),
    unit="",
    quantity="answered_over_noise",
    example="12.5",
    answer=lambda v: _stands_out(v, _camera(v), v["still_percent"]),
    route=lambda v: (
        f"{v['noise_percent']:.1f} / √{v['frames']} = {_camera(v):.2f}; √({_camera(v):.2f}² + "
        f"{v['still_percent']:.1f}²) = {(_camera(v) ** 2 + v['still_percent'] ** 2) ** 0.5:.2f}; "
        f"{v['contrast_percent']:.1f} over that = "
        f"{_stands_out(v, _camera(v), v['still_percent']):.1f}"
    ),
    absolute_tolerance=0.06,
    relative_tolerance=0.015,
    slips=(
        Slip(
            "still-left-out",
            "hair and blotches are left out: add them, since they stay however many frames "
            "there are",
            lambda v: _stands_out(v, _camera(v), 0),
        ),
        Slip(
            "still-averaged-too",
            "hair and blotches are averaged away as well: leave them whole, since they are the"
            " same in every frame",
            lambda v: _stands_out(v, _camera(v), v["still_percent"] / v["frames"] ** 0.5),
        ),
        Slip(
            "noises-added",
            "the two noises are simply added: add their squares, since they do not always pull"
            " the same way",
            lambda v: v["contrast_percent"] / (_camera(v) + v["still_percent"]),
        ),
    ),
)


# --------------------------------------------------------------------------- the gain it takes


def _kept_percent(band_mm: float, filter_mm: float) -> float:
    """The share of a band's contrast that the lesson's processing leaves, in whole per cent."""
    from cubital.scene.light import processing  # noqa: PLC0415 - on use: it loads much more

    return round(_FULL * processing.passed_share(band_mm, filter_mm=filter_mm))


def _draw_gain(draw: Draw) -> dict:
    finer = draw.choose((True, False))
    width = draw.step(4, 7, 0.5) if finer else draw.step(1.5, 2.5, 0.5)
    band = round(width * (draw.step(0.15, 0.3, 0.05) if finer else draw.step(3.4, 4.6, 0.2)), 1)
    return {
        "filter_mm": width,
        "band_mm": band,
        "kept_percent": _kept_percent(band, width),
        "contrast_percent": draw.step(2, 5, 0.5),
    }


def _step_percent() -> float:
    return _FULL * tables.constant("processing-seen-step").value


def _left_percent(v: Values, kept: float) -> float:
    return v["contrast_percent"] * kept / _FULL


def _gain(v: Values, kept: float) -> float:
    return _step_percent() / _left_percent(v, kept)


GAIN = NumberItem(
    id="read-gain",
    version=2,
    title="Optional: the gain that a band needs",
    optional=True,
    points=2,
    section=PROCESSING,
    draw_values=_draw_gain,
    ask=lambda v: (
        f"A real band is {v['band_mm']:.1f} mm wide and {v['contrast_percent']:.1f} % darker than "
        f"the skin. The processing has a filter {v['filter_mm']:.1f} mm wide; by the lesson's "
        f"curve it leaves {v['kept_percent']:.0f} % of this band's contrast, before the gain. "
        "Contrast and grey are on one scale: at a gain of 1, what is 1 % darker than the skin is a "
        "step of 1 % of full scale. The lesson's figure counts a band as shown when the step in "
        f"grey is at least {_step_percent():.0f} % of full scale. What gain does that take? Type "
        "the number alone, with one decimal. (The noise is strengthened as many times.)"
    ),
    unit="",
    quantity="answered_gain_times",
    example="12.5",
    answer=lambda v: _gain(v, v["kept_percent"]),
    route=lambda v: (
        f"{v['contrast_percent']:.1f} % × {v['kept_percent'] / _FULL:.2f} = "
        f"{_left_percent(v, v['kept_percent']):.2f} %; {_step_percent():.0f} % over that = "
        f"{_gain(v, v['kept_percent']):.1f}"
    ),
    absolute_tolerance=0.06,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "filter-forgotten",
            "the whole contrast is taken: use what the filter leaves of it",
            lambda v: _gain(v, _FULL),
        ),
        Slip(
            "lost-for-left",
            "the share that the filter removes is used: use the share that it leaves",
            lambda v: _gain(v, _FULL - v["kept_percent"]),
        ),
        Slip(
            "contrast-forgotten",
            "only the filter is made up for: count in the band's own contrast too",
            lambda v: _FULL / v["kept_percent"],
        ),
    ),
)


# --------------------------------------------------------------- bands that noise alone makes

# Times the noise, and the chance in per cent that noise alone is as dark: of a normal curve. With
# them filters fine enough for at least one band in the field.
_THRESHOLDS = (
    (2.0, 2.3, (1.2, 1.5, 2.5)),
    (2.5, 0.62, (1.2, 1.5, 2.5)),
    (3.0, 0.13, (1.2,)),
)


def _draw_false(draw: Draw) -> dict:
    times, chance, widths = draw.choose(_THRESHOLDS)
    return {
        "field_width_mm": draw.step(70, 100, 5),
        "field_height_mm": draw.step(50, 70, 5),
        "filter_mm": draw.choose(widths),
        "threshold_times": times,
        "chance_percent": chance,
    }


def _slender() -> float:
    return tables.constant("processing-band-length").value


def _pieces(v: Values, long: float) -> float:
    """How many pieces a filter wide and some of it long make up the field."""
    width = calc.check("processing_filter_mm", v["filter_mm"])
    return v["field_width_mm"] * v["field_height_mm"] / (long * width**2)


def _false(v: Values, long: float | None = None) -> float:
    return _pieces(v, long or _slender()) * v["chance_percent"] / _FULL


FALSE_BANDS = NumberItem(
    id="read-false-bands",
    version=2,
    title="Optional: bands where there is no vein",
    optional=True,
    points=2,
    section=PROCESSING,
    draw_values=_draw_false,
    ask=lambda v: (
        f"A field of {v['field_width_mm']:.0f} by {v['field_height_mm']:.0f} mm shows skin with "
        "no vein at all. A simple rule looks at it piece by piece, with no gap and no overlap. "
        f"Each piece is as wide as the filter, {v['filter_mm']:.1f} mm, and {_slender():.0f} "
        "times as long as wide. It calls a piece a band if the piece is darker than even skin by "
        f"{v['threshold_times']:.1f} times the noise or more; by noise alone "
        f"{v['chance_percent']:g} % of the pieces are. How many bands does the rule invent in "
        "this field, on average? Reckon with areas, as if pieces could be cut at the edge. Type "
        "the number alone, with one decimal."
    ),
    unit="",
    quantity="answered_false_bands",
    example="48.5",
    answer=_false,
    route=lambda v: (
        f"{v['field_width_mm']:.0f} × {v['field_height_mm']:.0f} mm² / ({v['filter_mm']:.1f} × "
        f"{_slender() * v['filter_mm']:.1f} mm²) = {_pieces(v, _slender()):.1f} pieces; "
        f"{v['chance_percent']:g} % of them = {_false(v):.1f}"
    ),
    absolute_tolerance=0.06,
    relative_tolerance=0.02,
    slips=(
        Slip(
            "square-pieces",
            "the pieces are taken as square: divide by their length and by their width",
            lambda v: _false(v, 1),
        ),
        Slip(
            "lighter-counted-too",
            "pieces that are as much lighter are counted as well: count the dark ones only, "
            "which pass for veins",
            lambda v: 2 * _false(v),
        ),
        Slip(
            "pieces-for-bands",
            "the number of pieces is given: take the share that noise makes dark",
            lambda v: _pieces(v, _slender()),
        ),
    ),
)


# ------------------------------------------------------------------------------ in own words


GAIN_REASONS = TextItem(
    id="read-more-gain",
    title="Tell a colleague what more gain does",
    points=3,
    section=PROCESSING,
    draw_values=lambda draw: {
        "before": draw.step(3, 6, 1),
        "after": draw.step(14, 30, 1),
        "gain": draw.choose((8, 12, 16)),
    },
    ask=lambda v: (
        f"A colleague turns the gain up from 1 to {v['gain']}. The picture of a hairy forearm now "
        f"shows {v['after']} bands where it showed {v['before']}. “There we are,” they say, "
        "“plenty of veins.” In four or five sentences, tell them what has happened, whether the "
        "picture can say which bands are real, and what to do before one is chosen."
    ),
    mark_scheme=(
        "Gain strengthens noise, blotches and hair as much as veins, so bands come out that are "
        "no veins; it does not undo a filter that does not fit (1 point).",
        "From one still picture nobody can tell which band is real, however dark it is; the same "
        "processing shows bands where there is no vein at all (1 point).",
        "Move the device a little, look at the skin for hair and creases, and feel: a band that "
        "the finger cannot confirm is not yet a vein (1 point).",
    ),
)
