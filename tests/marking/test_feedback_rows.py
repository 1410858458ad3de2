"""Rows of the feedback page are data from marking: nothing that a learner shows becomes one."""

import base64
import json
import shutil
from typing import Any

import pytest

from cubital.marking import collecting, marker
from cubital.marking.course import Course

from .pages import Parts

WORKSHEET = "catheter-sizing"
CODE, TEXT, FRENCH = "sizing-ratio-code", "sizing-reasons", "sizing-french"
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
        cell["metadata"]["cubital_result"] = row


@pytest.fixture(scope="module")
def both(
    copy_course: Any, desk: Any, nbgrader: Any, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Course, Course]:
    """The same hand-ins with pages by nbgrader's own command: marked by the course, by nbgrader."""
    where = tmp_path_factory.mktemp("rows")
    ours = copy_course(where / "ours", LEARNERS)
    at = {name: desk(ours, name, where / "homes") for name in LEARNERS}
    at["solved"].answer()
    at["raises"].answer().write_cell(RAISES)
    at["stops"].answer().write_cell(CELL)
    at["misspells"].answer().write_cell(SYNTAX)
    at["shows"].answer().write_cell(SHOWN)
    at["writes"].answer({TEXT: "So.\n" + "\n".join(FALSE) + "\n~~~\nWhy: Right."})
    at["keeps"].answer({FRENCH: "99 Fr"}).edit(keeps)
    for one in at.values():
        one.hand_in()
    assert collecting.collect(ours, WORKSHEET) == []
    theirs = Course(shutil.copytree(ours.workspace, where / "theirs"))
    marker.mark(ours, WORKSHEET)
    nbgrader(theirs.workspace, "autograde", WORKSHEET)
    for course in (ours, theirs):
        nbgrader(course.workspace, "generate_feedback", WORKSHEET)
    return ours, theirs


@pytest.fixture(params=["the course", "nbgrader"])
def pages(both: tuple[Course, Course], request: pytest.FixtureRequest) -> dict[str, Parts]:
    """The pages of one of the two, by learner."""
    course = both[request.param == "nbgrader"]
    return {name: Parts(course.feedback(name, WORKSHEET)) for name in LEARNERS}


def test_both_ways_of_marking_lead_to_the_same_page(both: tuple[Course, Course]) -> None:
    for name in LEARNERS:
        one, other = (course.feedback(name, WORKSHEET).read_text("utf-8") for course in both)
        assert one == other, name


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
        ("stops", f"A cell stopped with ValueError: x {' '.join(FALSE)}"),
        ("misspells", "A cell stopped with SyntaxError: expected ':' (line 1)"),
        ("shows", "Not right, and not one of the slips this item knows."),
    ],
    ids=["raises", "stops", "misspells", "shows"],
)
def test_the_real_reason_is_told_on_one_line(pages: dict[str, Parts], name: str, why: str) -> None:
    rows = pages[name].of(CODE)
    assert (rows["Why"], rows["Mark"]) == (why, "0 of 2")
    assert rows["Question"].startswith("Complete the line of Python above")
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


def test_marked_notebooks_hold_results_as_data_from_the_course_alone(
    both: tuple[Course, Course],
) -> None:
    for course, kept in zip(both, (13, 0), strict=True):
        path = course.autograded("keeps", WORKSHEET) / f"{WORKSHEET}.ipynb"
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        found = [
            c["metadata"]["cubital_result"] for c in cells if "cubital_result" in c["metadata"]
        ]
        assert len(found) == kept
        assert "Mine." not in {row["message"] for row in found}
