"""What it costs to import the calculations, each time in a fresh process."""

import subprocess
import sys
from functools import partial

from timing import by_turns

from cubital import calc

TIMES = 15
TOPICS = [f"cubital.calc.{topic}" for topic in calc.TOPICS]
CODE = "import time; start = time.perf_counter(); import {}; print(time.perf_counter() - start)"


def import_s(name: str) -> float:
    """Return the seconds that a new process takes to import a module, its own start left out."""
    command = [sys.executable, "-c", CODE.format(name)]
    return float(subprocess.run(command, check=True, capture_output=True, text=True).stdout)


def rows() -> list[tuple[str, float, str, str]]:
    """Import numpy and the calculations by turns: the package, one topic of it, all topics."""
    modules = ("numpy", "cubital.calc", "cubital.calc.sizing.flow", ", ".join(TOPICS))
    for module in modules:
        import_s(module)  # writes the byte code
    numpy, package, one, all_of_them = by_turns(
        *(partial(import_s, module) for module in modules), times=TIMES
    )
    over = f"of importing numpy, medians of {TIMES} processes"
    return [
        ("importing cubital.calc", package / numpy, over, "< 1.5"),
        ("importing cubital.calc, and numpy for one topic", one / numpy, over, "< 1.5"),
        (f"importing all {len(TOPICS)} topics", all_of_them / numpy, over, ""),
        ("importing numpy", numpy * 1000, "ms", ""),
    ]
