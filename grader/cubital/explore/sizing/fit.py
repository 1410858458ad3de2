"""End on: the catheter inside the vein, drawn to one scale, and the ratio of their diameters."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import cycle
from math import isclose
from typing import Any

import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import at_least, measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.department import profile_in_use
from cubital.explore.kit.drawing import Axis, Sheet
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading

VEINS_DRAWN_MM = (1, 6)
WIDTH, HEIGHT = 420, 404
VEIN_CENTRE = (130, 122)
VEIN_SPAN = 208
LABELS_X = 262
AXIS_Y = 336
BAND = 16
EVIDENCE_DASHES = ("2 3", "7 4", "")


class GaugeChoice(Choice):
    """A catheter size out of the table of gauges."""

    def __init__(self, default: int) -> None:
        super().__init__(default, label="Catheter", unit="gauge")

    def options(self) -> dict[object, str]:
        return {
            row.gauge: f"{row.gauge} gauge, up to {measure(row.outer_upper_mm, 'mm', 2)} outside"
            for row in tables.gauges()
        }


class EndOnFit(Explorer):
    """How much of a vein a catheter takes up, seen end on."""

    inputs = ("vein_diameter_mm", "gauge")
    title = traitlets.Unicode("Catheter and vein, end on").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} The flow left beside the catheter supposes a round vein, the catheter in its "
        "middle, the same pressure as before and no other vein that takes over."
    ).tag(sync=True)
    vein_diameter_mm = Quantity(
        3.4,
        of="vein_diameter_mm",
        step=0.1,
        label="Vein diameter, by ultrasound",
        unit_words="millimetres",
        part=VEINS_DRAWN_MM,
    )
    gauge = GaugeChoice(20)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The fit of one catheter in one vein."""
        n = fit_numbers(FitState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=f"{percent(n.ratio, 1)} of the vein's diameter. {n.verdict}",
            readings=_readings(n),
            numbers=n,
        )


@dataclass(frozen=True, kw_only=True)
class FitState:
    """One catheter and one vein."""

    gauge: int
    vein_diameter_mm: float


@dataclass(frozen=True, kw_only=True)
class FitNumbers(FitState):
    """One catheter in one vein; shares and ratios are of the vein's, by diameter, area and flow."""

    outer_diameter_mm: float  # of the catheter, at the upper end of what the standard allows
    ratio: float  # catheter over vein, by diameter
    ratio_limit: float  # the local limit
    area_share: float
    annulus_flow_share: float  # flow that is left beside the catheter
    smallest_vein_mm: float  # the vein in which this catheter is just within the limit
    verdict: str


def fit_numbers(state: FitState) -> FitNumbers:
    """Compute how much of one vein one catheter takes up."""
    outer = calc.gauge(state.gauge).outer_upper_mm
    limit = profile_in_use().ratio_limit
    ratio = calc.catheter_to_vein_ratio(outer, vein_diameter_mm=state.vein_diameter_mm)
    inside = min(ratio, 1)
    return FitNumbers(
        **vars(state),
        outer_diameter_mm=outer,
        ratio=ratio,
        ratio_limit=limit,
        area_share=calc.area_share(inside),
        annulus_flow_share=calc.annulus_flow_share(inside),
        smallest_vein_mm=calc.smallest_vein_diameter_mm(outer, ratio_limit=limit),
        verdict=_verdict(ratio, limit),
    )


def _verdict(ratio: float, limit: float) -> str:
    if ratio >= 1:
        return "Wider than the vein: it cannot go in."
    if ratio > limit and not isclose(ratio, limit):
        return f"Over the local limit of {percent(limit)}: too large for this vein."
    return f"Within the local limit of {percent(limit)}."


def _readings(n: FitNumbers) -> tuple[Reading, ...]:
    return (
        Reading("Catheter over vein, by diameter", percent(n.ratio, 1), n.verdict),
        Reading("Share of the vein's area", percent(n.area_share)),
        Reading(
            f"Smallest vein for {n.gauge} gauge at {percent(n.ratio_limit)}",
            at_least(n.smallest_vein_mm, "mm", 2),
        ),
        Reading("Flow left beside the catheter", percent(n.annulus_flow_share)),
    )


def _describe(n: FitNumbers) -> str:
    vein, outer = measure(n.vein_diameter_mm, "mm", 1), measure(n.outer_diameter_mm, "mm", 2)
    inside = "inside" if n.ratio < 1 else "larger than"
    others = ", ".join(percent(row.ratio) for row in tables.ratio_evidence())
    return (
        f"Two circles to one scale: a {n.gauge} gauge catheter, {outer} across, {inside} "
        f"a vein {vein} across. Below, a scale from 0 to 100 % shows the catheter at "
        f"{percent(n.ratio, 1)} of the vein's diameter, with marks at {others} and the local "
        f"limit at {percent(n.ratio_limit)}. {n.verdict}"
    ).replace("\N{NO-BREAK SPACE}", " ")


def _draw(n: FitNumbers) -> str:
    sheet = Sheet(WIDTH, HEIGHT)
    _draw_circles(sheet, n)
    _draw_ratio(sheet, n)
    return sheet.svg()


def _draw_circles(sheet: Sheet, n: FitNumbers) -> None:
    scale = VEIN_SPAN / VEINS_DRAWN_MM[1]
    x, y = VEIN_CENTRE
    vein, catheter = (scale * mm / 2 for mm in (n.vein_diameter_mm, n.outer_diameter_mm))
    sheet.circle(VEIN_CENTRE, vein, fill=drawing.LUMEN, colour=drawing.VEIN, width=3)
    sheet.circle(VEIN_CENTRE, catheter, fill=drawing.PAPER, colour=drawing.CATHETER, width=2)
    sheet.hatch(VEIN_CENTRE, catheter, colour=drawing.CATHETER)
    if catheter >= vein:
        sheet.circle(VEIN_CENTRE, vein, colour=drawing.VEIN, width=3)
    rows = (
        (64, "vein", measure(n.vein_diameter_mm, "mm", 1), vein, drawing.VEIN),
        (
            136,
            f"catheter, {n.gauge} gauge",
            measure(n.outer_diameter_mm, "mm", 3),
            catheter,
            drawing.CATHETER,
        ),
    )
    for row_y, words, value, radius, colour in rows:
        slope = 0.72 if row_y < y else 0
        edge = (x + radius * (1 - slope**2) ** 0.5, y - radius * slope)
        sheet.line(edge, (LABELS_X - 6, row_y - 5), colour=colour)
        sheet.words((LABELS_X, row_y), words, colour=colour)
        sheet.words((LABELS_X, row_y + 19), value, colour=colour, bold=True)
    sheet.line((LABELS_X, 204), (LABELS_X + scale, 204), width=2)
    for end in (LABELS_X, LABELS_X + scale):
        sheet.line((end, 199), (end, 209), width=2)
    sheet.words((LABELS_X + scale + 8, 209), "1 mm", colour=drawing.QUIET, size=13)


def _draw_ratio(sheet: Sheet, n: FitNumbers) -> None:
    axis = Axis(0, 1, 24, WIDTH - 24)
    top, low = AXIS_Y, AXIS_Y + BAND
    sheet.words(
        (axis.start, 262),
        f"Catheter over vein, by diameter: {percent(n.ratio, 1)}",
        bold=True,
    )
    sheet.words((axis.start, 306), "from studies", colour=drawing.QUIET, size=13)
    evidence = tables.ratio_evidence()
    middle = (len(evidence) - 1) / 2
    for place, (row, dash) in enumerate(zip(evidence, cycle(EVIDENCE_DASHES), strict=False)):
        x = axis(row.ratio)
        side = (place > middle) - (place < middle)
        label_y = 306 if side else 288
        sheet.line((x, label_y - 10 if side else label_y + 4), (x, top), width=1.5, dash=dash)
        anchor = {-1: "end", 0: "middle", 1: "start"}[side]
        sheet.words((x + 5 * side, label_y), percent(row.ratio), anchor=anchor, size=13)
    end = axis(min(n.ratio, 1))
    sheet.curve(
        ((axis.start, top), (end, top), (end, low), (axis.start, low), (axis.start, top)),
        colour=drawing.CATHETER,
        width=1.5,
    )
    for k in range(int(axis.start) + 5, int(end) + 1, 5):
        sheet.line((k, top), (k - 5, low), colour=drawing.CATHETER)
    sheet.line((axis.start, top), (axis.end, top), width=1.5)
    sheet.line((axis.start, low), (axis.end, low))
    if n.ratio > 1:
        sheet.words((axis.end, top - 8), "off the scale", anchor="end", size=13)
    for tick in axis.ticks(0.2):
        sheet.line((axis(tick), low), (axis(tick), low + 5))
        sheet.words((axis(tick), low + 19), percent(tick), anchor="middle", size=13)
    limit = axis(n.ratio_limit)
    sheet.line((limit, top - 4), (limit, low + 4), colour=drawing.MARKER, width=3)
    sheet.pointer((limit, low + 22), size=7)
    side = 1 if n.ratio_limit < 0.6 else -1
    sheet.words(
        (limit + 12 * side, low + 35),
        f"local limit, {percent(n.ratio_limit)}",
        anchor="start" if side > 0 else "end",
        colour=drawing.MARKER,
        size=13,
    )
