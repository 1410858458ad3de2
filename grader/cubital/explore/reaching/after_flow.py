"""The drip after placement: the bag's height against what presses in the vein."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, rounded
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words

HEIGHTS_MM, HUNG_MM, CUFFS_MMHG = (0, 1200), (100, 1200), (0, 80)
CURVE_POINTS = 61
ROOM_C, FLUID = 22, "saline"
GAUGES = (24, 22, 20, 18)
FLOW_SCALES = ((20, 5), (50, 10), (100, 20), (150, 25))
SIZE, BOX = (440, 342), (66, 410, 56, 262)


class GaugeInUse(Choice):
    """A catheter with the bore and the longest length that its gauge is usually made with."""

    def __init__(self, default: int) -> None:
        super().__init__(default, label="Catheter", unit="gauge")

    def options(self) -> dict[object, str]:
        rows = (calc.gauge(number) for number in GAUGES)
        return {row.gauge: f"{row.gauge} gauge, {row.lengths_mm[-1]:g} mm long" for row in rows}


class FlowAfterPlacement(Explorer):
    """Flow from a bag against its height, with a tourniquet off or left on."""

    inputs = ("height_mm", "cuff_mmhg", "gauge")
    title = traitlets.Unicode("The drip after placement").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Saline at room temperature through the catheter alone: giving set, "
        "connector, a bent arm and the vein's own resting pressure are left out, and each slows "
        "the flow. A good flow does not prove that the tip is in the vein."
    ).tag(sync=True)
    height_mm = Quantity(
        800,
        of="height_mm",
        step=50,
        label="Height of the bag above the vein",
        unit_words="millimetres",
        part=HUNG_MM,
    )
    cuff_mmhg = Quantity(
        0,
        of="cuff_mmhg",
        step=5,
        label="Tourniquet still on: its pressure",
        unit_words="millimetres of mercury",
        part=CUFFS_MMHG,
    )
    gauge = GaugeInUse(20)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The flow for one height and one tourniquet, and how it goes with the height."""
        numbers = after_numbers(FlowState(**state))
        return Picture(
            svg=_draw(numbers),
            alt=_describe(numbers),
            spoken=plain_words(f"Flow {_span(numbers)}."),
            readings=_readings(numbers),
            numbers=numbers,
        )


@dataclass(frozen=True, kw_only=True)
class FlowState:
    """Height of the bag above the vein [mm], cuff pressure [mmHg] and gauge of the catheter."""

    height_mm: float
    cuff_mmhg: float
    gauge: int


@dataclass(frozen=True, kw_only=True)
class FlowNumbers(FlowState):
    """The flow with the tourniquet off and on, now and over the height of the bag.

    The pressure in the vein under a tourniquet is a range, so that a flow with it on, and the
    height at which the drip stands still, are pairs.
    """

    length_mm: float
    """Length of the catheter."""
    flow_off_ml_per_min: float
    flow_low_ml_per_min: float
    flow_high_ml_per_min: float
    stands_still_mm: tuple[float, float]
    heights_mm: np.ndarray
    flows_off: np.ndarray
    """Flow with the tourniquet off [mL/min], one for each of `heights_mm`."""
    flows_on: tuple[np.ndarray, np.ndarray]
    """Flow with the tourniquet on [mL/min]: at the lower and at the higher pressure."""


def after_numbers(state: FlowState) -> FlowNumbers:
    """Compute the flow at the chosen height and its curves over the height."""
    row = calc.gauge(state.gauge)
    fluid = calc.fluid(FLUID, temperature_c=ROOM_C)
    per_mmhg = tables.constant("pascal-per-mmhg").value
    lower_mmhg, higher_mmhg = calc.vein_pressure_under_cuff_mmhg(state.cuff_mmhg)
    lower_pa, higher_pa = per_mmhg * lower_mmhg, per_mmhg * higher_mmhg

    def flow(height: float | np.ndarray, back_pa: float) -> Any:
        bag = calc.hydrostatic_pressure_pa(height, density_kg_per_m3=fluid.density_kg_per_m3)
        return calc.catheter_flow_ml_per_min(
            row.inner_mm,
            length_mm=row.lengths_mm[-1],
            pressure_pa=np.maximum(np.asarray(bag) - back_pa, 0),
            viscosity_mpa_s=fluid.viscosity_mpa_s,
            density_kg_per_m3=fluid.density_kg_per_m3,
        )

    heights = np.linspace(*HEIGHTS_MM, CURVE_POINTS)
    per_mm = calc.hydrostatic_pressure_pa(1, density_kg_per_m3=fluid.density_kg_per_m3)
    return FlowNumbers(
        **vars(state),
        length_mm=row.lengths_mm[-1],
        flow_off_ml_per_min=float(flow(state.height_mm, 0)),
        flow_low_ml_per_min=float(flow(state.height_mm, higher_pa)),
        flow_high_ml_per_min=float(flow(state.height_mm, lower_pa)),
        stands_still_mm=(lower_pa / per_mm, higher_pa / per_mm),
        heights_mm=heights,
        flows_off=flow(heights, 0),
        flows_on=(flow(heights, lower_pa), flow(heights, higher_pa)),
    )


def _span(n: FlowNumbers) -> str:
    low, high = n.flow_low_ml_per_min, n.flow_high_ml_per_min
    if high == 0:
        return "none: it stands still, or blood comes back"
    if low == high:
        return rounded(low, "mL/min")
    return f"{low:.1f} to {measure(high, 'mL/min', 1)}"


def _readings(n: FlowNumbers) -> tuple[Reading, ...]:
    low, high = n.stands_still_mm
    off = "" if n.cuff_mmhg else "The tourniquet is off."
    return (
        Reading("Flow now", _span(n), off),
        Reading("Flow with the tourniquet off", rounded(n.flow_off_ml_per_min, "mL/min")),
        Reading(
            "Stands still with the bag below",
            f"{low:.0f} to {measure(high, 'mm', 0)}" if high else measure(0, "mm", 0),
        ),
    )


def _describe(n: FlowNumbers) -> str:
    on = (
        f"Two dashed curves, for a tourniquet left on at {measure(n.cuff_mmhg, 'mmHg', 0)}, lie "
        f"lower and start only at {n.stands_still_mm[0]:.0f} to "
        f"{measure(n.stands_still_mm[1], 'mm', 0)}."
        if n.cuff_mmhg
        else "No tourniquet is on."
    )
    return plain_words(
        f"Flow of saline through a {n.gauge} gauge catheter, "
        f"{measure(n.length_mm, 'mm', 0)} long, against the height of the bag. A solid curve "
        f"rises with the height, for a tourniquet off. {on} With the bag at "
        f"{measure(n.height_mm, 'mm', 0)} the flow now is {_span(n)}."
    )


def _draw(n: FlowNumbers) -> str:
    highest = float(n.flows_off[-1])
    top, step = next(scale for scale in FLOW_SCALES if scale[0] >= highest)
    plot = Plot(
        Scale(*HEIGHTS_MM, 200, "height of the bag above the vein, mm"),
        Scale(0, top, step, "flow, mL/min"),
        size=SIZE,
        box=BOX,
    )
    is_on = n.cuff_mmhg > 0
    plot.curve(n.heights_mm, n.flows_off, width=2 if is_on else 3)
    if is_on:
        for flows in n.flows_on:
            plot.curve(n.heights_mm, flows, colour=drawing.CATHETER, dash="7 5")
    middle = (n.flow_low_ml_per_min + n.flow_high_ml_per_min) / 2
    plot.mark(n.height_mm, middle, f"Flow now: {_span(n)}")
    rows = (("tourniquet off", drawing.VEIN, ""), ("left on, from and to", drawing.CATHETER, "7 5"))
    for place, (words, colour, dash) in enumerate(rows[: 1 + is_on]):
        x = 8 + 170 * place
        plot.sheet.line((x, 324), (x + 30, 324), colour=colour, width=3, dash=dash)
        plot.sheet.words((x + 38, 329), words, colour=colour, size=13)
    return plot.svg()
