"""Pages are written whole and where nbgrader's own step puts them, and are the same as its own."""

import json
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any

import pytest

from cubital.educator.feedback import write_feedback
from cubital.marking.cohort import collecting
from cubital.marking.cohort.course import Course
from cubital.marking.errors import CourseError
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook, marker

WORKSHEET = "catheter-sizing"
TEXT = "sizing-reasons"
LEARNERS = ("ann", "ben", "cat")
COMMENT = "Good: “ß” & '5 < 6' and \"7 > 6\". <b>More!</b>"
KILLED_AT_SYNC = """
import os, signal, sys
from pathlib import Path
from cubital.educator.feedback import write_feedback

done, sync = [], os.fsync
def killed(handle):
    if len(done) == int(sys.argv[2]):
        os.kill(os.getpid(), signal.SIGKILL)
    done.append(handle)
    sync(handle)
os.fsync = killed
write_feedback(Path(sys.argv[1]), "catheter-sizing")
"""


@pytest.fixture(scope="module")
def marked(
    copy_course: Any, desk: Any, moment: Callable, tmp_path_factory: pytest.TempPathFactory
) -> Course:
    """Three learners, marked; one has a mark and a comment by hand, one answered nothing."""
    where = tmp_path_factory.mktemp("marked")
    made: Course = copy_course(where / "w", LEARNERS)
    for name in LEARNERS:
        at = desk(made, name, where / "homes")
        (at if name == "cat" else at.answer()).hand_in(moment(8))
    assert collecting.collect(made, WORKSHEET) == []
    marker.mark(made, WORKSHEET)
    gradebook.set_manual(made, WORKSHEET, "ann", TEXT, 2, COMMENT)
    return made


@pytest.fixture
def course(marked: Course, tmp_path: Path) -> Course:
    """A copy of it for one test; its notebooks keep the day that they say."""
    return Course(shutil.copytree(marked.workspace, tmp_path / "w"))


def pages(course: Course) -> dict[str, bytes]:
    """The pages that are there, by learner."""
    paths = {name: course.feedback(name, WORKSHEET) for name in LEARNERS}
    return {name: path.read_bytes() for name, path in paths.items() if path.is_file()}


def test_nbgraders_own_step_makes_the_same_pages_to_the_byte(course: Course, nbgrader: Any) -> None:
    written = returning.feedback(course, WORKSHEET)
    assert written == [course.feedback(name, WORKSHEET) for name in LEARNERS]
    ours = pages(course)
    assert (
        escape(COMMENT).replace("&#x27;", "&#39;").replace("&quot;", "&#34;")
        in ours["ann"].decode()
    )
    assert len(set(ours.values())) == len(LEARNERS)
    shutil.rmtree(course.workspace / "feedback")
    nbgrader(course.workspace, "generate_feedback", WORKSHEET)
    assert pages(course) == ours


def test_nbgraders_own_step_leaves_pages_that_are_up_to_date_and_makes_later_ones_anew(
    course: Course, nbgrader: Any
) -> None:
    returning.feedback(course, WORKSHEET)
    ours = pages(course)
    for name in ("ann", "ben"):
        course.feedback(name, WORKSHEET).write_text("Another's.", encoding="utf-8")
    (course.autograded("ben", WORKSHEET) / "timestamp.txt").write_text(
        "2031-03-04 08:00:00.000000 UTC\n", encoding="utf-8"
    )
    nbgrader(course.workspace, "generate_feedback", WORKSHEET)
    found = pages(course)
    assert found["ann"] == b"Another's."
    assert found["ben"] == ours["ben"].replace(b"4 March 2021", b"4 March 2031")
    assert found["cat"] == ours["cat"]


def test_what_nbgraders_exchange_gives_a_page_out_by_lies_beside_it(course: Course) -> None:
    secret = course.autograded("ann", WORKSHEET) / "submission_secret.txt"
    secret.write_text("known to ann", encoding="utf-8")
    returning.feedback(course, WORKSHEET)
    beside = course.feedback("ann", WORKSHEET).parent
    names = ["catheter-sizing.html", "submission_secret.txt", "timestamp.txt"]
    assert sorted(path.name for path in beside.iterdir()) == names
    for name in names[1:]:
        marked = course.autograded("ann", WORKSHEET) / name
        assert (beside / name).read_bytes() == marked.read_bytes()


@pytest.mark.parametrize("at", [1, 2, 3])
def test_a_killed_command_leaves_whole_pages_or_those_before(course: Course, at: int) -> None:
    """Another command makes the pages anew; at a file that it writes it is killed."""
    write_feedback(course.workspace, WORKSHEET)
    whole = pages(course)
    gradebook.set_manual(course, WORKSHEET, "ann", TEXT, 3, "More.")
    gradebook.set_manual(course, WORKSHEET, "cat", TEXT, 1, "Less.")
    command = [sys.executable, "-c", KILLED_AT_SYNC, str(course.workspace), str(at)]
    done = subprocess.run(command, capture_output=True, check=False)
    assert done.returncode == -signal.SIGKILL, done.stderr
    left = pages(course)
    write_feedback(course.workspace, WORKSHEET)
    anew = pages(course)
    assert all(anew[name] != whole[name] for name in ("ann", "cat"))
    assert all(left[name] in {whole[name], anew[name]} for name in LEARNERS)
    assert (left["ann"] == anew["ann"], left["cat"] == anew["cat"]) == (at > 1, False)


def test_a_page_that_cannot_be_made_is_told_with_its_learner(course: Course) -> None:
    path = course.autograded("ben", WORKSHEET) / f"{WORKSHEET}.ipynb"
    path.write_text(json.dumps({"cells": []})[:-1], encoding="utf-8")
    with pytest.raises(CourseError, match="the feedback page of “ben” cannot be made: "):
        returning.feedback(course, WORKSHEET)
