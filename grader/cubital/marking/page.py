"""What a learner's feedback page says, as plain words for its template to escape."""

import re
from dataclasses import dataclass, field
from typing import Any

from cubital.handin.mending import where_to_read
from cubital.handin.release import Release
from cubital.handin.stubs import CODE_STUB
from cubital.items import Item, TextItem
from cubital.marking import notebooks

_LABELS = (
    "Question",
    "Your answer",
    "Mark",
    "Why",
    "The way to it",
    "How sure you were",
    "Read again",
)
_NO_RESPONSE = "No response."  # nbgrader's own comment on an answer cell that did not change
_FENCED = re.compile(r"(~{3,})text\n(.*)\n\1", re.DOTALL)


@dataclass
class Part:
    """One item on the page; ``picture`` holds a JPEG in base 64 and the same in words."""

    id: str
    title: str
    mark: str
    full: bool = False
    rows: list[tuple[str, str]] = field(default_factory=list)
    line: str = ""
    comment: str = ""
    picture: tuple[str, str] | None = None


@dataclass
class Sheet:
    """The whole page; ``sure`` tells how sure, how many answers, and how many of them right."""

    title: str
    learner: str
    release: str
    score: str
    waiting: str
    parts: list[Part]
    sure: list[tuple[str, int, int]]


def page(notebook: Any, release: Release, learner: str, waiting: set[str]) -> Sheet:
    """Gather a marked notebook's feedback; ``waiting`` are the items nobody has marked yet."""
    parts = []
    points = most = pending = 0.0
    holders = notebooks.answer_cells(notebook)
    for cell in notebook.cells:
        if not notebooks.is_grade(cell):
            continue
        marks = cell.metadata.nbgrader
        item = release.item(marks.grade_id)
        given = None if item.id in waiting else float(marks.score or 0.0)
        points, most = points + (given or 0.0), most + float(marks.points)
        pending += float(marks.points) if given is None else 0.0
        parts.append(
            _part(
                len(parts) + 1, item, cell, given=given, holders=holders, asked=(release, learner)
            )
        )
    return Sheet(
        title=f"Worksheet: {release.worksheet.replace('-', ' ')}",
        learner=learner,
        release=release.name,
        score=f"{points:g} of {most:g} points" + (" so far" if pending else ""),
        waiting=f"{pending:g} of these points wait to be marked by hand." if pending else "",
        parts=parts,
        sure=_sure(parts),
    )


def _sure(parts: list[Part]) -> list[tuple[str, int, int]]:
    """Count answers and right ones by how sure the learner was, the least sure first."""
    found: dict[str, list[bool]] = {}
    for part in parts:
        said = dict(part.rows).get("How sure you were")
        if said is not None:
            found.setdefault(said, []).append(part.full)
    by_share = sorted(found, key=lambda said: float(said.split()[0]))
    return [(said, len(found[said]), sum(found[said])) for said in by_share]


def _part(
    number: int,
    item: Item,
    cell: Any,
    *,
    given: float | None,
    holders: dict[str, Any],
    asked: tuple[Release, str],
) -> Part:
    most = float(cell.metadata.nbgrader.points)
    mark = "waits to be marked by hand" if given is None else f"{given:g} of {most:g}"
    must = " (must be right to pass)" if item.critical else ""
    full = given is not None and given >= most
    part = Part(item.id, f"{number}. {item.title}{must}", mark, full)
    holder = holders.get(item.id)
    if holder is not None:
        comment = notebooks.marks_of(holder).get("comment") or ""
        part.comment = "" if comment == _NO_RESPONSE else comment
    if isinstance(item, TextItem):
        release, learner = asked
        question = item.ask(release.values(item, learner))
        part.rows = _text_rows(item, cell, question, given, mark)
        return part
    if holder is not None:
        line = notebooks.source_text(holder)
        part.line = "" if CODE_STUB in line else line
    part.rows = _computed_rows(cell, given, mark)
    part.picture = next(
        (
            (output.data["image/jpeg"], output.data["text/plain"])
            for output in cell.outputs
            if output.output_type == "display_data" and "image/jpeg" in output.data
        ),
        None,
    )
    return part


def _computed_rows(cell: Any, given: float | None, mark: str) -> list[tuple[str, str]]:
    rows = _said(cell)
    if not rows:
        return [("Mark", mark), ("Why", _failure(cell))]
    computed = dict(rows).get("Mark", mark)
    told = [(label, mark if label == "Mark" else words) for label, words in rows]
    if given is not None and computed != mark:
        told.append(("Changed by the marker", f"The computed mark was {computed}."))
    return told


def _text_rows(
    item: TextItem, cell: Any, question: str, given: float | None, mark: str
) -> list[tuple[str, str]]:
    source = notebooks.source_text(cell)
    fenced = _FENCED.fullmatch(source.strip())
    text = fenced.group(2) if fenced else source
    blank = notebooks.marks_of(cell).get("comment") == _NO_RESPONSE
    why = "Not answered." if blank else "Marked by hand."
    if given is None:
        why = "A person reads and marks this one."
    rows = [
        ("Question", question),
        ("Your answer", "none saved" if blank else text),
        ("Mark", mark),
        ("Why", why),
    ]
    if given is not None and given < item.points:
        rows.append(("Read again", where_to_read(item)))
    return rows


def _said(cell: Any) -> list[tuple[str, str]]:
    """Take the feedback apart that a grade cell shows as plain text, label by label."""
    texts = [
        output.data["text/plain"]
        for output in cell.outputs
        if output.output_type == "display_data" and "text/plain" in output.data
    ]
    rows: list[tuple[str, str]] = []
    for line in (texts[-1] if texts else "").splitlines():
        label, found, words = line.partition(": ")
        started = len(rows) and rows[-1][0]
        known = [*_LABELS][_LABELS.index(started) + 1 if started else 0 :]
        if found and label in known:
            rows.append((label, words))
        elif rows:
            rows[-1] = (rows[-1][0], f"{rows[-1][1]}\n{line}")
    return rows


def _failure(cell: Any) -> str:
    for output in cell.outputs:
        if output.output_type == "error":
            return f"The cell stopped with {output.ename}: {output.evalue}"
    return "The cell gave no feedback."
