"""Mark a workspace while something fails, then mark it again, as a program of its own.

    python at_fault.py FAULT WORKSPACE [DISK]

It prints as JSON what was told at first, what was booked by then, and what is told and booked when
the fault is over. On DISK, a small file system, a copy of the workspace is marked.
"""

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from pathlib import Path
from typing import Any

from cubital.marking.cohort.course import Course
from cubital.marking.errors import CourseError
from cubital.marking.marks import marker, store, writer

WORKSHEET = "catheter-sizing"
MARKING = [sys.executable, "-m", "cubital", "cohort", "mark", WORKSHEET]


def told(course: Course) -> dict[str, Any]:
    """Mark, and return the error that stops it, or by learner state, points and words."""
    try:
        rows = marker.mark(course, WORKSHEET)
    except CourseError as error:
        return {"error": str(error), "rows": {}}
    return {
        "error": "",
        "rows": {
            row.learner: [row.state, row.points, f"{row.reason} {row.action}".strip()]
            for row in rows
        },
    }


def booked(course: Course) -> list[Any]:
    """What the gradebook holds: learner, question, and points."""
    with closing(sqlite3.connect(course.workspace / "gradebook.db")) as db:
        return sorted(
            db.execute(
                "SELECT submitted_assignment.student_id, base_cell.name, grade.auto_score,"
                " grade.manual_score FROM grade JOIN base_cell ON base_cell.id = grade.cell_id"
                " JOIN submitted_notebook ON submitted_notebook.id = grade.notebook_id"
                " JOIN submitted_assignment"
                " ON submitted_assignment.id = submitted_notebook.assignment_id"
            ),
            key=str,
        )


@contextmanager
def held(path: Path, how: str) -> Iterator[None]:
    """Let another connection hold a database."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute(f"BEGIN {how}")
        yield
        db.execute("ROLLBACK")


@contextmanager
def gradebook_held(course: Course) -> Iterator[None]:
    """Nobody else can read or write the gradebook."""
    with held(course.workspace / "gradebook.db", "EXCLUSIVE"):
        yield


@contextmanager
def gradebook_being_written(course: Course) -> Iterator[None]:
    """Others can read the gradebook, and not write it."""
    with held(course.workspace / "gradebook.db", "IMMEDIATE"):
        yield


@contextmanager
def results_held(course: Course) -> Iterator[None]:
    """Nobody else can read or write the results."""
    store._WAIT_S = 0.1
    with closing(sqlite3.connect(course.workspace / "results.db")) as db:
        db.execute("PRAGMA user_version")
    with held(course.workspace / "results.db", "EXCLUSIVE"):
        yield


@contextmanager
def disk_full(course: Course) -> Iterator[None]:
    """No byte is left on the disk."""
    filler = course.workspace.parent / "filler"
    size = shutil.disk_usage(filler.parent).free
    with filler.open("wb") as file:
        os.posix_fallocate(file.fileno(), 0, size)
    assert shutil.disk_usage(filler.parent).free == 0
    try:
        yield
    finally:
        filler.unlink()


@contextmanager
def full_during(course: Course, owner: Any, name: str) -> Iterator[None]:
    """The disk is full while a function runs, and no longer."""
    function = getattr(owner, name)

    def called(*given: Any) -> None:
        with disk_full(course):
            function(*given)

    setattr(owner, name, called)
    try:
        yield
    finally:
        setattr(owner, name, function)


def disk_full_midway(course: Course) -> AbstractContextManager[None]:
    """The disk is full from when the first marks are written."""
    return full_during(course, writer.Writer, "write")


def disk_full_when_keeping(course: Course) -> AbstractContextManager[None]:
    """The disk is full when the gradebook is written and the results are not."""
    return full_during(course, writer.Writer, "_keep")


@contextmanager
def second_marker(course: Course) -> Iterator[None]:
    """Somebody else marks already."""
    at_work = (
        "import sys; from pathlib import Path; from cubital.marking.cohort.course import Course\n"
        "with Course(Path(sys.argv[1])).at_work('marking “catheter-sizing”'):\n"
        "    print('at work', flush=True); sys.stdin.read()"
    )
    command = [sys.executable, "-c", at_work, str(course.workspace)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as first:
        assert first.stdout.readline() == b"at work\n"
        yield


@contextmanager
def nothing_sealed(course: Course) -> Iterator[None]:
    """What decides on the answers is not there."""
    keys = course.workspace / "sealed" / "papers" / WORKSHEET / "autumn-1" / "keys.json"
    keys.rename(keys.with_name("kept-elsewhere"))
    yield
    keys.with_name("kept-elsewhere").rename(keys)


@contextmanager
def no_sandbox(_: Course) -> Iterator[None]:
    """The program that makes the sandbox is not installed."""
    path, os.environ["PATH"] = os.environ["PATH"], "/nowhere"
    yield
    os.environ["PATH"] = path


def killed(course: Course) -> dict[str, Any]:
    """Mark in a process that kills itself when the first hand-in is written."""
    writer._AT_ONCE = 1
    if (pid := os.fork()) == 0:
        marker.mark(course, WORKSHEET, lambda *_: os.kill(os.getpid(), 9))
        os._exit(0)
    _, status = os.waitpid(pid, 0)
    return {"error": f"ended by signal {-os.waitstatus_to_exitcode(status)}", "rows": {}}


FAULTS = {
    "the-gradebook-is-held": gradebook_held,
    "the-gradebook-is-being-written": gradebook_being_written,
    "the-results-are-held": results_held,
    "the-disk-is-full": disk_full,
    "the-disk-is-full-midway": disk_full_midway,
    "the-disk-is-full-when-results-are-kept": disk_full_when_keeping,
    "somebody-else-is-marking": second_marker,
    "the-keys-are-missing": nothing_sealed,
    "the-sandbox-is-missing": no_sandbox,
    "marking-is-killed": None,
}


def main(fault: str, workspace: Path, disk: str = "") -> None:
    """Mark at fault, and again."""
    if disk:
        workspace = Path(shutil.copytree(workspace, Path(disk, "workspace")))
    course = Course(workspace)
    way = FAULTS[fault]
    if way is None:
        first = killed(course)
    else:
        with way(course):
            first = told(course)
    between = booked(course)
    again = told(course)
    print(
        json.dumps({"first": first, "between": between, "again": again, "booked": booked(course)})
    )


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), *sys.argv[3:])
