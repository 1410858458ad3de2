"""Measure how fast the course's code is, and print one table.

    .venv/bin/python tests/benchmarks/run.py [topic ...]

Each ``bench_<topic>.py`` beside this file has a function

    rows() -> list[tuple[what, figure, note, target]]

``what`` says what was measured; ``figure`` is a float; ``note`` is its unit, or for a ratio what is
over what; ``target`` is a text such as ``"< 1.5"``, ``"<= 1.5"`` or ``">= 2.5"``, and ``""``
where none is set. A figure with a target is a ratio of two times measured by turns within the same
call, so that it means the same on another machine and on a busy one, or a limit in seconds or MB
that people feel, which a busy machine can miss; other absolute speeds stand beside it without a
target. A module that lacks what it needs (a compiler, a second core) leaves those
rows' figures ``float("nan")`` with the reason in the note. ``once`` in `timing.py` takes a
time. Modules run one after the other, nothing else at the same time; together in a few minutes.

The package is compiled first, as an installer does it, since commands are timed with their start.

The command ends with 1 when a target is missed or could not be measured. These are not tests:
pytest does not collect them.
"""

import compileall
import importlib.util
import operator
import sys
from pathlib import Path
from typing import NamedTuple

import cubital

HERE = Path(__file__).resolve().parent
COMPARISONS = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}
HEADINGS = ("what", "figure", "of what", "target", "verdict")


class Row(NamedTuple):
    """One figure of the table."""

    what: str
    figure: float
    note: str
    target: str

    def verdict(self) -> str:
        """Say whether the target is met; nothing where none is set."""
        if not self.target:
            return ""
        sign, number = self.target.split()
        return "met" if COMPARISONS[sign](self.figure, float(number)) else "MISSED"


def topics() -> dict[str, Path]:
    """Return the benchmark modules by topic."""
    return {path.stem.removeprefix("bench_"): path for path in sorted(HERE.glob("bench_*.py"))}


def measure(path: Path) -> list[Row]:
    """Import one benchmark module and take its rows."""
    spec = importlib.util.spec_from_file_location(path.stem, path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return [Row(*row) for row in module.rows()]


def table(rows: list[Row]) -> str:
    """Lay rows out in columns."""
    cells = [(r.what, f"{r.figure:,.4g}", r.note, r.target, r.verdict()) for r in rows]
    widths = [max(map(len, column)) for column in zip(HEADINGS, *cells, strict=True)]
    lines = [HEADINGS, tuple("-" * width for width in widths), *cells]
    return "\n".join(
        "  ".join(
            text.rjust(width) if column == 1 else text.ljust(width)
            for column, (text, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in lines
    )


def main(wanted: list[str]) -> int:
    """Run all benchmarks, or those of the topics given, and print the table."""
    found = topics()
    unknown = [topic for topic in wanted if topic not in found]
    if unknown:
        print(f"No benchmark is called {', '.join(unknown)}: there are {', '.join(found)}.")
        return 2
    compileall.compile_dir(Path(cubital.__file__).parent, quiet=1)
    rows = []
    for topic in wanted or found:
        print(f"measuring {topic} ...", file=sys.stderr, flush=True)
        rows += measure(found[topic])
    print(table(rows))
    return 1 if any(row.verdict() == "MISSED" for row in rows) else 0


if __name__ == "__main__":
    sys.path.insert(0, str(HERE))  # so that modules find timing.py
    sys.exit(main(sys.argv[1:]))
