"""What fails while hand-ins are marked costs nobody a point, is told, and marking again is whole.

As root where the tests run as root, and as an account without rights.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from cubital.handin.results import MARKED, MISSING, SYSTEM_ERROR
from cubital.marking.cohort import collecting
from cubital.marking.marks import marker

from ...counted import computed_points
from ...recording import Recorder, Told
from ..accounts import ACCOUNTS, as_account, give
from ..untouched import held, written
from . import at_fault

WORKSHEET = "catheter-sizing"
DRIVER = Path(at_fault.__file__)
DISK_BYTES = 60_000_000
FULL = computed_points(WORKSHEET)  # points without the text, which waits
SAMPLE = {"the-gradebook-is-being-written", "the-disk-is-full"}  # in every change's run
STOPS = "stops"  # before anything is marked
# What is told at first: that marking stops, or a state; and words of it.
TOLD = {
    "the-gradebook-is-held": (STOPS, "If another program is at work with it, let that end"),
    "the-gradebook-is-being-written": (SYSTEM_ERROR, "database is locked"),
    "the-results-are-held": (STOPS, "is held by another program: wait until it is done"),
    "the-disk-is-full": (STOPS, "No space left on device: see that the disk has room"),
    "the-disk-is-full-midway": (STOPS, "the disk has room, and try again"),
    "the-disk-is-full-when-results-are-kept": (STOPS, "the disk has room, and try again"),
    "somebody-else-is-marking": (STOPS, "is marking “catheter-sizing” since"),
    "the-keys-are-missing": (SYSTEM_ERROR, "keys.json is missing: restore it"),
    "the-sandbox-is-missing": (MARKED, "not run"),
    "marking-is-killed": (STOPS, "ended by signal 9"),
}


class Cohort:
    """Two who handed in and one who did not, marked at a fault by a process of its own."""

    def __init__(self, copy: Callable, desk: Any) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="cubital-fault-"))
        self.folder.chmod(0o755)
        self.home = self.folder / "home"
        self.home.mkdir()
        (self.home / "notes").write_text("mine")
        self.disk = self.folder / "disk"
        self.disk.mkdir()
        self.course = copy(self.folder / "workspace", ["ann", "ben", "cy"])
        for learner in ("ann", "ben"):
            desk(self.course, learner, self.folder / "desks").answer().hand_in()
        assert collecting.collect(self.course, WORKSHEET) == []
        whole = shutil.copytree(self.course.workspace, self.folder / "whole")
        marker.mark(type(self.course)(whole), WORKSHEET)
        self.booked = [list(row) for row in at_fault.booked(type(self.course)(whole))]
        shutil.rmtree(whole)
        with self.course.gradebook():  # what that makes is made before the comparison begins
            pass

    def marked(self, fault: str, uid: int) -> dict[str, Any]:
        """Mark at fault and again, as an account."""
        give(self.folder, uid)
        disk = [str(self.disk)] if fault.startswith("the-disk") else []
        room = ["--perms", "0777", "--size", str(DISK_BYTES), "--tmpfs", *disk] if disk else []
        words = [sys.executable, str(DRIVER), fault, str(self.course.workspace), *disk]
        done = subprocess.run(
            [*as_account(uid, room), *words],
            cwd=self.course.workspace,
            env={
                "PATH": os.environ["PATH"],
                "HOME": str(self.home),
                "PYTHONDONTWRITEBYTECODE": "1",
            },
            capture_output=True,
            text=True,
            check=False,
            timeout=500,
        )
        assert done.returncode == 0, done.stderr[-3000:]
        found: dict[str, Any] = json.loads(done.stdout)
        return found


@pytest.fixture
def cohort(copy_course: Any, copy_code_course: Any, desk: Any, fault: str) -> Iterator[Cohort]:
    made = Cohort(copy_code_course if fault == "the-sandbox-is-missing" else copy_course, desk)
    yield made
    shutil.rmtree(made.folder)


@pytest.mark.parametrize("uid", ACCOUNTS, ids=lambda uid: f"uid-{uid}")
@pytest.mark.parametrize(
    "fault",
    [
        fault if fault in SAMPLE else pytest.param(fault, marks=pytest.mark.long)
        for fault in at_fault.FAULTS
    ],
)
def test_marking_at_fault_tells_it_and_again_gives_everybody_their_points(
    cohort: Cohort, fault: str, uid: int, recorder: Recorder
) -> None:
    before = held(cohort.folder, but=written(cohort.course.workspace))
    seen = cohort.marked(fault, uid)
    kind, words = TOLD[fault]
    first, again = seen["first"], seen["again"]["rows"]
    reason = first["error"] or first["rows"]["ann"][2] or "marked, this question not run"
    recorder.saw(
        f"{fault.replace('-', ' ')}; then it is over, and marking is done again",
        Told(MARKED, FULL),
        Told(again["ann"][0], again["ann"][1], reason),
        most=FULL,
        honest=True,
    )
    assert (kind == STOPS) == bool(first["error"]), reason
    if kind != STOPS:
        assert {first["rows"][who][0] for who in ("ann", "ben")} == {kind}
    assert words in reason
    lost = [row for row in seen["between"] if row[2] == 0]
    assert lost == [], "no zero for work that was not looked at"
    assert {who: row[:2] for who, row in again.items()} == {
        "ann": [MARKED, FULL],
        "ben": [MARKED, FULL],
        "cy": [MISSING, 0],
    }
    assert seen["booked"] == cohort.booked
    assert held(cohort.folder, but=written(cohort.course.workspace)) == before
