"""What the sandbox costs a hand-in, beside a process that is started for it without one."""

import tempfile
from functools import partial
from pathlib import Path

from timing import by_turns, once

from cubital.marking.cells.places import Job, Place
from cubital.marking.cells.sandbox import Sandbox
from cubital.marking.cells.unprotected import Unprotected

TIMES = 15
JOB: Job = {
    "cells": [
        {"source": "from cubital import calc\nfrom cubital.worksheet import ask", "item": ""},
        {
            "source": "def ratio(catheter_mm, vein_mm):\n    return catheter_mm / vein_mm",
            "item": "",
        },
        {"source": 'ask("ratio", ratio)', "item": "ratio"},
    ],
    "cases": {
        "ratio": [{"catheter_mm": 1.0 + 0.1 * number, "vein_mm": 4.0} for number in range(4)]
    },
}


def run(place: Place) -> None:
    """Run the cells of one hand-in, whose function gives what it should."""
    (row,) = place.run("ann", JOB, 60).rows()
    if len(row["results"]) != 4:
        raise RuntimeError(f"the cells gave {row}")


def rows() -> list[tuple[str, float, str, str]]:
    """Run the same cells in both places in turn, after the sandbox has started."""
    with (
        tempfile.TemporaryDirectory() as name,
        Sandbox(Path(name)) as sandbox,
        Unprotected(Path(name)) as unprotected,
    ):
        start_s = once(partial(run, sandbox))
        sandbox_s, unprotected_s = by_turns(
            partial(once, partial(run, sandbox)),
            partial(once, partial(run, unprotected)),
            times=TIMES,
        )
    what = "cells of a hand-in in the sandbox"
    return [
        (what, sandbox_s / unprotected_s, "of a process of its own without it", "< 0.2"),
        (what, 1000 * sandbox_s, "ms", ""),
        ("cells of a hand-in without it", 1000 * unprotected_s, "ms", ""),
        ("the sandbox's start, once a marking", start_s, "s", ""),
    ]
