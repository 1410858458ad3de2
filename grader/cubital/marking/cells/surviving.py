"""What a marker that was killed left: unprotected cells that go on, files they may have changed.

A cell that runs without a sandbox can kill the marker and the watcher of its own run. What it
started then goes on, until the next marking here ends what still has the run in its environment.
"""

import shutil
import time

from cubital.marking.cells import watching
from cubital.marking.cells.guarding import Guard, TamperedError, said
from cubital.marking.cells.places import CELLS_RUN
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.problems import LOOK, Problem

SCRATCH = ".running"
GUARDED_FILE = "guarded.json"
_MOST_LEARNERS = 20
_PAUSE_S = 0.01


def clear(course: Course) -> list[Problem]:
    """End what an earlier marking left running, clear its files away, and tell of it.

    Whoever calls this has the workspace's lock, so that no other marker is at work in it.

    Raises
    ------
    TamperedError
        A guarded file is not as it was before the cells of that marking ran.
    """
    scratch = course.workspace / SCRATCH
    ended, left = _end_all(str(scratch)) if CELLS_RUN else (0, 0)
    if not scratch.exists() and not ended:
        return []
    roster = course.roster()
    learners = sorted({path.name for path in scratch.glob("*/*") if path.name in roster})
    changed = Guard(course.workspace).changed_since(scratch / GUARDED_FILE)
    shutil.rmtree(scratch, ignore_errors=True)
    if changed:
        raise TamperedError(said(course.workspace, changed, learners))
    if not (learners or ended):
        return []
    named = ", ".join(f"“{learner}”" for learner in learners[:_MOST_LEARNERS]) or "a hand-in"
    number = "1 process" if ended == 1 else f"{ended or 'no'} processes"
    reason = f"an earlier marking was killed while the cells of {named} ran, and left {number}"
    reason += f", of which {left} cannot be ended" if left else ", ended now" if ended else ""
    action = (
        "If nobody killed it, a cell did: look at that hand-in's notebook, and compare "
        "gradebook.db with a copy. A process that hid its environment is not found."
    )
    return [Problem(SCRATCH, None, LOOK, reason, action)]


def _end_all(folder: str) -> tuple[int, int]:
    """End the processes of a folder's runs; return how many there were, and how many stay."""
    seen: set[int] = set()
    until = time.monotonic() + watching.MOST_S
    while left := watching.of_folder(folder):
        seen.update(left)
        if time.monotonic() > until:
            break
        for pid in left:
            watching.kill(pid)
        time.sleep(_PAUSE_S)
    return len(seen), len(left)
