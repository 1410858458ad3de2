"""One item of the bank as a page that stands alone, or as plain text; and the table of all."""

import base64
import textwrap
from collections.abc import Sequence
from typing import NamedTuple

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from cubital.handin.mending import lesson_of
from cubital.handin.released.pictures import Shown
from cubital.records.bank.picture import space_svg
from cubital.records.bank.space import Space
from cubital.records.bank.summary import Drawn, Entry
from cubital.records.report import CAUTION
from cubital.tables.files import style

_WIDE = 96  # characters of a line of text
_HEADER = ("id", "kind", "worksheet", "objective", "points", "critical", "slips", "note")


class Table(NamedTuple):
    """A table of the page: what it shows, its columns and its rows."""

    caption: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def listing(entries: Sequence[Entry]) -> str:
    """Return the table of all items as text, columns in line."""
    rows = [_HEADER, *(_cells(entry) for entry in entries)]
    widths = [max(len(row[n]) for row in rows) for n in range(len(_HEADER))]
    lines = [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]
    lines.insert(1, "  ".join("-" * width for width in widths if width))
    asked = [entry for entry in entries if not entry.off]
    total = f"{len(asked)} items, {sum(entry.points for entry in asked):g} points"
    off = len(entries) - len(asked)
    return "\n".join([*lines, f"{total}, without {off} that are off" if off else total])


def _cells(entry: Entry) -> tuple[str, ...]:
    return (
        entry.id,
        entry.kind,
        entry.worksheet,
        entry.objective or "-",
        f"{entry.points:g}",
        "critical" if entry.critical else "",
        str(entry.slips),
        entry.note,
    )


def facts(drawn: Drawn) -> list[tuple[str, str]]:
    """Return what is to be known about an item, as names and values."""
    item, objective = drawn.item, drawn.objective
    critical = item.critical or bool(objective and item.id in objective.critical)
    lesson = objective.lesson if objective else lesson_of(item.id)
    none = "none: nobody has to answer it" if item.optional else "none yet"
    return [
        ("Worksheet", drawn.worksheet),
        ("Kind", item.kind),
        ("Points", f"{item.points:g}" + (", must be right to pass" if critical else "")),
        ("Minutes", f"{item.minutes:g}"),
        ("Objective", f"{objective.title} ({objective.key})" if objective else none),
        ("Mended by", f"“{item.section}”" + (f" in {lesson}" if lesson else "")),
        ("Version", str(item.version)),
    ]


def lead(drawn: Drawn) -> str:
    """Say the words that a slip's misconception completes."""
    return drawn.item.leads


def tables_of(space: Space) -> list[Table]:
    """Return a value space as tables: what comes out, what is drawn, how often what is right."""
    found = []
    header = ("number", "learners", "lowest", "lower quarter", "middle", "upper quarter", "highest")
    unit = f" [{space.unit}]" if space.unit else ""
    for caption, spreads in (
        (f"The right answer and each slip{unit}", space.outcomes),
        ("Drawn numbers", space.spreads),
    ):
        rows = tuple(
            (row.name, str(len(row.numbers)), *(f"{value:.4g}" for value in row.five))
            for row in spreads
        )
        if rows:
            found.append(Table(caption, header, rows))
    of = "learners" if space.learners else "number"
    first, later = (
        [Table(c.name, ("which", of), tuple((key, str(n)) for key, n in c.rows)) for c in counts]
        for counts in (space.answers, space.counts)
    )
    return [*first, *found, *later]


def environment() -> Environment:
    """Return what makes the bank's pages of their templates."""
    made = Environment(
        loader=PackageLoader("cubital.records"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["opening"] = lambda text: text[:1].upper() + text[1:]
    return made


def page(drawn: Drawn, space: Space, shown: Shown | None = None) -> str:
    """Return the page of an item; ``shown`` is the picture that it is about, with its truth."""
    svg = space_svg(space)
    return (
        environment()
        .get_template("bank.html.j2")
        .render(
            drawn=drawn,
            space=space,
            facts=facts(drawn),
            lead=lead(drawn),
            tables=tables_of(space),
            picture=base64.b64encode(svg.encode()).decode() if svg else "",
            picture_words=_in_words(space),
            shown=(base64.b64encode(shown.jpeg).decode(), shown.words) if shown else None,
            caution=CAUTION,
            css=Markup(style("sheet.css", "report.css")),
        )
    )


def _in_words(space: Space) -> str:
    """Say in words what the picture shows; the tables under it hold every number."""
    parts = []
    for row in space.outcomes:
        low, _, middle, _, high = row.five
        parts.append(f"{row.name} from {low:.3g} to {high:.3g}, middle {middle:.3g}")
    parts.extend(
        f"{row.name} drawn from {row.five[0]:.3g} to {row.five[-1]:.3g}" for row in space.spreads
    )
    for count in (*space.answers, *space.counts):
        told = ", ".join(f"{name} {number}" for name, number in count.rows[:6])
        parts.append(f"{count.name}: {told}" + (" ..." if len(count.rows) > 6 else ""))
    return "Value space. " + "; ".join(parts) + ". The tables below hold these numbers."


def text(drawn: Drawn, space: Space) -> str:
    """Return an item as plain text for the terminal."""
    lines = [f"{drawn.item.title} ({drawn.item.id})"]
    lines += [f"  {name}: {value}" for name, value in facts(drawn)]
    if drawn.note:
        lines.append(f"  Note: {drawn.note}")
    lines += ["", f"As learner {drawn.learner} of release {drawn.release} gets it:"]
    lines += _wrapped(drawn.question, "  ")
    for number, offer in enumerate(drawn.offered, 1):
        lines += _wrapped(f"{number}. {offer}", "    ")
    lines += [f"  {name} = {value}" for name, value in drawn.values]
    lines += ["", *_wrapped(f"Right: {drawn.answer}", "")]
    if drawn.route:
        lines += _wrapped(f"The way to it: {drawn.route}", "")
    lines += [f"How far off still counts as right: {drawn.tolerance}", "", "Slips:"]
    for slip in drawn.mistakes:
        words = f"{slip.key}: {slip.leads_to.rstrip('.')}. {lead(drawn)} {slip.misconception}."
        lines += _wrapped(words, "  ")
    if not drawn.mistakes:
        lines.append("  none")
    for table in tables_of(space):
        lines += ["", f"{table.caption}, over {space.learners} learners:"]
        lines += ["  " + "; ".join(filter(None, _labelled(table, row))) for row in table.rows]
    return "\n".join(lines)


def _labelled(table: Table, row: tuple[str, ...]) -> list[str]:
    if len(row) == 2:
        return [f"{row[0]}: {row[1]}"]
    return [
        row[0],
        *(f"{name} {cell}" for name, cell in zip(table.header[1:], row[1:], strict=True)),
    ]


def _wrapped(words: str, indent: str) -> list[str]:
    lines = []
    for part in words.splitlines() or [""]:
        lines += textwrap.wrap(
            part, _WIDE, initial_indent=indent, subsequent_indent=indent + "  "
        ) or [""]
    return lines
