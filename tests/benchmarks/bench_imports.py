"""What it costs to import the calculations, each time in a fresh process."""

import subprocess
import sys
from functools import partial

from timing import by_turns

TIMES = 15
CODE = "import time; start = time.perf_counter(); import {}; print(time.perf_counter() - start)"


def import_s(name: str) -> float:
    """Return the seconds that a new process takes to import a module, its own start left out."""
    command = [sys.executable, "-c", CODE.format(name)]
    return float(subprocess.run(command, check=True, capture_output=True, text=True).stdout)


def rows() -> list[tuple[str, float, str, str]]:
    """Import the calculations and numpy by turns."""
    import_s("cubital.calc")  # writes the byte code
    calc, numpy = by_turns(
        partial(import_s, "cubital.calc"), partial(import_s, "numpy"), times=TIMES
    )
    over = f"of importing numpy, medians of {TIMES} processes"
    return [
        ("importing cubital.calc", calc / numpy, over, "< 1.5"),
        ("importing numpy", numpy * 1000, "ms", ""),
    ]
