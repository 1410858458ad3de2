"""The cells of a worksheet's notebook as plain data: which are answered in, and what is written.

Of an item with a cell of its own the answer that was saved in its field counts, and it is written
over what stands in the cell; the cell's own text counts only where none was saved.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from cubital.handin.files import read_json
from cubital.handin.released.stubs import CODE_STUB
from cubital.items import Form

Notebook = dict[str, Any]
Cell = dict[str, Any]
Written = Mapping[str, tuple[Form, Mapping[str, Any]]]  # form and saved answer, by item

_LARGEST = 60_000_000  # bytes, with its pictures


def marks_of(cell: Cell) -> dict[str, Any]:
    """Return nbgrader's metadata of a cell."""
    metadata = cell.get("metadata")
    marks = metadata.get("nbgrader") if isinstance(metadata, dict) else None
    return marks if isinstance(marks, dict) else {}


def source_text(cell: Cell) -> str:
    """Return a cell's source as one text."""
    source = cell.get("source", "")
    return source if isinstance(source, str) else "".join(source)


def is_solution(cell: Cell) -> bool:
    """Whether the learner's answer stands in this cell."""
    return bool(marks_of(cell).get("solution"))


def is_grade(cell: Cell) -> bool:
    """Whether points are given on this cell."""
    return bool(marks_of(cell).get("grade"))


def answer_cells(notebook: Notebook) -> dict[str, Cell]:
    """Return, by grade_id, the cell that holds each grade cell's answer.

    That is the grade cell itself where it is written into, else the last answer cell between it
    and the grade cell before.
    """
    found: dict[str, Cell] = {}
    nearest = None
    for cell in notebook.get("cells", []):
        if is_grade(cell):
            holder = cell if is_solution(cell) else nearest
            if holder is not None:
                found[str(marks_of(cell).get("grade_id", ""))] = holder
            nearest = None
        elif is_solution(cell):
            nearest = cell
    return found


def with_answers(notebook: Notebook, saved: Written) -> Notebook:
    """Return the notebook with each saved answer in its item's own cell, if it has one there."""
    holders = answer_cells(notebook)
    sources = {
        id(holders[item_id]): source
        for item_id, (form, answer) in saved.items()
        if item_id in holders
        and (holders[item_id].get("cell_type") == "code") == form.in_code
        and (source := form.written(answer)) is not None
    }
    cells = [
        cell | {"source": sources[id(cell)]} if id(cell) in sources else cell
        for cell in notebook.get("cells", [])
    ]
    return notebook | {"cells": cells}


def is_written(source: str) -> bool:
    """Tell whether something stands in a code cell that was not handed out there."""
    return bool(source.strip()) and CODE_STUB not in source


def written_code(notebook: Notebook, item_id: str) -> str | None:
    """Return what stands in the code cell that an item is answered in; None if it has none."""
    cell = answer_cells(notebook).get(item_id)
    return source_text(cell) if cell is not None and cell["cell_type"] == "code" else None


def saved_code(path: Path, item_id: str) -> str | None:
    """Return what `written_code` does of a notebook as it was saved; None if it is not there.

    Raises
    ------
    ValueError
        The file holds no JSON that can be kept, or is too large.
    """
    return written_code(read_json(path, largest=_LARGEST), item_id) if path.is_file() else None
