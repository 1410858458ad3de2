"""Have a submission's code cells run by another process, and read the plain data it leaves."""

import contextlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cubital.handin.files import write_json
from cubital.handin.release import FILE as RELEASE_FILE
from cubital.handin.release import Release, write_release
from cubital.handin.trial import (
    CASES_VARIABLE,
    LONGEST_TEXT,
    NOT_REACHED,
    STOPPED,
    TRACE,
    CodeRun,
    read_run,
    whole,
)
from cubital.items import CodeItem
from cubital.marking import notebooks
from cubital.marking.cells import watching
from cubital.marking.marks.inspecting import Submission

TIMEOUT_S = 60.0
_GRACE_S = 5.0  # how long a watcher has to come to an end after it was told to
_LARGEST_RESULT = 100_000  # bytes; four numbers and their names need some 200
# What a learner's code finds in its environment; nothing else of the marker's is passed on.
_PASSED_ON = ("PATH", "PYTHONPATH", "HOME", "LANG", "LC_ALL", "TZ", "LD_LIBRARY_PATH")


class RunnerError(RuntimeError):
    """The process that runs cells could not do its work, through no fault of the learner."""


@dataclass(frozen=True)
class _End:
    """How the process ended; ``ready`` if the first cell was begun."""

    code: int
    timed_out: bool
    ready: bool


class Runs:
    """The runs of learners' cells under way, each watched over by a process of its own.

    A context: within it, what outlives a killed watcher becomes a child of this process, which is
    the only way to find a process that left its session and its environment behind. A run that
    has ended left no process.
    """

    def __init__(self) -> None:
        self._watchers: dict[int, subprocess.Popen[bytes]] = {}
        self._before: set[int] = set()
        self._lock = threading.Lock()
        self._stopped = False

    def __enter__(self) -> "Runs":
        self._before = set(_children())
        watching.adopt(True)
        return self

    def __exit__(self, *_error: object) -> None:
        self.stop()
        watching.adopt(False)

    def stop(self) -> None:
        """End all runs, and begin none any more."""
        with self._lock:
            self._stopped = True
            for watcher in self._watchers.values():
                _let_end(watcher)

    def run(self, job: Path, here: Path, folder: Path, timeout_s: float) -> _End:
        """Run a job's cells, and end every process that they started."""
        run = uuid.uuid4().hex
        told, ready = os.pipe()
        os.set_blocking(told, False)
        with open(told, "rb", buffering=0) as begun:
            try:
                watcher = self._start(job, here, folder, run, ready)
            finally:
                os.close(ready)
            code, timed_out = self._wait(watcher, run, timeout_s)
            return _End(code, timed_out, bool(begun.read(1)))

    def _wait(
        self, watcher: subprocess.Popen[bytes], run: str, timeout_s: float
    ) -> tuple[int, bool]:
        """Wait for a run and clear up after it; return its code and whether it took too long."""
        timed_out, code = False, watching.LEFT
        try:
            try:
                code = watcher.wait(timeout_s)
            except subprocess.TimeoutExpired:
                timed_out = True
                _let_end(watcher)
                with contextlib.suppress(subprocess.TimeoutExpired):
                    code = watcher.wait(watching.MOST_S + _GRACE_S)
        finally:
            self._sweep(watcher, run, fully=code not in {0, watching.FAILED})
        return code, timed_out

    def _start(
        self, job: Path, here: Path, folder: Path, run: str, ready: int
    ) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", "cubital.marking.cells.runner", str(job), str(ready)]
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


def run_code(
    submission: Submission,
    notebook: notebooks.Notebook,
    release: Release,
    seal: str,
    *,
    runs: Runs,
    scratch: Path,
    timeout_s: float = TIMEOUT_S,
) -> dict[str, CodeRun]:
    """Run a mended notebook's code cells and return what each code item's function gave.

    Parameters
    ----------
    submission
        Whose files are copied to where the cells run.
    notebook
        The submission's notebook in the release's order, see `notebooks.mend`.
    seal
        The secret that the hidden cases are drawn from.
    runs
        Where the run is watched over.
    scratch
        A folder for the copies; they are removed before this returns.

    Raises
    ------
    RunnerError
        The process did not even start to run the cells, or something that it started stays.
    """
    items = [item for item in release.listed() if isinstance(item, CodeItem)]
    if not items:
        return {}
    cases = {item.id: item.cases(release.values(item, submission.learner), seal) for item in items}
    scratch.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=scratch, ignore_cleanup_errors=True) as name:
        folder = Path(name)
        cells = _cells(notebook, cases)
        job, here, results = _lay_out(folder, submission, release, cells, cases)
        end = runs.run(job, here, folder, timeout_s)
        if not end.ready:
            raise RunnerError(
                "the process for the learners' cells ended before their first cell: "
                + _last_line(folder / "errors.txt")
            )
        return {
            item.id: _read(results, item, len(cases[item.id]), end, timeout_s) for item in items
        }


def _cells(notebook: notebooks.Notebook, cases: Mapping[str, Any]) -> list[dict[str, str]]:
    """Return what is to be run: all code cells but the grade cells of other items."""
    cells = []
    for cell in notebook["cells"]:
        item = str(notebooks.marks_of(cell).get("grade_id")) if notebooks.is_grade(cell) else ""
        if cell["cell_type"] == "code" and (not item or item in cases):
            cells.append({"source": notebooks.source_text(cell), "item": item})
    return cells


def _lay_out(
    folder: Path,
    submission: Submission,
    release: Release,
    cells: list[dict[str, str]],
    cases: Mapping[str, Any],
) -> tuple[Path, Path, Path]:
    here = folder / submission.learner / release.worksheet
    shutil.copytree(submission.folder, here, symlinks=True)
    (here / RELEASE_FILE).unlink(missing_ok=True)
    write_release(here, release)
    results = folder / "results"
    results.mkdir()
    write_json(folder / "cases.json", cases)
    job = folder / "job.json"
    write_json(job, {"cells": cells, "results": str(results)})
    return job, here, results


def _environment(folder: Path, run: str) -> dict[str, str]:
    environment = {key: os.environ[key] for key in _PASSED_ON if key in os.environ}
    return environment | {
        watching.RUN_VARIABLE: run,
        "CUBITAL_MARKING": "1",
        CASES_VARIABLE: str(folder / "cases.json"),
        "NBGRADER_EXECUTION": "autograde",
        "PYTHONSAFEPATH": "1",
        "PYTHONDONTWRITEBYTECODE": "1",
        "MPLBACKEND": "Agg",
        "IPYTHONDIR": str(folder / "ipython"),
        "TMPDIR": str(folder),
    }


def _read(results: Path, item: CodeItem, count: int, end: _End, timeout_s: float) -> CodeRun:
    rows = _rows(results / f"{item.id}.jsonl")
    found = [run for row in rows if (run := read_run(row, item.id, count))]
    if found:
        return found[-1]
    if end.timed_out:
        return CodeRun(error=f"The cells ran longer than {timeout_s:g} s and were stopped.")
    if rows:
        return CodeRun(error="The function's results are not in the form that is taken.")
    if end.code != 0:
        return CodeRun(error="A cell ended Python itself, so the function could not be tried.")
    return CodeRun(error=_first_error(results))


def _rows(path: Path) -> list[Any]:
    """Read JSON lines that another process left; what is too large or no JSON is one odd row."""
    try:
        if path.is_symlink() or not path.is_file():
            return []
        if path.stat().st_size > _LARGEST_RESULT:
            return [None]
        return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    except (OSError, ValueError, RecursionError):
        return [None]


def _first_error(results: Path) -> str:
    for row in _rows(results / TRACE):
        errors = row.get("errors") if isinstance(row, dict) else None
        first = errors[0] if isinstance(errors, list) and errors else None
        if isinstance(first, dict) and isinstance(first.get("error"), str):
            return f"{STOPPED} {whole(first['error'][:LONGEST_TEXT])}"
    return NOT_REACHED


def _last_line(path: Path) -> str:
    lines = path.read_text(encoding="utf-8", errors="replace").strip().splitlines()
    return lines[-1][:LONGEST_TEXT] if lines else "it said nothing"
