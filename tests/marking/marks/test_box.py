"""Python from its box: at hand-in it stands in nbgrader's answer cell, and both routes mark it."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import nbformat
import pytest
from nbconvert.exporters import HTMLExporter
from nbgrader.server_extensions.formgrader.handlers import template_path

from cubital.handin.bundle import read_bundle
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.marks import marker

from .. import rows

WORKSHEET = "catheter-sizing"
LINE, CODE = "sizing-ratio-code", "own-ratio"
HEAD = "def ratio(outer_diameter_mm, vein_diameter_mm):\n    "
RIGHT = "outer_diameter_mm / vein_diameter_mm"
TURNED = "vein_diameter_mm / outer_diameter_mm"
STUB = 'raise NotImplementedError("replace this line")'


class Both(NamedTuple):
    """The same hand-ins, marked by the course and by nbgrader's own command."""

    ours: Course
    theirs: Course
    results: dict[str, Any]

    def marked(self, learner: str, grade_id: str) -> list[str]:
        """What stands in an answer cell of the marked notebook, by each route."""
        return [source(course.autograded(learner, WORKSHEET), grade_id) for course in self[:2]]

    def row(self, learner: str, item_id: str) -> Any:
        """The result of an item by the course's own marking."""
        return next(row for row in self.results[learner].items if row.item == item_id)


def source(folder: Path, grade_id: str) -> str:
    notebook = nbformat.read(folder / f"{WORKSHEET}.ipynb", 4)
    marks = (cell for cell in notebook.cells if "nbgrader" in cell.metadata)
    return next(c.source for c in marks if c.metadata.nbgrader.grade_id == grade_id)


def play(course: Course, nbgrader: Callable[..., None], theirs: Path) -> Both:
    assert collecting.collect(course, WORKSHEET) == []
    shutil.copytree(course.workspace, theirs)
    results = {row.learner: row for row in marker.mark(course, WORKSHEET)}
    nbgrader(theirs, "autograde", WORKSHEET)
    return Both(course, Course(theirs), results)


def crafted(path: Path, tampered: Callable[..., Path], item: str, answer: dict[str, Any]) -> None:
    """Replace a saved answer as somebody who knows how would."""
    told = json.loads(read_bundle(path).files["answers.json"])
    told["items"][item][-1]["answer"] = answer
    tampered(path, {"answers.json": json.dumps(told).encode()})


# Outcome, points and what stands in the cell then.
LINES = {
    "boxed": ("right", 2, f"return {RIGHT}"),
    "over": ("slip", 0, f"return {TURNED}"),
    "by-hand": ("right", 2, f"return {RIGHT}"),
    "older": ("right", 2, f"return {RIGHT}"),
    "open": ("blank", 0, STUB),
    "crafted": ("refused", 0, "pass  # saved, and no line: {"),
    "broken": ("refused", 0, 'pass  # saved, and no line: {"expression": [3]}'),
}
# Points, words of the reason and what stands in the cell.
FUNCTIONS = {
    "boxed": (2, "Right", f"share = {RIGHT}\n    if share > 0:\n        return share"),
    "over": (0, "the vein is divided by the catheter", f"return {TURNED}"),
    "by-hand": (2, "Right", f"return {RIGHT}"),
    "broken": (0, "a plain number", 'pass  # saved, and no Python: {"code": "return ("}'),
}


@pytest.fixture(scope="module")
def lines(
    copy_course: Any,
    desk: Any,
    tampered: Any,
    nbgrader: Any,
    tmp_path_factory: pytest.TempPathFactory,
) -> Both:
    where = tmp_path_factory.mktemp("lines")
    course, home = copy_course(where / "ours", LINES), where / "homes"

    def answered(learner: str, line: str, typed: str = "") -> Path:
        at = desk(course, learner, home).answer(line=line)
        if typed:
            at.store.save(LINE, typed)
        return Path(at.hand_in())

    answered("boxed", STUB, RIGHT)
    answered("over", f"return {RIGHT}", TURNED)
    answered("by-hand", f"return {RIGHT}")
    answered("open", STUB)
    spoilt = {"typed": "x", "expression": "open('written-by-a-line', 'w')"}
    crafted(answered("crafted", f"return {RIGHT}", TURNED), tampered, LINE, spoilt)
    crafted(answered("broken", f"return {RIGHT}", TURNED), tampered, LINE, {"expression": [3]})
    crafted(answered("older", STUB, TURNED), tampered, LINE, {"expression": RIGHT})
    return play(course, nbgrader, where / "theirs")


def test_the_hand_in_holds_the_line_in_nbgraders_cell(lines: Both, tmp_path: Path) -> None:
    (handed_in,) = lines.ours.inbox.glob("*_boxed_*.zip")
    notebook = read_bundle(handed_in).files[f"{WORKSHEET}.ipynb"]
    (tmp_path / f"{WORKSHEET}.ipynb").write_bytes(notebook)
    assert source(tmp_path, "ratio-line") == f"{HEAD}return {RIGHT}"


@pytest.mark.parametrize("learner", LINES)
def test_both_routes_mark_the_line_of_the_box_before_that_of_the_cell(
    lines: Both, in_gradebook: Callable, learner: str
) -> None:
    outcome, points, cell = LINES[learner]
    row = lines.row(learner, LINE)
    assert (row.outcome, row.points) == (outcome, points)
    ours, theirs = lines.marked(learner, "ratio-line")
    assert ours == theirs
    assert ours.startswith(HEAD + cell)
    given = [in_gradebook(course, learner) for course in lines[:2]]
    assert given[0] == given[1]
    assert given[0][LINE] == points


def test_all_rows_of_the_gradebook_are_those_that_nbgrader_writes(lines: Both) -> None:
    ours, theirs = (
        rows.without_names(rows.of(course.workspace / "gradebook.db")) for course in lines[:2]
    )
    assert ours == theirs


def test_the_form_grader_shows_the_line(lines: Both) -> None:
    config = lines.ours.config.copy()
    config.HTMLExporter.template_name = "formgrade"
    config.HTMLExporter.extra_template_basedirs = [template_path]  # as the form grader does
    page, _ = HTMLExporter(config=config).from_filename(
        str(lines.ours.autograded("boxed", WORKSHEET) / f"{WORKSHEET}.ipynb"),
        resources={"submission_id": "x", "student": "boxed", "base_url": "", "index": 0}
        | {"total": 5, "notebook_id": WORKSHEET, "assignment_id": WORKSHEET, "notebook_path": ""}
        | {"first_name": "Boxed", "last_name": "Moss"},
    )
    shown = "".join(part.partition(">")[2] for part in page.split("<"))
    assert f"return {RIGHT}" in " ".join(shown.split())


@pytest.fixture(scope="module")
def functions(
    copy_code_course: Any,
    desk: Any,
    tampered: Any,
    nbgrader: Any,
    tmp_path_factory: pytest.TempPathFactory,
) -> Both:
    where = tmp_path_factory.mktemp("functions")
    course, home = copy_code_course(where / "ours", FUNCTIONS), where / "homes"
    body = f"share = {RIGHT}\nif share > 0:\n    return share\nreturn 0"
    for learner, line, typed in (
        ("boxed", STUB, body),
        ("over", f"return {RIGHT}", f"return {TURNED}"),
        ("by-hand", f"return {RIGHT}", ""),
        ("broken", f"return {RIGHT}", body),
    ):
        at = desk(course, learner, home).answer(line=line)
        if typed:
            at.store.save(CODE, typed)
        path = at.hand_in()
        if learner == "broken":
            crafted(path, tampered, CODE, {"code": "return ("})
    return play(course, nbgrader, where / "theirs")


@pytest.mark.parametrize("learner", FUNCTIONS)
def test_both_routes_run_the_function_of_the_box_before_that_of_the_cell(
    functions: Both, in_gradebook: Callable, learner: str
) -> None:
    points, words, cell = FUNCTIONS[learner]
    row = functions.row(learner, CODE)
    assert row.points == points
    assert words in row.message
    ours, theirs = functions.marked(learner, "own-ratio-function")
    assert ours == theirs
    assert ours.startswith(HEAD + cell)
    given = [in_gradebook(course, learner) for course in functions[:2]]
    assert given[0] == given[1]
    assert given[0][CODE] == points
