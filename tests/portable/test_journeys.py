"""The educator's way and the learner's, on a Linux that plays Windows and macOS.

What that plays stands in ``elsewhere/sitecustomize.py``. It is no Windows and no macOS.
"""

import json
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cubital import demo
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.marks import gradebook, marker

from ..counted import computed_points

WORKSHEET = "catheter-sizing"
SYSTEMS = ["win32", pytest.param("darwin", marks=pytest.mark.long)]
Elsewhere = Callable[..., subprocess.CompletedProcess[str]]


def shared(folder: Path) -> dict[str, bytes]:
    """What is given out and what decides, by its place, but for when it was made."""
    found = {
        path.relative_to(folder).as_posix(): path
        for part in ("sealed", "learners")
        for path in (folder / part).rglob("*.json")
    }
    own = ("answers.json", "made.json", "department.json")  # they tell the time
    return {name: path.read_bytes() for name, path in found.items() if path.name not in own}


def marks(folder: Path) -> str:
    """The marks as CSV, letter for letter, but for the times of the hand-ins."""
    told = (folder / "report" / WORKSHEET / "marks.csv").read_bytes().decode("utf-8")
    return re.sub(r"\d{4}-\d{2}-\d{2}[^\",]*", "", told)


@pytest.fixture(scope="module")
def played_here(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented cohort, played without playing another system."""
    folder = tmp_path_factory.mktemp("here")
    assert demo.run(folder, learners=3).differences == ()
    return folder


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_cohort_is_released_answered_marked_and_reported_on(
    system: str, tmp_path: Path, elsewhere: Elsewhere, played_here: Path
) -> None:
    done = elsewhere(system, tmp_path, "-m", "cubital", "demo", "--workspace=d", "--learners=3")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "Every mark equals what was put in." in done.stdout
    made = tmp_path / "d"
    assert shared(made) == shared(played_here)
    assert marks(made) == marks(played_here)


@pytest.mark.parametrize("system", ["win32", "darwin"])
def test_code_of_learners_is_not_run_and_everything_else_is_marked(
    system: str, tmp_path: Path, elsewhere: Elsewhere, copy_code_course: Any, desk: Any
) -> None:
    course: Course = copy_code_course(tmp_path / "w", ["ann", "ben"])
    desk(course, "ann", tmp_path).answer().hand_in()

    def step(*words: str) -> subprocess.CompletedProcess[str]:
        return elsewhere(system, tmp_path, "-m", "cubital", "cohort", *words, "--workspace=w")

    assert step("collect", WORKSHEET).returncode == 0
    for more in ([], ["--unprotected"]):
        done = step("mark", WORKSHEET, *more)
        assert done.returncode == 3, done.stdout + done.stderr
        assert "“own-ratio” of 1 hand-ins: not_run: " in done.stdout
        assert "runs on Linux alone" in done.stdout
        assert "on a Linux with bubblewrap, or mark the answer by hand" in done.stdout
    ann = next(row for row in gradebook.results(course, WORKSHEET) if row.learner == "ann")
    assert (
        ann.points == computed_points(WORKSHEET) - 2
    )  # all but the code and the text, which waits for a person
    assert step("feedback", WORKSHEET).returncode == 3
    page = course.feedback("ann", WORKSHEET).read_text(encoding="utf-8")
    assert "not run, so no mark yet" in page
    assert step("report", WORKSHEET).returncode == 3
    assert "not run" in (course.workspace / "report" / WORKSHEET / "index.html").read_text("utf-8")


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_learner_opens_answers_and_hands_in(
    system: str, tmp_path: Path, elsewhere: Elsewhere, copy_course: Any
) -> None:
    course: Course = copy_course(tmp_path / "w", ["ann"])
    learners = tmp_path / "learners"
    opened = [str(Path(__file__).with_name("learner.py")), str(course.handout(WORKSHEET))]
    done = elsewhere(system, tmp_path, *opened, str(learners), "sizing-french", "4.2 Fr")
    assert done.returncode == 0, done.stdout + done.stderr
    told = ["hand-in", WORKSHEET, f"--workspace={learners}", f"--to={course.inbox}"]
    done = elsewhere(system, tmp_path, "-m", "cubital", *told, "--learner=ann")
    assert done.returncode == 0, done.stdout + done.stderr
    assert collecting.collect(course, WORKSHEET) == []
    marker.mark(course, WORKSHEET)
    (ann,) = gradebook.results(course, WORKSHEET)
    (french,) = [row for row in ann.items if row.item == "sizing-french"]
    assert (ann.state, french.outcome) != ("marked", "blank")
    kept = json.loads((course.submitted("ann", WORKSHEET) / "answers.json").read_bytes())
    assert kept["items"]["sizing-french"][-1]["answer"]["typed"] == "4.2 Fr"
