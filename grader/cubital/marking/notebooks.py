"""Notebooks as plain data: which cells are whose, and a submission put in order again.

Locked cells come from the release; of a submission only the sources of answer cells and of
cells that the learner added count, and its metadata, outputs and order do not.
"""

import itertools
from collections import defaultdict
from functools import lru_cache
from typing import Any

from cubital.handin.cells import (
    Cell,
    Notebook,
    answer_cells,
    is_grade,
    is_solution,
    marks_of,
    source_text,
)

__all__ = [
    "TYPES",
    "Cell",
    "Notebook",
    "answer_cells",
    "faults",
    "grade_points",
    "is_grade",
    "is_solution",
    "marks_of",
    "mend",
    "solution_lines",
    "source_text",
]

TYPES = ("code", "markdown", "raw")


def grade_points(notebook: Notebook) -> dict[str, float]:
    """Return the points of each grade cell by its grade_id."""
    marks = (marks_of(cell) for cell in notebook["cells"] if is_grade(cell))
    return {str(row["grade_id"]): float(row["points"]) for row in marks}


def solution_lines(notebook: Notebook) -> list[str]:
    """Return the lines that stand between the solution marks of a source."""
    lines, inside = [], False
    for cell in notebook["cells"]:
        for line in source_text(cell).splitlines():
            if "BEGIN SOLUTION" in line or "END SOLUTION" in line:
                inside = "BEGIN SOLUTION" in line
            elif inside and line.strip():
                lines.append(line.strip())
    return lines


def faults(notebook: Any) -> str:
    """Say what keeps this from being a notebook that can be marked; empty if nothing does."""
    if not isinstance(notebook, dict):
        return "it is not a notebook"
    if notebook.get("nbformat") != 4:
        return f"it is a notebook of format {notebook.get('nbformat')!r:.20}, and 4 is needed"
    if not isinstance(notebook.get("nbformat_minor", 0), int):
        return f"its minor format is {notebook['nbformat_minor']!r:.20}, not a whole number"
    if not isinstance(notebook.get("metadata", {}), dict):
        return "its metadata are not those of a notebook"
    cells = notebook.get("cells")
    if not isinstance(cells, list) or not cells:
        return "it has no cells"
    lacks = "" if "metadata" in notebook else "it lacks its metadata"
    return next(filter(None, map(_fault, cells, itertools.count(1))), lacks)


def _fault(cell: Any, number: int) -> str:
    """Say what is wrong with the form of a cell: all that nbgrader too would stumble over."""
    if not isinstance(cell, dict) or cell.get("cell_type") not in TYPES:
        return f"its cell {number} is not a cell"
    if not _is_text(cell.get("source", "")):
        return f"its cell {number} holds no text"
    metadata = cell.get("metadata")
    marks = metadata.get("nbgrader", {}) if isinstance(metadata, dict) else None
    if not isinstance(marks, dict) or not isinstance(marks.get("grade_id", ""), str):
        return f"the metadata of its cell {number} are not those of a notebook"
    if not isinstance(cell.get("id", ""), str):
        return f"the id of its cell {number} is not a word"
    attached = cell.get("attachments", {})
    outputs = cell.get("outputs", []) if cell["cell_type"] == "code" else []
    if not (_are_attachments(attached) and _are_outputs(outputs)):
        return f"what is attached to its cell {number}, or its output, is not as in a notebook"
    return ""


def _are_attachments(attached: Any) -> bool:
    return isinstance(attached, dict) and all(isinstance(one, dict) for one in attached.values())


def _is_text(source: Any) -> bool:
    return isinstance(source, str) or (
        isinstance(source, list) and all(isinstance(line, str) for line in source)
    )


def _are_outputs(outputs: Any) -> bool:
    return isinstance(outputs, list) and all(
        isinstance(output, dict)
        and isinstance(output.get("output_type", ""), str)
        and isinstance(output.get("data", {}), dict)
        and (not isinstance(text := output.get("text", ""), list) or _is_text(text))
        for output in outputs
    )


def lean(notebook: Notebook) -> Notebook:
    """Return of a submitted notebook what can count; equal cells of many are one and the same.

    Thousands of hand-ins are held at once, and most of their cells are the release's. Nobody
    changes such a cell in place.
    """
    cells = [
        _lean(
            cell["cell_type"],
            cell.get("id", ""),
            str(marks_of(cell).get("grade_id") or ""),
            source_text(cell),
        )
        for cell in notebook["cells"]
    ]
    return {"cells": cells}


@lru_cache(maxsize=2_000)
def _lean(cell_type: str, cell_id: str, grade_id: str, source: str) -> Cell:
    metadata = {"nbgrader": {"grade_id": grade_id}} if grade_id else {}
    return {"cell_type": cell_type, "id": cell_id, "metadata": metadata, "source": source}


def mend(submitted: Notebook, released: Notebook) -> Notebook:
    """Return the submission in the release's order with the release's locked cells.

    A deleted cell is back, a moved one in its place; an answer cell that was emptied is as it was
    released, so that nbgrader too takes it for not answered. Of cells with the same name the last
    counts, as in nbgrader; the others stay where they stood, as cells that the learner added.

    The metadata are the release's own, not copies: who changes them puts others in their place.
    """
    keys = [_key(cell) for cell in released["cells"]]
    known = set(keys)
    plain = {
        (cell["cell_type"], source_text(cell)): key
        for key, cell in zip(keys, released["cells"], strict=True)
        if not marks_of(cell)
    }
    last: dict[tuple[str, str], int] = {}
    placed = []
    for number, cell in enumerate(submitted["cells"]):
        key: tuple[str, str] | None = _key(cell)
        if key not in known:
            key = plain.get((cell["cell_type"], source_text(cell)))
        placed.append(key)
        if key is not None:
            last[key] = number
    added: defaultdict[Any, list[Cell]] = defaultdict(list)
    after = None
    for number, (key, cell) in enumerate(zip(placed, submitted["cells"], strict=True)):
        if key is not None and last[key] == number:
            after = key
        else:
            added[after].append(cell)
    cells = [_own(cell) for cell in added[None]]
    for key, cell in zip(keys, released["cells"], strict=True):
        given = submitted["cells"][last[key]] if key in last else None
        cells.append(_official(cell, given))
        cells.extend(_own(own) for own in added[key])
    for number, cell in enumerate(cells, 1):
        cell.setdefault("id", f"added-{number}")
    return released | {"cells": cells}


def _key(cell: Cell) -> tuple[str, str]:
    grade_id = marks_of(cell).get("grade_id")
    return ("grade_id", str(grade_id)) if grade_id else ("id", str(cell.get("id", "")))


def _official(cell: Cell, given: Cell | None) -> Cell:
    cell = cell | {"source": source_text(cell)}
    source = source_text(given) if given is not None else ""
    empty = is_solution(cell) and source.strip() in {"", cell["source"].strip()}
    if given is not None and (is_solution(cell) or not marks_of(cell)) and not empty:
        cell["source"] = source
    if cell["cell_type"] == "code":
        cell |= {"outputs": [], "execution_count": None}
    return cell


def _own(cell: Cell) -> Cell:
    own: Cell = {"cell_type": cell["cell_type"], "metadata": {}, "source": source_text(cell)}
    return own | ({"outputs": [], "execution_count": None} if own["cell_type"] == "code" else {})
