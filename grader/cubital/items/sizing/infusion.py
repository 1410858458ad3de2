"""Items on what sets the flow, on drops and on hours."""

from math import ceil, floor

from cubital import calc, tables
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import with_article

FLOW = "What sets the flow"
DROPS = "Drops and hours"

# -------------------------------------------------------------------------- flow by the bore


def _draw_bore(draw: Draw) -> dict:
    bore = draw.step(0.5, 0.8, 0.05)
    return {
        "flow_ml_per_min": draw.step(1.0, 4.0, 0.1),
        "inner_diameter_mm": bore,
        "new_inner_diameter_mm": round(bore + draw.step(0.1, 0.3, 0.05), 2),
    }


def _after_bore_change(v: Values, times: float = 1.0) -> float:
    return calc.flow_after_bore_change_ml_per_min(
        v["flow_ml_per_min"],
        inner_diameter_mm=v["inner_diameter_mm"],
        new_inner_diameter_mm=v["inner_diameter_mm"] * _bore_ratio(v) ** times,
    )


def _bore_ratio(v: Values) -> float:
    return v["new_inner_diameter_mm"] / v["inner_diameter_mm"]


BORE_FLOW = NumberItem(
    id="sizing-bore-flow",
    version=2,
    title="A wider bore at slow flow",
    points=2,
    section=FLOW,
    draw_values=_draw_bore,
    ask=lambda v: (
        f"A slow infusion runs at {v['flow_ml_per_min']:.1f} mL/min through a bore of "
        f"{v['inner_diameter_mm']:.2f} mm. Flow this slow is laminar, and only the bore "
        f"changes. How much would run through {v['new_inner_diameter_mm']:.2f} mm, with "
        "length, fluid and driving pressure the same? Give one decimal."
    ),
    unit="mL/min",
    quantity="flow_ml_per_min",
    example="42.5 mL/min",
    answer=_after_bore_change,
    absolute_tolerance=0.055,  # one decimal is asked for
    relative_tolerance=0.02,
    slips=(
        Slip(
            "square-for-fourth-power",
            "flow is taken to grow with the area of the bore: use the fourth power of the diameter",
            lambda v: _after_bore_change(v, 0.5),
        ),
        Slip(
            "linear-for-fourth-power",
            "flow is taken to grow in step with the bore: use the fourth power of the diameter",
            lambda v: _after_bore_change(v, 1 / 4),
        ),
    ),
    route=lambda v: (
        f"{v['new_inner_diameter_mm']:.2f} mm / {v['inner_diameter_mm']:.2f} mm = "
        f"{_bore_ratio(v):.3f}; multiplied by itself, four times over, that is "
        f"{_bore_ratio(v) ** 4:.2f}; {v['flow_ml_per_min']:.1f} mL/min × {_bore_ratio(v) ** 4:.2f} "
        f"= {_after_bore_change(v):.1f} mL/min"
    ),
)


# ------------------------------------------------------------------------- flow under gravity


_BORE_STEP_MM = 0.05  # as fine as the lesson's figure can be set


def _draw_gravity(draw: Draw) -> dict:
    gauge = calc.gauge(draw.choose((24, 22, 20, 18, 16)))
    bores = range(
        ceil(gauge.inner_low_mm / _BORE_STEP_MM - 1e-9),
        floor(gauge.inner_high_mm / _BORE_STEP_MM + 1e-9) + 1,
    )
    return {
        "gauge": gauge.gauge,
        "inner_diameter_mm": round(draw.choose(bores) * _BORE_STEP_MM, 2),
        "length_mm": draw.choose(gauge.lengths_mm),
        "height_mm": draw.step(500, 1000, 50),
    }


_TEMPERATURE_C = 20.0


def _gravity(v: Values, *, bore: float = 1.0, height: float = 1.0, laminar: bool = False) -> float:
    water = calc.fluid("water", temperature_c=_TEMPERATURE_C)
    pressure = calc.hydrostatic_pressure_pa(
        v["height_mm"] * height, density_kg_per_m3=water.density_kg_per_m3
    )
    given = {
        "length_mm": v["length_mm"],
        "pressure_pa": pressure,
        "viscosity_mpa_s": water.viscosity_mpa_s,
    }
    bore_mm = v["inner_diameter_mm"] * bore
    if laminar:
        return calc.poiseuille_flow_ml_per_min(bore_mm, **given)
    return calc.catheter_flow_ml_per_min(
        bore_mm, density_kg_per_m3=water.density_kg_per_m3, **given
    )


GRAVITY_FLOW = NumberItem(
    id="sizing-gravity-flow",
    version=2,
    title="Flow from a hanging bag",
    points=2,
    section=FLOW,
    draw_values=_draw_gravity,
    ask=lambda v: (
        f"A catheter is tested: water at {_TEMPERATURE_C:.0f} °C runs from a bag "
        f"{v['height_mm']:.0f} mm above it. It is {with_article(v['gauge'])}, of "
        f"{v['inner_diameter_mm']:.2f} mm bore and {v['length_mm']:.0f} mm length. Set the "
        "lesson's figure “Bore and flow” to these values, and to this fluid at this "
        "temperature. Then read off the flow that the catheter alone lets through, with its "
        "entry and exit losses. Whole mL/min will do."
    ),
    unit="mL/min",
    quantity="flow_ml_per_min",
    example="12 mL/min",
    answer=_gravity,
    relative_tolerance=0.03,
    slips=(
        Slip(
            "losses-left-out",
            "the losses at entry and exit are left out: read the lower figure, which counts them",
            lambda v: _gravity(v, laminar=True),
        ),
        Slip(
            "height-in-centimetres",
            "the height is set in centimetres: set it in millimetres",
            lambda v: _gravity(v, height=1 / 10),
        ),
    ),
    route=lambda v: (
        f"with the figure at {v['inner_diameter_mm']:.2f} mm bore, {v['length_mm']:.0f} mm length, "
        f"{v['height_mm']:.0f} mm height and water at {_TEMPERATURE_C:.0f} °C: a long thin pipe "
        f"would let through {_gravity(v, laminar=True):.0f} mL/min; with the losses at entry and "
        f"exit the catheter lets through {_gravity(v):.0f} mL/min"
    ),
)


# ---------------------------------------------------------------------------------- drip rate


_SLOWEST_ML_PER_H = 40
_BAGS_ML = (100, 250, 500, 1000)


def _draw_drip(draw: Draw) -> dict:
    factor = draw.choose(
        tuple(row.drop_factor_per_ml for row in tables.drop_factors() if row.kind == "standard")
    )
    high = 150 if factor < 60 else 100  # drops that can still be counted
    orders = [
        {"volume_ml": volume, "time_h": hours}
        for volume in _BAGS_ML
        for hours in range(1, 25)
        if _SLOWEST_ML_PER_H <= volume / hours <= high
    ]
    return {**draw.choose(orders), "drop_factor_per_ml": factor}


def _drip(v: Values, factor: float | None = None) -> float:
    rate = calc.infusion_rate_ml_per_h(v["volume_ml"], time_h=v["time_h"])
    return calc.drip_rate_per_min(rate, drop_factor_per_ml=factor or v["drop_factor_per_ml"])


def _hours(count: float) -> str:
    return "1 hour" if count == 1 else f"{count:.0f} hours"


DRIP_RATE = NumberItem(
    id="sizing-drip-rate",
    title="Drops per minute",
    points=2,
    section=DROPS,
    version=2,
    draw_values=_draw_drip,
    ask=lambda v: (
        f"{v['volume_ml']:,.0f} mL over {_hours(v['time_h'])} are prescribed. The set's label says "
        f"{v['drop_factor_per_ml']:.0f} drops/mL. How many drops per minute do you set? "
        "A whole number will do."
    ),
    unit="drops/min",
    quantity="answered_drip_rate",
    example="8 drops/min",
    answer=_drip,
    absolute_tolerance=0.55,
    slips=(
        Slip(
            "wrong-drop-factor",
            "the drop factor of the other kind of set is used: read the factor from the label "
            "of this set",
            lambda v: _drip(v, 20 if v["drop_factor_per_ml"] == 60 else 60),
        ),
        Slip(
            "per-hour-for-per-minute",
            "drops per hour are given: divide by the minutes, not by the hours",
            lambda v: 60 * _drip(v),
        ),
    ),
    route=lambda v: (
        f"{v['volume_ml']:,.0f} mL × {v['drop_factor_per_ml']:.0f} drops/mL = "
        f"{v['volume_ml'] * v['drop_factor_per_ml']:,.0f} drops; {v['time_h']:.0f} h × 60 = "
        f"{60 * v['time_h']:.0f} min; {v['volume_ml'] * v['drop_factor_per_ml']:,.0f} / "
        f"{60 * v['time_h']:.0f} = {_drip(v):.0f} drops/min"
    ),
)


# ------------------------------------------------------------------------------ time to infuse


def _draw_time(draw: Draw) -> dict:
    return {
        "volume_ml": draw.choose((250, 500, 750, 1000)),
        "rate_ml_per_h": draw.step(70, 240, 10),
    }


def _time_h(v: Values) -> float:
    return calc.infusion_time_h(v["volume_ml"], rate_ml_per_h=v["rate_ml_per_h"])


def _decimals_as_minutes(v: Values) -> float | None:
    """1.5 h read as 1 h 50 min; impossible where the decimals pass 59 or there are none."""
    hours, hundredths = divmod(round(100 * _time_h(v)), 100)
    return hours + hundredths / 60 if 0 < hundredths < 60 else None


INFUSION_TIME = NumberItem(
    id="sizing-infusion-time",
    version=2,
    title="Time to infuse",
    points=2,
    section=DROPS,
    draw_values=_draw_time,
    ask=lambda v: (
        f"{v['volume_ml']} mL run at {v['rate_ml_per_h']:.0f} mL/h. How long does the bag last? "
        "Hours with two decimals, or hours and minutes."
    ),
    unit="h",
    quantity="time_h",
    example="16.25 h or 16 h 15 min",
    answer=_time_h,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "decimals-as-minutes",
            "the decimals of an hour are read as minutes: multiply them by 60, so that 0.50 "
            "h is 30 min",
            _decimals_as_minutes,
        ),
        Slip(
            "minutes-for-hours",
            "minutes are given as hours: divide by 60 once more",
            lambda v: 60 * _time_h(v),
        ),
    ),
    route=lambda v: (
        f"{v['volume_ml']} mL / {v['rate_ml_per_h']:.0f} mL/h = {_time_h(v):.2f} h, which is "
        f"{_time_h(v):.2f} × 60 = {60 * _time_h(v):.0f} min"
    ),
)
