"""The notebook that shows a hand-in's marks, as nbgrader's form grader and feedback read it."""

from collections.abc import Mapping
from typing import Any

import nbformat
from nbgrader.utils import compute_checksum

from cubital.handin.released.pictures import Shown
from cubital.handin.released.questions import Question
from cubital.handin.results import NOT_RUN, ItemResult, as_shown
from cubital.marking import notebooks
from cubital.marking.feedback import kept

Output = dict[str, Any]


def outputs(question: Question, row: ItemResult, shown: Shown | None) -> list[Output]:
    """Return what the cell that asks an item shows to the person who marks.

    That is its picture, if it has one, and its result; of a text the question and the mark scheme.
    """
    seen = [] if shown is None else [shown.bundle]
    return [
        {"output_type": "display_data", "metadata": {}, "data": bundle}
        for bundle in (*seen, as_shown(question, row))
    ]


def marked(
    notebook: notebooks.Notebook,
    rows: Mapping[str, ItemResult],
    displays: Mapping[str, list[Output]],
) -> notebooks.Notebook:
    """Return a mended notebook with each item's result in its grade cell.

    The result itself goes into the cell's metadata, from which the feedback page takes it. A cell
    of code shows its display and then one plain number, the points, as if it had been run. The
    display of a text stands in the cell that asks for it, before the text.

    Parameters
    ----------
    notebook
        The hand-in's notebook, mended, with the saved texts in their cells.
    rows, displays
        The result of each item, and what its cell shows of it.
    """
    texts = {f"{row.item}-field": row.item for row in rows.values() if row.is_text}
    cells = []
    for number, cell in enumerate(notebook["cells"]):
        asks = texts.get(str(notebooks.marks_of(cell).get("grade_id")))
        if notebooks.is_grade(cell):
            cells.append(_with_result(number, cell, rows, displays))
        elif asks is not None:
            cells.append(cell | {"outputs": list(displays.get(asks, ()))})
        else:
            cells.append(cell)
    return notebook | {"cells": cells}


def _with_result(
    number: int,
    cell: notebooks.Cell,
    rows: Mapping[str, ItemResult],
    displays: Mapping[str, list[Output]],
) -> notebooks.Cell:
    row = rows[str(notebooks.marks_of(cell)["grade_id"])]
    with_row = cell | {"metadata": cell["metadata"] | {kept.KEY: dict(vars(row))}}
    if not _is_run(cell):
        return with_row
    result: Output = {
        "output_type": "execute_result",
        "metadata": {},
        "data": {"text/plain": repr(_points(row))},
        "execution_count": number,
    }
    return with_row | {"outputs": [*displays.get(row.item, ()), result]}


def scores(notebook: notebooks.Notebook, rows: Mapping[str, ItemResult]) -> dict[str, float | None]:
    """Return each grade cell's computed points, as nbgrader reads them from a marked notebook.

    A cell that is written into has none, for a person to give them, and 0 where nothing is written.
    One whose code was not run has none either.
    """
    found: dict[str, float | None] = {}
    for cell in notebook["cells"]:
        if notebooks.is_grade(cell):
            grade_id = str(notebooks.marks_of(cell)["grade_id"])
            if _is_run(cell):
                row = rows[grade_id]
                found[grade_id] = None if row.outcome == NOT_RUN else _points(row)
            else:
                found[grade_id] = 0.0 if notebooks.is_solution(cell) and _unchanged(cell) else None
    return found


def unanswered(notebook: notebooks.Notebook) -> set[str]:
    """Return the answer cells, by grade_id, that stand as they were released."""
    return {
        str(notebooks.marks_of(cell)["grade_id"])
        for cell in notebook["cells"]
        if notebooks.is_solution(cell) and _unchanged(cell)
    }


def _points(row: ItemResult) -> float:
    return float(row.points or 0.0)


def _is_run(cell: notebooks.Cell) -> bool:
    """Whether a grade cell's points come of its result, and not of a person."""
    return cell["cell_type"] == "code" and not notebooks.is_solution(cell)


def _unchanged(cell: notebooks.Cell) -> bool:
    """Whether an answer cell holds what nbgrader's check sum of the release says."""
    return bool(
        notebooks.marks_of(cell).get("checksum") == compute_checksum(nbformat.from_dict(cell))
    )
