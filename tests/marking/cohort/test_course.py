"""A workspace is laid out once, its roster is checked, and its release gives nothing away."""

import json
import stat
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy
from nbgrader.api import Student

from cubital import cli
from cubital.handin.released.release import read_release
from cubital.marking.cohort import collecting, releasing
from cubital.marking.cohort.course import (
    Course,
    CourseError,
    Learner,
    create,
    read_roster,
    write_roster,
)
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook, marker

from ...counted import computed_points

WORKSHEET = "catheter-sizing"
FULL = computed_points(WORKSHEET)  # without the text, which waits


def roster(folder: Path, text: str) -> Path:
    path = folder / "roster.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_second_creation_changes_nothing(tmp_path: Path) -> None:
    made = create(tmp_path / "w", [Learner("ann", "Ann", 'Moss, "R"')])
    config = made.workspace / "nbgrader_config.py"
    config.write_text(config.read_text(encoding="utf-8") + "# ours\n", encoding="utf-8")

    def files() -> dict[Path, bytes]:  # but the lock of who is at work
        found = [p for p in made.workspace.rglob("*") if p.is_file() and p.suffix != ".lock"]
        return {path: path.read_bytes() for path in found}

    before = files()
    assert create(tmp_path / "w").roster() == {"ann": Learner("ann", "Ann", 'Moss, "R"')}
    assert files() == before


def test_a_folder_with_other_files_is_not_used(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine")
    with pytest.raises(CourseError, match="holds other files"):
        create(tmp_path)
    with pytest.raises(CourseError, match="not a cohort's workspace"):
        Course(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_ids_of_a_roster_come_in_one_form(tmp_path: Path) -> None:
    path = roster(tmp_path, "\ufeffid,first_name,last_name,ward\n Ann.B ,Ann,B,4\n")
    assert read_roster(path) == [Learner("ann.b", "Ann", "B")]


def test_every_wrong_line_of_a_roster_is_named(tmp_path: Path) -> None:
    path = roster(tmp_path, "id,first_name,last_name\nann,A,B\n../x,C,D\nAnn,E,F\n,G,H\n")
    with pytest.raises(CourseError) as told:
        read_roster(path)
    assert "line 3: '../x'" in str(told.value)
    assert "lines 2 and 4 both have the id “ann”" in str(told.value)
    assert "line 5" in str(told.value)


def test_a_roster_without_its_columns_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CourseError, match="lacks the columns first_name"):
        read_roster(roster(tmp_path, "id,last_name\nann,B\n"))


def test_the_handout_is_the_released_notebook_and_its_release(released_workspace: Path) -> None:
    course = Course(released_workspace)
    with zipfile.ZipFile(course.handout(WORKSHEET)) as archive:
        names = archive.namelist()
        text = archive.read(f"{WORKSHEET}/{WORKSHEET}.ipynb").decode()
    files = (f"{WORKSHEET}.ipynb", "papers.json", "release.json")
    assert names == [f"{WORKSHEET}/{file}" for file in files]
    assert "SOLUTION" not in text
    assert "catheter_to_vein_ratio" not in text
    assert "blurred shadow" not in text
    assert 'raise NotImplementedError(\\"replace this line\\")' in text
    assert "*Your text is placed here when you hand in.*" in text


def test_the_seal_is_secret_and_stays(copy_course: Any, tmp_path: Path) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    path = course.workspace / "sealed" / f"{WORKSHEET}.json"
    seal = course.seal(WORKSHEET)
    assert len(seal) == 64
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    releasing.release(course, WORKSHEET, "autumn-1")
    assert course.seal(WORKSHEET) == seal


def test_the_same_release_again_is_the_same_to_the_byte(copy_course: Any, tmp_path: Path) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    before = course.handout(WORKSHEET).read_bytes()
    assert releasing.release(course, WORKSHEET, "autumn-1").read_bytes() == before


def test_releases_stand_side_by_side_and_each_hand_in_is_marked_by_its_own(
    copy_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann", "ben", "cy"])
    first = desk(course, "ann", tmp_path).answer()
    late = desk(course, "cy", tmp_path).answer({"sizing-french": "99 Fr"})
    first.hand_in()
    collecting.collect(course, WORKSHEET)
    releasing.release(course, WORKSHEET, "autumn-2")
    assert course.release(WORKSHEET).name == "autumn-2"
    assert [*course.releases(WORKSHEET)] == ["autumn-1", "autumn-2"]
    assert first.values("sizing-french") != desk(course, "ann", tmp_path / "new").values(
        "sizing-french"
    )
    desk(course, "ben", tmp_path).answer().hand_in()
    late.hand_in()  # to the first, after the second was given out
    assert collecting.collect(course, WORKSHEET) == []
    rows = {row.learner: row for row in marker.mark(course, WORKSHEET)}
    assert {name: (row.release, row.points) for name, row in rows.items()} == {
        "ann": ("autumn-1", FULL),
        "ben": ("autumn-2", FULL),
        "cy": ("autumn-1", FULL - 2),
    }
    pages = {page.parts[-3]: page for page in returning.feedback(course, WORKSHEET)}
    for learner, row in rows.items():
        assert row.release in pages[learner].read_text("utf-8")


def test_a_release_of_which_nothing_is_sealed_is_marked_by_nobody_and_says_why(
    copy_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    desk(course, "ann", tmp_path).answer().hand_in()
    collecting.collect(course, WORKSHEET)
    (course.workspace / "sealed" / "papers").rename(tmp_path / "elsewhere")
    with pytest.raises(CourseError, match=r"release “autumn-1” is not in .*: restore it"):
        marker.mark(course, WORKSHEET)


def test_other_questions_need_a_new_workspace_once_something_was_handed_in(
    copy_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    desk(course, "ann", tmp_path).answer().hand_in()
    (course.workspace / "bank.toml").write_text("[items.sizing-french]\npoints = 3\n")
    with pytest.raises(CourseError, match=r"“autumn-1” is answered already.*new workspace"):
        releasing.release(course, WORKSHEET, "autumn-3")
    assert course.release(WORKSHEET).name == "autumn-1"


def test_a_release_again_keeps_everybodys_paper_whoever_joins_the_roster(
    copy_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann", "ben"])
    before = {name: desk(course, name, tmp_path).store.paper for name in ("ann", "ben")}
    write_roster(course.roster_file, [Learner(name) for name in ("abe", "ann", "ben", "zoe")])
    releasing.release(course, WORKSHEET, "autumn-1")
    after = {name: desk(course, name, tmp_path / "new").store.paper for name in before}
    assert after == before
    papers = course.sealed(course.release(WORKSHEET)).papers
    assert papers.paper_of("zoe") in papers.spare


def test_a_name_stands_for_one_policy(copy_course: Any, tmp_path: Path) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    (course.workspace / "local-profile.toml").write_text("[policy]\nratio_limit = 0.36\n")
    with pytest.raises(CourseError, match="choose another name"):
        releasing.release(course, WORKSHEET, "autumn-1")
    releasing.release(course, WORKSHEET, "autumn-2")
    policy = read_release(course.released(WORKSHEET)).policy
    assert (policy["ratio_limit"], policy["attempt_limit"]) == (0.36, 2)
    assert policy["department"] == "Ward 4"


def change_source(course: Course, change: Callable[[list[dict]], None]) -> None:
    path = course.source(WORKSHEET) / f"{WORKSHEET}.ipynb"
    notebook = json.loads(path.read_text(encoding="utf-8"))
    change(notebook["cells"])
    path.write_text(json.dumps(notebook), encoding="utf-8")


LEAK = "return outer_diameter_mm / vein_diameter_mm"


def says(text: str) -> Callable[[list[dict]], None]:
    def change(cells: list[dict]) -> None:
        cells[0]["source"] = text

    return change


def named(cells: list[dict], cell_id: str) -> dict:
    return next(cell for cell in cells if cell["id"] == cell_id)


def unmarked(cells: list[dict]) -> None:
    named(cells, "reasons")["metadata"] = {}


def dearer(cells: list[dict]) -> None:
    named(cells, "french")["metadata"]["nbgrader"]["points"] = 4


def without(cells: list[dict]) -> None:
    cells.remove(named(cells, "french"))


def unclosed(cells: list[dict]) -> None:
    named(cells, "reasons")["source"] = "### BEGIN SOLUTION\nnothing ends it"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (says(f"Try this: {LEAK}"), "would give away 'return outer"),
        (
            says(
                "- " + "Measure with ultrasound, without a tourniquet, which distends the vein; "
                "size from the catheter's largest outer diameter by the local limit (1 point)."
            ),
            "would give away",
        ),
        (says("### BEGIN HIDDEN TESTS"), "No end hidden tests statement found"),
        (unmarked, "item “sizing-reasons” has no grade cell"),
        (dearer, "“sizing-french” has 4 points in the worksheet and 2 as an item"),
        (without, "item “sizing-french” has no grade cell"),
        (unclosed, "no end solution statement found"),
    ],
)
def test_a_source_that_gives_away_or_differs_is_not_released(
    copy_course: Any, tmp_path: Path, change: Callable, words: str
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    change_source(course, change)
    with pytest.raises(CourseError, match=words):
        releasing.release(course, WORKSHEET, "autumn-2")
    assert course.release(WORKSHEET).name == "autumn-1"


def test_answers_beside_the_source_are_refused(copy_course: Any, tmp_path: Path) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    (course.source(WORKSHEET) / "answers.json").write_text("{}")
    with pytest.raises(CourseError, match="would replace every learner's answers"):
        releasing.release(course, WORKSHEET, "autumn-1")


def test_the_latest_hand_in_counts_whatever_the_order_of_files(
    copy_course: Any, desk: Any, moment: Callable, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann", "ben"])
    desk(course, "ben", tmp_path).hand_in(moment(8))
    at = desk(course, "ann", tmp_path)
    at.answer({"sizing-french": "3.33 Fr"}).hand_in(moment(12)).rename(course.inbox / "a.zip")
    at.answer().hand_in(moment(11)).rename(course.inbox / "z.zip")
    for _ in range(2):
        assert collecting.collect(course, WORKSHEET) == []
        kept = json.loads((course.submitted("ann", WORKSHEET) / "answers.json").read_text())
        assert kept["items"]["sizing-french"][-1]["answer"]["number"] == 3.33
    assert len(list(course.inbox.iterdir())) == 3
    assert (course.submitted("ann", WORKSHEET) / "timestamp.txt").read_text() == (
        "2021-03-04 12:00:00.000000 UTC\n"
    )


def test_zips_of_other_worksheets_wait_or_are_told(
    copy_course: Any, desk: Any, tampered: Callable, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann", "ben"])
    other = course.workspace / "source" / "light"
    other.mkdir()
    (other / "light.ipynb").write_text("{}")
    no_files = dict.fromkeys((f"{WORKSHEET}.ipynb", "answers.json"))
    tampered(desk(course, "ann", tmp_path).hand_in(), no_files, worksheet="light")
    tampered(desk(course, "ben", tmp_path).hand_in(), no_files, worksheet="dark")
    (problem,) = collecting.collect(course, WORKSHEET)
    assert (problem.learner, problem.state) == ("ben", "held")
    assert "'dark', which this course does not have" in problem.reason
    assert not (course.workspace / "submitted").exists()
    assert [row.state for row in marker.mark(course, WORKSHEET)] == ["missing", "held"]


def test_an_unreadable_later_zip_leaves_the_earlier_and_is_told(
    copy_course: Any, desk: Any, moment: Callable, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann", "ben"])
    desk(course, "ann", tmp_path).answer().hand_in(moment(8))
    (course.inbox / f"{WORKSHEET}_ann_20210304-090000.zip").write_bytes(b"PK half")
    (course.inbox / f"{WORKSHEET}_ben_20210304-090000.zip").write_bytes(b"PK half")
    first, second = collecting.collect(course, WORKSHEET)
    assert (first.learner, second.learner) == (None, "ben")
    assert "another hand-in of “ann” counts" in first.reason
    states = {row.learner: row.state for row in marker.mark(course, WORKSHEET)}
    assert states == {"ann": "marked", "ben": "unreadable"}


def test_a_later_hand_in_that_cannot_be_read_leaves_the_earlier_marks_where_they_are(
    copy_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    desk(course, "ann", tmp_path).answer().hand_in()
    collecting.collect(course, WORKSHEET)
    marker.mark(course, WORKSHEET)
    (course.submitted("ann", WORKSHEET) / f"{WORKSHEET}.ipynb").write_text("{")
    (row,) = marker.mark(course, WORKSHEET)
    assert (row.state, row.items) == ("unreadable", ())
    assert "marks of an earlier marking stay in the gradebook" in row.action


FAILURES = {
    "keys": "is missing: restore it",
    "no gradebook": "gradebook.db does not have “catheter-sizing”: release it again",
    "disk": "FileExistsError",
}


def let_fail(course: Course, what: str) -> None:
    if what == "keys":
        folder = course.workspace / "sealed" / "papers" / WORKSHEET / "autumn-1"
        (folder / "keys.json").unlink()
    elif what == "no gradebook":
        (course.workspace / "gradebook.db").unlink()
    else:
        (course.workspace / "autograded").mkdir()
        (course.workspace / "autograded" / "ann").touch()


@pytest.mark.parametrize("what", FAILURES)
def test_what_fails_in_marking_is_a_system_error_and_no_zero(
    copy_course: Any, desk: Any, tmp_path: Path, in_gradebook: Callable, what: str
) -> None:
    course = copy_course(tmp_path / "w", ["ann", "ben"])
    desk(course, "ann", tmp_path).answer().hand_in()
    collecting.collect(course, WORKSHEET)
    let_fail(course, what)
    rows = marker.mark(course, WORKSHEET)
    assert [row.state for row in rows] == ["system_error", "missing"]
    assert FAILURES[what] in rows[0].reason
    assert rows[0].items == ()
    assert in_gradebook(course, "ann") is None


@pytest.mark.parametrize("step", ["mark", "report"])
def test_a_damaged_gradebook_is_named_with_what_to_do(
    copy_course: Any, tmp_path: Path, capsys: pytest.CaptureFixture, step: str
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    path = course.workspace / "gradebook.db"
    path.write_text("a letter")
    assert cli.main(["cohort", step, WORKSHEET, "--workspace", str(course.workspace)]) == 1
    said = capsys.readouterr().err
    assert f"{path} cannot be used: file is not a database" in said
    assert "put a copy back" in said


def test_a_gradebook_that_is_open_is_given_again_without_what_was_not_committed(
    copy_course: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])

    def kept() -> list[str]:
        with course.gradebook() as book:
            return [row.id for row in book.students if row.id in {"eve", "kim"}]

    def failing() -> None:
        with course.gradebook() as book:
            book.db.add(Student(id="kim"))
            book.db.flush()
            book.db.execute(sqlalchemy.text("SELECT * FROM nowhere"))

    with course.gradebook() as outer:
        with course.gradebook() as book:
            assert book is outer
            book.db.add(Student(id="eve"))
            book.db.commit()
            book.db.add(Student(id="kim"))
        with pytest.raises(CourseError, match="cannot be used"):
            failing()
        assert kept() == ["eve"]
    assert kept() == ["eve"]
    with course.gradebook() as book:
        assert book is not outer


def test_a_workspace_that_marks_nothing_yet_says_so(copy_course: Any, tmp_path: Path) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    (row,) = gradebook.results(course, WORKSHEET)
    assert (row.state, row.points, row.items) == ("missing", 0, ())
    with pytest.raises(CourseError, match="there are: catheter-sizing"):
        course.release("light")
    (fresh := tmp_path / "roster.csv").touch()
    write_roster(fresh, [])
    with pytest.raises(CourseError, match="not released yet"):
        create(tmp_path / "v", fresh).release(WORKSHEET)
