"""What it costs to mark a hand-in, beside nbgrader's own autograde of the same hand-ins.

Where no cell is run, marking is reading, judging and writing. The command is timed as an educator
starts it, with the time that Python and its libraries take to load.
"""

import contextlib
import io
import json
import os
import shutil
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

from timing import by_turns, once

from cubital import demo
from cubital.handin.answers import FILE as ANSWERS_FILE
from cubital.handin.answers import FORMAT, read_answers
from cubital.handin.bundle import TIMESTAMP_FILE, with_free_text
from cubital.handin.files import read_json, write_json
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.handin.results import MARKED
from cubital.marking.cohort import releasing
from cubital.marking.cohort.course import Course, Learner, create
from cubital.marking.marks import gradebook

DEMO_SHEET = "catheter-sizing"
FIELDS_SHEET = "focal-geometry"
LEARNERS = 8
TIMES = 3
FEW, MANY = 100, 2000  # hand-ins of fields
MB = 1024  # of the kilobytes that the system counts in


class Cost(NamedTuple):
    """What a command took."""

    wall_s: float
    processor_s: float
    peak_mb: float


def command(workspace: Path, *words: str) -> Cost:
    """Run a command as an educator would, in the workspace, and count what it took."""
    tools = str(Path(sys.executable).parent)
    environment = os.environ | {"PATH": f"{tools}{os.pathsep}{os.environ['PATH']}"}
    with tempfile.TemporaryFile() as said:
        start = perf_counter()
        process = subprocess.Popen(
            [sys.executable, "-m", *words],
            cwd=workspace,
            env=environment,
            stdout=said,
            stderr=subprocess.STDOUT,
        )
        _, status, used = os.wait4(process.pid, 0)
        wall = perf_counter() - start
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode:
            said.seek(0)
            raise RuntimeError(said.read().decode()[-2000:])
    return Cost(wall, used.ru_utime + used.ru_stime, used.ru_maxrss / MB)


def cohort(workspace: Path, learners: int) -> Course:
    """Lay out a cohort whose hand-ins of a worksheet of fields are collected, each all right."""
    names = [Learner(f"learner-{number:04}", "Some", "Body") for number in range(learners)]
    course = create(workspace, names)
    releasing.release(course, FIELDS_SHEET, "autumn-1")
    release = course.release(FIELDS_SHEET)
    blank = read_json(course.released(FIELDS_SHEET) / f"{FIELDS_SHEET}.ipynb")
    sealed = course.sealed(release)
    for learner in course.roster():
        folder = course.submitted(learner, FIELDS_SHEET)
        folder.mkdir(parents=True)
        paper = sealed.papers.paper_of(learner)
        told = {"format": FORMAT, "release": release.name, "worksheet": FIELDS_SHEET}
        told |= {"learner": learner, "paper": paper, "items": {}}
        for item in release.listed():
            question = sealed.question(paper, item.id)
            right = "A shadow." if item.needs == "person" else item.solution(question.values, None)
            answer = sealed.papers.form(paper, item.id).read(question.as_entered(right))
            told["items"][item.id] = [{"at": "2021-03-04T08:00:00+00:00", "answer": answer}]
        write_json(folder / ANSWERS_FILE, told)
        written = with_free_text(blank, read_answers(folder))
        (folder / f"{FIELDS_SHEET}.ipynb").write_text(json.dumps(written, indent=1))
        (folder / TIMESTAMP_FILE).write_text("2021-03-04 08:00:00.000000 UTC\n")
        shutil.copy(course.source(FIELDS_SHEET) / RELEASE_FILE, folder)
    return course


def fields(where: Path) -> list[tuple[str, float, str, str]]:
    """Mark hand-ins of fields, few by both commands and many by ours, and report on the many."""
    few = cohort(where / "few", FEW).workspace
    shutil.copytree(few, where / "theirs")
    theirs = command(where / "theirs", "nbgrader", "autograde", FIELDS_SHEET)
    ours = command(few, "cubital", "cohort", "mark", FIELDS_SHEET)
    many = cohort(where / "many", MANY).workspace
    all_of_them = command(many, "cubital", "cohort", "mark", FIELDS_SHEET)
    report = command(many, "cubital", "cohort", "report", FIELDS_SHEET)
    course = Course(many)
    read_s = once(lambda: gradebook.results(course, FIELDS_SHEET))
    of_stock = f"times as fast as nbgrader autograde, {FEW} hand-ins of fields, by "
    each = all_of_them.processor_s / MANY
    of_many = theirs.processor_s / FEW / each
    grows = each / (ours.processor_s / FEW)
    return [
        ("marking fields", theirs.wall_s / ours.wall_s, f"{of_stock}wall", ">= 40"),
        ("marking fields", theirs.processor_s / ours.processor_s, f"{of_stock}processor", ">= 40"),
        ("marking fields", of_many, f"times as fast each, of {MANY}, by processor", ">= 80"),
        ("nbgrader autograde of a hand-in of fields", theirs.processor_s / FEW, "s, processor", ""),
        ("marking a hand-in of fields", 1000 * each, f"ms, processor, of {MANY}", ""),
        ("marking fields", grows, f"of the processor time each at {FEW}, at {MANY}", "<= 1.1"),
        ("marking fields", all_of_them.wall_s, f"s in all, {MANY} hand-ins", ""),
        ("marking fields", all_of_them.peak_mb, f"MB at most, {MANY} hand-ins", "< 500"),
        ("report and marks as CSV", report.wall_s, f"s, {MANY} learners", ""),
        ("reading all results", read_s, f"s, {MANY} learners", ""),
    ]


def demonstrated(where: Path) -> list[tuple[str, float, str, str]]:
    """Mark the demo's hand-ins by both commands in turn, each anew."""
    ours, theirs = where / "demo", where / "demo-theirs"
    quiet = io.StringIO()
    with contextlib.redirect_stdout(quiet), contextlib.redirect_stderr(quiet):
        demo.run(ours, learners=LEARNERS)
    results = gradebook.results(Course(ours), DEMO_SHEET)
    marked = {row.learner for row in results if row.state == MARKED}
    for folder in (ours / "submitted").iterdir():
        if folder.name not in marked:
            shutil.rmtree(folder)
    shutil.copytree(ours, theirs)
    mark = partial(command, ours, "cubital", "cohort", "mark", DEMO_SHEET)
    autograde = partial(command, theirs, "nbgrader", "autograde", DEMO_SHEET, "--force")
    course_s, stock_s = by_turns(partial(once, mark), partial(once, autograde), times=TIMES)
    n = len(marked)
    return [
        (
            "marking the demo's cohort",
            course_s / stock_s,
            f"of nbgrader autograde, {n} hand-ins",
            "",
        ),
        ("marking a hand-in of the demo", course_s / n, "s", ""),
        ("nbgrader autograde of one", stock_s / n, "s", ""),
    ]


def rows() -> list[tuple[str, float, str, str]]:
    """Mark hand-ins of fields, and those of the demo."""
    with tempfile.TemporaryDirectory() as name:
        return fields(Path(name)) + demonstrated(Path(name))
