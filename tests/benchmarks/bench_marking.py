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
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import NamedTuple

from timing import by_turns, once

from cubital import demo
from cubital.educator.collect import collect
from cubital.educator.feedback import write_feedback
from cubital.educator.mark import mark
from cubital.handin.answers import FILE as ANSWERS_FILE
from cubital.handin.answers import FORMAT
from cubital.handin.bundle import TIMESTAMP_FILE, hand_in
from cubital.handin.cells import marks_of, with_answers
from cubital.handin.files import read_json, write_json
from cubital.handin.released.papers import FILE as PAPERS_FILE
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.handin.results import MARKED
from cubital.marking.cohort import releasing
from cubital.marking.cohort.course import Course, Learner, create
from cubital.marking.marks import gradebook

DEMO_SHEET = "catheter-sizing"
FIELDS_SHEET = "focal-geometry"
LEARNERS = 8
TIMES = 3
CODE_SHEET = "catheter-sizing"
OWN_CODE = Path(__file__).parents[1] / "handin" / "released" / "ratio.py"
FUNCTION = """def ratio(outer_diameter_mm, vein_diameter_mm):
    return outer_diameter_mm / vein_diameter_mm
"""
CODED = 100  # hand-ins with a function
FEW, MANY = 100, 2000  # hand-ins of fields
SEVERAL = tuple(f"few-{number}" for number in range(6))  # copies of the few, marked by ours
MB = 1024  # of the kilobytes that the system counts in


class Cost(NamedTuple):
    """What a command took."""

    wall_s: float
    processor_s: float
    peak_mb: float


# A process starts with the memory of the one that it was started by, as the system counts: so a
# small one starts the command.
COUNTED = """
import json, os, subprocess, sys, time
start = time.perf_counter()
process = subprocess.Popen(sys.argv[1:], stdout=sys.stderr)
_, status, used = os.wait4(process.pid, 0)
wall = time.perf_counter() - start
print(json.dumps([wall, used.ru_utime + used.ru_stime, used.ru_maxrss]))
sys.exit(os.waitstatus_to_exitcode(status))
"""


def command(workspace: Path, *words: str, ends: tuple[int, ...] = (0,)) -> Cost:
    """Run a command as an educator would, in the workspace, and count what it took."""
    tools = str(Path(sys.executable).parent)
    done = subprocess.run(
        [sys.executable, "-c", COUNTED, sys.executable, "-m", *words],
        check=False,  # told below, with its last words
        cwd=workspace,
        env=os.environ | {"PATH": f"{tools}{os.pathsep}{os.environ['PATH']}"},
        capture_output=True,
        text=True,
    )
    if done.returncode not in ends:
        raise RuntimeError(done.stderr[-2000:])
    wall, processor, peak = json.loads(done.stdout)
    return Cost(wall, processor, peak / MB)


def cohort(workspace: Path, learners: int, sheet: str = FIELDS_SHEET) -> Course:
    """Lay out a cohort whose hand-ins of a worksheet are collected, each all right."""
    names = [Learner(f"learner-{number:04}", "Some", "Body") for number in range(learners)]
    course = create(workspace, names)
    if sheet == CODE_SHEET:
        (course.workspace / "items").mkdir()
        shutil.copy(OWN_CODE, course.workspace / "items")
        off = "[items.sizing-ratio-code]\noff = true\n"  # its line stands in the same cell
        (course.workspace / "bank.toml").write_text(off)
    releasing.release(course, sheet, "autumn-1")
    release = course.release(sheet)
    handed_in = datetime.now(UTC)
    blank = read_json(course.released(sheet) / f"{sheet}.ipynb")
    sealed = course.sealed(release)
    for learner in course.roster():
        folder = course.submitted(learner, sheet)
        folder.mkdir(parents=True)
        paper = sealed.papers.paper_of(learner)
        told = {"format": FORMAT, "release": release.name, "worksheet": sheet}
        told |= {"learner": learner, "paper": paper, "items": {}}
        saved = {}
        for item in release.listed():
            if item.needs == "results":
                continue  # in a cell of the notebook
            question = sealed.question(paper, item.id)
            right = "A shadow." if item.needs == "person" else item.solution(question.values, None)
            form = sealed.papers.form(paper, item.id)
            answer = form.read(question.as_entered(right))
            saved[item.id] = (form, answer)
            told["items"][item.id] = [{"at": handed_in.isoformat(), "answer": answer}]
        write_json(folder / ANSWERS_FILE, told)
        written = with_answers(blank, saved)
        for cell in written["cells"]:
            if marks_of(cell).get("grade_id") == "own-ratio-function":
                cell["source"] = FUNCTION
        (folder / f"{sheet}.ipynb").write_text(json.dumps(written, indent=1))
        (folder / TIMESTAMP_FILE).write_text(f"{handed_in:%Y-%m-%d %H:%M:%S.%f} UTC\n")
        shutil.copy(course.source(sheet) / RELEASE_FILE, folder)
    return course


def _marked(workspace: Path) -> Cost:
    return command(workspace, "cubital", "cohort", "mark", FIELDS_SHEET)


def fields(where: Path) -> list[tuple[str, float, str, str]]:
    """Mark hand-ins of fields, few by both commands and many by ours, and report on the many.

    nbgrader's takes minutes, in which a machine can become slower or faster: ours is the median of
    several, half of them before it and half after it.
    """
    few = cohort(where / "few", FEW).workspace
    for copy in ("theirs", *SEVERAL):
        shutil.copytree(few, where / copy)
    before, after = SEVERAL[: len(SEVERAL) // 2], SEVERAL[len(SEVERAL) // 2 :]
    times = [_marked(where / copy) for copy in before]
    theirs = command(where / "theirs", "nbgrader", "autograde", FIELDS_SHEET)
    times += [_marked(where / copy) for copy in after]
    ours = sorted(times)[len(times) // 2]
    _marked(few)
    many = cohort(where / "many", MANY).workspace
    all_of_them = _marked(many)
    report = command(many, "cubital", "cohort", "report", FIELDS_SHEET)
    course = Course(many)
    read_s = once(lambda: gradebook.results(course, FIELDS_SHEET))
    of_stock = f"times as fast as nbgrader autograde, {FEW} hand-ins of fields, by "
    each = all_of_them.processor_s / MANY
    of_many = theirs.processor_s / FEW / each
    feedback = command(few, "cubital", "cohort", "feedback", FIELDS_SHEET)
    grows = each / (ours.processor_s / FEW)
    return [
        ("marking fields", theirs.wall_s / ours.wall_s, f"{of_stock}wall", ">= 100"),
        ("marking fields", theirs.processor_s / ours.processor_s, f"{of_stock}processor", ""),
        ("marking fields", of_many, f"times as fast each, of {MANY}, by processor", ">= 80"),
        ("nbgrader autograde of a hand-in of fields", theirs.processor_s / FEW, "s, processor", ""),
        ("marking a hand-in of fields", 1000 * each, f"ms, processor, of {MANY}", ""),
        ("marking fields", grows, f"of the processor time each at {FEW}, at {MANY}", "<= 1.1"),
        ("marking fields", all_of_them.wall_s, f"s in all, {MANY} hand-ins", ""),
        ("marking fields", all_of_them.peak_mb, f"MB at most, {MANY} hand-ins", "< 500"),
        ("report and marks as CSV", report.wall_s, f"s, {MANY} learners", "<= 10"),
        ("reading all results", read_s, f"s, {MANY} learners", ""),
        ("feedback", feedback.wall_s / FEW, f"s each, {FEW} pages, with the start", "<= 0.03"),
        ("feedback", feedback.processor_s / FEW, "s each, by processor", ""),
    ]


def with_code(where: Path) -> list[tuple[str, float, str, str]]:
    """Mark hand-ins with a department's own function, by both commands, the sandbox on."""
    ours, theirs = cohort(where / "code", CODED, CODE_SHEET).workspace, where / "code-theirs"
    shutil.copytree(ours, theirs)
    stock = command(theirs, "nbgrader", "autograde", CODE_SHEET)
    cost = command(ours, "cubital", "cohort", "mark", CODE_SHEET)
    found = gradebook.results(Course(ours), CODE_SHEET)
    code = [row.outcome for result in found for row in result.items if row.item == "own-ratio"]
    if code != ["right"] * CODED:
        raise RuntimeError(f"the functions were marked {set(code)}, and all are right")
    of_stock = f"times as fast as nbgrader autograde, {CODED} hand-ins with code, by "
    return [
        ("marking code in the sandbox", stock.wall_s / cost.wall_s, f"{of_stock}wall", ">= 40"),
        (
            "marking code in the sandbox",
            stock.processor_s / cost.processor_s,
            f"{of_stock}processor",
            ">= 25",
        ),
        ("marking a hand-in with code", 1000 * cost.wall_s / CODED, "ms, with the start", ""),
    ]


def one_learner(where: Path) -> list[tuple[str, float, str, str]]:
    """Take one learner from the inbox to the page of feedback, in a process that has it loaded."""
    course, learner = cohort(where / "one", 2), "learner-0001"
    home = where / "home" / learner / FIELDS_SHEET
    shutil.copytree(course.submitted(learner, FIELDS_SHEET), home)
    shutil.copy(course.source(FIELDS_SHEET) / PAPERS_FILE, home)

    def through(folder: Path, who: str) -> None:
        hand_in(folder, who, course.inbox)
        collect(course.workspace, FIELDS_SHEET)
        mark(course.workspace, FIELDS_SHEET)
        write_feedback(course.workspace, FIELDS_SHEET)

    shutil.rmtree(course.workspace / "submitted")
    through(home, learner)  # what is loaded on first use
    seconds = once(partial(through, home, learner))
    return [("one learner, from handing in to the page", seconds, "s, all loaded", "<= 1")]


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
    some_held = (0, 3)  # the demo has hand-ins that are not marked
    mark = partial(command, ours, "cubital", "cohort", "mark", DEMO_SHEET, ends=some_held)
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
    """Mark hand-ins of fields, with a function, of one learner alone, and those of the demo."""
    with tempfile.TemporaryDirectory() as name:
        where = Path(name)
        return fields(where) + with_code(where) + one_learner(where) + demonstrated(where)
