"""An own item in Python: a line goes into a field, a function into a cell of its own."""

import json
from pathlib import Path
from typing import Any

import pytest

from cubital.handin.released.own import OwnItemError, read_own_item
from cubital.handin.released.stubs import CODE_STUB
from cubital.items.kinds.rules import faults
from cubital.marking.cohort import collecting, course, releasing
from cubital.marking.marks import marker
from cubital.worksheet.fields import AnswerField, field
from cubital.worksheet.sitting import sitting

WORKSHEET = "catheter-sizing"
LINE = """
from cubital.items import ExpressionItem, Slip

WORKSHEET = "catheter-sizing"
OBJECTIVE = "drip"
PASS_SHARE = 0.5
ITEM = ExpressionItem(
    id="own-drops",
    title="Drops a minute in one line",
    points=3,
    section="Drops and hours",
    draw_values=lambda draw: {
        "rate_ml_h": draw.step(40, 120, 5),
        "drops_per_ml": draw.step(15, 60, 5),
    },
    ask=lambda v: f"Write the drops a minute. You have {v['rate_ml_h']} mL/h.",
    function="drops",
    answer=lambda v: v["rate_ml_h"] * v["drops_per_ml"] / 60,
    relative_tolerance=0.001,
    line="rate_ml_h * drops_per_ml / 60",
    slip_lines={"hours-for-minutes": "rate_ml_h * drops_per_ml"},
    slips=(
        Slip(
            "hours-for-minutes",
            "an hour is taken for a minute",
            lambda v: v["rate_ml_h"] * v["drops_per_ml"],
        ),
    ),
)
"""


def draws(item: Any) -> Any:
    return lambda learner: item.values("spring", learner, {})


@pytest.fixture
def own_line(tmp_path: Path) -> Path:
    path = tmp_path / "drops.py"
    path.write_text(LINE, encoding="utf-8")
    return path


def test_an_own_line_is_released_typed_into_a_field_and_marked(
    own_line: Path, copy_course: Any, desk: Any, tmp_path: Path
) -> None:
    made: course.Course = copy_course(tmp_path / "w", ["ann", "ben"])
    items = made.workspace / "items"
    items.mkdir()
    own_line.rename(items / "drops.py")
    releasing.release(made, WORKSHEET, "spring")
    for learner, line in (("ann", "rate_ml_h * drops_per_ml / 60"), ("ben", "rate_ml_h")):
        at = desk(made, learner, tmp_path / "homes").answer()
        here = sitting(at.folder)
        field(here, "own-drops").enter(line)
        shown = field(here, "own-drops")
        assert isinstance(shown, AnswerField)
        assert (shown.state, shown.entered) == ("saved", line)
        at.hand_in()
    assert collecting.collect(made, WORKSHEET) == []
    results = {row.learner: row.items[-1] for row in marker.mark(made, WORKSHEET)}
    assert (results["ann"].item, results["ann"].points) == ("own-drops", 3)
    assert (results["ben"].outcome, results["ben"].points) == ("wrong", 0)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('function="drops"', 'function="the drops"', "function is 'the drops'"),
        ('"hours-for-minutes": "rate', '"other": "rate', "slip_lines must hold a line for each"),
        (
            'line="rate_ml_h * drops_per_ml / 60"',
            'line="rate_ml_h"',
            "the line of the right answer",
        ),
        ('"rate_ml_h * drops_per_ml"}', '"rate_ml_h"}', "the line of hours-for-minutes is told as"),
        ('line="rate_ml_h * ', 'line="rate * ', "The name “rate” is not known here."),
        ('"rate_ml_h": draw', '"ward": "A", "rate_ml_h": draw', "each a number"),
    ],
)
def test_the_rules_name_what_is_wrong_with_an_own_line(
    own_line: Path, old: str, new: str, words: str
) -> None:
    item = read_own_item(own_line).item
    assert faults(item, draws(item), learners=20) == []
    own_line.write_text(LINE.replace(old, new), encoding="utf-8")
    broken = read_own_item(own_line).item
    assert words in faults(broken, draws(broken), learners=20)[0]


def test_an_own_function_has_a_cell_of_its_own_that_tells_no_answer(
    copy_code_course: Any, tmp_path: Path
) -> None:
    made: course.Course = copy_code_course(tmp_path / "w", ["ann"])
    path = made.released(WORKSHEET) / f"{WORKSHEET}.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    ids = [cell["id"] for cell in cells]
    at = ids.index("own-ratio-function")
    assert ids[at - 1 : at + 2] == ["own-ratio-heading", "own-ratio-function", "own-ratio"]
    stub = f"def ratio(outer_diameter_mm, vein_diameter_mm):\n    {CODE_STUB}"
    assert "".join(cells[at]["source"]) == stub
    assert "".join(cells[at + 1]["source"]) == 'ask("own-ratio", ratio)'
    assert "ratio-line" not in path.read_text(encoding="utf-8")


def test_an_own_item_on_a_picture_is_refused_still(tmp_path: Path) -> None:
    path = tmp_path / "seen.py"
    head = "from cubital import items\nWORKSHEET, OBJECTIVE = 'reading-the-vein', 'read-mirrored'\n"
    path.write_text(head + "ITEM = items.find('read-forks')\n", encoding="utf-8")
    with pytest.raises(OwnItemError, match="ITEM is a PlaceItem: it must be one of"):
        read_own_item(path)
