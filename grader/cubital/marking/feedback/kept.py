"""The results that a marked notebook's page is made from: kept in it as data, or computed anew.

The course's own marking keeps each result in the metadata of its grade cell. nbgrader's own
marking leaves only what the learner's kernel showed, of which nothing is believed but the numbers
that a code item's function gave: the results are computed from the answers once more.
"""

from collections.abc import Mapping
from dataclasses import replace
from math import isclose
from pathlib import Path
from typing import Any

from cubital.handin.answers import Answers, BrokenAnswersError, read_answers
from cubital.handin.results import ItemResult
from cubital.handin.trial import LONGEST_TEXT, RUN_TYPE, STOPPED, CodeRun, read_run
from cubital.items.kinds.code import CodeKey
from cubital.marking import notebooks
from cubital.marking.feedback.showing import Asked
from cubital.marking.marks.checker import item_results
from cubital.marking.marks.decisions import basis_of
from cubital.marking.marks.hand_marks import Hand

KEY = "cubital_result"  # where a grade cell's metadata hold it
NOT_KEPT = (
    "The reason for this mark was not kept. Ask your educator to mark the worksheet again with "
    "“cubital cohort mark”."
)
SUSPECT = (
    "The answer gives {computed:g} points, and the gradebook has {booked:g}, which code in this "
    "hand-in may have set. Ask your educator to look at this hand-in and to mark the worksheet "
    "again with “cubital cohort mark”."
)


def forget(cell: Any) -> None:
    """Take out what a handed-in notebook says of a result."""
    cell["metadata"].pop(KEY, None)


def results(
    notebook: Any,
    asked: Asked,
    hands: Mapping[str, Hand],
    workspace: Path,
) -> dict[str, ItemResult]:
    """Return the computed result of each item of a marked notebook.

    ``hands`` is what the gradebook holds of each: where it has other points than are computed
    here, its points count and no reason is told.
    """
    found = {
        str(notebooks.marks_of(cell)["grade_id"]): ItemResult(**cell["metadata"][KEY])
        for cell in notebook["cells"]
        if notebooks.is_grade(cell) and KEY in cell["metadata"]
    }
    if len(found) == len(asked.questions):
        return found
    basis = basis_of(workspace, asked.release)
    code = {
        item: question.key
        for item, (question, _) in asked.questions.items()
        if isinstance(question.key, CodeKey)
    }
    rows = item_results(asked.questions, notebook, _runs(notebook, code), basis)
    return {
        row.item: _booked(row, hands.get(row.item), in_field=row.item not in code) for row in rows
    }


def own_answers(folder: Path, learner: str) -> Answers | None:
    """Return the answers that lie in a folder, if they can be read and are this learner's."""
    try:
        answers = read_answers(folder)
    except BrokenAnswersError:
        return None
    return answers if answers is not None and answers.learner == learner else None


def _runs(notebook: Any, code: Mapping[str, CodeKey]) -> dict[str, CodeRun]:
    runs = {}
    for item, key in code.items():
        run = _shown_run(notebook, item, len(key.cases)) or _stopped(notebook, item)
        if run is not None:
            runs[item] = run
    return runs


def _shown_run(notebook: Any, item: str, cases: int) -> CodeRun | None:
    found = None
    for output in _outputs(notebook, item, of_all=False):
        is_shown = output["output_type"] == "display_data"
        data = output["data"].get(RUN_TYPE) if is_shown else None
        found = read_run(data, item, cases) or found
    return found


def _stopped(notebook: Any, item: str) -> CodeRun | None:
    for output in _outputs(notebook, item, of_all=True):
        if output["output_type"] == "error":
            told = f"{output['ename']}: {output['evalue']}"
            return CodeRun(error=f"{STOPPED} {told[:LONGEST_TEXT]}")
    return None


def _outputs(notebook: Any, item_id: str, *, of_all: bool) -> list[Any]:
    """Return the outputs of an item's grade cell, and of all cells but other grade cells."""
    return [
        output
        for cell in notebook["cells"]
        if cell["cell_type"] == "code"
        and (
            notebooks.marks_of(cell).get("grade_id") == item_id
            if notebooks.is_grade(cell)
            else of_all
        )
        for output in cell["outputs"]
    ]


def _booked(row: ItemResult, hand: Hand | None, *, in_field: bool) -> ItemResult:
    """Return a result with the gradebook's points, and say where the answer does not give them.

    What an answer in a field gives is known here without the learner's kernel.
    """
    if hand is None or hand.auto is None or row.points is None:
        return row
    if isclose(hand.auto, row.points, abs_tol=0.005):  # points are told to the hundredth
        return row
    told = "right" if hand.auto >= row.max_points else "wrong"
    return replace(
        row,
        points=hand.auto,
        outcome=row.outcome if in_field else told,
        slip=None,
        misconception="",
        action="",
        message=SUSPECT.format(computed=row.points, booked=hand.auto) if in_field else NOT_KEPT,
    )
