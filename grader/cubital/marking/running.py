"""Have a submission's code cells run by another process, and read the plain data it leaves."""

import contextlib
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
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
    CodeRun,
    read_run,
)
from cubital.items import CodeItem
from cubital.marking import notebooks
from cubital.marking.inspecting import Submission

READY = "ready.json"
TRACE = "trace.json"
TIMEOUT_S = 60.0
_LARGEST_RESULT = 100_000  # bytes; four numbers and their names need some 200
# What a learner's code finds in its environment; nothing else of the marker's is passed on.
_PASSED_ON = ("PATH", "PYTHONPATH", "HOME", "LANG", "LC_ALL", "TZ", "LD_LIBRARY_PATH")


class RunnerError(RuntimeError):
    """The process that runs cells could not do its work, through no fault of the learner."""


@dataclass(frozen=True)
class _End:
    """How the process ended."""

    code: int
    timed_out: bool


def run_code(
    submission: Submission,
    notebook: notebooks.Notebook,
    release: Release,
    seal: str,
    *,
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
    scratch
        A folder for the copies; they are removed before this returns.

    Raises
    ------
    RunnerError
        The process did not even start to run the cells.
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
        end = _start(job, here, folder, timeout_s)
        if not (results / READY).is_file():
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


def _start(job: Path, here: Path, folder: Path, timeout_s: float) -> _End:
    environment = {key: os.environ[key] for key in _PASSED_ON if key in os.environ}
    environment |= {
        "CUBITAL_MARKING": "1",
        CASES_VARIABLE: str(folder / "cases.json"),
        "NBGRADER_EXECUTION": "autograde",
        "PYTHONSAFEPATH": "1",
        "PYTHONDONTWRITEBYTECODE": "1",
        "MPLBACKEND": "Agg",
        "IPYTHONDIR": str(folder / "ipython"),
        "TMPDIR": str(folder),
    }
    with (folder / "errors.txt").open("wb") as errors:
        process = subprocess.Popen(
            [sys.executable, "-m", "cubital.marking.runner", str(job)],
            cwd=here,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=errors,
            start_new_session=True,
        )
        try:
            return _End(process.wait(timeout_s), timed_out=False)
        except subprocess.TimeoutExpired:
            return _End(-signal.SIGKILL, timed_out=True)
        finally:
            _end_group(process)


def _end_group(process: subprocess.Popen) -> None:
    """Kill the process with all that it started in its group, and wait for it."""
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


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
            return f"{STOPPED} {first['error'][:LONGEST_TEXT]}"
    return NOT_REACHED


def _last_line(path: Path) -> str:
    lines = path.read_text(encoding="utf-8", errors="replace").strip().splitlines()
    return lines[-1][:LONGEST_TEXT] if lines else "it said nothing"
