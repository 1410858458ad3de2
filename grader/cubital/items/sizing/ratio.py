"""Items on catheter size and the vein that takes it."""

from math import ceil, floor, pi

from cubital import calc, tables
from cubital.items.kinds.base import Slip
from cubital.items.kinds.expression import ExpressionItem
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent, with_article

GAUGES = (24, 22, 20, 18, 16)
_TABLE = (26, *GAUGES, 14)
_RATIOS_ASKED = (0.28, 0.75)  # from an easy fit to a catheter far too large
_NEXT_MM = 0.01  # one gauge ends so close to where the next begins
RATIO = "Catheter and vein: the ratio"
SIZES = "Gauge, millimetres and French"


def upper_diameter(gauge: int) -> float:
    """Return the largest outer diameter that a gauge may have."""
    return calc.gauge(gauge).outer_upper_mm


def _mirrored(gauge: int) -> int:
    """The gauge reached by counting down the table from its other end."""
    numbers = [row.gauge for row in tables.gauges() if row.gauge >= 14]
    return numbers[::-1][numbers.index(gauge)]


def _mirrored_upper(gauge: int) -> float | None:
    """The largest diameter there; None next to the gauge, where it is this one's smallest."""
    other = upper_diameter(_mirrored(gauge))
    return None if abs(other - calc.gauge(gauge).outer_lower_mm) < _NEXT_MM else other


def _needle_upper(gauge: int) -> float | None:
    return next((row.outer_upper_mm for row in tables.needle_tubes() if row.gauge == gauge), None)


def _vein_for(draw: Draw, gauge: int) -> float:
    """Draw a vein of an adult that this catheter could be meant for, within the joint limits."""
    limit = next(
        row for row in tables.joint_limits() if (row.gauge, row.age_group) == (gauge, "adult")
    )
    low = max(limit.vein_low_mm, upper_diameter(gauge) / _RATIOS_ASKED[1])
    high = min(limit.vein_high_mm, upper_diameter(gauge) / _RATIOS_ASKED[0])
    return draw.step(ceil(10 * low) / 10, floor(10 * high) / 10, 0.1)


# ---------------------------------------------------------------- upper outer diameter of a gauge

UPPER_DIAMETER = NumberItem(
    id="sizing-upper-diameter",
    title="Outer diameter of a gauge",
    points=2,
    section=SIZES,
    version=2,
    draw_values=lambda draw: {"gauge": draw.choose(_TABLE)},
    ask=lambda v: (
        f"The packet of a peripheral catheter says {v['gauge']} G and gives no diameter. A "
        f"gauge is a range: the outer diameter of {with_article(v['gauge'])} catheter may lie "
        "anywhere in it. To be safe, you take the largest. Look in the lesson's table: what "
        f"is the largest outer diameter that {with_article(v['gauge'])} catheter may have? "
        "Type it as the table gives it, or rounded to two decimals."
    ),
    unit="mm",
    quantity="outer_diameter_mm",
    example="3.25 mm",
    answer=lambda v: upper_diameter(v["gauge"]),
    relative_tolerance=0.01,
    slips=(
        Slip(
            "lower-end",
            "the lower end of the range is taken: size by the upper end, since the catheter "
            "may be that thick",
            lambda v: calc.gauge(v["gauge"]).outer_lower_mm,
        ),
        Slip(
            "inner-for-outer",
            "the inner diameter is taken: size by the outer one, since the wall fills the vein too",
            lambda v: calc.gauge(v["gauge"]).inner_mm,
        ),
        Slip(
            "gauge-order-reversed",
            "a higher gauge is taken for a wider catheter: read the gauge from the table, "
            "where 24 is thinner than 18",
            lambda v: _mirrored_upper(v["gauge"]),
        ),
        Slip(
            "needle-table-for-catheter",
            "the steel needle of the same gauge is looked up: use the table of catheters",
            lambda v: _needle_upper(v["gauge"]),
        ),
    ),
    route=lambda v: (
        f"the table gives {v['gauge']} G from {calc.gauge(v['gauge']).outer_lower_mm:.3f} to "
        f"{upper_diameter(v['gauge']):.3f} mm; the largest is {upper_diameter(v['gauge']):.3f} mm"
    ),
)


# -------------------------------------------------------------------------------------- French size

FRENCH = NumberItem(
    id="sizing-french",
    version=2,
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
    example="9.00 Fr",
    answer=lambda v: calc.french_size(v["outer_diameter_mm"]),
    relative_tolerance=0.01,
    slips=(
        Slip(
            "radius-for-diameter",
            "the radius is multiplied: start from the whole way across",
            lambda v: calc.french_size(v["outer_diameter_mm"] / 2),
        ),
        Slip(
            "french-upside-down",
            "the millimetres are divided by three: multiply by three to get French",
            lambda v: calc.outer_diameter_mm(v["outer_diameter_mm"]),
        ),
        Slip(
            "circumference-for-french",
            "French is taken for the length round the catheter: take three times the diameter",
            lambda v: calc.french_size(v["outer_diameter_mm"] * pi / 3),
        ),
    ),
    route=lambda v: (
        f"3 × {v['outer_diameter_mm']:.2f} mm = {calc.french_size(v['outer_diameter_mm']):.2f} Fr"
    ),
)


# ----------------------------------------------------------------------------- the ratio, by hand


def _draw_ratio(draw: Draw) -> dict:
    gauge = draw.choose(GAUGES)
    return {"gauge": gauge, "vein_diameter_mm": _vein_for(draw, gauge)}


def vein_ratio(outer_mm: float, vein_mm: float) -> float:
    """Return the catheter-to-vein ratio."""
    return calc.catheter_to_vein_ratio(outer_mm, vein_diameter_mm=vein_mm)


RATIO_ITEM = NumberItem(
    id="sizing-ratio",
    version=2,
    title="Catheter-to-vein ratio",
    points=2,
    section=RATIO,
    draw_values=_draw_ratio,
    ask=lambda v: (
        f"Ultrasound, without a tourniquet, gives a vein {v['vein_diameter_mm']:.1f} mm across. "
        f"You plan {with_article(v['gauge'])} catheter. What is the catheter-to-vein ratio, "
        "worked out from the largest outer diameter of that gauge? Give two decimals, or per cent; "
        "whole per cent will do."
    ),
    unit="",
    quantity="answered_ratio",
    most=5,  # a catheter wider than the vein gives more than 1; upside down, the ratio comes to 3.6
    example="0.18 or 18 %",
    answer=lambda v: vein_ratio(upper_diameter(v["gauge"]), v["vein_diameter_mm"]),
    absolute_tolerance=0.0055,
    slips=(
        Slip(
            "ratio-upside-down",
            "the vein is divided by the catheter: divide the catheter by the vein",
            lambda v: 1 / vein_ratio(upper_diameter(v["gauge"]), v["vein_diameter_mm"]),
        ),
        Slip(
            "area-for-diameter",
            "areas are compared: divide diameters, as the limits do",
            lambda v: calc.area_share(
                vein_ratio(upper_diameter(v["gauge"]), v["vein_diameter_mm"])
            ),
        ),
        Slip(
            "inner-for-outer",
            "the inner diameter is taken: use the outer one, since the wall fills the vein too",
            lambda v: vein_ratio(calc.gauge(v["gauge"]).inner_mm, v["vein_diameter_mm"]),
        ),
        Slip(
            "per-cent-sign-missing",
            "per cent are typed without their sign: type 45 % or 0.45",
            lambda v: 100 * vein_ratio(upper_diameter(v["gauge"]), v["vein_diameter_mm"]),
        ),
        Slip(
            "gauge-order-reversed",
            "a higher gauge is taken for a wider catheter: read the gauge from the table, "
            "where 24 is thinner than 18",
            lambda v: vein_ratio(upper_diameter(_mirrored(v["gauge"])), v["vein_diameter_mm"]),
        ),
    ),
    route=lambda v: (
        f"{upper_diameter(v['gauge']):.3f} mm / {v['vein_diameter_mm']:.1f} mm = "
        f"{vein_ratio(upper_diameter(v['gauge']), v['vein_diameter_mm']):.2f}"
    ),
)


# ------------------------------------------------------------------------- the smallest vein


def _draw_smallest_vein(draw: Draw) -> dict:
    limits = tuple(row.ratio for row in tables.ratio_evidence())
    return {"gauge": draw.choose(GAUGES), "ratio_limit": draw.choose(limits)}


def smallest_vein(outer_mm: float, limit: float) -> float:
    """Return the smallest vein within a limit."""
    return calc.smallest_vein_diameter_mm(outer_mm, ratio_limit=limit)


SMALLEST_VEIN = NumberItem(
    id="sizing-smallest-vein",
    version=2,
    title="The smallest vein for a catheter",
    points=2,
    section=RATIO,
    draw_values=_draw_smallest_vein,
    ask=lambda v: (
        f"A department allows a catheter-to-vein ratio of {per_cent(v['ratio_limit'])}, by "
        f"diameter. What is the smallest vein in which {with_article(v['gauge'])} catheter "
        "stays within it, worked out from the largest outer diameter of that gauge? Give two "
        "decimals, and round up, so that the limit holds."
    ),
    unit="mm",
    quantity="vein_diameter_mm",
    example="6.25 mm",
    answer=lambda v: smallest_vein(upper_diameter(v["gauge"]), v["ratio_limit"]),
    relative_tolerance=0.012,  # more than a hundredth: rounded up or not, it is right
    slips=(
        Slip(
            "multiplied-by-limit",
            "the diameter is multiplied by the limit: divide by it, since the vein must be "
            "wider than the catheter",
            lambda v: calc.largest_outer_diameter_mm(
                upper_diameter(v["gauge"]), ratio_limit=v["ratio_limit"]
            ),
        ),
        Slip(
            "area-for-diameter",
            "the limit is taken for a share of the area: apply it to the diameter",
            lambda v: smallest_vein(upper_diameter(v["gauge"]), v["ratio_limit"] ** 0.5),
        ),
        Slip(
            "inner-for-outer",
            "the inner diameter is taken: use the outer one, since the wall fills the vein too",
            lambda v: smallest_vein(calc.gauge(v["gauge"]).inner_mm, v["ratio_limit"]),
        ),
        Slip(
            "gauge-order-reversed",
            "a higher gauge is taken for a wider catheter: read the gauge from the table, "
            "where 24 is thinner than 18",
            lambda v: smallest_vein(upper_diameter(_mirrored(v["gauge"])), v["ratio_limit"]),
        ),
    ),
    route=lambda v: (
        f"{upper_diameter(v['gauge']):.3f} mm / {v['ratio_limit']:.2f} = "
        f"{smallest_vein(upper_diameter(v['gauge']), v['ratio_limit']):.3f} mm, rounded up "
        f"{ceil(100 * smallest_vein(upper_diameter(v['gauge']), v['ratio_limit'])) / 100:.2f} mm"
    ),
)


# -------------------------------------------------------------------------- share of the area

AREA_SHARE = NumberItem(
    id="sizing-area-share",
    version=3,
    title="How much of the vein is filled",
    points=2,
    section=RATIO,
    draw_values=lambda draw: {"ratio": draw.step(0.25, 0.65, 0.01)},
    ask=lambda v: (
        f"A catheter lies in a vein with a catheter-to-vein ratio of {v['ratio']:.2f}, by "
        "diameter. What share of the vein's cross-section does it fill? Give two decimals, "
        "or per cent; whole per cent will do."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="0.72 or 72 %",
    answer=lambda v: calc.area_share(v["ratio"]),
    absolute_tolerance=0.0055,
    slips=(
        Slip(
            "diameter-for-area",
            "the share of the diameter is taken for the share of the area: square it",
            lambda v: v["ratio"],
        ),
        Slip(
            "free-for-filled",
            "the free share is given: give the share that the catheter fills",
            lambda v: 1 - calc.area_share(v["ratio"]),
        ),
        Slip(
            "per-cent-sign-missing",
            "per cent are typed without their sign: type 20 % or 0.20",
            lambda v: 100 * calc.area_share(v["ratio"]),
        ),
    ),
    route=lambda v: f"{v['ratio']:.2f} × {v['ratio']:.2f} = {calc.area_share(v['ratio']):.2f}",
)


# ------------------------------------------------------------------------ one line of Python

RATIO_CODE = ExpressionItem(
    id="sizing-ratio-code",
    version=4,
    title="Optional: the ratio in one line of Python",
    optional=True,
    points=2,
    section=RATIO,
    draw_values=lambda draw: {
        "outer_diameter_mm": draw.step(0.65, 1.85, 0.01),
        "vein_diameter_mm": draw.step(2.1, 5.5, 0.1),
    },
    ask=lambda v: (
        "Write one line of arithmetic that gives the catheter-to-vein ratio for any catheter and "
        f"vein. It is tried on {v['outer_diameter_mm']:.2f} mm in {v['vein_diameter_mm']:.1f} mm, "
        "and later on others."
    ),
    function="ratio",
    answer=lambda v: vein_ratio(v["outer_diameter_mm"], v["vein_diameter_mm"]),
    relative_tolerance=0.001,
    line="outer_diameter_mm / vein_diameter_mm",
    slip_lines={
        "ratio-upside-down": "vein_diameter_mm / outer_diameter_mm",
        "area-for-diameter": "(outer_diameter_mm / vein_diameter_mm) ** 2",
        "radius-for-diameter": "outer_diameter_mm / 2 / vein_diameter_mm",
        "percent-for-ratio": "100 * outer_diameter_mm / vein_diameter_mm",
    },
    slips=(
        Slip(
            "ratio-upside-down",
            "the vein is divided by the catheter: divide the catheter by the vein",
            lambda v: 1 / vein_ratio(v["outer_diameter_mm"], v["vein_diameter_mm"]),
        ),
        Slip(
            "area-for-diameter",
            "areas are compared: divide diameters, as the limits do",
            lambda v: calc.area_share(vein_ratio(v["outer_diameter_mm"], v["vein_diameter_mm"])),
        ),
        Slip(
            "radius-for-diameter",
            "the catheter's radius is compared with the vein's diameter: use the diameter of both",
            lambda v: vein_ratio(v["outer_diameter_mm"] / 2, v["vein_diameter_mm"]),
        ),
        Slip(
            "percent-for-ratio",
            "the ratio is given in per cent: leave out the factor of 100, since 0.45 is 45 %",
            lambda v: 100 * vein_ratio(v["outer_diameter_mm"], v["vein_diameter_mm"]),
        ),
    ),
)
