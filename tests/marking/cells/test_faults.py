"""What goes wrong in one hand-in is told with its reason, and the others are marked."""

import io
import json
import os
import zipfile
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any

import pytest

from cubital.handin.answers import AnswerStore
from cubital.handin.released.release import new_release, write_release
from cubital.handin.results import HELD, MARKED, MISSING, UNREADABLE
from cubital.marking.cohort import collecting, problems
from cubital.marking.cohort.course import Course
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook, marker
from cubital.marking.marks.store import Store

WORKSHEET = "catheter-sizing"
CODE = "own-ratio"
AUTOMATIC = 24
TIME_OUT_S = 8.0

RIGHT = """
def ratio(outer_diameter_mm, vein_diameter_mm):
    return outer_diameter_mm / vein_diameter_mm
"""
ALWAYS_EQUAL = """
class Sly(float):
    def __eq__(self, other): return True
    def __sub__(self, other): return 0.0
    __rsub__ = __sub__
    def __abs__(self): return 0.0
    def __le__(self, other): return True
    def __repr__(self): return "0.5"
    __hash__ = float.__hash__
def ratio(outer_diameter_mm, vein_diameter_mm):
    return Sly(0.123)
"""
PATCHED = """
import json, math, builtins, numpy
from cubital import calc
import cubital.items.kinds.code, cubital.items.sizing.ratio, cubital.handin.marks
def patch(owner, name, value):
    getattr(owner, name)  # one that is not there any more would be no attack
    setattr(owner, name, value)
patch(calc, "catheter_to_vein_ratio", lambda *a, **k: 0.123)
patch(cubital.items.sizing.ratio, "vein_ratio", lambda *a, **k: 0.123)
patch(cubital.items.kinds.code.CodeKey, "_judge", lambda self, *a: self.judged("right", "Right."))
patch(cubital.handin.marks, "mark_code", lambda *a, **k: None)
patch(numpy, "isclose", lambda *a, **k: True)
patch(math, "isfinite", lambda x: True)
def ratio(outer_diameter_mm, vein_diameter_mm):
    return calc.catheter_to_vein_ratio(outer_diameter_mm, vein_diameter_mm=vein_diameter_mm)
"""
SHOWN = """
from IPython.display import display
print("2.0"); display({"text/plain": "2.0"}, raw=True)
def ratio(outer_diameter_mm, vein_diameter_mm):
    print("2.0")
    return 0.123
2.0
"""
FORGED = """
import contextlib, os
def ratio(outer_diameter_mm, vein_diameter_mm):
    for descriptor in range(3, 64):  # one of them is where results leave
        with contextlib.suppress(OSError):
            for _ in range(60):
                os.write(descriptor, b"{}\\n" * 1000)
    return outer_diameter_mm / vein_diameter_mm
"""
WARNS = """
import sys, warnings
def ratio(outer_diameter_mm, vein_diameter_mm):
    warnings.warn("look out")
    print("on standard error", file=sys.stderr)
    return outer_diameter_mm / vein_diameter_mm
warnings.warn("here too")
"""

# A cell that a learner wrote -> the outcome of its item, its points, and words of the reason.
CELLS = {
    "exits": (f"{RIGHT}\nimport sys\nsys.exit(3)", "right", 2, "Right"),
    "exits-first": (f"exit()\n{RIGHT}", "wrong", 0, "stopped with SystemExit"),
    "leaves": (f"{RIGHT}\nimport os\nos._exit(0)", "wrong", 0, "not reached"),
    "crashes": ("import ctypes\nctypes.string_at(0)", "wrong", 0, "ended Python itself"),
    "loops": ("while True:\n    pass", "wrong", 0, "ran longer than 8 s"),
    "warns": (WARNS, "right", 2, "Right"),
    "sly": (ALWAYS_EQUAL, "wrong", 0, "Not right"),
    "boolean": ("def ratio(**_):\n    return True", "refused", 0, "plain number: True"),
    "nan": ("def ratio(**_):\n    return float('nan')", "refused", 0, "plain number: 'nan'"),
    "endless": ("def ratio(**_):\n    return float('inf')", "refused", 0, "plain number: 'inf'"),
    "words": ("def ratio(**_):\n    return '0.4'", "refused", 0, "plain number"),
    "huge": ("def ratio(**_):\n    return 10 ** 400", "refused", 0, "plain number"),
    "snoops": (
        f"{RIGHT}\nimport os\nif 'WARD_SECRET' in os.environ:\n    del ratio",
        "right",
        2,
        "Right",
    ),
    "shadows": ("import json\nassert hasattr(json, 'loads')\n" + RIGHT, "right", 2, "Right"),
    "numpy": (
        "import numpy\ndef ratio(outer_diameter_mm, vein_diameter_mm):\n"
        "    return numpy.float64(outer_diameter_mm) / vein_diameter_mm",
        "right",
        2,
        "Right",
    ),
    "raises": (
        "def ratio(**_):\n    raise KeyError('<script>alert(7)</script>')",
        "wrong",
        0,
        "stopped with KeyError",
    ),
    "controls": (
        "def ratio(**_):\n    raise ValueError('a\\0b\\x1b[31mc\\u202ed\\ud800e')",
        "wrong",
        0,
        "stopped with ValueError: a�b�[31mc�d�e",
    ),
    "misspelled": ("def ratio(a, b)\n    return a / b", "wrong", 0, "stopped with SyntaxError"),
    "patches": (PATCHED, "wrong", 0, "Not right"),
    "shows": (SHOWN, "wrong", 0, "Not right"),
    "forges": (FORGED, "wrong", 0, "not in the form"),
}
FILES = (
    "whole",
    "corrupt",
    "truncated",
    "no-notebook",
    "two-notebooks",
    "old-format",
    "other-release",
    "copied",
    "copied-edited",
    "linked",
    "piped",
    "climbing",
    "oversized",
    "deleted",
    "doubled",
    "own-points",
    "own-line",
    "hard-coded",
    "in-cell",
    "absent",
)


class Faulty:
    """A cohort with one fault each, marked in one go."""

    def __init__(self, course: Course, desk: Any, home: Path, tampered: Any) -> None:
        self.course, self.home, self.tampered = course, home, tampered
        self.desk = lambda learner: desk(course, learner, home)
        for learner, (cell, *_) in CELLS.items():
            self.desk(learner).answer().write_cell(cell).hand_in()
        for name in FILES:
            getattr(self, name.replace("-", "_"))(name)
        stranger = self.desk("stranger").answer().hand_in()
        stranger.rename(stranger.with_name("a-file-of-any-name.zip"))
        (course.inbox / "holiday.zip").write_bytes(b"not a zip")
        self.outside = sorted(path.name for path in course.workspace.parent.iterdir())
        self.problems = collecting.collect(course, WORKSHEET)
        self.place_by_hand()
        self.progress: list[tuple[int, int, str]] = []
        results = marker.mark(
            course, WORKSHEET, lambda *at: self.progress.append(at), timeout_s=TIME_OUT_S
        )
        self.results = {row.learner: row for row in results}

    def whole(self, name: str) -> None:
        self.desk(name).answer().hand_in()

    def corrupt(self, name: str) -> None:
        path = self.desk(name).answer().hand_in()
        with zipfile.ZipFile(path) as archive:
            notebook = archive.read(f"{WORKSHEET}.ipynb")
        self.tampered(path, {f"{WORKSHEET}.ipynb": notebook[: len(notebook) // 2]})

    def truncated(self, name: str) -> None:
        path = self.desk(name).answer().hand_in()
        with zipfile.ZipFile(path) as archive:
            answers = archive.read("answers.json")
        self.tampered(path, {"answers.json": answers[: len(answers) // 2]})

    def no_notebook(self, name: str) -> None:
        self.tampered(self.desk(name).answer().hand_in(), {f"{WORKSHEET}.ipynb": None})

    def two_notebooks(self, name: str) -> None:
        """It is put into the submitted folder by hand."""

    linked = piped = two_notebooks

    def old_format(self, name: str) -> None:
        notebook = json.dumps({"nbformat": 3, "nbformat_minor": 0, "worksheets": []}).encode()
        self.tampered(self.desk(name).answer().hand_in(), {f"{WORKSHEET}.ipynb": notebook})

    def other_release(self, name: str) -> None:
        at = self.desk(name)
        other = new_release("spring-9", WORKSHEET)
        write_release(at.folder, other)
        (at.folder / "papers.json").unlink()
        AnswerStore(at.folder, other, name).save("sizing-french", "3 Fr")
        at.hand_in()

    def copied(self, name: str) -> None:
        path = self.desk(name).hand_in()
        theirs = self.desk("whole").folder / "answers.json"
        self.tampered(path, {"answers.json": theirs.read_bytes()})

    def copied_edited(self, name: str) -> None:
        path = self.desk(name).hand_in()
        theirs = json.loads((self.desk("whole").folder / "answers.json").read_text())
        theirs["learner"] = name
        self.tampered(path, {"answers.json": json.dumps(theirs).encode()})

    def climbing(self, name: str) -> None:
        path = self.desk(name).answer().hand_in()
        self.tampered(path, {"../../escaped.txt": b"out"})

    def oversized(self, name: str) -> None:
        path = self.desk(name).answer().hand_in()
        self.tampered(path, {"answers.json": b" " * 9_000_000})

    def deleted(self, name: str) -> None:
        """The first question's cell, the setup, and the text's field and cell are gone."""
        gone = {"setup", "sizing-upper-diameter", "sizing-reasons-field", "sizing-reasons"}

        def change(notebook: dict[str, Any]) -> None:
            notebook["cells"] = [
                cell
                for cell in notebook["cells"]
                if cell["metadata"].get("nbgrader", {}).get("grade_id") not in gone
            ]

        self.desk(name).answer().edit(change).hand_in()

    def doubled(self, name: str) -> None:
        def change(notebook: dict[str, Any]) -> None:
            for grade_id in ("own-ratio-function", CODE, "sizing-french"):
                cells = notebook["cells"]
                at = next(
                    number
                    for number, cell in enumerate(cells)
                    if cell["metadata"].get("nbgrader", {}).get("grade_id") == grade_id
                )
                cells.insert(at, json.loads(json.dumps(cells[at])))

        self.desk(name).answer().edit(change).hand_in()

    def own_points(self, name: str) -> None:
        """Every grade cell is said to be worth 200 points and shows a saved result of 200."""

        def change(notebook: dict[str, Any]) -> None:
            for cell in notebook["cells"]:
                marks = cell["metadata"].get("nbgrader", {})
                if marks.get("grade"):
                    marks |= {"points": 200, "locked": False}
                if marks.get("grade") and cell["cell_type"] == "code":
                    cell["source"] = "200.0"
                    shown = {"data": {"text/plain": "200.0"}, "metadata": {}}
                    cell["outputs"] = [
                        {"output_type": "execute_result", "execution_count": 1} | shown
                    ]

        self.desk(name).edit(change).hand_in()

    def own_line(self, name: str) -> None:
        self.desk(name).answer(line="return <b>1</b>").hand_in()

    def hard_coded(self, name: str) -> None:
        at = self.desk(name)
        own = at.values(CODE)
        result = own["outer_diameter_mm"] / own["vein_diameter_mm"]
        at.answer(line=f"return {result!r}").hand_in()

    def in_cell(self, name: str) -> None:
        """The text stands in the page's cell and was never saved in its field."""
        at = self.desk(name)

        def change(notebook: dict[str, Any]) -> None:
            for cell in notebook["cells"]:
                if cell["metadata"].get("nbgrader", {}).get("grade_id") == "sizing-reasons":
                    cell["source"] = "Measure it. <script>alert(8)</script>"

        at.edit(change).hand_in()

    def absent(self, name: str) -> None:
        """Nothing is handed in."""

    def place_by_hand(self) -> None:
        """Put submissions where nbgrader's exchange would, with what a zip cannot hold."""
        for name in ("linked", "piped", "two-notebooks"):
            at = self.desk(name).answer()
            folder = self.course.submitted(name, WORKSHEET)
            folder.parent.mkdir(parents=True)
            os.rename(at.folder, folder)
        submitted = self.course.submitted
        (submitted("linked", WORKSHEET) / "notes.txt").symlink_to(
            self.course.workspace / "gradebook.db"
        )
        os.mkfifo(submitted("piped", WORKSHEET) / "pipe")
        (submitted("two-notebooks", WORKSHEET) / "copy.ipynb").write_text("{}")
        submitted("who-is-this", WORKSHEET).mkdir(parents=True)
        put_in_the_way(submitted("shadows", WORKSHEET))


def put_in_the_way(folder: Path) -> None:
    """Lay modules that end Python where one looks that searches its folder first."""
    for name in ("json.py", "cubital.py"):
        (folder / name).write_text("raise SystemExit")


@pytest.fixture(scope="module")
def faulty(
    copy_code_course: Any, desk: Any, tampered: Any, tmp_path_factory: pytest.TempPathFactory
) -> Faulty:
    where = tmp_path_factory.mktemp("faults")
    course = copy_code_course(where / "here" / "workspace", [*FILES, *CELLS])
    with pytest.MonkeyPatch.context() as environment:
        environment.setenv("WARD_SECRET", "not for learners")
        return Faulty(course, desk, where / "homes", tampered)


STATES = {
    "corrupt": (UNREADABLE, "not whole JSON"),
    "truncated": (UNREADABLE, "answers cannot be read"),
    "no-notebook": (UNREADABLE, "there is no catheter-sizing.ipynb"),
    "two-notebooks": (UNREADABLE, "there are 2 notebooks"),
    "old-format": (UNREADABLE, "format 3"),
    "other-release": (HELD, "“autumn-1”"),
    "copied": (HELD, "saved by 'whole'"),
    "linked": (UNREADABLE, "is a link"),
    "piped": (UNREADABLE, "not a plain file"),
    "climbing": (UNREADABLE, "not taken"),
    "oversized": (UNREADABLE, "more than are taken"),
    "absent": (MISSING, "something unread lies in the inbox: inbox/holiday.zip"),
}


@pytest.mark.parametrize("learner", STATES)
def test_what_cannot_be_marked_is_told_and_gets_no_score(
    faulty: Faulty, in_gradebook: Callable, learner: str
) -> None:
    state, words = STATES[learner]
    row = faulty.results[learner]
    assert (row.state, row.items) == (state, ())
    assert words in row.reason
    assert row.action
    assert in_gradebook(faulty.course, learner) is None


def test_the_rest_of_the_cohort_is_marked(faulty: Faulty, in_gradebook: Callable) -> None:
    rest = set(faulty.results) - set(STATES)
    assert {faulty.results[learner].state for learner in rest} == {MARKED}
    assert [at[0] for at in faulty.progress] == [*range(1, len(rest) + 1)]
    assert faulty.results["whole"].points == AUTOMATIC
    with faulty.course.gradebook() as book:
        assert {student.id for student in book.students} == rest


@pytest.mark.parametrize("learner", CELLS)
def test_a_cell_loses_or_keeps_its_own_item_only(
    faulty: Faulty, in_gradebook: Callable, learner: str
) -> None:
    _, outcome, points, words = CELLS[learner]
    row = next(row for row in faulty.results[learner].items if row.item == CODE)
    assert (row.outcome, row.points) == (outcome, points)
    assert words in row.message
    booked = in_gradebook(faulty.course, learner)
    assert booked.pop(CODE) == points
    assert sum(value or 0 for value in booked.values()) == AUTOMATIC - 2


def test_values_of_another_learner_score_nothing_and_are_refused(faulty: Faulty) -> None:
    rows = {row.item: row for row in faulty.results["copied-edited"].items}
    items = {item.id: item for item in faulty.course.release(WORKSHEET).listed()}
    numbers = [row for row in rows.values() if items[row.item].kind == "number"]
    asked = [
        row
        for row in numbers
        if faulty.desk("whole").values(row.item) != faulty.desk("copied-edited").values(row.item)
    ]
    assert len(asked) >= 7
    assert {(row.outcome, row.points) for row in asked} == {("refused", 0)}
    assert all("may be a copy" in row.message for row in asked)
    assert all(row.answer and row.action for row in asked)


@pytest.mark.parametrize("learner", ["deleted", "doubled"])
def test_a_missing_or_doubled_cell_costs_nothing(
    faulty: Faulty, in_gradebook: Callable, learner: str
) -> None:
    points = in_gradebook(faulty.course, learner)
    assert points["sizing-reasons"] is None
    assert sum(value or 0 for value in points.values()) == AUTOMATIC


def test_edited_points_and_saved_outputs_are_put_back(
    faulty: Faulty, in_gradebook: Callable
) -> None:
    assert set(in_gradebook(faulty.course, "own-points").values()) == {0}
    assert faulty.results["own-points"].max_points == 27


def test_a_line_that_is_right_for_ones_own_values_only_scores_nothing(faulty: Faulty) -> None:
    row = next(row for row in faulty.results["hard-coded"].items if row.item == CODE)
    assert (row.outcome, row.points) == ("wrong", 0)
    assert "Right on your own values only" in row.message


def test_a_text_written_into_the_page_waits_to_be_read(faulty: Faulty) -> None:
    assert faulty.results["in-cell"].waiting == ("sizing-reasons",)
    with faulty.course.gradebook() as book:
        grade = book.find_grade("sizing-reasons", WORKSHEET, WORKSHEET, "in-cell")
        assert grade.needs_manual_grade


def test_files_that_nobody_can_be_asked_about_are_listed(faulty: Faulty) -> None:
    listed = {row.file: row for row in problems.read_problems(faulty.course, WORKSHEET)}
    assert {file for file, row in listed.items() if row.learner is None} == {
        "inbox/a-file-of-any-name.zip",
        "inbox/holiday.zip",
        "submitted/who-is-this",
    }
    assert "“stranger” is not on the roster" in listed["inbox/a-file-of-any-name.zip"].reason
    assert all(row.reason and row.action for row in listed.values())
    assert not faulty.course.submitted("stranger", WORKSHEET).exists()
    assert [row for row in listed.values() if row.file.startswith("inbox")] == faulty.problems


def test_nothing_is_left_or_written_outside_the_workspace(faulty: Faulty) -> None:
    parent = faulty.course.workspace.parent
    assert sorted(path.name for path in parent.iterdir()) == faulty.outside == ["workspace"]
    assert not list(parent.parent.rglob("escaped.txt"))
    assert not (faulty.course.workspace / ".running").exists()


def test_pages_show_what_learners_wrote_as_letters(faulty: Faulty) -> None:
    pages = {page.parts[-3]: page for page in returning.feedback(faulty.course, WORKSHEET)}
    assert set(pages) == set(faulty.results) - set(STATES)
    for learner, words in (
        ("raises", "<script>alert(7)</script>"),
        ("in-cell", "<script>alert(8)</script>"),
        ("own-line", "return <b>1</b>"),
    ):
        text = pages[learner].read_text(encoding="utf-8")
        assert escape(words, quote=False) in text
        assert words not in text
    whole = pages["whole"].read_text(encoding="utf-8")
    for word in ("<script", "http://", "https://", "ask(", "def ask", "<img", "import "):
        assert word not in whole
    assert whole.count("<pre>") == 1  # the learner's own line, and no other code
    seal = faulty.course.seal(WORKSHEET)
    for kept in ("release", "autograded", "feedback", "handout", "results"):
        for path in (faulty.course.workspace / kept).rglob("*"):
            if path.is_file():
                assert seal.encode() not in path.read_bytes(), path
    assert seal.encode() not in Store(faulty.course.workspace).path.read_bytes()


def test_a_corrected_hand_in_replaces_the_state(
    faulty: Faulty, desk: Any, in_gradebook: Callable
) -> None:
    desk(faulty.course, "corrupt", faulty.home).hand_in()
    collecting.collect(faulty.course, WORKSHEET)
    for name in set(CELLS) | (set(FILES) - {"whole", "corrupt"}):  # only what is asked about
        folder = faulty.course.submitted(name, WORKSHEET)
        if folder.exists():
            folder.rename(folder.with_name("kept"))
    results = {row.learner: row for row in marker.mark(faulty.course, WORKSHEET)}
    assert (results["corrupt"].state, results["corrupt"].points) == (MARKED, AUTOMATIC)
    assert sum(v or 0 for v in in_gradebook(faulty.course, "corrupt").values()) == AUTOMATIC
    assert gradebook.results(faulty.course, WORKSHEET) == [*results.values()]


def test_a_zip_whose_check_sums_do_not_agree_is_not_taken(
    copy_code_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_code_course(tmp_path / "workspace", ["ann"])
    path = desk(course, "ann", tmp_path).answer().hand_in()
    content = io.BytesIO(path.read_bytes())
    with zipfile.ZipFile(content) as archive, zipfile.ZipFile(path, "w") as changed:
        for name in archive.namelist():
            data = archive.read(name)
            changed.writestr(name, data.replace(b"Fr", b"mm") if name == "answers.json" else data)
    (problem,) = collecting.collect(course, WORKSHEET)
    assert (problem.learner, problem.state) == ("ann", UNREADABLE)
    assert "was changed after the hand-in" in problem.reason
