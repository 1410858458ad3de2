"""A hand-in's code cells as a job, and the plain data that comes of it as runs of functions."""

from collections.abc import Mapping
from contextlib import AbstractContextManager
from pathlib import Path

from cubital.handin.trial import LONGEST_TEXT, NOT_REACHED, CodeRun, read_run, whole
from cubital.handin.trial import STOPPED as STOPPED_WITH
from cubital.marking import notebooks
from cubital.marking.cells.executing import STOPPED
from cubital.marking.cells.places import CELLS_RUN, Job, Nowhere, Place, Ran

TIMEOUT_S = 60.0


def place_for(workspace: Path, *, unprotected: bool) -> AbstractContextManager[Place]:
    """Return where the cells of a workspace's hand-ins run: nowhere but on Linux.

    What is imported there needs modules that other systems lack.
    """
    if not CELLS_RUN:
        return Nowhere()
    if unprotected:
        from cubital.marking.cells.unprotected import Unprotected  # noqa: PLC0415 - Linux alone

        return Unprotected(workspace)
    from cubital.marking.cells.sandbox import Sandbox  # noqa: PLC0415 - Linux alone

    return Sandbox(workspace)


def run_code(
    learner: str,
    notebook: notebooks.Notebook,
    cases: Mapping[str, list[dict[str, float]]],
    *,
    place: Place,
    timeout_s: float = TIMEOUT_S,
) -> dict[str, CodeRun]:
    """Run a mended notebook's code cells and return what each code item's function gave.

    Parameters
    ----------
    notebook
        The submission's notebook in the release's order, see `notebooks.mend`.
    cases
        The inputs that each function is tried on, by item; with none, nothing is run.
    place
        Where they run.

    Raises
    ------
    NotRunError
        They cannot be run on this system.
    RunnerError
        The place failed, through no fault of the learner.
    """
    if not cases:
        return {}
    job: Job = {"cells": _cells(notebook, set(cases)), "cases": dict(cases)}
    ran = place.run(learner, job, timeout_s)
    return _read(ran, {item: len(rows) for item, rows in cases.items()}, timeout_s)


def _cells(notebook: notebooks.Notebook, items: set[str]) -> list[dict[str, str]]:
    """Return what is to be run: all code cells but the grade cells of other items."""
    cells = []
    for cell in notebook["cells"]:
        item = str(notebooks.marks_of(cell).get("grade_id")) if notebooks.is_grade(cell) else ""
        if cell["cell_type"] == "code" and (not item or item in items):
            cells.append({"source": notebooks.source_text(cell), "item": item})
    return cells


def _read(ran: Ran, items: Mapping[str, int], timeout_s: float) -> dict[str, CodeRun]:
    """Return the last run of each item, by its number of cases, or why there is none."""
    found: dict[str, CodeRun] = {}
    stopped: list[str] = []
    odd = False
    for row in ran.rows():
        runs = {item: run for item, count in items.items() if (run := read_run(row, item, count))}
        found |= runs
        if isinstance(row, dict) and isinstance(row.get(STOPPED), str):
            stopped.append(row[STOPPED][:LONGEST_TEXT])
        elif not runs:
            odd = True
    if ran.timed_out:
        error = f"The code ran longer than {timeout_s:g} s and were stopped."
    elif odd:
        error = "The function's results are not in the form that is taken."
    elif ran.code != 0:
        error = "The code ended Python itself, so the function could not be tried."
    else:
        error = f"{STOPPED_WITH} {whole(stopped[0])}" if stopped else NOT_REACHED
    return {item: found.get(item, CodeRun(error=error)) for item in items}
