"""The lessons' tables as HTML that a screen reader can walk: caption, column and row heads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from math import isclose

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Sheet, StaticFigure
from cubital.tables.rows import Gauge, Reference

SEEN_WORDS = {
    "read": "read for this course",
    "abstract": "only its summary read for this course",
    "second-hand": "as quoted by others",
    "memory": "from memory, to be checked before it is quoted",
}
HOW = {"ultrasound": "ultrasound", "picture": "its width in the picture"}
CELL = "padding:0.3em 0.9em 0.3em 0;border-bottom:1px solid #c3ccd0;text-align:left;"


@dataclass(frozen=True)
class LessonTable:
    """A table to be read: the first cell of each row is its head."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""

    def _repr_html_(self) -> str:
        head = "".join(
            f'<th scope="col" style="{CELL}vertical-align:bottom">{escape(c)}</th>'
            for c in self.columns
        )
        body = "".join(
            f'<tr><th scope="row" style="{CELL}vertical-align:top">{escape(row[0])}</th>'
            + "".join(
                f'<td style="{CELL}vertical-align:top;white-space:normal">{escape(cell)}</td>'
                for cell in row[1:]
            )
            + "</tr>"
            for row in self.rows
        )
        note = f"<p>{escape(self.note)}</p>" if self.note else ""
        return (
            '<div style="max-width:62rem"><table style="border-collapse:collapse">'
            '<caption style="caption-side:top;text-align:left;font-weight:600;padding:0.4em 0">'
            f"{escape(self.caption)}</caption>"
            f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>{note}</div>"
        )

    def __repr__(self) -> str:
        lines = [self.caption, " | ".join(self.columns)]
        lines += [" | ".join(row) for row in self.rows]
        return "\n".join([*lines, self.note] if self.note else lines)


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
        note=f"Your local limit: {percent(tables.profile().ratio_limit)}. "
        f"{tables.profile().ratio_limit_rests_on}",
    )


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
    limit = tables.profile().ratio_limit
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


@dataclass(frozen=True)
class SourceList:
    """The sources of a lesson, each with its key and how far it was opened."""

    entries: tuple[Reference, ...]

    def _repr_html_(self) -> str:
        items = "".join(
            f'<li style="margin:0.3em 0"><strong>{escape(row.key)}</strong> ({row.year}). '
            f"{escape(row.text)}{f' doi {escape(row.doi)}.' if row.doi else ''} "
            f"<em>{escape(SEEN_WORDS[row.seen].capitalize())}.</em></li>"
            for row in self.entries
        )
        return f'<ul style="max-width:62rem">{items}</ul>'

    def __repr__(self) -> str:
        return "\n".join(f"{row.key} ({row.year}). {row.text}" for row in self.entries)


def sources(*keys: str) -> SourceList:
    """The sources behind the keys, out of the course's one bibliography."""
    known = tables.bibliography()
    unknown = [key for key in keys if key not in known]
    if unknown:
        raise ValueError(f"no source is called {', '.join(unknown)}")
    return SourceList(tuple(known[key] for key in keys))


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
