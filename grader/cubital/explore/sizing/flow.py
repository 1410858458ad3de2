"""What bore, length, height and fluid do to the flow through a catheter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, rounded
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Axis, Sheet, keep_below
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading

WIDTH, HEIGHT = 420, 392
LEFT, RIGHT, TOP, BOTTOM = 46, 404, 62, 306
CURVE_POINTS = 60
FLOW_SCALES = ((125, 25), (250, 50), (500, 100), (1000, 200), (2000, 400))
"""Tops of the flow scale in mL/min, each with the step of its ticks."""


class FluidChoice(Choice):
    """A fluid out of the table of fluids."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Fluid")

    def options(self) -> dict[object, str]:
        return {name: row.label for name, row in tables.fluids().items()}


class BoreAndFlow(Explorer):
    """Flow under gravity against the catheter's bore."""

    inputs = ("inner_diameter_mm", "length_mm", "height_mm", "fluid", "temperature_c")
    title = traitlets.Unicode("Bore and flow").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} The catheter alone: the giving set, the needle-free connector and the "
        "pressure in the vein are left out, and each of them slows the flow."
    ).tag(sync=True)

    inner_diameter_mm = Quantity(
        0.8,
        of="inner_diameter_mm",
        step=0.05,
        label="Bore (inner diameter)",
        unit_words="millimetres",
    )
    length_mm = Quantity(
        32, of="length_mm", step=1, label="Length of the catheter", unit_words="millimetres"
    )
    height_mm = Quantity(
        800,
        of="height_mm",
        step=50,
        label="Height of the bag above the vein",
        unit_words="millimetres",
    )
    fluid = FluidChoice("saline")
    temperature_c = Quantity(
        22,
        of="temperature_c",
        step=1,
        label="Temperature of the fluid",
        unit_words="degrees Celsius",
    )

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The flow for one bore, and how it goes with the bore."""
        n = flow_numbers(FlowState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=f"Flow {_plain(rounded(n.flow_ml_per_min, 'mL/min'))}. {n.regime}",
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class FlowState:
    """The catheter, the height of the bag, and the fluid."""

    inner_diameter_mm: float
    length_mm: float
    height_mm: float  # of the bag above the vein
    fluid: str
    temperature_c: float


@dataclass(frozen=True, kw_only=True, eq=False)
class FlowNumbers(FlowState):
    """The flow at one bore, and both curves over the bore.

    Of each flow there are two: with the losses at entry and exit, and by Poiseuille's formula for a
    long tube alone.
    """

    fluid_words: str
    viscosity_mpa_s: float
    pressure_pa: float  # from the bag's height
    flow_ml_per_min: float
    poiseuille_flow_ml_per_min: float
    reynolds: float
    is_laminar: bool
    regime: str
    bores_mm: np.ndarray
    flows_ml_per_min: np.ndarray  # at each of these bores
    poiseuille_flows_ml_per_min: np.ndarray


def flow_numbers(state: FlowState) -> FlowNumbers:
    """Compute the flow for one bore, and how it goes with the bore."""
    liquid = calc.fluid(state.fluid, temperature_c=state.temperature_c)
    pressure = calc.hydrostatic_pressure_pa(
        state.height_mm, density_kg_per_m3=liquid.density_kg_per_m3
    )
    limit = tables.limits()["inner_diameter_mm"]
    bores = np.linspace(limit.usual_low, limit.usual_high, CURVE_POINTS)
    pipe = {
        "length_mm": state.length_mm,
        "pressure_pa": pressure,
        "viscosity_mpa_s": liquid.viscosity_mpa_s,
    }
    lossy = {**pipe, "density_kg_per_m3": liquid.density_kg_per_m3}
    flow = calc.catheter_flow_ml_per_min(state.inner_diameter_mm, **lossy)
    reynolds = calc.reynolds_number(
        flow,
        inner_diameter_mm=state.inner_diameter_mm,
        viscosity_mpa_s=liquid.viscosity_mpa_s,
        density_kg_per_m3=liquid.density_kg_per_m3,
    )
    is_laminar = calc.is_laminar(reynolds)
    return FlowNumbers(
        **vars(state),
        fluid_words=tables.fluids()[state.fluid].label,
        viscosity_mpa_s=liquid.viscosity_mpa_s,
        pressure_pa=pressure,
        flow_ml_per_min=flow,
        poiseuille_flow_ml_per_min=calc.poiseuille_flow_ml_per_min(state.inner_diameter_mm, **pipe),
        reynolds=reynolds,
        is_laminar=is_laminar,
        regime="Smooth (laminar) flow." if is_laminar else "Not laminar: it may be turbulent.",
        bores_mm=bores,
        flows_ml_per_min=calc.catheter_flow_ml_per_min(bores, **lossy),
        poiseuille_flows_ml_per_min=calc.poiseuille_flow_ml_per_min(bores, **pipe),
    )


def _flow_scale(highest: float) -> tuple[float, float]:
    """The flow at the top of the scale and the step of its ticks."""
    return next((s for s in FLOW_SCALES if s[0] >= highest), FLOW_SCALES[-1])


def _plain(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


def _readings(n: FlowNumbers) -> tuple[Reading, ...]:
    return (
        Reading("Flow", rounded(n.flow_ml_per_min, "mL/min")),
        Reading(
            "By the long-tube formula alone",
            rounded(n.poiseuille_flow_ml_per_min, "mL/min"),
        ),
        Reading("Reynolds number", f"{n.reynolds:,.0f}", n.regime),
        Reading("Pressure from the bag", rounded(n.pressure_pa, "Pa")),
        Reading("Viscosity: how thick the fluid is", measure(n.viscosity_mpa_s, "mPa s", 2)),
    )


def _describe(n: FlowNumbers) -> str:
    top, _ = _flow_scale(n.flows_ml_per_min[-1])
    leaves = n.poiseuille_flows_ml_per_min[-1] > top
    where = "leaves the picture at the top" if leaves else "stays in the picture"
    return _plain(
        f"Two curves of flow against bore for {n.fluid_words}, a catheter "
        f"{measure(n.length_mm, 'mm', 0)} long and a bag {measure(n.height_mm, 'mm', 0)} "
        f"above the vein. Both rise steeply with the bore; the dashed curve, the long-tube formula "
        f"alone, {where}; the solid curve, with losses at entry and exit, runs below it. "
        f"At a bore of {measure(n.inner_diameter_mm, 'mm', 2)} the flow is "
        f"{rounded(n.flow_ml_per_min, 'mL/min')}; the long-tube formula alone says "
        f"{rounded(n.poiseuille_flow_ml_per_min, 'mL/min')}. {n.regime}"
    )


def _draw(n: FlowNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    bores, curve = n.bores_mm, n.flows_ml_per_min
    top, step = _flow_scale(curve[-1])
    across = Axis(0, 2, LEFT, RIGHT)
    up = Axis(0, top, BOTTOM, TOP)
    _draw_axes(sheet, across, up, step)

    tube = keep_below(
        [(across(b), up(q)) for b, q in zip(bores, n.poiseuille_flows_ml_per_min, strict=True)],
        TOP,
    )
    solid = keep_below([(across(b), up(q)) for b, q in zip(bores, curve, strict=True)], TOP)
    sheet.curve(tube, colour=drawing.CATHETER, dash="7 5")
    sheet.curve(solid, colour=drawing.VEIN, width=3)
    here = (across(n.inner_diameter_mm), up(min(n.flow_ml_per_min, top)))
    sheet.line((LEFT, here[1]), here, colour=drawing.MARKER, dash="2 3")
    sheet.line((here[0], BOTTOM), here, colour=drawing.MARKER, dash="2 3")
    end_x, end_y = tube[-1]
    sheet.words(
        (end_x - 8, max(end_y + 4, TOP + 12)),
        "long-tube formula",
        anchor="end",
        colour=drawing.CATHETER,
        halo=True,
    )
    sheet.words(
        (RIGHT, BOTTOM - 30), "with entry and", anchor="end", colour=drawing.VEIN, halo=True
    )
    sheet.words((RIGHT, BOTTOM - 12), "exit losses", anchor="end", colour=drawing.VEIN, halo=True)

    sheet.circle(here, 6, fill=drawing.PAPER, colour=drawing.MARKER, width=3)
    sheet.words(
        (LEFT - 34, 20),
        f"{measure(n.inner_diameter_mm, 'mm', 2)} bore: {rounded(n.flow_ml_per_min, 'mL/min')}",
        colour=drawing.MARKER,
        bold=True,
    )
    return sheet.svg()


def _draw_axes(sheet: Sheet, across: Axis, up: Axis, step: float) -> None:
    sheet.words((LEFT - 34, 46), "flow, mL/min", size=13)
    for tick in up.ticks(step):
        sheet.line((LEFT, up(tick)), (RIGHT, up(tick)), colour=drawing.GRID)
        sheet.words((LEFT - 6, up(tick) + 4), f"{tick:,.0f}", anchor="end", size=13)
    sheet.line((LEFT, TOP), (LEFT, BOTTOM), width=1.5)
    sheet.line((LEFT, BOTTOM), (RIGHT, BOTTOM), width=1.5)
    for tick in across.ticks(0.5):
        sheet.line((across(tick), BOTTOM), (across(tick), BOTTOM + 5))
        sheet.words((across(tick), BOTTOM + 19), f"{tick:.1f}", anchor="middle", size=13)
    sheet.words((RIGHT, BOTTOM + 37), "bore (inner diameter), mm", anchor="end", size=13)
    for row in tables.gauges():
        sheet.line(
            (across(row.inner_mm), BOTTOM + 46),
            (across(row.inner_mm), BOTTOM + 52),
            colour=drawing.QUIET,
        )
        sheet.words(
            (across(row.inner_mm), BOTTOM + 65),
            str(row.gauge),
            anchor="middle",
            size=12,
            colour=drawing.QUIET,
        )
    sheet.words(
        (RIGHT, BOTTOM + 81),
        "gauge with about that bore",
        anchor="end",
        size=12,
        colour=drawing.QUIET,
    )
