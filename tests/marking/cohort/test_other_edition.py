"""A workspace that another edition of the course made: it says so, and nothing is written over."""

import hashlib
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cubital.cli import main
from cubital.handin.files import read_json, write_json
from cubital.handin.released.sealed import folder_of
from cubital.marking.cohort.course import Course

WORKSHEET = "catheter-sizing"
RELEASE = "autumn-1"


def other_settings(course: Course) -> None:
    path = course.workspace / "nbgrader_config.py"
    path.write_text("from cubital.marking.earlier import Mend\n", encoding="utf-8")


def other_release(course: Course) -> None:
    path = folder_of(course.workspace, WORKSHEET, RELEASE) / "release.json"
    write_json(path, read_json(path) | {"format": "cubital-release/0"})


def other_results(course: Course) -> None:
    with sqlite3.connect(course.workspace / "results.db") as db:
        db.execute("PRAGMA user_version = 0")
    db.close()


def sums(workspace: Path) -> dict[str, str]:
    files = (path for path in workspace.rglob("*") if path.is_file())
    return {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in files
        if not path.name.startswith(".at-work")
    }


@pytest.fixture
def course(copy_course: Any, desk: Any, tmp_path: Path) -> Course:
    made: Course = copy_course(tmp_path / "w", ["ann"])
    desk(made, "ann", tmp_path).answer().hand_in()
    return made


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (other_settings, "go on in it with that edition"),
        (other_release, "use the edition of the course that made it"),
        (other_results, "was not made by this edition of the course"),
    ],
)
def test_it_is_said_and_nothing_is_changed(
    change: Callable[[Course], None], words: str, course: Course, capsys: Any
) -> None:
    where = [WORKSHEET, "--workspace", str(course.workspace)]
    assert main(["cohort", "collect", *where]) == 0
    assert main(["cohort", "mark", *where]) == 0
    change(course)
    before = sums(course.workspace)
    capsys.readouterr()
    assert main(["cohort", "mark", *where]) == 1
    assert words in capsys.readouterr().err
    assert sums(course.workspace) == before
