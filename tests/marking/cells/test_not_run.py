"""Where no sandbox can be made, code is not run: no mark, no zero, and what to do is said."""

from pathlib import Path
from typing import Any

import pytest

from cubital.cli import main
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook, marker

from ...counted import computed_points

WORKSHEET = "catheter-sizing"
CODE = "own-ratio"
MISSING = "no sandbox can be made here: the program bwrap is not installed"


@pytest.fixture
def course(
    copy_code_course: Any, desk: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Course:
    made: Course = copy_code_course(tmp_path / "w", ["ann", "ben", "cat"])
    for learner in ("ann", "ben"):
        desk(made, learner, tmp_path).answer().hand_in()
    collecting.collect(made, WORKSHEET)
    monkeypatch.setenv("PATH", str(tmp_path))
    return made


def test_the_other_items_are_marked_and_this_one_waits_for_a_person_or_a_sandbox(
    course: Course,
) -> None:
    ann = next(row for row in marker.mark(course, WORKSHEET) if row.learner == "ann")
    rows = {row.item: row for row in ann.items}
    assert rows[CODE].state == "not run"
    assert rows[CODE].points is None
    assert MISSING in rows[CODE].reason
    assert "Install bubblewrap" in rows[CODE].reason
    assert ann.points == computed_points(WORKSHEET) - 2
    with course.gradebook() as book:
        grade = book.find_grade(CODE, WORKSHEET, WORKSHEET, "ann")
        assert (grade.auto_score, grade.needs_manual_grade) == (None, True)
    (page,) = [page for page in returning.feedback(course, WORKSHEET) if "ann" in page.parts]
    assert "not run, so no mark yet" in page.read_text(encoding="utf-8")


def test_a_person_may_mark_it(course: Course) -> None:
    marker.mark(course, WORKSHEET)
    gradebook.set_manual(course, WORKSHEET, "ann", CODE, 2)
    ann = next(row for row in gradebook.results(course, WORKSHEET) if row.learner == "ann")
    assert ann.points == computed_points(WORKSHEET)
    assert next(row for row in ann.items if row.item == CODE).state == "marked by hand"


def test_the_command_says_so_once_and_ends_as_with_something_left(
    course: Course, capsys: pytest.CaptureFixture[str]
) -> None:
    status = main(["cohort", "mark", WORKSHEET, "--workspace", str(course.workspace)])
    said = capsys.readouterr().out
    assert status == 3
    assert said.count(MISSING) == 1
    assert "Not marked: “own-ratio” of 2 hand-ins: not_run: " in said
    assert "2 answers wait to be marked by hand" in said  # the two texts


def test_unprotected_it_is_run_and_every_result_says_so(course: Course) -> None:
    results = marker.mark(course, WORKSHEET, unprotected=True)
    for learner in ("ann", "ben"):
        rows = next(row.items for row in results if row.learner == learner)
        told = {row.item: row.message for row in rows}
        assert told.pop(CODE) == "Right, on your values and on others. (Run without protection.)"
        assert not [words for words in told.values() if "without protection" in words]
