"""The tables of gauges, needles and ratios, and the catheter that they lead to."""

from __future__ import annotations

from collections.abc import Sequence
from math import isclose

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.department import profile_in_use, whose
from cubital.explore.kit.drawing import Sheet, StaticFigure
from cubital.explore.kit.table import SEEN_WORDS, LessonTable
from cubital.tables.rows import Gauge

HOW = {"ultrasound": "ultrasound", "picture": "its width in the picture"}


def _source(key: str, seen: str) -> str:
    if key == "common-practice":
        return "common practice; no single source"
    return f"{tables.bibliography()[key].text} ({SEEN_WORDS[seen]})"


def gauge_table() -> LessonTable:
    """Catheter sizes by the standard: gauge, outer diameter, French size, hub colour."""
    rows = tables.gauges()
    return LessonTable(
        caption="Over-needle catheters: gauge, outer diameter and the standard's hub colour",
        columns=(
            "Gauge",
            "Outer diameter allowed, mm",
            "At the upper end, French",
            "Usual bore, mm",
            "Hub colour",
        ),
        rows=tuple(
            (
                str(row.gauge),
                f"{row.outer_lower_mm:.3f} to {row.outer_upper_mm:.3f}",
                f"{calc.french_size(row.outer_upper_mm):.1f}",
                f"{row.inner_mm:.2f}",
                row.hub_colour,
            )
            for row in rows
        ),
        note=(
            f"Outer diameter and colour: {_source(rows[0].outer_source, rows[0].outer_seen)}. "
            "The bore differs from maker to maker: these are usual values, "
            f"{SEEN_WORDS[rows[0].inner_seen]}. The label on the pack decides."
        ),
    )


def ratio_evidence_table() -> LessonTable:
    """The limits in circulation for the catheter-to-vein ratio, and what each rests on."""
    return LessonTable(
        caption="Three figures for catheter over vein, and what each rests on",
        columns=("By diameter", "By area", "What it rests on", "Source"),
        rows=tuple(
            (
                percent(row.ratio),
                percent(calc.area_share(row.ratio)),
                row.rests_on,
                _source(row.source, row.seen),
            )
            for row in tables.ratio_evidence()
        ),
        note=_local_limit(profile_in_use()),
    )


def _local_limit(profile: tables.Profile) -> str:
    """Say the local limit, and what it rests on where that is the course's to say."""
    shipped = tables.profile()
    if profile.ratio_limit == shipped.ratio_limit:
        return f"Your local limit: {percent(profile.ratio_limit)}. {profile.ratio_limit_rests_on}"
    return f"The limit of {whose(profile)}: {percent(profile.ratio_limit)}. Ask what it rests on."


def needle_table() -> LessonTable:
    """Catheters and steel needles of the same gauge side by side."""
    needles = {row.gauge: row for row in tables.needle_tubes()}
    pairs = [(row, needles[row.gauge]) for row in tables.gauges() if row.gauge in needles]
    return LessonTable(
        caption="Catheters and steel needles of the same gauge",
        columns=(
            "Gauge",
            "Catheter outside, mm",
            "Needle outside, mm",
            "Catheter's hub colour",
            "Needle's hub colour",
        ),
        rows=tuple(
            (
                str(catheter.gauge),
                f"{catheter.outer_lower_mm:.3f} to {catheter.outer_upper_mm:.3f}",
                f"{needle.outer_lower_mm:.3f} to {needle.outer_upper_mm:.3f}",
                catheter.hub_colour,
                needle.hub_colour,
            )
            for catheter, needle in pairs
        ),
    )


def choice_table(
    *,
    flow_needed_ml_per_min: float,
    vein_diameter_mm: float,
    measured_by: str = "ultrasound",
    age_group: str = "adult",
) -> LessonTable:
    """Every gauge in use at an age against one therapy and one vein, and the choice."""
    in_use = {row.gauge for row in tables.joint_limits() if row.age_group == age_group}
    rows = [row for row in tables.gauges() if row.gauge in in_use]
    limit = profile_in_use().ratio_limit
    sizing = calc.size_catheter(
        flow_needed_ml_per_min=flow_needed_ml_per_min,
        vein_diameter_mm=vein_diameter_mm,
        measured_by=measured_by,
        ratio_limit=limit,
        allowed_gauges=[row.gauge for row in rows],
    )
    caption = (
        f"{flow_needed_ml_per_min:.3g} mL/min needed, vein "
        f"{measure(vein_diameter_mm, 'mm', 1)} by {HOW[measured_by]}, local limit {percent(limit)}"
    )
    return LessonTable(
        caption=caption,
        columns=("Gauge", "Nominal flow, mL/min", "Meets the flow", "Catheter over vein", "Fits"),
        rows=tuple(
            _choice_row(row, flow_needed_ml_per_min, vein_diameter_mm, measured_by, limit)
            for row in rows
        ),
        note=f"Answer: {_answer(sizing)} {sizing.reason}",
    )


def _choice_row(
    row: Gauge, flow: float, vein: float, measured_by: str, limit: float
) -> tuple[str, ...]:
    nominal = row.nominal_flow_ml_per_min
    ratio = calc.catheter_to_vein_ratio(row.outer_upper_mm, vein_diameter_mm=vein)
    known = measured_by == "ultrasound"
    return (
        str(row.gauge),
        "not given" if nominal is None else f"{nominal:g}",
        "not known" if nominal is None else "yes" if nominal >= flow else "no",
        percent(ratio, 1) if known else "not known",
        ("yes" if ratio <= limit or isclose(ratio, limit) else "no") if known else "not known",
    )


def _answer(sizing: calc.Sizing) -> str:
    gauge = "" if sizing.gauge is None else f"{sizing.gauge} gauge, "
    return f"{gauge}{sizing.verdict}."


def gauge_figure() -> StaticFigure:
    """Every catheter end on, to one scale: outside at its widest, and its usual bore."""
    rows: Sequence[Gauge] = tables.gauges()
    width, height, centre_y = 640, 168, 66
    scale, room, heads = 40, 16, 56
    spans = [scale * row.outer_upper_mm + room for row in rows]
    x = heads + (width - heads - sum(spans)) / 2
    sheet = Sheet(width, height)
    for row, span in zip(rows, spans, strict=True):
        middle = (x + span / 2, centre_y)
        sheet.circle(middle, scale * row.outer_upper_mm / 2, fill=drawing.PAPER, width=2)
        sheet.hatch(middle, scale * row.outer_upper_mm / 2, colour=drawing.CATHETER)
        sheet.circle(middle, scale * row.inner_mm / 2, fill=drawing.PAPER, width=1.5)
        sheet.words((middle[0], 134), str(row.gauge), anchor="middle", bold=True)
        sheet.words((middle[0], 154), f"{row.outer_upper_mm:.2f}", anchor="middle", size=13)
        x += span
    sheet.words((8, 134), "gauge", size=13)
    sheet.words((8, 154), "mm", size=13)
    first, last = rows[0], rows[-1]
    alt = (
        f"{len(rows)} catheters end on, to one scale, from {first.gauge} gauge on the left, the "
        f"thinnest, {first.outer_upper_mm:.2f} mm across at its widest, to {last.gauge} gauge on "
        f"the right, the widest, {last.outer_upper_mm:.2f} mm. The gauge falls as the catheter "
        "grows."
    )
    return StaticFigure(
        alt=alt,
        svg=sheet.svg(),
        caption="Catheters end on, to one scale: hatched, the wall; white, the bore. "
        "Simulated, not clinically validated.",
    )
