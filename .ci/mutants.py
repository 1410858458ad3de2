"""See whether the tests of a room notice a small change in the code of that room.

    .venv/bin/python .ci/mutants.py             every mutant of .ci/mutants.toml
    .venv/bin/python .ci/mutants.py --sample    only those that every change runs
    .venv/bin/python .ci/mutants.py --record    every mutant, and note which test kills it
    .venv/bin/python .ci/mutants.py --draw      draw functions and mutants again by the seed

A mutant is a function with one small change (`mutating`): a `<` that became `<=`, an `and` that
became `or`, a number one more. It is *killed* if a test fails on it, and the table names one that
does. One that no test can tell from the function itself needs the reason under `equivalent`. The
run ends with 1 if a mutant survives, if one said to be equivalent is killed, or if one is no longer
there because its function was changed: then `--draw`, `--record`, and kill what survives.

The tests run on a copy of the package in a temporary folder, never on the checkout, and first on
the unchanged copy, where all must pass. ``--jobs N`` runs N mutants at a time (2).
"""

import argparse
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from pathlib import Path
from queue import SimpleQueue

from mutating import (
    LEAST_LINES,
    LEAST_LINES_CHANGED,
    LEAST_MUTANTS,
    Gone,
    Mutant,
    body_lines,
    chosen,
    functions,
    mutated,
    rank,
)
from mutating import mutants as mutants_of

CHECKOUT = Path(__file__).resolve().parents[1]
TABLE = Path(__file__).resolve().with_name("mutants.toml")
ROOMS = ("marking", "handin", "records", "refresh", "scene")
FUNCTIONS_A_ROOM = 4
MUTANTS_A_FUNCTION = 4
LONGEST_S = 300.0  # a mutant may loop without end; the unchanged tests take a tenth of this
KILLED, SURVIVED, NOT_EQUIVALENT, GONE = "killed", "SURVIVED", "NOT EQUIVALENT", "NO LONGER THERE"
EQUIVALENT = "equivalent"
FINE = {KILLED, EQUIVALENT}
_PASSED, _FAILED, _INTERRUPTED = 0, 1, 2  # pytest's own codes; 2 also if a mutant cannot be loaded


class TestsError(RuntimeError):
    """The tests do not pass on the unchanged package, or pytest could not run them."""


@dataclass(frozen=True)
class Row:
    """One mutant of the table, with the tests that shall kill it."""

    function: str  # module:name, without the package
    mutant: Mutant
    tests: tuple[str, ...]
    killed_by: str = ""
    equivalent: str = ""
    sample: bool = False

    @property
    def module(self) -> Path:
        """The module's file in the package."""
        return Path(*self.function.partition(":")[0].split(".")).with_suffix(".py")

    @property
    def name(self) -> str:
        """The function's qualified name."""
        return self.function.partition(":")[2]

    def known_killer(self, checkout: Path) -> bool:
        """Tell whether the test that killed it last is still there."""
        file, _, name = self.killed_by.partition("::")
        path = checkout / file
        bare = re.escape(name.partition("[")[0])
        return path.is_file() and bool(re.search(rf"def {bare}\(", path.read_text("utf-8")))


@dataclass(frozen=True)
class Verdict:
    """What came of a mutant; ``by`` is the test that failed on it, or the reason."""

    row: Row
    outcome: str
    by: str = ""

    def line(self) -> str:
        """Say it in one line."""
        row = self.row
        change = f"{row.mutant.line}  ->  {row.mutant.becomes}"
        return f"{self.outcome:15} {row.function}  {change}  [{self.by}]"


@dataclass
class Bench:
    """A copy of the package to change, and the tests to run on it."""

    folder: Path
    checkout: Path = CHECKOUT
    passing: set[str] = field(default_factory=set)  # tests seen to pass on the unchanged copy

    def __post_init__(self) -> None:
        shutil.copytree(self.checkout / "grader", self.folder / "grader")
        for part in self.checkout.iterdir():
            if part.name != "grader":
                (self.folder / part.name).symlink_to(part)
        shown = self._python("-c", "import cubital; print(cubital.__file__)")[1].strip()
        if Path(shown) != self.package / "__init__.py":
            raise TestsError(f"the tests would not load the copy, but {shown}")

    @property
    def package(self) -> Path:
        """The package's copy."""
        return self.folder / "grader" / "cubital"

    def unchanged(self, tests: Sequence[str]) -> None:
        """See the tests pass on the unchanged copy, once for each."""
        new = [test for test in tests if test not in self.passing]
        if not new:
            return
        code, output = self._pytest(new)
        if code != _PASSED:
            raise TestsError(f"on the unchanged package, pytest ended with {code}:\n{output}")
        self.passing |= set(new)

    def changed(self, row: Row) -> str:
        """Return the text of a mutant's module; `Gone` if it is no longer there."""
        path = self.package / row.module
        if not path.is_file():
            raise Gone("there is no such module")
        return mutated(path.read_text(encoding="utf-8"), row.name, row.mutant)

    def try_out(self, row: Row, tests: Sequence[str]) -> str:
        """Return the first test that fails on a mutant, or nothing if none does."""
        path = self.package / row.module
        changed = self.changed(row)
        source, times = path.read_text(encoding="utf-8"), path.stat()
        for compiled in (path.parent / "__pycache__").glob(f"{path.stem}.*.pyc"):
            compiled.unlink()  # it is trusted by time and length, which a mutant may share
        try:
            path.write_text(changed, encoding="utf-8")
            code, output = self._pytest(tests)
        finally:
            path.write_text(source, encoding="utf-8")
            os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
        if code is None:
            return "it ran without end"
        if code not in {_PASSED, _FAILED, _INTERRUPTED}:
            raise TestsError(f"{row.function}: pytest ended with {code}:\n{output}")
        if code == _PASSED:
            return ""
        failed = re.search(r"^(?:FAILED|ERROR) (.+?)(?: - .*)?$", output, re.MULTILINE)
        return failed[1] if failed else "the package could not be loaded"

    def _pytest(self, tests: Sequence[str]) -> tuple[int | None, str]:
        plain = ("-x", "-q", "--tb=no", "-rfE", "-p", "no:cacheprovider")
        return self._python("-m", "pytest", *plain, "--long", *tests)

    def _python(self, *arguments: str) -> tuple[int | None, str]:
        kept = {key: value for key, value in os.environ.items() if not key.startswith("PYTEST")}
        environment = kept | {
            "PYTHONPATH": str(self.folder / "grader"),
            "PYTHONDONTWRITEBYTECODE": "1",
            "PYTEST_DEBUG_TEMPROOT": str(self.folder),
            "HYPOTHESIS_STORAGE_DIRECTORY": str(self.folder / "hypothesis"),
        }
        process = subprocess.Popen(
            [sys.executable, *arguments],
            cwd=self.checkout,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        try:
            output, _ = process.communicate(timeout=LONGEST_S)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            return None, process.communicate()[0]
        return process.returncode, output


def judged(row: Row, bench: Bench, *, record: bool = False) -> Verdict:
    """Run a mutant against the test that killed it last, and if need be against all of its own."""
    try:
        bench.changed(row)  # tests of what is gone may fail for that reason alone
        if row.known_killer(bench.checkout) and not record:
            bench.unchanged([row.killed_by])
            if killer := bench.try_out(row, [row.killed_by]):
                return Verdict(row, KILLED, killer)
        bench.unchanged(row.tests)
        killer = bench.try_out(row, row.tests)
    except Gone as gone:
        return Verdict(row, GONE, str(gone))
    if row.equivalent:
        outcome = NOT_EQUIVALENT if killer else EQUIVALENT
        return Verdict(row, outcome, killer or row.equivalent)
    return Verdict(row, KILLED if killer else SURVIVED, killer or ", ".join(row.tests))


def run(
    rows: Sequence[Row], *, jobs: int, checkout: Path = CHECKOUT, record: bool = False
) -> list[Verdict]:
    """Return what came of each mutant, in the table's order, saying each at once."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as name:
        benches: SimpleQueue[Bench] = SimpleQueue()
        for number in range(jobs):
            folder = Path(name) / str(number)
            folder.mkdir()
            benches.put(Bench(folder, checkout))

        def one(row: Row) -> Verdict:
            bench = benches.get()
            try:
                verdict = judged(row, bench, record=record)
            finally:
                benches.put(bench)
            print(verdict.line(), flush=True)
            return verdict

        with ThreadPoolExecutor(jobs) as pool:
            return list(pool.map(one, rows))


def read_table(path: Path) -> tuple[str, list[Row]]:
    """Return the seed and the rows of the table."""
    told = tomllib.loads(path.read_text(encoding="utf-8"))
    rows = [
        Row(
            function["name"],
            Mutant(*(mutant[key] for key in Mutant._fields)),
            tuple(function["tests"]),
            mutant.get("killed_by", ""),
            mutant.get("equivalent", ""),
            mutant.get("sample", False),
        )
        for function in told.get("function", [])
        for mutant in function["mutant"]
    ]
    return told["seed"], rows


def written_table(seed: str, rows: Iterable[Row]) -> str:
    """Return the table's text."""
    lines = [
        "# Functions with one small change each, and a test that notices it: see .ci/mutants.py.",
        "# The functions and their mutants are drawn by the seed; `tests` are theirs to name.",
        "",
        f"seed = {_quoted(seed)}",
    ]
    last = ""
    for row in rows:
        if row.function != last:
            tests = ", ".join(map(_quoted, row.tests))
            lines += ["", "[[function]]", f"name = {_quoted(row.function)}", f"tests = [{tests}]"]
            last = row.function
        lines += ["", "[[function.mutant]]"]
        for key, value in row.mutant._asdict().items():
            lines.append(f"{key} = {value if isinstance(value, int) else _quoted(value)}")
        for key in ("killed_by", "equivalent"):
            if getattr(row, key):
                lines.append(f"{key} = {_quoted(getattr(row, key))}")
        if row.sample:
            lines.append("sample = true")
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def drawn(seed: str, known: Sequence[Row], checkout: Path = CHECKOUT) -> list[Row]:
    """Draw functions and mutants by the seed, after those of the table that are still there."""
    before = {(row.function, row.mutant): row for row in known}
    tests = {row.function: row.tests for row in known}
    rows = []
    for room in ROOMS:
        for function, found in _eligible(seed, room, checkout, set(before)):
            for mutant in found:
                own = tests.get(function) or (f"tests/{room}",)
                rows.append(before.get((function, mutant), Row(function, mutant, own)))
    return rows


def _eligible(
    seed: str, room: str, checkout: Path, known: set[tuple[str, Mutant]]
) -> list[tuple[str, list[Mutant]]]:
    """Return a package's functions with their mutants: known ones first, then by rank."""
    listed = {function for function, _ in known}
    folder = checkout / "grader" / "cubital" / room
    sources = {path: path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.py"))}
    names = [
        (f"{'.'.join(path.relative_to(folder.parent).with_suffix('').parts)}:{name}", path, name)
        for path, source in sources.items()
        for name, node in functions(source)
        if body_lines(node) >= LEAST_LINES
    ]
    taken: list[tuple[str, list[Mutant]]] = []
    for function, path, name in sorted(
        names, key=lambda row: (row[0] not in listed, rank(seed, row[0]))
    ):
        found = mutants_of(sources[path], name)
        changed = {mutant.line for mutant in found}
        if len(found) >= LEAST_MUTANTS and len(changed) >= LEAST_LINES_CHANGED:
            old = [one for one in found if (function, one) in known]
            new = sorted(set(found) - set(old), key=lambda one: rank(seed, function, *one))
            taken.append((function, chosen(new, MUTANTS_A_FUNCTION, old)))
        if len(taken) == FUNCTIONS_A_ROOM:
            break
    return taken


def main(arguments: Sequence[str] | None = None) -> int:
    """Run, record or draw; return 0 if every mutant is killed, or equivalent with its reason."""
    parser = argparse.ArgumentParser(description="Mutants of the course's functions.")
    what = parser.add_mutually_exclusive_group()
    for name in ("sample", "record", "draw"):
        what.add_argument(f"--{name}", action="store_true")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--only", default="", help="words of the functions to run")
    options = parser.parse_args(arguments)
    seed, rows = read_table(TABLE)
    if options.draw:
        TABLE.write_text(written_table(seed, drawn(seed, rows)), encoding="utf-8")
        return 0
    chosen = [row for row in rows if row.sample or not options.sample]
    chosen = [row for row in chosen if options.only in row.function]
    try:
        verdicts = run(chosen, jobs=options.jobs, record=options.record)
    except TestsError as error:
        print(error, file=sys.stderr)
        return 1
    if options.record:
        killers = {one.row: one.by for one in verdicts if one.outcome == KILLED}
        rows = [replace(row, killed_by=killers.get(row, row.killed_by)) for row in rows]
        TABLE.write_text(written_table(seed, rows), encoding="utf-8")
    counts = dict.fromkeys((KILLED, EQUIVALENT, SURVIVED, NOT_EQUIVALENT, GONE), 0)
    for verdict in verdicts:
        counts[verdict.outcome] += 1
    print(", ".join(f"{number} {outcome}" for outcome, number in counts.items()))
    bad = [verdict for verdict in verdicts if verdict.outcome not in FINE]
    for verdict in bad:
        print(verdict.line(), file=sys.stderr)
    if bad or not verdicts:
        print("See the head of .ci/mutants.py for what to do.", file=sys.stderr)
    return 1 if bad or not verdicts else 0


if __name__ == "__main__":
    sys.exit(main())
