"""Marking that is killed at any moment and then done again ends as if it had not been killed."""

import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

import pytest

from cubital.educator.choose import NONE, choose
from cubital.educator.hand_ins import HandIn, hand_ins
from cubital.handin.results import MARKED
from cubital.marking.cohort import collecting, releasing
from cubital.marking.cohort.course import Course
from cubital.marking.marks import gradebook, marker

from .. import rows

WORKSHEET = "light-and-depth"  # no code cell is run
TEXT, NUMBER = "light-best-case", "light-penetration"
SEED, MOMENTS = 20210304, 100
KINDS = ("call", "time")
SAMPLE = {0, 1, 67}  # of the moments, in every change's run
LATER = datetime(2021, 3, 5, 9, tzinfo=UTC)


class Marker:
    """A process that marks copies of a workspace and is killed in that."""

    def __init__(self) -> None:
        command = [sys.executable, str(Path(__file__).with_name("kill_marking.py")), WORKSHEET]
        self._process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )

    def ask(self, line: str) -> tuple[int, int, float]:
        """Return the exit code of a marking, how many calls it made, and the seconds it took."""
        self._process.stdin.write(f"{line}\n")
        self._process.stdin.flush()
        code, calls, took = self._process.stdout.readline().split()
        return int(code), int(calls), float(took)

    def end(self) -> None:
        self._process.communicate()


class Undisturbed(NamedTuple):
    """A workspace before its second marking, what that makes of it, and how long it takes."""

    before: Path
    after: dict[str, Any]
    marker: Marker
    calls: int
    seconds: float


@pytest.fixture(scope="module")
def undisturbed(
    copy_course: Any,
    desk: Any,
    tampered: Callable,
    moment: Callable,
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[Undisturbed]:
    """Eight learners are marked, some by hand; then some hand in again, or nothing readable.

    Of one no hand-in counts any more, and of one the earlier counts again.
    """

    class Here(desk):
        WORKSHEET = "light-and-depth"

    where = tmp_path_factory.mktemp("killed")
    learners = [f"learner-{number}" for number in range(8)]
    course = copy_course(where / "before", [*learners, "absent"])
    releasing.release(course, WORKSHEET, "autumn-1")
    desks = [Here(course, learner, where) for learner in learners]
    for at in desks[:7]:
        at.answer({NUMBER: "77 mm"} if at.learner == learners[1] else {}).hand_in(moment(8))
    assert collecting.collect(course, WORKSHEET) == []
    marker.mark(course, WORKSHEET)
    for learner in learners[:5]:
        gradebook.set_manual(course, WORKSHEET, learner, TEXT, 2, "Nearly.")
    gradebook.set_manual(course, WORKSHEET, learners[1], NUMBER, 1)
    desks[3].answer({TEXT: "Another text."}).hand_in(moment(9))
    assert collecting.collect(course, WORKSHEET) == []
    marker.mark(course, WORKSHEET)
    desks[3].answer().hand_in(LATER)  # the first text again
    desks[0].answer({NUMBER: "99 mm"}).hand_in(LATER)  # the same text
    desks[1].answer({TEXT: "Another text."}).hand_in(LATER)
    desks[2].answer({TEXT: "Another text."}).hand_in(LATER)
    desks[7].answer().hand_in(LATER)
    desks[4].answer({NUMBER: "55 mm"}).hand_in(LATER)
    tampered(desks[5].hand_in(LATER), {f"{WORKSHEET}.ipynb": b"{"})
    assert collecting.collect(course, WORKSHEET) == []
    choose(course.workspace, WORKSHEET, learners[6], NONE, reason="not-theirs")
    (first,) = (row for row in listed(course, learners[4]) if row.state == MARKED)
    choose(course.workspace, WORKSHEET, learners[4], first.hand_in, reason="wrong-file")
    marking = Marker()
    try:
        whole = shutil.copytree(course.workspace, where / "whole")
        code, calls, seconds = marking.ask(f"whole {whole}")
        assert (code, calls > 1000) == (0, True)
        yield Undisturbed(course.workspace, held(whole), marking, calls, seconds)
    finally:
        marking.end()


def listed(course: Course, learner: str) -> tuple[HandIn, ...]:
    """A learner's hand-ins as they are listed."""
    (found,) = hand_ins(course.workspace, WORKSHEET, learner=learner).learners
    return found.hand_ins


def held(workspace: Path) -> dict[str, Any]:
    """All that is kept of marking: gradebook and results row by row, and all other files."""
    with closing(sqlite3.connect(workspace / "results.db")) as db:
        tables = {
            table: sorted(db.execute(f"SELECT * FROM {table}"), key=str)
            for table in ("attempt", "result", "item_result")
        }
        assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    files = {
        str(path.relative_to(workspace)): (
            path.stat().st_mode,
            path.is_file() and path.read_bytes(),
        )
        for path in workspace.rglob("*")
        if path.name not in {"gradebook.db", "results.db"}
    }
    return {"gradebook": rows.with_ids(workspace / "gradebook.db"), **tables, "files": files}


@pytest.mark.parametrize(
    "number",
    [
        number if number in SAMPLE else pytest.param(number, marks=pytest.mark.long)
        for number in range(MOMENTS)
    ],
)
def test_marking_again_after_a_kill_ends_as_if_there_had_been_none(
    undisturbed: Undisturbed, tmp_path: Path, number: int
) -> None:
    share = (number + Random(SEED + number).random()) / MOMENTS
    kind = KINDS[number % len(KINDS)]
    most = undisturbed.calls if kind == "call" else undisturbed.seconds
    at = 1 + int(share * most) if kind == "call" else share * most
    killed = shutil.copytree(undisturbed.before, tmp_path / "killed")
    code, _, _ = undisturbed.marker.ask(f"{kind} {at} {killed}")
    assert code == -9 or kind == "time", "by time it may be done"
    marker.mark(Course(killed), WORKSHEET)
    assert held(killed) == undisturbed.after


HALVES = (
    "submitted/{}/.{}.part/a",
    "hand-ins/{1}/{0}/.x.zip.0.part",
    "results/.{1}.problems.json.0.part",
    "hand-marks/{1}/.{0}.json.0.part",
    ".choices.json.0.part",
)


@pytest.mark.parametrize("half", HALVES)
def test_what_a_killed_marking_left_half_written_is_gone_after_the_next(
    undisturbed: Undisturbed, tmp_path: Path, half: str
) -> None:
    killed = shutil.copytree(undisturbed.before, tmp_path / "killed")
    learner = min(path.name for path in (killed / "hand-ins" / WORKSHEET).iterdir())
    left = killed / half.format(learner, WORKSHEET)
    left.parent.mkdir(exist_ok=True)
    left.write_bytes(b"half")
    marker.mark(Course(killed), WORKSHEET)
    assert held(killed) == undisturbed.after


def test_the_cohort_has_what_marks_by_hand_can_lose(undisturbed: Undisturbed) -> None:
    kept = undisturbed.after
    waits = {row["needs_manual_grade"] for row in kept["gradebook"]["grade"] if row["manual_score"]}
    assert waits == {0, 1}
    assert (len(kept["attempt"]), len(kept["result"])) == (15, 14), "one was collected alone"
    assert sum(counts for *_, counts in kept["attempt"]) == 7
    states = [state for _, _, state, *_ in kept["result"]]
    assert states.count("unreadable") == 1
    assert states.count("marked") == 13
