"""A fault in writing is its learner's alone; where nothing can be written, all are told."""

from collections.abc import Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from cubital.marking.errors import CourseError
from cubital.marking.marks import writer
from cubital.marking.marks.marked_folders import MarkedFolders

WORKSHEET = "catheter-sizing"
SOME = [SimpleNamespace(learner=who) for who in ("ann", "ben", "cem")]


def names(rows: Sequence[Any]) -> list[str]:
    return [row.learner for row in rows]


def test_a_step_that_fails_for_some_is_taken_for_each_alone() -> None:
    taken: list[list[str]] = []

    def step(rows: Sequence[Any]) -> None:
        if "ben" in names(rows):
            raise ZeroDivisionError
        taken.append(names(rows))

    failed = writer._tried(step, SOME)
    assert list(failed) == ["ben"]
    assert isinstance(failed["ben"], ZeroDivisionError)
    assert taken == [["ann"], ["cem"]]
    assert writer._tried(step, SOME[:1]) == {}


@pytest.mark.parametrize("rows", [SOME, []])
def test_a_gradebook_that_cannot_be_used_is_asked_once(rows: list[Any]) -> None:
    asked = 0

    def step(_rows: Sequence[Any]) -> None:
        nonlocal asked
        asked += 1
        raise CourseError("it is held")

    assert list(writer._tried(step, rows)) == names(rows)
    assert asked == 1


def test_a_marked_folder_is_replaced_as_a_whole_and_holds_nobodys_papers(
    copy_course: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    source, submitted = course.source(WORKSHEET), course.submitted("ann", WORKSHEET)
    (source / "deep" / "er").mkdir(parents=True)
    (source / "deep" / "er" / "small.txt").write_text("small")
    assert (source / "papers.json").is_file()
    (submitted / "deep").mkdir(parents=True)
    for name in (f"{WORKSHEET}.ipynb", "answers.json", "release.json", "deep/own.txt", "x.pyc"):
        (submitted / name).write_text("handed in")
    part = course.autograded("ann", WORKSHEET).with_name(f".{WORKSHEET}.part")
    part.mkdir(parents=True)
    (part / "half.txt").touch()
    folders = MarkedFolders(course, WORKSHEET)
    assert not part.exists(), "what was left half written goes"
    for text in (b"first", b"second"):
        folders.write("ann", submitted, text)
        marked = course.autograded("ann", WORKSHEET)
        held = {
            path.relative_to(marked).as_posix(): path.read_bytes()
            for path in marked.rglob("*")
            if path.is_file()
        }
        assert held == {
            f"{WORKSHEET}.ipynb": text,
            "answers.json": b"handed in",
            "deep/own.txt": b"handed in",
            "deep/er/small.txt": b"small",
            "release.json": (source / "release.json").read_bytes(),
        }
    for path in (course.workspace / "autograded").rglob("*"):
        assert path.stat().st_mode & 0o077 == 0, path
    assert [path.name for path in marked.parent.iterdir()] == [WORKSHEET]
    folders.remove("ann")
    assert not marked.exists()
