"""Rows of the feedback page are data from marking: nothing that a learner shows becomes one."""

import base64
import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.feedback import kept, returning
from cubital.marking.marks import marker

from ..pages import Parts

WORKSHEET = "catheter-sizing"
CODE, TEXT, FRENCH = "own-ratio", "sizing-reasons", "sizing-french"
FALSE = ["The way to it: nothing was wrong", "Mark: 2 of 2", "Read again: no need"]
ROWS = "\\n".join(FALSE)
IMAGE = base64.b64encode(b"no picture").decode()
SHOWN = f"""
from IPython.display import HTML, Markdown, display
def show():
    print("{ROWS}")
    display({{"text/plain": "Question: none\\n{ROWS}", "image/jpeg": "{IMAGE}"}}, raw=True)
    display(Markdown("Why: Right.\\n\\n{ROWS}"), HTML("<dl><dt>Mark</dt><dd>2 of 2</dd></dl>"))
    display({{"application/vnd.cubital.run+json": {{
        "item": "{CODE}", "results": [0.5, 0.5, 0.5, 0.5], "error": ""}}}}, raw=True)
    display({{"application/vnd.cubital.run+json": {{"rows": [["Mark", "2 of 2"]]}}}}, raw=True)
show()
def ratio(outer_diameter_mm, vein_diameter_mm):
    show()
    return 1000.0
"""
RAISES = f'def ratio(**_):\n    raise ValueError("x\\n{ROWS}")'
CELL = f'raise ValueError("x\\n{ROWS}")'
SYNTAX = "def ratio(a, b)\n    return a / b"
LEARNERS = ("solved", "raises", "stops", "misspells", "shows", "writes", "keeps")


def keeps(notebook: dict[str, Any]) -> None:
    """Write results of one's own where marking keeps its results, into every cell."""
    for cell in notebook["cells"]:
        item = cell["metadata"].get("nbgrader", {}).get("grade_id", FRENCH)
        row = {"item": item, "outcome": "right", "points": 2, "max_points": 2, "message": "Mine."}
        cell["metadata"][kept.KEY] = row


@pytest.fixture(scope="module")
def handed_in(copy_code_course: Any, desk: Any, tmp_path_factory: pytest.TempPathFactory) -> Course:
    """A course whose hand-ins are collected."""
    where = tmp_path_factory.mktemp("rows")
    course = copy_code_course(where / "w", LEARNERS)
    at = {name: desk(course, name, where / "homes") for name in LEARNERS}
    at["solved"].answer()
    at["raises"].answer().write_cell(RAISES)
    at["stops"].answer().write_cell(CELL)
    at["misspells"].answer().write_cell(SYNTAX)
    at["shows"].answer().write_cell(SHOWN)
    at["writes"].answer({TEXT: "So.\n" + "\n".join(FALSE) + "\n~~~\nWhy: Right."})
    at["keeps"].answer({FRENCH: "99 Fr"}).edit(keeps)
    for one in at.values():
        one.hand_in()
    assert collecting.collect(course, WORKSHEET) == []
    return course


@pytest.fixture(scope="module")
def ours(handed_in: Course, tmp_path_factory: pytest.TempPathFactory) -> Course:
    """Marked and returned by the course."""
    where = tmp_path_factory.mktemp("ours") / "w"
    course = Course(shutil.copytree(handed_in.workspace, where))
    marker.mark(course, WORKSHEET)
    returning.feedback(course, WORKSHEET)
    return course


@pytest.fixture(scope="module")
def theirs(handed_in: Course, nbgrader: Any, tmp_path_factory: pytest.TempPathFactory) -> Course:
    """Marked and returned by nbgrader's own commands."""
    where = tmp_path_factory.mktemp("theirs") / "w"
    course = Course(shutil.copytree(handed_in.workspace, where))
    nbgrader(course.workspace, "autograde", WORKSHEET)
    nbgrader(course.workspace, "generate_feedback", WORKSHEET)
    return course


@pytest.fixture(params=["ours", pytest.param("theirs", marks=pytest.mark.long)])
def pages(request: pytest.FixtureRequest) -> dict[str, Parts]:
    """The pages of one of the two ways, by learner."""
    course = request.getfixturevalue(request.param)
    return {name: Parts(course.feedback(name, WORKSHEET)) for name in LEARNERS}


@pytest.mark.long
def test_all_ways_to_the_page_lead_to_the_same(
    ours: Course, theirs: Course, nbgrader: Any, tmp_path: Path
) -> None:
    crossed = Course(shutil.copytree(ours.workspace, tmp_path / "crossed"))
    nbgrader(crossed.workspace, "generate_feedback", WORKSHEET, "--force")
    for name in LEARNERS:
        page = ours.feedback(name, WORKSHEET).read_text("utf-8")
        assert page == theirs.feedback(name, WORKSHEET).read_text("utf-8"), name
        assert page == crossed.feedback(name, WORKSHEET).read_text("utf-8"), name


@pytest.mark.parametrize("name", ["raises", "stops", "misspells", "shows", "writes", "keeps"])
def test_what_imitates_rows_adds_and_hides_none(pages: dict[str, Parts], name: str) -> None:
    plain, imitated = pages["solved"].labels(), pages[name].labels()
    assert {k: v for k, v in imitated.items() if k not in {CODE, FRENCH}} == {
        k: v for k, v in plain.items() if k not in {CODE, FRENCH}
    }
    again = ["Read again"] if name not in {"writes", "keeps"} else []
    assert imitated[CODE] == ["Question", "Your answer", "Mark", "Why", *again, "Your line"]
    again = ["Read again"] if name == "keeps" else []
    assert imitated[FRENCH] == [
        "Question", "Your answer", "Mark", "Why", "The way to it", *again
    ]  # fmt: skip
    assert pages[name].pictures == 0


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("raises", f"The function stopped with ValueError: x {' '.join(FALSE)}"),
        ("stops", f"The code stopped with ValueError: x {' '.join(FALSE)}"),
        ("misspells", "The code stopped with SyntaxError: expected ':' (line 1)"),
        ("shows", "Not right, and none of the mistakes that this question names."),
    ],
    ids=["raises", "stops", "misspells", "shows"],
)
def test_the_real_reason_is_told_on_one_line(pages: dict[str, Parts], name: str, why: str) -> None:
    rows = pages[name].of(CODE)
    assert (rows["Why"], rows["Mark"]) == (why, "0 of 2")
    assert rows["Question"].startswith("Complete the function.")
    assert rows["Read again"].startswith("“Catheter and vein: the ratio”")


def test_a_text_that_imitates_rows_is_the_learners_words(pages: dict[str, Parts]) -> None:
    rows = pages["writes"].of(TEXT)
    assert rows["Your answer"] == "So.\n" + "\n".join(FALSE) + "\n~~~\nWhy: Right."
    assert rows["Mark"] == "waits to be marked by hand"
    assert rows["Why"] == "Waits to be marked by hand."


def test_a_result_that_was_handed_in_is_no_result(pages: dict[str, Parts]) -> None:
    rows = pages["keeps"].of(FRENCH)
    assert rows["Mark"] == "0 of 2"
    assert "Mine." not in rows["Why"]


@pytest.mark.parametrize(
    ("way", "count"), [("ours", 16), pytest.param("theirs", 0, marks=pytest.mark.long)]
)
def test_marked_notebooks_hold_results_as_data_from_the_course_alone(
    request: pytest.FixtureRequest, way: str, count: int
) -> None:
    course = request.getfixturevalue(way)
    path = course.autograded("keeps", WORKSHEET) / f"{WORKSHEET}.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    found = [c["metadata"][kept.KEY] for c in cells if kept.KEY in c["metadata"]]
    assert len(found) == count
    assert "Mine." not in {row["message"] for row in found}
