"""Tables and source lists as HTML that a screen reader can walk: caption, column and row heads."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from cubital import tables
from cubital.tables.rows import Reference

SEEN_WORDS = {
    "read": "read for this course",
    "abstract": "only its summary read for this course",
    "second-hand": "as quoted by others",
    "memory": "from memory, to be checked before it is quoted",
}
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
            "<tr>" + "".join(map(self._cell, range(len(row)), row)) + "</tr>" for row in self.rows
        )
        note = f"<p>{escape(self.note)}</p>" if self.note else ""
        return (
            '<div style="max-width:62rem">'
            '<table class="cubital-stacks" style="border-collapse:collapse">'
            '<caption style="caption-side:top;text-align:left;font-weight:600;padding:0.4em 0">'
            f"{escape(self.caption)}</caption>"
            f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>{note}</div>"
        )

    def _cell(self, place: int, text: str) -> str:
        """Return a cell that names its column, for a page too narrow for columns."""
        tag = "td" if place else 'th scope="row"'
        column = f'data-column="{escape(self.columns[place])}"'
        style = f"{CELL}vertical-align:top;white-space:normal"
        return f'<{tag} {column} style="{style}">{escape(text)}</{tag[:2]}>'

    def __repr__(self) -> str:
        lines = [self.caption, " | ".join(self.columns)]
        lines += [" | ".join(row) for row in self.rows]
        return "\n".join([*lines, self.note] if self.note else lines)


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
