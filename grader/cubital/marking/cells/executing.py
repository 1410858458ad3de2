"""The code cells of one hand-in run in this process, and what is asked for leaves as lines of JSON.

A line is a run of a code item's function (`handin.trial.run_as_data`), or why a cell stopped. No
mark is decided here, and nothing here protects: that is for the process around it, the sandbox's
(`forking`) or, for who asks for that, an unprotected one:
``python -m cubital.marking.cells.executing JOB ANSWERS READY``.
"""

import json
import os
import re
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import ModuleType
from typing import Any

from cubital.handin import trial

Cell = Mapping[str, str]
STOPPED = "stopped"  # the key of a line that tells how a cell stopped
_COMMAND = re.compile(r"\s*(?:[\w, ]+=\s*)?[%!]|\s*\?|.*\?\s*$")


class NotebookCommandError(Exception):
    """A cell holds a command to the notebook or the system, which is not Python."""


def run_cells(
    cells: Sequence[Cell], cases: Mapping[str, list[dict[str, Any]]], send: Callable[[bytes], None]
) -> None:
    """Run cells one after the other, whatever happens in one.

    Parameters
    ----------
    cells
        Each with its ``source``, and the id of the ``item`` whose grade cell it is, or ``""``.
    cases
        The inputs to try each code item's function on.
    send
        Takes a line. Only in the cell of an item does a run of its function leave.
    """
    place = ModuleType("__main__")
    place.__dict__["exit"] = place.__dict__["quit"] = sys.exit  # there is no window to close
    sys.modules["__main__"] = place
    at = ""

    def take(item: str, function: Callable[..., Any] | None = None) -> None:
        if item and item == at:
            send(_line(trial.run_as_data(item, trial.try_function(function, cases[item]))))

    trial.taker = take
    for number, cell in enumerate(cells, 1):
        at = cell["item"]
        if words := _run(cell["source"], f"cell {number}", place.__dict__):
            send(_line({STOPPED: words}))


def _run(source: str, name: str, space: dict[str, Any]) -> str:
    """Run a cell and return how it stopped; nothing if it did not."""
    try:
        exec(_compiled(source, name), space)
    except BaseException as error:
        try:
            return f"{type(error).__name__}: {error}"[: trial.LONGEST_TEXT]
        except BaseException:  # what a learner's own error makes of itself
            return "an error that cannot be told"
    return ""


def _compiled(source: str, name: str) -> Any:
    try:
        return compile(source, name, "exec", dont_inherit=True)
    except SyntaxError:
        for number, line in enumerate(source.splitlines(), 1):
            if _COMMAND.match(line):
                raise NotebookCommandError(
                    f"“{line.strip():.60}” in line {number} is a command of the workbench, not "
                    "Python, and is not run where work is marked"
                ) from None
        raise


def _line(data: Any) -> bytes:
    return json.dumps(data).encode() + b"\n"


def main(job_file: str, answers_file: str, ready: int) -> None:
    """Run a job's cells; `os._exit` at the end waits for nothing that a cell left behind.

    A letter goes into ``ready`` before the first cell: what a cell does cannot take it back.
    """
    job = json.loads(Path(job_file).read_bytes())
    answers = os.open(answers_file, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    os.write(ready, b".")
    os.close(ready)
    run_cells(job["cells"], job["cases"], lambda line: write_all(answers, line))
    os._exit(0)


def write_all(descriptor: int, data: bytes) -> None:
    """Write all of some bytes."""
    while data:
        data = data[os.write(descriptor, data) :]


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
