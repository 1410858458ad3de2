"""nbgrader's own commands, run in the workspace, mark and return the same."""

import csv
import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbconvert.exporters import HTMLExporter
from nbgrader.apps.api import NbGraderAPI
from nbgrader.converters import GenerateFeedback
from nbgrader.coursedir import CourseDirectory
from nbgrader.plugins import FileNameCollectorPlugin
from nbgrader.server_extensions.formgrader.handlers import template_path

from cubital import items
from cubital.marking.cohort import collecting
from cubital.marking.cohort.converting import convert
from cubital.marking.cohort.course import Course
from cubital.marking.feedback import kept, returning
from cubital.marking.feedback.showing import Asked
from cubital.marking.marks import gradebook, marker
from cubital.marking.marks.hand_marks import Hand

from ...counted import computed_points
from .. import rows

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
        at.store.save(item.id, typed)
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
    assert totals["solved"] == totals["mended"] == computed_points(WORKSHEET)
    assert (totals["half"], totals["untouched"]) == (4, 0)
    assert computed_points(WORKSHEET) - totals["slipped"] in {4, 6}


def test_each_row_of_the_gradebook_is_the_one_that_nbgrader_writes(
    both: tuple[Course, Course],
) -> None:
    ours, theirs = (rows.without_names(rows.of(book(course))) for course in both)
    assert len(ours["grade"]) == 5 * len(items.WORKSHEETS[WORKSHEET])
    assert len(ours["comment"]) == 5 * 2
    assert ours == theirs
    named = {
        row["id"]: (row["first_name"], row["last_name"])
        for row in rows.of(book(both[0]))["student"]
    }
    assert named == {who: (who.title(), "Moss") for who in both[0].roster()}


def test_the_marked_notebooks_are_those_that_nbgrader_writes_but_for_what_cells_show(
    both: tuple[Course, Course],
) -> None:
    for learner in both[0].roster():
        ours, theirs = (course.autograded(learner, WORKSHEET) for course in both)
        files = {path.name for path in ours.iterdir()}
        assert files == {path.name for path in theirs.iterdir()} - {"papers.json"}
        for name in files - {f"{WORKSHEET}.ipynb"}:
            assert (ours / name).read_bytes() == (theirs / name).read_bytes()
        assert unmarked(ours) == unmarked(theirs)


def test_the_marked_notebooks_show_the_words_that_nbgraders_show(
    both: tuple[Course, Course],
) -> None:
    scheme = items.find("sizing-reasons").mark_scheme
    for learner in both[0].roster():
        ours, theirs = (told(course.autograded(learner, WORKSHEET)) for course in both)
        assert len(ours) == len(items.WORKSHEETS[WORKSHEET])
        assert all(line in str(ours["sizing-reasons-field"]) for line in scheme)
        assert ours == theirs


def told(folder: Path) -> dict[str, list[tuple[str, str | None]]]:
    """What each cell of nbgrader's shows in a marked notebook, as plain text and as HTML."""
    notebook = nbformat.read(folder / f"{WORKSHEET}.ipynb", 4)
    return {
        cell.metadata.nbgrader.grade_id: [
            (output.data["text/plain"], output.data.get("text/html")) for output in cell.outputs
        ]
        for cell in notebook.cells
        if "nbgrader" in cell.metadata and cell.get("outputs")
    }


def unmarked(folder: Path) -> dict[str, Any]:
    """A marked notebook without what its cells show, and without the kept results."""
    notebook = nbformat.read(folder / f"{WORKSHEET}.ipynb", 4)
    nbformat.validate(notebook)
    del notebook.metadata["language_info"]  # as the kernel tells it
    for cell in notebook.cells:
        cell.metadata.pop(kept.KEY, None)
        cell.metadata.pop("execution", None)  # when the kernel ran it
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    return notebook


def test_marking_again_by_the_other_changes_no_row(
    both: tuple[Course, Course], nbgrader: Any, tmp_path: Path
) -> None:
    """Neither are rows added, nor does one get another id."""
    before = [rows.with_ids(book(course)) for course in both]
    ours, theirs = (
        Course(shutil.copytree(course.workspace, tmp_path / course.workspace.name))
        for course in both
    )
    nbgrader(ours.workspace, "autograde", WORKSHEET, "--force")
    assert rows.with_ids(book(ours)) == before[0]
    marker.mark(theirs, WORKSHEET)
    assert rows.without_names(rows.with_ids(book(theirs))) == rows.without_names(before[1])


def test_marking_again_from_the_start_gives_equal_ids(
    both: tuple[Course, Course], tmp_path: Path
) -> None:
    again = Course(shutil.copytree(both[0].workspace, tmp_path / "again"))
    with again.gradebook() as opened:
        for learner in again.roster():
            opened.remove_submission(WORKSHEET, learner)
            opened.remove_student(learner)
    assert rows.with_ids(book(again))["grade"] == []
    marker.mark(again, WORKSHEET)
    assert rows.with_ids(book(again)) == rows.with_ids(book(both[0]))


def test_nbgraders_feedback_export_and_form_grader_work_on_our_marks(
    both: tuple[Course, Course], nbgrader: Any, tmp_path: Path
) -> None:
    ours = Course(shutil.copytree(both[0].workspace, tmp_path / "ours"))
    nbgrader(ours.workspace, "generate_feedback", WORKSHEET)
    assert all(ours.feedback(learner, WORKSHEET).is_file() for learner in ours.roster())
    nbgrader(ours.workspace, "export")
    with (ours.workspace / "grades.csv").open(encoding="utf-8", newline="") as file:
        exported = {row["student_id"]: row for row in csv.DictReader(file)}
    assert {who: float(row["score"]) for who, row in exported.items()} == {
        result.learner: result.points for result in gradebook.results(ours, WORKSHEET)
    }
    assert {row["max_score"] for row in exported.values()} == {"33.0"}
    where = CourseDirectory(config=ours.config, root=str(ours.workspace))
    api = NbGraderAPI(where, config=ours.config)
    assert api.get_autograded_students(WORKSHEET) == set(ours.roster())
    shown = api.get_submission(WORKSHEET, "solved")
    assert (shown["autograded"], shown["score"], shown["needs_manual_grade"]) == (
        True,
        computed_points(WORKSHEET),
        True,
    )
    (listed,) = (
        row
        for row in api.get_notebook_submissions(WORKSHEET, WORKSHEET)
        if row["student"] == "solved"
    )
    config = ours.config.copy()
    config.HTMLExporter.template_name = "formgrade"
    config.HTMLExporter.extra_template_basedirs = [template_path]  # as the form grader does
    page, _ = HTMLExporter(config=config).from_filename(
        str(ours.autograded("solved", WORKSHEET) / f"{WORKSHEET}.ipynb"),
        resources={"submission_id": listed["id"], "student": "solved", "base_url": "", "index": 0}
        | {"total": 5, "notebook_id": WORKSHEET, "assignment_id": WORKSHEET, "notebook_path": ""}
        | {"first_name": "Solved", "last_name": "Moss"},
    )
    assert page.count("cubital-feedback cubital-right") == len(items.WORKSHEETS[WORKSHEET]) - 1


LATE = """
from datetime import timedelta
from nbgrader.plugins import LateSubmissionPlugin

class AnHourAPoint(LateSubmissionPlugin):
    def late_submission_penalty(self, student_id, score, total_seconds_late):
        return None if total_seconds_late < 600 else total_seconds_late / 3600

c.AssignLatePenalties.plugin_class = AnHourAPoint
"""


@pytest.mark.long
def test_what_comes_after_its_due_date_loses_what_nbgraders_rule_says(
    copy_course: Any, desk: Any, moment: Callable, nbgrader: Any, tmp_path: Path
) -> None:
    ours = copy_course(tmp_path / "ours", ["early", "barely", "late", "later", "extended"])
    path = ours.workspace / "nbgrader_config.py"
    path.write_text(path.read_text(encoding="utf-8") + LATE, encoding="utf-8")
    with ours.gradebook() as opened:
        due = moment(9).replace(tzinfo=None)
        opened.update_or_create_assignment(WORKSHEET, duedate=due)
        opened.add_student("extended")
        with opened.db.no_autoflush:  # nbgrader builds the rows before it adds them
            opened.add_submission(WORKSHEET, "extended")
        opened.grant_extension(WORKSHEET, "extended", hours=1)
    for learner, late in (
        ("early", -1),
        ("barely", 0.1),
        ("late", 3),
        ("later", 99),
        ("extended", 2.5),
    ):
        at = desk(ours, learner, tmp_path)
        at.answer() if learner != "later" else at
        at.hand_in(moment(9) + timedelta(hours=late))
    assert collecting.collect(ours, WORKSHEET) == []
    theirs = Course(shutil.copytree(ours.workspace, tmp_path / "theirs"))
    marker.mark(ours, WORKSHEET)
    nbgrader(theirs.workspace, "autograde", WORKSHEET)
    written = [rows.without_names(rows.of(book(course))) for course in (ours, theirs)]
    assert written[0] == written[1]
    taken = [row["late_submission_penalty"] for row in written[0]["submitted_notebook"]]
    assert sorted(taken, key=str) == [0.0, 1.5, 3.0, None, None]


def book(course: Course) -> Path:
    return course.workspace / "gradebook.db"


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
        convert(theirs, GenerateFeedback, WORKSHEET, learner, force=True)
        assert other.read_text(encoding="utf-8") == page.read_text(encoding="utf-8")


def test_our_settings_leave_the_form_graders_own_page_alone(both: tuple[Course, Course]) -> None:
    assert "HTMLExporter" not in both[0].config  # what is set of it replaces the form grader's too


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
    answers = kept.own_answers(marked, "ann")
    asked = Asked.read(course.workspace, course.release(WORKSHEET), "ann", answers)
    row = kept.results(notebook, asked, booked, course.workspace)[FRENCH]
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
