"""Items on catheter size and the vein that takes it."""

from math import ceil, floor, pi

from cubital import calc, tables
from cubital.items.base import ChoiceItem, CodeItem, NumberItem, Option, Slip, TextItem, Values
from cubital.items.draw import Draw

GAUGES = (24, 22, 20, 18, 16)
_RATIOS_ASKED = (0.28, 0.75)  # from an easy fit to a catheter far too large
RATIO = "Catheter and vein: the ratio"
SIZES = "Gauge, millimetres and French"
MEASURE = "Measure the vein, do not read it off the picture"
SMALLEST = "The smallest catheter that does the job"


def _upper(gauge: int) -> float:
    return calc.gauge(gauge).outer_upper_mm


def _mirrored(gauge: int) -> int:
    """The gauge reached by counting down the table from its other end."""
    numbers = [row.gauge for row in tables.gauges() if row.gauge >= 14]
    return numbers[::-1][numbers.index(gauge)]


def _needle_upper(gauge: int) -> float | None:
    return next((row.outer_upper_mm for row in tables.needle_tubes() if row.gauge == gauge), None)


def _vein_for(draw: Draw, gauge: int) -> float:
    """Draw a vein of an adult that this catheter could be meant for, within the joint limits."""
    limit = next(
        row for row in tables.joint_limits() if (row.gauge, row.age_group) == (gauge, "adult")
    )
    low = max(limit.vein_low_mm, _upper(gauge) / _RATIOS_ASKED[1])
    high = min(limit.vein_high_mm, _upper(gauge) / _RATIOS_ASKED[0])
    return draw.step(ceil(10 * low) / 10, floor(10 * high) / 10, 0.1)


# ---------------------------------------------------------------- upper outer diameter of a gauge

UPPER_DIAMETER = NumberItem(
    id="sizing-upper-diameter",
    title="Outer diameter of a gauge",
    points=2,
    section=SIZES,
    draw_values=lambda draw: {"gauge": draw.choose(GAUGES)},
    ask=lambda v: (
        f"A label says {v['gauge']} G and nothing more. Its gauge allows a range of outer "
        "diameters. To be safe you size by the largest. What is the largest outer diameter that "
        f"a {v['gauge']} G peripheral catheter may have?"
    ),
    unit="mm",
    quantity="outer_diameter_mm",
    example="1.3 mm",
    answer=lambda v: _upper(v["gauge"]),
    relative_tolerance=0.01,
    slips=(
        Slip(
            "lower-end",
            "the lower end of the range is taken: the catheter may be thicker than that",
            lambda v: calc.gauge(v["gauge"]).outer_lower_mm,
        ),
        Slip(
            "inner-for-outer",
            "the inner diameter is taken for the outer: the wall fills the vein too",
            lambda v: calc.gauge(v["gauge"]).inner_mm,
        ),
        Slip(
            "gauge-order-reversed",
            "a higher gauge is taken for a wider catheter, counting from the wrong end",
            lambda v: _upper(_mirrored(v["gauge"])),
        ),
        Slip(
            "needle-for-catheter",
            "the steel needle of the same gauge is looked up: needles have a table of their own",
            lambda v: _needle_upper(v["gauge"]),
        ),
    ),
)


# -------------------------------------------------------------------------------------- French size

FRENCH = NumberItem(
    id="sizing-french",
    title="French size",
    points=2,
    section=SIZES,
    draw_values=lambda draw: {"outer_diameter_mm": draw.step(0.6, 2.2, 0.01)},
    ask=lambda v: (
        f"A catheter measures {v['outer_diameter_mm']:.2f} mm across its outside. "
        "What is its French size? Give it to two decimals."
    ),
    unit="Fr",
    quantity="answered_french",
    example="4.20 Fr",
    answer=lambda v: calc.french_size(v["outer_diameter_mm"]),
    relative_tolerance=0.01,
    slips=(
        Slip(
            "radius-for-diameter",
            "the radius is taken for the diameter",
            lambda v: calc.french_size(v["outer_diameter_mm"] / 2),
        ),
        Slip(
            "french-upside-down",
            "the millimetres are divided by three instead of multiplied",
            lambda v: calc.outer_diameter_mm(v["outer_diameter_mm"]),
        ),
        Slip(
            "circumference-for-french",
            "French is taken for the way round the catheter: it is three times the way across",
            lambda v: calc.french_size(v["outer_diameter_mm"] * pi / 3),
        ),
    ),
)


# ----------------------------------------------------------------------------- the ratio, by hand


def _draw_ratio(draw: Draw) -> dict:
    gauge = draw.choose(GAUGES)
    return {"gauge": gauge, "vein_diameter_mm": _vein_for(draw, gauge)}


def _ratio(outer_mm: float, vein_mm: float) -> float:
    return calc.catheter_to_vein_ratio(outer_mm, vein_diameter_mm=vein_mm)


RATIO_ITEM = NumberItem(
    id="sizing-ratio",
    title="Catheter-to-vein ratio",
    points=2,
    section=RATIO,
    draw_values=_draw_ratio,
    ask=lambda v: (
        f"Ultrasound, without a tourniquet, gives a vein {v['vein_diameter_mm']:.1f} mm across. "
        f"You plan a {v['gauge']} G catheter. What is the catheter-to-vein ratio, reckoned from "
        "the largest outer diameter of that gauge? Give two decimals, or per cent."
    ),
    unit="",
    quantity="answered_ratio",
    example="0.52 or 52 %",
    answer=lambda v: _ratio(_upper(v["gauge"]), v["vein_diameter_mm"]),
    absolute_tolerance=0.0055,
    slips=(
        Slip(
            "ratio-upside-down",
            "the vein is divided by the catheter",
            lambda v: 1 / _ratio(_upper(v["gauge"]), v["vein_diameter_mm"]),
        ),
        Slip(
            "radius-for-diameter",
            "the catheter's radius is compared with the vein's diameter",
            lambda v: _ratio(_upper(v["gauge"]) / 2, v["vein_diameter_mm"]),
        ),
        Slip(
            "area-for-diameter",
            "areas are compared: the ratio and its limits go by diameter",
            lambda v: calc.area_share(_ratio(_upper(v["gauge"]), v["vein_diameter_mm"])),
        ),
        Slip(
            "inner-for-outer",
            "the inner diameter is taken for the outer: the wall fills the vein too",
            lambda v: _ratio(calc.gauge(v["gauge"]).inner_mm, v["vein_diameter_mm"]),
        ),
        Slip(
            "gauge-order-reversed",
            "a higher gauge is taken for a wider catheter, counting from the wrong end",
            lambda v: _ratio(_upper(_mirrored(v["gauge"])), v["vein_diameter_mm"]),
        ),
    ),
)


# ------------------------------------------------------------------------- the smallest vein


def _draw_smallest_vein(draw: Draw) -> dict:
    limits = tuple(row.ratio for row in tables.ratio_evidence())
    return {"gauge": draw.choose(GAUGES), "ratio_limit": draw.choose(limits)}


def _smallest(outer_mm: float, limit: float) -> float:
    return calc.smallest_vein_diameter_mm(outer_mm, ratio_limit=limit)


SMALLEST_VEIN = NumberItem(
    id="sizing-smallest-vein",
    title="The smallest vein for a catheter",
    points=2,
    section=RATIO,
    draw_values=_draw_smallest_vein,
    ask=lambda v: (
        f"A department allows a catheter-to-vein ratio of {v['ratio_limit']:.0%}, by diameter. "
        f"What is the smallest vein in which a {v['gauge']} G catheter stays within it, reckoned "
        "from the largest outer diameter of that gauge? Give two decimals."
    ),
    unit="mm",
    quantity="vein_diameter_mm",
    example="4.05 mm",
    answer=lambda v: _smallest(_upper(v["gauge"]), v["ratio_limit"]),
    relative_tolerance=0.012,
    slips=(
        Slip(
            "multiplied-by-limit",
            "the diameter is multiplied by the limit instead of divided: the vein cannot be "
            "thinner than the catheter in it",
            lambda v: calc.largest_outer_diameter_mm(
                _upper(v["gauge"]), ratio_limit=v["ratio_limit"]
            ),
        ),
        Slip(
            "area-for-diameter",
            "the limit is taken for a share of the area: it goes by diameter",
            lambda v: _smallest(_upper(v["gauge"]), v["ratio_limit"] ** 0.5),
        ),
        Slip(
            "radius-for-diameter",
            "the catheter's radius is taken for its diameter",
            lambda v: _smallest(_upper(v["gauge"]) / 2, v["ratio_limit"]),
        ),
        Slip(
            "inner-for-outer",
            "the inner diameter is taken for the outer: the wall fills the vein too",
            lambda v: _smallest(calc.gauge(v["gauge"]).inner_mm, v["ratio_limit"]),
        ),
        Slip(
            "gauge-order-reversed",
            "a higher gauge is taken for a wider catheter, counting from the wrong end",
            lambda v: _smallest(_upper(_mirrored(v["gauge"])), v["ratio_limit"]),
        ),
    ),
)


# -------------------------------------------------------------------------- share of the area

AREA_SHARE = NumberItem(
    id="sizing-area-share",
    title="How much of the vein is filled",
    points=2,
    section=RATIO,
    draw_values=lambda draw: {"ratio": draw.step(0.25, 0.65, 0.01)},
    ask=lambda v: (
        f"A catheter lies in a vein with a catheter-to-vein ratio of {v['ratio']:.2f}, by "
        "diameter. What share of the vein's cross-section does it fill? Give two decimals, "
        "or per cent."
    ),
    unit="",
    quantity="answered_share",
    example="0.72 or 72 %",
    answer=lambda v: calc.area_share(v["ratio"]),
    absolute_tolerance=0.0055,
    slips=(
        Slip(
            "area-for-diameter",
            "the share of the diameter is taken for the share of the area",
            lambda v: v["ratio"],
        ),
        Slip(
            "free-for-filled",
            "the free share is given instead of the filled one",
            lambda v: 1 - calc.area_share(v["ratio"]),
        ),
        Slip(
            "halved-for-squared",
            "the ratio is halved instead of squared",
            lambda v: v["ratio"] / 2,
        ),
    ),
)


# --------------------------------------------------------------- a picture is no measurement


def _draw_picture_width(draw: Draw) -> dict:
    gauge = draw.choose((22, 20, 18))
    limit = draw.policy["ratio_limit"]
    width = _smallest(_upper(gauge), limit) + draw.step(0.2, 0.9, 0.1)
    wrong = draw.shuffled(("size-from-picture", "picture-is-wider", "take-the-thinner"))[:2]
    return {
        "gauge": gauge,
        "ratio_limit": limit,
        "picture_width_mm": round(width, 1),
        "order": draw.shuffled(("cannot-be-sized", "zoom-in", *wrong)),
    }


def _picture_options(v: Values) -> list[Option]:
    gauge, width, limit = v["gauge"], v["picture_width_mm"], v["ratio_limit"]
    thinner = {22: 24, 20: 22, 18: 20}[gauge]
    texts = {
        "cannot-be-sized": Option(
            "cannot-be-sized",
            "It cannot be sized from this. Measure the vein with ultrasound, without a "
            "tourniquet, or have it assessed by someone who can.",
        ),
        "size-from-picture": Option(
            "size-from-picture",
            f"{gauge} G fits: {_upper(gauge):.2f} mm is "
            f"{_ratio(_upper(gauge), width):.0%} of {width:.1f} mm, within {limit:.0%}.",
            "takes the width of the dark band for the vein: scattered light has widened it, by "
            "an amount that depends on a depth the picture does not show",
        ),
        "picture-is-wider": Option(
            "picture-is-wider",
            f"Take off a fifth for blur, {0.8 * width:.1f} mm, and size by that.",
            "takes off a fixed share for blur: the share depends on depth, skin and distance",
        ),
        "take-the-thinner": Option(
            "take-the-thinner",
            f"Take {thinner} G, one size thinner than the picture suggests, to be safe.",
            "guards against an unknown error with a fixed step: the band can be wider than the "
            "vein by more than one size",
        ),
        "zoom-in": Option(
            "zoom-in",
            "Bring the device nearer so that the band is larger, then measure it on the skin.",
            "expects a larger picture to measure better: it is out of its working distance, and "
            "the blur grows with it",
        ),
    }
    return [texts[key] for key in v["order"]]


PICTURE_WIDTH = ChoiceItem(
    id="sizing-picture-width",
    title="A width from the picture",
    points=2,
    section=MEASURE,
    critical=True,
    draw_values=_draw_picture_width,
    ask=lambda v: (
        "The projected near-infrared picture shows a straight dark band "
        f"{v['picture_width_mm']:.1f} mm wide on the forearm. Nobody has scanned the vein. Can a {v['gauge']} G catheter be "
        "chosen for it?"
    ),
    options=_picture_options,
)


# ------------------------------------------------------------- smallest catheter that does it


# What may be offered, thinnest first; the needed one is never at an end.
_OFFERED = (22, 20, 18, 16, 14)


def _draw_adequate(draw: Draw) -> dict:
    needed = draw.choose(_OFFERED[1:-1])
    thinner = calc.gauge(_OFFERED[_OFFERED.index(needed) - 1])
    rapid = next(row for row in tables.therapies() if row.key == "rapid")
    lowest = max(rapid.flow_low_ml_per_min, 1.1 * thinner.nominal_flow_ml_per_min)
    highest = min(rapid.flow_high_ml_per_min, 0.95 * calc.gauge(needed).nominal_flow_ml_per_min)
    limit = draw.policy["ratio_limit"]
    edge = _smallest(_upper(needed), limit)
    fits = draw.choose((True, True, False))
    vein = edge + draw.step(0.2, 0.8, 0.1) if fits else edge - draw.step(0.2, 0.3, 0.1)
    return {
        "ratio_limit": limit,
        "flow_ml_per_min": draw.step(ceil(lowest), floor(highest), 1),
        "vein_diameter_mm": round(vein, 1),
        "order": draw.shuffled(("smallest", "thinner", "thicker", "none")),
    }


def _adequate(v: Values) -> calc.Sizing:
    return calc.size_catheter(
        flow_needed_ml_per_min=v["flow_ml_per_min"],
        vein_diameter_mm=v["vein_diameter_mm"],
        measured_by="ultrasound",
        ratio_limit=v["ratio_limit"],
        allowed_gauges=_OFFERED,
    )


def _adequate_options(v: Values) -> list[Option]:
    sizing = _adequate(v)
    takes = sizing.verdict == "fits"
    gauge = sizing.gauge
    thinner = _OFFERED[_OFFERED.index(gauge) - 1]
    thicker = _OFFERED[_OFFERED.index(gauge) + 1]
    no_vein = "None of these in this vein: look for a larger vein, or ask about another route."
    texts = {
        "smallest": Option(
            "smallest",
            f"{gauge} G",
            "" if takes else "forgets to ask whether the vein takes it: it is over the limit here",
        ),
        "thinner": Option(
            "thinner", f"{thinner} G", "takes the thinner one although its flow is too low"
        ),
        "thicker": Option(
            "thicker",
            f"{thicker} G",
            "takes more than is needed: every size up fills more of the vein",
        ),
        "none": Option(
            "none",
            no_vein,
            "turns down a vein that takes the catheter within the limit" if takes else "",
        ),
    }
    return [texts[key] for key in v["order"]]


SMALLEST_ADEQUATE = ChoiceItem(
    id="sizing-smallest-adequate",
    title="The smallest catheter that does the job",
    points=2,
    section=SMALLEST,
    draw_values=_draw_adequate,
    ask=lambda v: (
        f"An adult is to have fluid fast, at least {v['flow_ml_per_min']:.0f} mL/min by gravity; "
        "take the nominal flow of each gauge from the table in the lesson. Ultrasound, without a "
        f"tourniquet, gives a vein {v['vein_diameter_mm']:.1f} mm across. The department allows a ratio of "
        f"{v['ratio_limit']:.0%}. Which catheter do you choose?"
    ),
    options=_adequate_options,
)


# ------------------------------------------------------------------------ one line of Python

RATIO_CODE = CodeItem(
    id="sizing-ratio-code",
    title="The ratio in one line of Python",
    points=2,
    section=RATIO,
    draw_values=lambda draw: {
        "outer_diameter_mm": draw.step(0.65, 1.85, 0.01),
        "vein_diameter_mm": draw.step(2.1, 5.5, 0.1),
    },
    ask=lambda v: (
        "Complete the line in the cell above, so that it gives the catheter-to-vein ratio for any "
        f"catheter and vein. Yours to try it on: {v['outer_diameter_mm']:.2f} mm in "
        f"{v['vein_diameter_mm']:.1f} mm."
    ),
    function="ratio",
    answer=lambda v: _ratio(v["outer_diameter_mm"], v["vein_diameter_mm"]),
    relative_tolerance=0.001,
    slips=(
        Slip(
            "ratio-upside-down",
            "the vein is divided by the catheter",
            lambda v: 1 / _ratio(v["outer_diameter_mm"], v["vein_diameter_mm"]),
        ),
        Slip(
            "area-for-diameter",
            "areas are compared: the ratio goes by diameter",
            lambda v: calc.area_share(_ratio(v["outer_diameter_mm"], v["vein_diameter_mm"])),
        ),
        Slip(
            "radius-for-diameter",
            "the catheter's radius is compared with the vein's diameter",
            lambda v: _ratio(v["outer_diameter_mm"] / 2, v["vein_diameter_mm"]),
        ),
        Slip(
            "percent-for-ratio",
            "the ratio is given in per cent: 0.45 is 45 %",
            lambda v: 100 * _ratio(v["outer_diameter_mm"], v["vein_diameter_mm"]),
        ),
    ),
)


# ------------------------------------------------------------------------------ in own words


def _draw_reasons(draw: Draw) -> dict:
    gauge = draw.choose((20, 18))
    return {"gauge": gauge, "picture_width_mm": draw.step(2.8, 4.6, 0.1)}


REASONS = TextItem(
    id="sizing-reasons",
    title="Tell a colleague why",
    points=3,
    section=MEASURE,
    draw_values=_draw_reasons,
    ask=lambda v: (
        f"A colleague says: “The picture shows {v['picture_width_mm']:.1f} mm, so a {v['gauge']} G "
        "will do.” In three or four sentences, tell them what that width is and is not, how the "
        "vein should be measured, and what they would risk."
    ),
    mark_scheme=(
        "The dark band is a blurred shadow: its width depends on depth, skin, focus and distance "
        "as well as on the vein, and the picture does not show the depth (1 point).",
        "Measure with ultrasound, without a tourniquet, which distends the vein; size from the "
        "catheter's largest outer diameter by the local limit (1 point).",
        "Too large a catheter: less flow past it and a higher risk of failure or clot; too long "
        "a look at the picture does not mend it (1 point).",
    ),
)
