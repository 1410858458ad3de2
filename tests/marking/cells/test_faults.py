"""What goes wrong in one hand-in is told with its reason, and the others are marked."""

import io
import json
import os
import stat
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

from ...counted import all_points, computed_points
from ...recording import Recorder, Told
from ..untouched import held, written
from .written import CELLS

WORKSHEET = "catheter-sizing"
CODE = "own-ratio"
AUTOMATIC = computed_points(WORKSHEET)
TIME_OUT_S = 8.0

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
    "renamed",
    "byte-order-mark",
    "wrong-outputs",
    "socketed",
    "endless-file",
)


class Faulty:
    """A cohort with one fault each, marked in one go."""

    def __init__(self, course: Course, desk: Any, home: Path, tampered: Any) -> None:
        self.course, self.home, self.tampered = course, home, tampered
        self.desk = lambda learner: desk(course, learner, home)
        for learner, attack in CELLS.items():
            self.desk(learner).answer().write_cell(attack.source).hand_in()
        for name in FILES:
            getattr(self, name.replace("-", "_"))(name)
        stranger = self.desk("stranger").answer().hand_in()
        stranger.rename(stranger.with_name("a-file-of-any-name.zip"))
        (course.inbox / "holiday.zip").write_bytes(b"not a zip")
        self.outside = sorted(path.name for path in course.workspace.parent.iterdir())
        self.problems = collecting.collect(course, WORKSHEET)
        self.place_by_hand()
        but = written(course.workspace)
        before = held(home.parent, but=but)
        self.progress: list[tuple[int, int, str]] = []
        results = marker.mark(
            course, WORKSHEET, lambda *at: self.progress.append(at), timeout_s=TIME_OUT_S
        )
        self.results = {row.learner: row for row in results}
        self.changed = held(home.parent, but=but).items() ^ before.items()

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

    linked = piped = socketed = endless_file = two_notebooks

    def renamed(self, name: str) -> None:
        path = self.desk(name).answer().hand_in()
        whole = (self.desk(name).folder / f"{WORKSHEET}.ipynb").read_bytes()
        self.tampered(path, {f"{WORKSHEET}.ipynb": None, f"{WORKSHEET}-final.ipynb": whole})

    def byte_order_mark(self, name: str) -> None:
        """As editors of one operating system save a file."""
        path = self.desk(name).answer().hand_in()
        with zipfile.ZipFile(path) as archive:
            whole = {one: archive.read(one) for one in archive.namelist() if one.endswith("b")}
            whole["answers.json"] = archive.read("answers.json")
        self.tampered(path, {one: b"\xef\xbb\xbf" + data for one, data in whole.items()})

    def wrong_outputs(self, name: str) -> None:
        def change(notebook: dict[str, Any]) -> None:
            for cell in notebook["cells"]:
                if cell["cell_type"] == "code":
                    shown = {"output_type": "stream", "name": "stdout", "text": "0.0 of 2\n"}
                    error = {"output_type": "error", "ename": "E", "evalue": "", "traceback": []}
                    cell["outputs"], cell["execution_count"] = [shown, error], 99

        self.desk(name).answer().edit(change).hand_in()

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
        for name in ("linked", "piped", "two-notebooks", "socketed", "endless-file"):
            at = self.desk(name).answer()
            folder = self.course.submitted(name, WORKSHEET)
            folder.parent.mkdir(parents=True)
            os.rename(at.folder, folder)
        submitted = self.course.submitted
        (submitted("linked", WORKSHEET) / "notes.txt").symlink_to(
            self.course.workspace / "gradebook.db"
        )
        os.mkfifo(submitted("piped", WORKSHEET) / "pipe")
        for name in ("socketed", "endless-file"):
            (submitted(name, WORKSHEET) / "answers.json").unlink()
        listening = submitted("socketed", WORKSHEET) / "answers.json"
        os.mknod(listening, stat.S_IFSOCK | 0o600)
        (submitted("endless-file", WORKSHEET) / "answers.json").symlink_to("/dev/zero")
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


# What a learner does, the state due, and words of the reason.
STATES = {
    "corrupt": ("half a notebook", UNREADABLE, "is not whole"),
    "truncated": ("half the answers", UNREADABLE, "answers cannot be read"),
    "no-notebook": ("no notebook", UNREADABLE, "there is no catheter-sizing.ipynb"),
    "renamed": ("a notebook of another name", UNREADABLE, "which is not taken"),
    "two-notebooks": ("two notebooks", UNREADABLE, "there are 2 notebooks"),
    "old-format": ("a notebook of format 3", UNREADABLE, "format 3"),
    "other-release": ("answers to another release", HELD, "“autumn-1”"),
    "copied": ("a neighbour's answers", HELD, "saved by 'whole'"),
    "linked": ("a link to the gradebook", UNREADABLE, "is a link"),
    "endless-file": ("answers that are a link to /dev/zero", UNREADABLE, "is a link"),
    "piped": ("a pipe", UNREADABLE, "not a plain file"),
    "socketed": ("a socket for answers", UNREADABLE, "not a plain file"),
    "climbing": ("a zip that climbs out of its folder", UNREADABLE, "not taken"),
    "oversized": ("answers of 9 MB", UNREADABLE, "more than are taken"),
    "absent": (
        "nothing, while something unread lies in the inbox",
        MISSING,
        "something unread lies in the inbox: inbox/holiday.zip",
    ),
}


@pytest.mark.parametrize("learner", STATES)
def test_what_cannot_be_marked_is_told_and_gets_no_score(
    faulty: Faulty, in_gradebook: Callable, learner: str, recorder: Recorder
) -> None:
    does, state, words = STATES[learner]
    row = faulty.results[learner]
    points = row.points if row.items else None
    seen = Told(row.state, points, f"{row.reason} {row.action}")
    recorder.saw(f"hands in {does}", Told(state, None), seen, most=AUTOMATIC)
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
    faulty: Faulty, in_gradebook: Callable, learner: str, recorder: Recorder
) -> None:
    attack = CELLS[learner]
    row = next(row for row in faulty.results[learner].items if row.item == CODE)
    due, seen = Told(attack.outcome, attack.points), Told(row.outcome, row.points, row.message)
    recorder.saw(f"a cell: {attack.does}", due, seen, most=2, honest=attack.honest)
    assert (row.outcome, row.points) == (attack.outcome, attack.points)
    assert attack.words in row.message
    booked = in_gradebook(faulty.course, learner)
    assert booked.pop(CODE) == attack.points
    assert sum(value or 0 for value in booked.values()) == AUTOMATIC - 2


def test_values_of_another_learner_score_nothing_and_are_refused(
    faulty: Faulty, recorder: Recorder
) -> None:
    rows = {row.item: row for row in faulty.results["copied-edited"].items}
    items = {item.id: item for item in faulty.course.release(WORKSHEET).listed()}
    numbers = [row for row in rows.values() if items[row.item].kind == "number"]
    asked = [
        row
        for row in numbers
        if faulty.desk("whole").values(row.item) != faulty.desk("copied-edited").values(row.item)
    ]
    assert len(asked) >= 7
    recorder.saw(
        "a neighbour's answers under the learner's own name: numbers",
        Told("refused", 0),
        Told(
            ", ".join(sorted({row.outcome for row in asked})),
            sum(row.points or 0 for row in asked),
            f"{asked[0].message} {asked[0].action}",
        ),
        most=sum(row.max_points for row in asked),
    )
    assert {(row.outcome, row.points) for row in asked} == {("refused", 0)}
    assert all("may come from another paper" in row.message for row in asked)
    assert all(row.answer and row.action for row in asked)


# What an honest learner does that costs nothing.
HONEST = {
    "whole": "an honest hand-in among all these",
    "deleted": "an honest hand-in without some cells, their questions answered",
    "doubled": "an honest hand-in with cells twice",
    "byte-order-mark": "an honest hand-in whose files begin with a byte-order mark",
    "wrong-outputs": "an honest hand-in whose cells show wrong results that were saved before",
}


@pytest.mark.parametrize("learner", HONEST)
def test_what_is_honest_has_all_its_points_whatever_was_done_to_its_cells(
    faulty: Faulty, in_gradebook: Callable, learner: str, recorder: Recorder
) -> None:
    row = faulty.results[learner]
    seen = Told(row.state, row.points, row.reason or "marked")
    recorder.saw(HONEST[learner], Told(MARKED, AUTOMATIC), seen, most=AUTOMATIC, honest=True)
    assert row.state == MARKED, row.reason
    points = in_gradebook(faulty.course, learner)
    assert points["sizing-reasons"] is None
    assert sum(value or 0 for value in points.values()) == AUTOMATIC


def test_edited_points_and_saved_outputs_are_put_back(
    faulty: Faulty, in_gradebook: Callable, recorder: Recorder
) -> None:
    row = faulty.results["own-points"]
    recorder.saw(
        "answers nothing, sets every cell to 200 points and shows saved results of 200",
        Told(MARKED, 0),
        Told(row.state, row.points, "; ".join(sorted({one.message for one in row.items}))),
        most=row.max_points,
    )
    assert set(in_gradebook(faulty.course, "own-points").values()) == {0}
    assert faulty.results["own-points"].max_points == all_points(WORKSHEET)


def test_a_line_that_is_right_for_ones_own_values_only_scores_nothing(
    faulty: Faulty, recorder: Recorder
) -> None:
    row = next(row for row in faulty.results["hard-coded"].items if row.item == CODE)
    seen = Told(row.outcome, row.points, row.message)
    recorder.saw("a function that gives the visible case's number", Told("wrong", 0), seen, most=2)
    assert (row.outcome, row.points) == ("wrong", 0)
    assert "Right on your own values only" in row.message


def test_a_text_written_into_the_page_waits_to_be_read(faulty: Faulty, recorder: Recorder) -> None:
    row = next(row for row in faulty.results["in-cell"].items if row.item == "sizing-reasons")
    seen = Told(row.outcome, row.points, row.message)
    recorder.saw("a text in the page instead of its field", Told("waiting", None), seen, most=3)
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
    assert not faulty.changed


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
