"""The course's line of Python is marked from its text: no cell of a hand-in is run for it."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cubital.marking.cohort import collecting
from cubital.marking.marks import marker

from ...counted import computed_points

WORKSHEET = "catheter-sizing"
LINE = "sizing-ratio-code"
WRITES = "from pathlib import Path\nPath({path!r}).write_text('run')\n"
HEAD = "def ratio(outer_diameter_mm, vein_diameter_mm):\n    "
RIGHT = f"{HEAD}return outer_diameter_mm / vein_diameter_mm"

# What stands in the cell, after or without a line that writes a file -> outcome and its words.
CELLS = {
    "plain": (RIGHT, "right", "Right, on your values and on others."),
    "ends": (f"{RIGHT}\nimport sys\nsys.exit(3)", "refused", "“import sys” is not taken."),
    "loops": ("while True:\n    pass", "refused", "“while True:” is not taken."),
    "patches": (f"{RIGHT}\nratio = abs", "refused", "“ratio = abs” is not taken."),
    "imports": (f"{HEAD}return __import__('os').getpid()", "refused", "is not taken here."),
    "deep": (f"{HEAD}return {'-' * 3900}1", "refused", "nested too deeply"),
    "long": (f"{RIGHT}\n{'#' * 1_000_000}", "refused", "longer than 4000 characters"),
    "null": (f"{RIGHT}\x00", "refused", "a null or half a character"),
    "powers": (f"{HEAD}return 9**9**9**9**9**9", "wrong", "too large to be computed"),
    "writes": ("WRITES", "refused", "“from pathlib import Path” is not taken."),
}


@pytest.fixture(scope="module")
def marked(
    copy_course: Any, desk: Any, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Any, Path]:
    where = tmp_path_factory.mktemp("line")
    course = copy_course(where / "w", [*CELLS, "in-another-cell"])
    written = where / "written.txt"
    writes = WRITES.format(path=str(written))
    for learner, (cell, *_) in CELLS.items():
        text = f"{writes}{RIGHT}" if cell == "WRITES" else cell
        desk(course, learner, where / "homes").answer().write_cell(text).hand_in()

    def add(notebook: dict[str, Any]) -> None:
        own = {"cell_type": "code", "metadata": {}, "id": "mine", "outputs": []}
        notebook["cells"].insert(2, own | {"execution_count": None, "source": writes})

    desk(course, "in-another-cell", where / "homes").answer().edit(add).hand_in()
    assert collecting.collect(course, WORKSHEET) == []
    results = {row.learner: row for row in marker.mark(course, WORKSHEET)}
    assert not written.exists()
    return course, results


@pytest.mark.parametrize("learner", CELLS)
def test_whatever_stands_in_the_cell_costs_its_own_item_alone(
    marked: Any, in_gradebook: Callable, learner: str
) -> None:
    course, results = marked
    _, outcome, words = CELLS[learner]
    row = next(row for row in results[learner].items if row.item == LINE)
    assert (row.outcome, row.points) == (outcome, 2 if outcome == "right" else 0)
    assert words in row.message
    booked = in_gradebook(course, learner)
    assert booked.pop(LINE) == row.points
    assert sum(value or 0 for value in booked.values()) == computed_points(WORKSHEET) - 2


def test_a_cell_that_a_learner_added_is_not_run_and_costs_nothing(marked: Any) -> None:
    _, results = marked
    assert results["in-another-cell"].points == computed_points(WORKSHEET)
