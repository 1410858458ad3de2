"""What it costs to mark a hand-in, beside nbgrader's own autograde of the same hand-ins."""

import contextlib
import io
import os
import shutil
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path

from timing import by_turns, once

from cubital import demo
from cubital.handin.results import MARKED
from cubital.marking.cohort.course import Course
from cubital.marking.marks import gradebook

WORKSHEET = "catheter-sizing"
LEARNERS = 8
TIMES = 3


def command(workspace: Path, *words: str) -> None:
    """Run a command as an educator would, in the workspace."""
    tools = str(Path(sys.executable).parent)
    environment = os.environ | {"PATH": f"{tools}{os.pathsep}{os.environ['PATH']}"}
    subprocess.run(
        [sys.executable, "-m", *words],
        cwd=workspace,
        env=environment,
        check=True,
        capture_output=True,
    )


def rows() -> list[tuple[str, float, str, str]]:
    """Mark the same hand-ins by both commands in turn, each anew."""
    with tempfile.TemporaryDirectory() as name:
        ours, theirs = Path(name) / "ours", Path(name) / "theirs"
        quiet = io.StringIO()
        with contextlib.redirect_stdout(quiet), contextlib.redirect_stderr(quiet):
            demo.run(ours, learners=LEARNERS)
        results = gradebook.results(Course(ours), WORKSHEET)
        marked = {row.learner for row in results if row.state == MARKED}
        for folder in (ours / "submitted").iterdir():
            if folder.name not in marked:
                shutil.rmtree(folder)
        shutil.copytree(ours, theirs)
        mark = partial(command, ours, "cubital", "cohort", "mark", WORKSHEET)
        autograde = partial(command, theirs, "nbgrader", "autograde", WORKSHEET, "--force")
        course_s, stock_s = by_turns(partial(once, mark), partial(once, autograde), times=TIMES)
    n = len(marked)
    return [
        ("marking a cohort", course_s / stock_s, f"of nbgrader autograde, {n} hand-ins", ""),
        ("marking a hand-in", course_s / n, "s", ""),
        ("nbgrader autograde of a hand-in", stock_s / n, "s", ""),
    ]
