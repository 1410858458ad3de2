"""Items that join an order, its flow, the catheter, the vein that takes it, and the drops."""

from functools import cache
from itertools import product
from math import floor

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.sizing.ratio import smallest_vein, upper_diameter
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent, with_article

MEASURE = "Measure the vein, do not read it off the picture"
SMALLEST = "The smallest catheter that does the job"
DROPS = "Drops and hours"

_MINUTES = 60  # in an hour
_FULL = 100  # hundredths of a millimetre in one

# ------------------------------------------------------------- from an order to the smallest vein

_GAUGES = (22, 20, 18, 16, 14)
_USABLE = 0.8  # share of the nominal flow that the department in the question counts on
_VOLUMES_ML = (250, 300, 400, 500, 750, 1000)
_TIMES_MIN = range(5, 36)


def _flow(v: Values) -> float:
    return v["volume_ml"] / v["time_min"]


def _nominal(gauge: int) -> float:
    return calc.gauge(gauge).nominal_flow_ml_per_min


def _thinnest(flow: float, usable: float) -> int:
    """The thinnest of the gauges that gives a flow."""
    return next(gauge for gauge in _GAUGES if usable * _nominal(gauge) >= flow)


def _needed(v: Values) -> int:
    return _thinnest(_flow(v), _USABLE)


@cache
def _orders() -> tuple[tuple[int, int], ...]:
    """Orders for which the margin decides on the gauge, and neither end of the table does."""
    found = []
    for volume, minutes in product(_VOLUMES_ML, _TIMES_MIN):
        flow = volume / minutes
        # a little away from the edge of a gauge, so that rounding decides nothing
        with_margin = {_thinnest(1.03 * flow, _USABLE), _thinnest(flow / 1.03, _USABLE)}
        without = {_thinnest(1.03 * flow, 1), _thinnest(flow / 1.03, 1)}
        if len(with_margin | without) == 2 and with_margin.isdisjoint(without):
            (gauge,) = with_margin
            if gauge != _GAUGES[-1]:
                found.append((volume, minutes))
    return tuple(found)


def _packets(draw: Draw) -> list[float]:
    """Draw the outer diameter on the packet of each gauge, within what the gauge allows."""
    rows = [calc.gauge(gauge) for gauge in _GAUGES]
    return [
        draw.step(row.outer_lower_mm, floor(_FULL * row.outer_upper_mm) / _FULL, 0.01)
        for row in rows
    ]


def _draw_order(draw: Draw) -> dict:
    volume, minutes = draw.choose(_orders())
    return {
        "ratio_limit": draw.policy["ratio_limit"],
        "volume_ml": volume,
        "time_min": minutes,
        "packets_mm": _packets(draw),
    }


def _outer(v: Values, gauge: int) -> float:
    return v["packets_mm"][_GAUGES.index(gauge)]


def _next_wider(gauge: int) -> int:
    return _GAUGES[_GAUGES.index(gauge) + 1]


def _vein(v: Values, gauge: int | None = None) -> float:
    outer = _outer(v, _needed(v) if gauge is None else gauge)
    return smallest_vein(outer, v["ratio_limit"])


def _listed_gauges(v: Values) -> str:
    return "; ".join(
        f"{gauge} G {_nominal(gauge):.0f} mL/min and {_outer(v, gauge):.2f} mm" for gauge in _GAUGES
    )


VEIN_FOR_ORDER = NumberItem(
    id="whole-vein-for-order",
    title="From an order to the vein it takes",
    points=2,
    section=SMALLEST,
    version=2,
    draw_values=_draw_order,
    ask=lambda v: (
        f"{v['volume_ml']:,.0f} mL are to run into an adult within {v['time_min']:.0f} minutes. "
        "The packets on the trolley give nominal flow and outer diameter: "
        f"{_listed_gauges(v)}. As flow in a vein is less, your "
        f"department counts on {per_cent(_USABLE)} of the nominal flow; it allows a "
        f"catheter-to-vein ratio of {per_cent(v['ratio_limit'])}, by diameter. Take the thinnest "
        "catheter that gives the flow. What is the smallest vein for it? Give two decimals."
    ),
    unit="mm",
    quantity="vein_diameter_mm",
    example="5.25 mm",
    answer=_vein,
    relative_tolerance=0.012,
    minutes=3.0,
    slips=(
        Slip(
            "margin-left-out",
            "the nominal flow is counted on in full: count on the usable share, since flow in "
            "a vein is less",
            lambda v: _vein(v, _thinnest(_flow(v), 1)),
        ),
        Slip(
            "thicker-than-needed",
            "the next wider catheter is taken to be sure: take the thinnest, since the margin "
            "is in the 80 % already",
            lambda v: _vein(v, _next_wider(_needed(v))),
        ),
        Slip(
            "multiplied-by-limit",
            "the diameter is multiplied by the limit: divide by it, since the vein must be "
            "wider than the catheter",
            lambda v: calc.largest_outer_diameter_mm(
                _outer(v, _needed(v)), ratio_limit=v["ratio_limit"]
            ),
        ),
        Slip(
            "area-for-diameter",
            "the limit is taken for a share of the area: apply it to the diameter",
            lambda v: smallest_vein(_outer(v, _needed(v)), v["ratio_limit"] ** 0.5),
        ),
    ),
    route=lambda v: (
        f"{v['volume_ml']:,.0f} mL / {v['time_min']:.0f} min = {_flow(v):.1f} mL/min; "
        f"{with_article(_needed(v))} gives 0.8 × {_nominal(_needed(v)):.0f} = "
        f"{_USABLE * _nominal(_needed(v)):.1f} mL/min; {_outer(v, _needed(v)):.2f} mm / "
        f"{v['ratio_limit']:.2f} = {_vein(v):.2f} mm"
    ),
)


# --------------------------------------------------------- a band that was taken for a vein


def _draw_believed(draw: Draw) -> dict:
    vein = draw.step(2.2, 3.4, 0.1)
    return {
        "gauge": draw.choose((22, 20)),
        "vein_diameter_mm": vein,
        "band_mm": round(vein * draw.step(1.25, 2.1, 0.05), 1),
    }


def _filled(v: Values, width_mm: float) -> float:
    ratio = calc.catheter_to_vein_ratio(upper_diameter(v["gauge"]), vein_diameter_mm=width_mm)
    return calc.area_share(ratio)


def _times_filled(v: Values) -> float:
    return _filled(v, v["vein_diameter_mm"]) / _filled(v, v["band_mm"])


def _times_wide(v: Values) -> float:
    return v["band_mm"] / v["vein_diameter_mm"]


TIMES_FILLED = NumberItem(
    id="whole-times-filled",
    version=2,
    title="Filled more than the picture made one believe",
    points=2,
    section=MEASURE,
    draw_values=_draw_believed,
    ask=lambda v: (
        f"A colleague measured a band of {v['band_mm']:.1f} mm in the picture, took it for "
        f"the vein, and put in {with_article(v['gauge'])} catheter. Then the vein is measured "
        f"by ultrasound, without a tourniquet: {v['vein_diameter_mm']:.1f} mm. The catheter "
        "fills a larger share of the vein's cross-section than the colleague believed. How "
        "many times as large is this share? Type the number alone, with two decimals."
    ),
    unit="",
    quantity="answered_times_filled",
    example="5.25",
    answer=_times_filled,
    absolute_tolerance=0.056,
    slips=(
        Slip(
            "width-for-area",
            "the two widths are compared: square their ratio, since a cross-section is filled",
            _times_wide,
        ),
        Slip(
            "more-for-times",
            "how much more is filled is given: say how many times as much",
            lambda v: _times_filled(v) - 1,
        ),
    ),
    route=lambda v: (
        f"{v['band_mm']:.1f} mm / {v['vein_diameter_mm']:.1f} mm = {_times_wide(v):.2f}; "
        f"{_times_wide(v):.2f}² = {_times_filled(v):.2f}, whichever the catheter"
    ),
)


# ------------------------------------------------------------- what is left, after a new catheter


def _draw_caught_up(draw: Draw) -> dict:
    volume, whole = draw.choose(((500, 6), (500, 8), (1000, 8), (1000, 10), (1000, 12)))
    return {
        "volume_ml": volume,
        "whole_h": whole,
        "from_h": draw.step(7, 11, 1),
        "ran_min": draw.step(70, 150, 10),
        "stood_min": draw.step(50, 90, 5),
        "drop_factor_per_ml": 20,
    }


def _clock(v: Values, minutes: float) -> str:
    hour, minute = divmod(round(v["from_h"] * _MINUTES + minutes), _MINUTES)
    return f"{hour:02d}:{minute:02d}"


def _left_ml(v: Values) -> float:
    first = calc.infusion_rate_ml_per_h(v["volume_ml"], time_h=v["whole_h"])
    return v["volume_ml"] - first * v["ran_min"] / _MINUTES


def _left_h(v: Values) -> float:
    return v["whole_h"] - (v["ran_min"] + v["stood_min"]) / _MINUTES


def _drops(v: Values, *, volume_ml: float | None = None, time_h: float | None = None) -> float:
    rate = calc.infusion_rate_ml_per_h(
        _left_ml(v) if volume_ml is None else volume_ml,
        time_h=_left_h(v) if time_h is None else time_h,
    )
    return calc.drip_rate_per_min(rate, drop_factor_per_ml=v["drop_factor_per_ml"])


DROPS_LEFT = NumberItem(
    id="whole-drops-left",
    version=2,
    title="The rest of the bag, by the time first set",
    points=2,
    section=DROPS,
    draw_values=_draw_caught_up,
    ask=lambda v: (
        f"A bag of {v['volume_ml']:,.0f} mL began at {_clock(v, 0)} and was to last "
        f"{v['whole_h']:.0f} hours, evenly. At {_clock(v, v['ran_min'])} the place is "
        "swollen, and you stop it; it has run evenly until then. A new catheter is in the "
        f"other arm, and at {_clock(v, v['ran_min'] + v['stood_min'])} the drip can go on. "
        "The prescriber wants only what is left in the bag to run in, and by the time that "
        f"was set at first. The set gives {v['drop_factor_per_ml']:.0f} drops/mL. How many "
        "drops per minute? A whole number will do."
    ),
    unit="drops/min",
    quantity="answered_drip_rate",
    example="18 drops/min",
    answer=_drops,
    absolute_tolerance=0.55,
    minutes=3.0,
    slips=(
        Slip(
            "pause-left-out",
            "the time without a drip is not taken off: count only the hours that are left",
            lambda v: _drops(v, time_h=v["whole_h"] - v["ran_min"] / _MINUTES),
        ),
        Slip(
            "whole-for-left",
            "the whole bag is reckoned once more: take off what has run",
            lambda v: _drops(v, volume_ml=v["volume_ml"]),
        ),
        Slip(
            "time-set-anew",
            "what is left is given the whole time once more: keep the end that was set at first",
            lambda v: _drops(v, time_h=v["whole_h"]),
        ),
        Slip(
            "wrong-drop-factor",
            "the drop factor of the other kind of set is used: read the factor from the label "
            "of this set",
            lambda v: 3 * _drops(v),  # 60 drops to 1 mL for 20
        ),
    ),
    route=lambda v: (
        f"{v['volume_ml']:,.0f} mL × {v['ran_min'] / _MINUTES:.2f} h / {v['whole_h']:.0f} h = "
        f"{v['volume_ml'] - _left_ml(v):.0f} mL ran; {_left_ml(v):.0f} mL / {_left_h(v):.2f} h = "
        f"{_left_ml(v) / _left_h(v):.0f} mL/h; {_left_ml(v) / _left_h(v):.0f} × 20 / 60 = "
        f"{_drops(v):.0f} drops/min"
    ),
)
