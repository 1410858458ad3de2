"""nbgrader's own commands, run in the workspace, mark and return the same."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbconvert.exporters import HTMLExporter
from nbgrader.plugins import FileNameCollectorPlugin

from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.feedback import kept, returning
from cubital.marking.marks import marker
from cubital.marking.marks.hand_marks import Hand

WORKSHEET = "catheter-sizing"
FRENCH = "sizing-french"


@pytest.fixture(scope="module")
def both(
    copy_course: Any, desk: Any, nbgrader: Any, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Course, Course]:
    """The same hand-ins, marked by the course and by nbgrader."""
    where = tmp_path_factory.mktemp("stock")
    names = ("solved", "slipped", "half", "untouched", "mended")
    ours = copy_course(where / "ours", names)
    home = where / "homes"
    desk(ours, "solved", home).answer().hand_in()
    desk(ours, "untouched", home).hand_in()
    at = desk(ours, "slipped", home)
    french = at.values("sizing-french")["outer_diameter_mm"] / 3
    at.answer(
        {"sizing-french": f"{french:.2f} Fr", "sizing-picture-width": "zoom-in"}
        if "zoom-in" in at.values("sizing-picture-width")["order"]
        else {"sizing-french": f"{french:.2f} Fr"},
        line="return vein_diameter_mm / outer_diameter_mm",
    ).hand_in()
    at = desk(ours, "half", home)
    for item_id in ("sizing-upper-diameter", "sizing-drip-rate", "sizing-reasons"):
        item = at.release.item(item_id)
        typed = "It is a shadow."
        if item.kind == "number":
            typed = f"{item.answer(at.values(item_id)):.3f} {item.unit}"
        at.store.save(item, typed)
    at.hand_in()

    def change(notebook: dict[str, Any]) -> None:
        cells = [c for c in notebook["cells"] if c["id"] != "upper-diameter"]
        french = next(c for c in cells if c["id"] == "french")
        french["metadata"]["nbgrader"]["points"] = 300
        notebook["cells"] = [*cells, french]

    desk(ours, "mended", home).answer().edit(change).hand_in()
    assert collecting.collect(ours, WORKSHEET) == []
    shutil.copytree(ours.workspace, where / "theirs")
    marker.mark(ours, WORKSHEET)
    nbgrader(where / "theirs", "autograde", WORKSHEET)
    return ours, Course(where / "theirs")


def test_nbgrader_and_the_course_give_the_same_automatic_points(
    both: tuple[Course, Course], in_gradebook: Callable
) -> None:
    ours, theirs = both
    totals = {}
    for learner in ours.roster():
        points = in_gradebook(ours, learner)
        assert points == in_gradebook(theirs, learner), learner
        totals[learner] = sum(value or 0 for value in points.values())
    assert totals["solved"] == totals["mended"] == 24
    assert (totals["half"], totals["untouched"]) == (4, 0)
    assert totals["slipped"] in {18, 20}


def test_nbgrader_asks_for_the_same_texts_to_be_read(both: tuple[Course, Course]) -> None:
    asked = []
    for course in both:
        with course.gradebook() as book:
            asked.append(
                {
                    learner: book.find_submission(WORKSHEET, learner).needs_manual_grade
                    for learner in course.roster()
                }
            )
    assert asked[0] == asked[1]
    assert asked[0] == {
        "solved": True,
        "slipped": True,
        "half": True,
        "untouched": False,
        "mended": True,
    }


def test_marks_from_nbgrader_make_the_same_page(both: tuple[Course, Course]) -> None:
    ours, theirs = both
    pages = returning.feedback(ours, WORKSHEET)
    assert len(pages) == 5
    for page in pages:
        learner = page.parts[-3]
        other = theirs.feedback(learner, WORKSHEET)
        returning.convert(theirs, returning.GenerateFeedback, WORKSHEET, learner, force=True)
        assert other.read_text(encoding="utf-8") == page.read_text(encoding="utf-8")


def test_the_form_grader_still_finds_its_own_page(both: tuple[Course, Course]) -> None:
    config = both[0].config.copy()
    assert "template_name" not in config.HTMLExporter  # it would replace the form grader's too
    config.HTMLExporter.template_name = "formgrade"
    assert "nbgrader" in HTMLExporter(config=config).template_paths[0]


def test_nbgrader_can_collect_a_handed_in_zip_by_its_name(both: tuple[Course, Course]) -> None:
    collector = FileNameCollectorPlugin(config=both[0].config)
    (handed_in,) = both[0].inbox.glob("*_half_*.zip")
    for file, name in (("answers.json", "answers"), (f"{WORKSHEET}.ipynb", WORKSHEET)):
        found = collector.collect(str(handed_in.with_suffix("") / file))
        assert (found["student_id"], found["file_id"]) == ("half", name)


SETS_ITS_MARKS = """
import cubital.worksheet
cubital.worksheet.ask = lambda *given: 2.0
"""


def sly(course: Course, desk: Any, home: Path) -> Path:
    """Hand in a wrong answer, and after the set-up a cell that has every field give two points."""

    def change(notebook: dict[str, Any]) -> None:
        setup = next(n for n, c in enumerate(notebook["cells"]) if "import ask" in source(c))
        own = {"cell_type": "code", "metadata": {}, "id": "mine", "outputs": []}
        own |= {"execution_count": None, "source": SETS_ITS_MARKS + "ask = cubital.worksheet.ask"}
        notebook["cells"].insert(setup + 1, own)

    return desk(course, "ann", home).answer({FRENCH: "99 Fr"}).edit(change).hand_in()


def source(cell: dict[str, Any]) -> str:
    return "".join(cell["source"])


def test_points_that_the_answer_does_not_give_are_told_as_to_be_looked_at(
    copy_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    sly(course, desk, tmp_path)
    collecting.collect(course, WORKSHEET)
    marked = course.autograded("ann", WORKSHEET)
    shutil.copytree(course.submitted("ann", WORKSHEET), marked)
    notebook = nbformat.read(marked / f"{WORKSHEET}.ipynb", 4)
    booked = {FRENCH: Hand(2.0, None, None, asked=False)}
    release = course.release(WORKSHEET)
    rows = kept.results(notebook, release, "ann", booked, course.workspace)
    row = rows[FRENCH]
    assert (row.points, row.outcome) == (2.0, "wrong")
    assert "0 points, and the gradebook has 2" in row.message
    assert "look at this hand-in" in row.message


@pytest.mark.long
def test_under_nbgraders_own_marking_a_cell_sets_its_marks_and_the_page_tells(
    copy_course: Any, desk: Any, nbgrader: Any, tmp_path: Path, in_gradebook: Callable
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    sly(course, desk, tmp_path)
    collecting.collect(course, WORKSHEET)
    nbgrader(course.workspace, "autograde", WORKSHEET)
    assert in_gradebook(course, "ann")[FRENCH] == 2
    nbgrader(course.workspace, "generate_feedback", WORKSHEET)
    page = course.feedback("ann", WORKSHEET).read_text(encoding="utf-8")
    assert "look at this hand-in" in page
    marker.mark(course, WORKSHEET)
    assert in_gradebook(course, "ann")[FRENCH] == 0
