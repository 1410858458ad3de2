"""The separate process in which a submission's cells run: `python -m cubital.marking.cells.runner`.

It gets a job as JSON, runs the cells one after the other whatever happens in one, and leaves
plain JSON behind; it decides no mark. A sandbox can stand around this process: it reads the
job's folder, writes into it, and needs nothing else. It starts anew for each hand-in, so it
imports little: the marker's libraries take seconds.
"""

import contextlib
import json
import os
import resource
import sys
from pathlib import Path
from typing import Any

from IPython.core.interactiveshell import InteractiveShell
from traitlets.config import Config

from cubital.handin.trial import LONGEST_TEXT, RESULTS_VARIABLE, TRACE

_LARGEST_FILE = 50_000_000  # bytes that a cell may write into one file


def main(job_file: str, ready: int) -> None:
    """Run the cells of a job; `os._exit` at the end waits for nothing that a cell left behind.

    A letter goes into ``ready`` before the first cell: what a cell does cannot take it back.
    """
    job = json.loads(Path(job_file).read_text(encoding="utf-8"))
    results = Path(job["results"])
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_FSIZE, (_LARGEST_FILE, _LARGEST_FILE))
    shell = _shell()
    os.write(ready, b".")
    os.close(ready)
    errors = []
    for number, cell in enumerate(job["cells"]):
        error = _run(shell, cell, results)
        if error is not None:
            text = f"{type(error).__name__}: {error}"
            errors.append({"cell": number, "error": text[:LONGEST_TEXT]})
            trace = json.dumps({"errors": errors})
            with contextlib.suppress(OSError):  # a cell may have removed the folder
                (results / TRACE).write_text(trace, encoding="utf-8")
    os._exit(0)


def _shell() -> InteractiveShell:
    config = Config()
    config.HistoryManager.enabled = False
    config.InteractiveShell.colors = "nocolor"
    config.InteractiveShell.cache_size = 0
    shell = InteractiveShell.instance(config=config)
    shell.user_ns["exit"] = shell.user_ns["quit"] = sys.exit  # this shell has no window to close
    return shell


def _run(shell: InteractiveShell, cell: dict[str, Any], results: Path) -> BaseException | None:
    """Run one cell; only in the cell of an item do results of that item go anywhere."""
    if cell["item"]:
        os.environ[RESULTS_VARIABLE] = str(results / f"{cell['item']}.jsonl")
    try:
        outcome = shell.run_cell(cell["source"], silent=True)
        raised: BaseException | None = outcome.error_before_exec or outcome.error_in_exec
        return raised
    except BaseException as error:
        return error
    finally:
        os.environ.pop(RESULTS_VARIABLE, None)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
