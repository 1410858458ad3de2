"""The process that watches over an unprotected run of cells, and ends all that it leaves behind.

It starts a command and waits for its end, or for the end of its own standard input: the marker
closes that to stop the run, and the kernel closes it if the marker is gone. Then every process
that descends from the command is killed, detached ones too: on Linux they become children of this
process when their parent ends (`PR_SET_CHILD_SUBREAPER`). It is run as a file, by
``python -I -S watching.py READY COMMAND...``, where READY is a file descriptor that the command
keeps, and needs the standard library alone. What it cannot end is a process that a service of the
system, such as cron, starts for a cell.
"""

import contextlib
import ctypes
import os
import select
import signal
import subprocess
import sys
import time

RUN_VARIABLE = "CUBITAL_RUN"  # names the run in the environment of all that it starts
FAILED = 10  # the command ended with something other than 0; Python itself ends with 1 or 2
LEFT = 11  # a process could not be ended
MOST_S = 10.0  # how long to try: a killed process is gone in milliseconds
_PR_SET_CHILD_SUBREAPER = 36  # <linux/prctl.h>
_PAUSE_S = 0.01


def main(ready: int, command: list[str]) -> int:
    """Run the command, end what it leaves, and return 0 if it ended with 0."""
    adopt(True)
    process = subprocess.Popen(
        command, stdin=subprocess.DEVNULL, start_new_session=True, pass_fds=[ready]
    )
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGCHLD})  # not in the command
    os.close(ready)
    ended = os.pidfd_open(process.pid)
    select.select([ended, sys.stdin.fileno()], [], [])
    code = process.poll()
    if not end_descendants():
        return LEFT
    return 0 if code == 0 else FAILED


def adopt(wanted: bool) -> None:
    """Have orphans among this process's descendants become its own children, or not any more."""
    libc = ctypes.CDLL(None, use_errno=True)
    if libc.prctl(_PR_SET_CHILD_SUBREAPER, int(wanted), 0, 0, 0):
        raise OSError(ctypes.get_errno(), "descendants cannot be watched on this system")


def end_descendants() -> bool:
    """Kill and reap until this process has no child: an orphan would be one.

    Return whether that came about; a process with more rights than this one stays.
    """
    until = time.monotonic() + MOST_S
    while time.monotonic() < until:
        for pid in descendants(os.getpid()):
            kill(pid)
        try:
            while os.waitpid(-1, os.WNOHANG)[0]:
                pass
        except ChildProcessError:
            return True
        signal.sigtimedwait({signal.SIGCHLD}, _PAUSE_S)
    return False


def descendants(root: int) -> list[int]:
    """Return the processes that descend from one, as they are at this moment."""
    parents = {pid: parent for pid in processes() if (parent := parent_of(pid)) is not None}
    found: set[int] = set()
    fresh = {root}
    while fresh:
        fresh = {pid for pid, parent in parents.items() if parent in fresh} - found
        found |= fresh
    return sorted(found)


def processes() -> list[int]:
    """Return the numbers of all processes."""
    return [int(name) for name in os.listdir("/proc") if name.isdigit()]


def parent_of(pid: int) -> int | None:
    """Return a process's parent, or None if the process is gone."""
    fields = _status(pid)
    return int(fields[1]) if fields else None


def session_of(pid: int) -> int | None:
    """Return a process's session, or None if the process is gone."""
    fields = _status(pid)
    return int(fields[3]) if fields else None


def _status(pid: int) -> list[bytes]:
    """Return the fields of ``/proc/<pid>/stat`` after the name, which may hold anything."""
    with contextlib.suppress(OSError), open(f"/proc/{pid}/stat", "rb") as file:
        return file.read().rpartition(b")")[2].split()
    return []


def of_run(run: str) -> list[int]:
    """Return the processes that have a run's name in their environment."""
    wanted = f"{RUN_VARIABLE}={run}".encode()
    found = []
    for pid in processes():
        with contextlib.suppress(OSError), open(f"/proc/{pid}/environ", "rb") as file:
            if wanted in file.read().split(b"\0"):
                found.append(pid)
    return found


def of_folder(folder: str) -> list[int]:
    """Return the processes of runs, of any marker, whose files were below a folder."""
    mine, run = f"TMPDIR={folder}/".encode(), f"{RUN_VARIABLE}=".encode()
    found = []
    for pid in processes():
        with contextlib.suppress(OSError), open(f"/proc/{pid}/environ", "rb") as file:
            told = file.read().split(b"\0")
            if all(any(part.startswith(start) for part in told) for start in (mine, run)):
                found.append(pid)
    return found


def kill(pid: int) -> None:
    """Kill a process that may be gone already."""
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.kill(pid, signal.SIGKILL)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), sys.argv[2:]))
