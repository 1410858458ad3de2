"""Without a sandbox, no process that a cell starts outlives its run, as far as it can be found."""

import contextlib
import os
import select
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from cubital.handin.principles import records
from cubital.handin.released.bank import FILE as BANK_FILE
from cubital.marking.cells import guarding
from cubital.marking.cohort import collecting, parallel, problems
from cubital.marking.cohort.course import ROSTER_FILE
from cubital.marking.counting import choices, due, told
from cubital.marking.errors import CourseError
from cubital.marking.marks import marker, writer

WORKSHEET = "catheter-sizing"

# A process that ignores every signal it can, names itself in a file, tells the cell that it is
# there, and stays for ever.
STAYS = """
import os, signal
for number in set(signal.Signals) - {signal.SIGKILL, signal.SIGSTOP}:
    signal.signal(number, signal.SIG_IGN)
with open(PIDS, "a") as file:
    file.write(f"{os.getpid()}\\n")
os.write(READY, b".")
while True:
    signal.pause()
"""
CELL = """
import atexit, os, signal, subprocess, sys, threading

told, ready = os.pipe()
os.set_inheritable(ready, True)

def stay(environment=os.environ):
    text = STAYS.replace("READY", str(ready))
    os.execve(sys.executable, [sys.executable, "-S", "-c", text], environment)

def detach(environment=os.environ):
    if os.fork() == 0:
        os.setsid()
        if os.fork() == 0:
            stay(environment)
        os._exit(0)
    os.wait()

def end_watcher(number):
    os.read(told, 1)
    with open(f"/proc/{os.getppid()}/cmdline") as file:
        if "watching" in file.read():  # and not the marker
            os.kill(os.getppid(), number)
    os.write(ready, b".")

def ratio(outer_diameter_mm, vein_diameter_mm):
    return outer_diameter_mm / vein_diameter_mm

HOW
os.read(told, 1)
"""
WAYS = {
    "a session of its own": """
subprocess.Popen([sys.executable, "-S", "-c", STAYS.replace("READY", str(ready))],
                 start_new_session=True, pass_fds=[ready])
""",
    "a daemon": "detach()",
    "a daemon without an environment": "detach({})",
    "by a thread as the cells end": """
def last():
    if os.fork() == 0:
        os.setsid()
        stay()
threading.Thread(target=last).start()
""",
    "its watcher killed": "detach({})\nend_watcher(signal.SIGKILL)",
}
HELD = "detach({})\nend_watcher(signal.SIGSTOP)\nos._exit(1)"


def cell(how: str, pids: Path) -> str:
    text = CELL.replace("HOW", how)
    return f"STAYS = {STAYS.replace('PIDS', repr(str(pids)))!r}\n{text}"


def alive(pids: Path) -> list[int]:
    """Those of the processes named in the file that are still there."""
    return [pid for pid in map(int, pids.read_text().split()) if Path(f"/proc/{pid}").exists()]


@pytest.fixture
def pids(tmp_path: Path) -> Iterator[Path]:
    path = tmp_path / "pids"
    path.touch()
    yield path
    for pid in alive(path):  # where the law does not hold
        with contextlib.suppress(ProcessLookupError):  # it ended since
            os.kill(pid, signal.SIGKILL)


@pytest.mark.parametrize(
    "ways",
    [
        [WAYS["a daemon without an environment"], WAYS["its watcher killed"]],
        pytest.param([*WAYS.values(), HELD], marks=pytest.mark.long),
    ],
)
def test_nothing_that_cells_start_is_there_at_the_first_write(
    copy_code_course: Any, desk: Any, pids: Path, monkeypatch: pytest.MonkeyPatch, ways: list[str]
) -> None:
    home = pids.parent
    learners = [f"learner-{number}" for number in range(len(ways))]
    course = copy_code_course(home / "w", learners)
    for learner, how in zip(learners, ways, strict=True):
        desk(course, learner, home).write_cell(cell(how, pids)).hand_in()
    collecting.collect(course, WORKSHEET)
    there: list[list[int]] = []
    write = writer.write_unmarked

    def first_write(*given: Any) -> None:
        there.append(alive(pids))
        write(*given)

    monkeypatch.setattr(writer, "write_unmarked", first_write)
    results = marker.mark(course, WORKSHEET, timeout_s=15, unprotected=True)
    assert len(set(pids.read_text().split())) == len(ways), "each cell left one behind"
    assert there == [[]]
    assert {row.state for row in results} == {"marked"}


# Each link starts the next and ends: none is there for long, and all hold the pipe's other end.
CHAIN = """
import os
pipe = os.open({pipe!r}, os.O_WRONLY)
if os.fork() == 0:
    os.write(pipe, b".")
    while True:
        os.setsid()
        if os.fork():
            os._exit(0)
os.close(pipe)
"""


@pytest.mark.long
def test_a_chain_of_processes_is_caught(copy_code_course: Any, desk: Any, tmp_path: Path) -> None:
    course = copy_code_course(tmp_path / "w", ["ann"])
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    held = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    chained = CHAIN.format(pipe=str(pipe))
    desk(course, "ann", tmp_path).write_cell(chained).hand_in()
    collecting.collect(course, WORKSHEET)
    marker.mark(course, WORKSHEET, unprotected=True)
    assert os.read(held, 1) == b".", "it was there"
    assert os.read(held, 1) == b"", "nobody holds the other end"
    os.close(held)


LOOPS = """
import os
with open({pipe!r}, "w") as file:
    file.write(f"{{os.getpid()}}\\n")
while True:
    pass
"""


def test_a_killed_marker_takes_its_runs_along(
    copy_code_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_code_course(tmp_path / "w", ["ann"])
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    looping = LOOPS.format(pipe=str(pipe))
    desk(course, "ann", tmp_path).write_cell(looping).hand_in()
    collecting.collect(course, WORKSHEET)
    command = [sys.executable, "-m", "cubital", "cohort", "mark", WORKSHEET, "--unprotected"]
    marking = subprocess.Popen(
        command, cwd=course.workspace, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    runner = int(pipe.read_text())
    ended = os.pidfd_open(runner)
    marking.kill()
    marking.wait()
    gone = select.select([ended], [], [], 60)[0]
    if not gone:
        signal.pidfd_send_signal(ended, signal.SIGKILL)
    os.close(ended)
    assert gone, "the cell goes on"


@pytest.mark.parametrize("module", ["executing", "forking"])
def test_a_run_starts_without_the_markers_libraries(module: str) -> None:
    """They take seconds, and without a sandbox every hand-in waits for its own start."""
    asked = (
        f"import sys, cubital.marking.cells.{module}\n"
        "print({'nbformat', 'nbgrader'} & {*sys.modules})"
    )
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


WAITS = "import os, signal, sys; os.write(1, b'.'); signal.pause()"


def test_the_next_marking_ends_what_outlived_a_killed_one_and_says_whose(
    copy_code_course: Any, tmp_path: Path
) -> None:
    course = copy_code_course(tmp_path / "w", ["ann", "ben"])
    folder = course.workspace / ".running" / "some"
    (folder / "ann" / WORKSHEET).mkdir(parents=True)
    kept = guarding.Guard(course.workspace)
    kept.keep(course.workspace / ".running" / "guarded.json")
    command = [sys.executable, "-S", "-c", WAITS]
    run = {"CUBITAL_RUN": "some", "TMPDIR": str(folder)}
    others = {"CUBITAL_RUN": "other", "TMPDIR": str(tmp_path / "of-another-workspace")}
    left, other = (
        subprocess.Popen(command, env=environment, stdout=subprocess.PIPE)
        for environment in (run, others)
    )
    try:
        assert (left.stdout.read(1), other.stdout.read(1)) == (b".", b".")
        marker.mark(course, WORKSHEET)
        assert left.wait(60) == -signal.SIGKILL
        assert other.poll() is None
    finally:
        for process in (left, other):
            process.kill()
            process.communicate()
    (told,) = problems.read_problems(course, WORKSHEET)
    assert told.state == problems.LOOK
    assert "while the cells of “ann” ran" in told.reason
    assert "1 process" in told.reason
    assert "“ben”" not in told.reason
    marker.mark(course, WORKSHEET)
    assert problems.read_problems(course, WORKSHEET) == []


def test_what_changed_since_a_killed_marking_stops_the_next_one_once(
    copy_code_course: Any, tmp_path: Path
) -> None:
    course = copy_code_course(tmp_path / "w", ["ann", "ben"])
    scratch = course.workspace / ".running"
    (scratch / "some" / "ann" / WORKSHEET).mkdir(parents=True)
    guarding.Guard(course.workspace).keep(scratch / "guarded.json")
    (course.workspace / "bank.toml").write_text("# mine\n")
    with pytest.raises(CourseError) as told:
        marker.mark(course, WORKSHEET)
    assert "bank.toml" in str(told.value)
    assert "while the cells of “ann” ran" in str(told.value)
    assert "If you or a colleague changed it, mark again" in str(told.value)
    assert {row.state for row in marker.mark(course, WORKSHEET)} == {"missing"}


KILLS = """
import os, signal
def parent(pid):
    return int(open(f"/proc/{pid}/stat").read().rpartition(")")[2].split()[1])
watcher = os.getppid()
marker = parent(watcher)
if os.fork() == 0:
    os.setsid()
    if os.fork():
        os._exit(0)
    pipe = os.open(PIPE, os.O_WRONLY)
    os.kill(marker, signal.SIGKILL)
    os.kill(watcher, signal.SIGKILL)
    os.write(pipe, b".")
    while True:
        signal.pause()
while True:
    signal.pause()
"""


@pytest.mark.long
def test_a_cell_that_kills_the_marker_is_ended_by_the_next_marking(
    copy_code_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_code_course(tmp_path / "w", ["ann"])
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    held = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    kills = KILLS.replace("PIPE", repr(str(pipe)))
    handed_in = desk(course, "ann", tmp_path).write_cell(kills).hand_in()
    collecting.collect(course, WORKSHEET)
    command = [sys.executable, "-m", "cubital", "cohort", "mark", WORKSHEET, "--unprotected"]
    done = subprocess.run(command, cwd=course.workspace, capture_output=True, check=False)
    assert done.returncode == -signal.SIGKILL
    os.set_blocking(held, True)
    assert os.read(held, 1) == b".", "it went on"
    handed_in.unlink()
    course.submitted("ann", WORKSHEET).rename(tmp_path / "looked-at")
    marker.mark(course, WORKSHEET)
    assert os.read(held, 1) == b"", "nobody holds the other end"
    os.close(held)
    (told,) = problems.read_problems(course, WORKSHEET)
    assert "while the cells of “ann” ran" in told.reason


@pytest.mark.parametrize(
    "name", [choices.FILE, due.FILE, told.FILE, parallel.FILE, records.FILE, ROSTER_FILE, BANK_FILE]
)
def test_what_an_educator_recorded_is_seen_to_have_changed(tmp_path: Path, name: str) -> None:
    recorded = tmp_path / name
    recorded.write_text("as it was", encoding="utf-8")
    guard = guarding.Guard(tmp_path)
    guard.keep(tmp_path / "kept.json")
    recorded.write_text("changed by a cell", encoding="utf-8")
    assert guarding.Guard(tmp_path).changed_since(tmp_path / "kept.json") == [recorded]
