"""Two at work in one workspace do not meet; what a cell changes there is noticed."""

import os
import signal
import subprocess
import sys
from argparse import Namespace
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cubital import cli
from cubital.cli import bank
from cubital.educator.report import report
from cubital.marking.cohort import collecting, problems, releasing
from cubital.marking.cohort.course import Course, CourseError, Learner, create, write_roster
from cubital.marking.feedback import returning
from cubital.marking.marks import decisions, gradebook, marker
from cubital.marking.marks.store import Store

from ...recording import Recorder, Told

WORKSHEET = "catheter-sizing"
AT_WORK = """
import sys
from pathlib import Path
from cubital.marking.cohort.course import Course
with Course(Path(sys.argv[1])).at_work("marking “catheter-sizing”"):
    print("at work", flush=True)
    sys.stdin.read()
"""


def bank_begun(workspace: Path) -> None:
    bank._bank(Namespace(workspace=workspace, new="mine"))


def test_who_comes_second_is_told_who_is_at_work_and_a_killed_one_blocks_nobody(
    copy_course: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    before = {path: path.read_bytes() for path in course.workspace.rglob("*") if path.is_file()}
    first = subprocess.Popen(
        [sys.executable, "-c", AT_WORK, str(course.workspace)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert first.stdout.readline() == "at work\n"
        for step in (
            lambda: marker.mark(course, WORKSHEET),
            lambda: collecting.collect(course, WORKSHEET),
            lambda: returning.feedback(course, WORKSHEET),
            lambda: releasing.release(course, WORKSHEET, "autumn-1"),
            lambda: report(course.workspace, WORKSHEET),
            lambda: create(course.workspace, [Learner("ben")], replace_roster=True),
            lambda: bank_begun(course.workspace),
        ):
            with pytest.raises(CourseError) as told:
                step()
            assert "is marking “catheter-sizing” since" in str(told.value)
            assert f"(process {first.pid} on {os.uname().nodename})" in str(told.value)
    finally:
        first.kill()
        first.communicate()
    after = {path: path.read_bytes() for path in course.workspace.rglob("*") if path.is_file()}
    assert {path: after[path] for path in before} == before
    assert [row.state for row in marker.mark(course, WORKSHEET)] == ["missing"]


# What later commands run or go by.
CHANGED = (
    "nbgrader_config.py",
    "bank.toml",
    "local-profile.toml",
    "roster.csv",
    "items/mine.py",
    "standard-catheter-sizing.csv",
    f"source/{WORKSHEET}/{WORKSHEET}.ipynb",
    f"sealed/{WORKSHEET}.json",
    "gradebook.db",
    "gradebook.db-journal",
    "gradebook.db-wal",
    "results.db",
    "results.db-journal",
    f"results/{WORKSHEET}.problems.json",
    f"hand-marks/{WORKSHEET}/cy.json",
)
CHANGES = """
from pathlib import Path
for name in {names!r}:
    path = Path({workspace!r}, name)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("ab") as file:
        file.write(b"# mine\\n")
"""


def test_an_unprotected_cell_that_changes_the_workspaces_own_files_stops_the_marking(
    copy_code_course: Any, desk: Any, tmp_path: Path, in_gradebook: Callable, recorder: Recorder
) -> None:
    course = copy_code_course(tmp_path / "w", ["ben"])
    changes = CHANGES.format(names=CHANGED, workspace=str(course.workspace))
    desk(course, "ben", tmp_path).write_cell(changes).hand_in()
    collecting.collect(course, WORKSHEET)
    before = Store(course.workspace).path.read_bytes()
    with pytest.raises(CourseError) as told:
        marker.mark(course, WORKSHEET, workers=1, unprotected=True)
    same = Store(course.workspace).path.read_bytes() == before + b"# mine\n"
    recorder.saw(
        "run without protection, a cell changes the workspace's own files, the gradebook too",
        Told("nothing is marked", None),
        Told("nothing is marked" if same else "marked", None, str(told.value)),
    )
    for name in CHANGED:
        assert name in str(told.value)
    assert "while the cells of “ben” ran, so nothing was marked" in str(told.value)
    assert Store(course.workspace).path.read_bytes() == before + b"# mine\n"
    assert not (course.workspace / "autograded").exists()


def test_who_left_the_roster_is_named_and_keeps_the_marks(
    copy_course: Any,
    desk: Any,
    tmp_path: Path,
    in_gradebook: Callable,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(decisions, "run_code", lambda *given, **more: {})  # no cell is asked about
    course = copy_course(tmp_path / "w", ["ann", "ben"])
    for learner in ("ann", "ben"):
        desk(course, learner, tmp_path).hand_in()
    collecting.collect(course, WORKSHEET)
    marker.mark(course, WORKSHEET)
    marks = in_gradebook(course, "ben")
    kept = Store(course.workspace)
    before = kept.results(WORKSHEET)["ben"]
    write_roster(course.roster_file, [Learner("ann")])
    marker.mark(course, WORKSHEET)
    told = [row for row in problems.read_problems(course, WORKSHEET) if "ben" in row.file]
    assert [row.file for row in told] == ["submitted/ben", "gradebook.db: ben"]
    assert "is not on the roster any more" in told[1].reason
    assert "db student remove ben" in told[1].action
    assert in_gradebook(course, "ben") == marks
    assert kept.results(WORKSHEET)["ben"] == before
    assert [row.learner for row in gradebook.results(course, WORKSHEET)] == ["ann"]


LOOPS = """
while True:
    pass
"""


def test_ctrl_c_ends_with_the_status_of_shells(
    monkeypatch: pytest.MonkeyPatch, released_workspace: Path
) -> None:
    def stopped(*_given: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(collecting, "collect", stopped)
    assert cli.main(["cohort", "collect", WORKSHEET, "--workspace", str(released_workspace)]) == 130


@pytest.mark.long
@pytest.mark.parametrize("more", [(), ("--unprotected",)], ids=["sandbox", "unprotected"])
def test_ctrl_c_ends_the_run_and_says_what_is_done(
    copy_code_course: Any, desk: Any, tmp_path: Path, more: tuple[str, ...]
) -> None:
    course: Course = copy_code_course(tmp_path / "w", ["ann"])
    desk(course, "ann", tmp_path).write_cell(LOOPS).hand_in()
    collecting.collect(course, WORKSHEET)
    marking = subprocess.Popen(
        [sys.executable, "-m", "cubital", "cohort", "mark", WORKSHEET, *more],
        cwd=course.workspace,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    shown = ""
    while "Running code" not in shown:
        letter = marking.stderr.read(1)
        assert letter, f"it ended before a cell ran: {shown}"
        shown += letter
    marking.send_signal(signal.SIGINT)
    said, _ = marking.communicate()
    assert marking.returncode == 130
    assert "Stopped: no mark of this run was written. Mark again to mark all." in said
    assert not (course.workspace / ".running").exists()
    assert not (course.workspace / "autograded").exists()
