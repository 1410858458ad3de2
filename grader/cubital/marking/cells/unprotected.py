"""Cells run without a sandbox, for who asks for that: with the rights of whoever marks.

What of it can be noticed is: every process that a cell starts is ended, the workspace's own files
are compared before and after. A cell can read, send and change whatever the marker can.
"""

import contextlib
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path

from cubital.handin.files import write_json
from cubital.handin.trial import LONGEST_TEXT
from cubital.marking.cells import watching
from cubital.marking.cells.guarding import Guard
from cubital.marking.cells.places import LARGEST_ANSWERS, Job, Ran, RunnerError
from cubital.marking.cells.surviving import GUARDED_FILE, SCRATCH

_GRACE_S = 5.0  # how long a watcher has to come to an end after it was told to
# What a learner's code finds in its environment; nothing else of the marker's is passed on.
_PASSED_ON = ("PATH", "PYTHONPATH", "HOME", "LANG", "LC_ALL", "TZ", "LD_LIBRARY_PATH")


@dataclass(frozen=True)
class _End:
    """How a process ended; ``ready`` if the first cell was begun."""

    code: int
    timed_out: bool
    ready: bool


class Unprotected:
    """A place for learners' cells without protection; a context.

    Within it, what outlives a killed watcher becomes a child of this process, which is the only
    way to find a process that left its session and its environment behind. A run that has ended
    left no process.
    """

    note = "Run without protection."

    def __init__(self, workspace: Path) -> None:
        self._scratch = workspace / SCRATCH
        self._guard = Guard(workspace)
        self._watchers: dict[int, subprocess.Popen[bytes]] = {}
        self._before: set[int] = set()
        self._lock = threading.Lock()
        self._stopped = False

    def __enter__(self) -> "Unprotected":
        self._guard.keep(self._scratch / GUARDED_FILE)
        self._before = set(_children())
        watching.adopt(True)
        return self

    def __exit__(self, *_error: object) -> None:
        self.stop()
        watching.adopt(False)
        shutil.rmtree(self._scratch, ignore_errors=True)

    def stop(self) -> None:
        """End all that runs, and begin nothing any more."""
        with self._lock:
            self._stopped = True
            for watcher in self._watchers.values():
                _let_end(watcher)

    def guarded(self, learner: str) -> AbstractContextManager[None]:
        """Raise TamperedError if a file of the workspace is not as before."""
        return self._guard.running(learner)

    def run(self, learner: str, job: Job, seconds: float) -> Ran:
        """Run a learner's job for some time at most, and end every process that it started.

        Raises
        ------
        RunnerError
            The process did not even start to run the cells, or something that it started stays.
        """
        with tempfile.TemporaryDirectory(dir=self._scratch, ignore_cleanup_errors=True) as name:
            folder = Path(name)
            here = folder / learner
            here.mkdir()
            write_json(folder / "job.json", job)
            end = self._watched(folder, here, seconds)
            if not end.ready:
                raise RunnerError(
                    "the process for the learners' cells ended before their first cell: "
                    + _last_line(folder / "errors.txt")
                )
            return Ran(_answers(folder / "answers"), end.code, end.timed_out)

    def _watched(self, folder: Path, here: Path, seconds: float) -> _End:
        run = uuid.uuid4().hex
        told, ready = os.pipe()
        os.set_blocking(told, False)
        with open(told, "rb", buffering=0) as begun:
            try:
                watcher = self._start(folder, here, run, ready)
            finally:
                os.close(ready)
            code, timed_out = self._wait(watcher, run, seconds)
            return _End(code, timed_out, bool(begun.read(1)))

    def _start(self, folder: Path, here: Path, run: str, ready: int) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", "cubital.marking.cells.executing"]
        command += [str(folder / "job.json"), str(folder / "answers"), str(ready)]
        with self._lock, (folder / "errors.txt").open("wb") as errors:
            if self._stopped:
                raise RunnerError("marking was stopped")
            watcher = subprocess.Popen(
                [sys.executable, "-I", "-S", watching.__file__, str(ready), *command],
                cwd=here,
                env=_environment(folder, run),
                stdin=subprocess.PIPE,
                stdout=subprocess.DEVNULL,
                stderr=errors,
                start_new_session=True,
                pass_fds=[ready],
            )
            self._watchers[watcher.pid] = watcher
        return watcher

    def _wait(self, watcher: subprocess.Popen[bytes], run: str, seconds: float) -> tuple[int, bool]:
        """Wait for a run and clear up after it; return its code and whether it took too long."""
        timed_out, code = False, watching.LEFT
        try:
            try:
                code = watcher.wait(seconds)
            except subprocess.TimeoutExpired:
                timed_out = True
                _let_end(watcher)
                with contextlib.suppress(subprocess.TimeoutExpired):
                    code = watcher.wait(watching.MOST_S + _GRACE_S)
        finally:
            self._sweep(watcher, run, fully=code not in {0, watching.FAILED})
        return code, timed_out

    def _sweep(self, watcher: subprocess.Popen[bytes], run: str, *, fully: bool) -> None:
        """End what a run left although it was watched: its watcher was stopped or killed."""
        _let_end(watcher)
        watching.kill(watcher.pid)
        watcher.wait()
        until = time.monotonic() + watching.MOST_S
        with self._lock:
            del self._watchers[watcher.pid]
            while left := {*watching.of_run(run), *(self._orphans() if fully else ())}:
                if time.monotonic() > until:
                    names = ", ".join(map(str, sorted(left)))
                    raise RunnerError(f"processes that the cells started did not end: {names}")
                for pid in left:
                    watching.kill(pid)
                    with contextlib.suppress(ChildProcessError):
                        os.waitpid(pid, os.WNOHANG)

    def _orphans(self) -> list[int]:
        """Return the children that are nobody's here: a cell cannot enter this session."""
        session = os.getsid(0)
        return [
            pid
            for pid in _children()
            if pid not in self._before
            and pid not in self._watchers
            and watching.session_of(pid) != session
        ]


def _children() -> list[int]:
    return [pid for pid in watching.processes() if watching.parent_of(pid) == os.getpid()]


def _let_end(watcher: subprocess.Popen[bytes]) -> None:
    """Close the watcher's standard input, by which it ends its run."""
    if watcher.stdin is not None:
        watcher.stdin.close()


def _environment(folder: Path, run: str) -> dict[str, str]:
    environment = {key: os.environ[key] for key in _PASSED_ON if key in os.environ}
    return environment | {
        watching.RUN_VARIABLE: run,
        "PYTHONSAFEPATH": "1",
        "PYTHONDONTWRITEBYTECODE": "1",
        "MPLBACKEND": "Agg",
        "TMPDIR": str(folder),
    }


def _answers(path: Path) -> bytes | None:
    """Return what a run left, None if it is too large; a cell may have put anything there."""
    try:
        if path.is_symlink() or not path.is_file():
            return b""
        return None if path.stat().st_size > LARGEST_ANSWERS else path.read_bytes()
    except OSError:
        return None


def _last_line(path: Path) -> str:
    lines = path.read_text(encoding="utf-8", errors="replace").strip().splitlines()
    return lines[-1][:LONGEST_TEXT] if lines else "it said nothing"
