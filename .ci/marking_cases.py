"""Make the table of the cases that marking survives from what their tests see.

    .venv/bin/python .ci/marking_cases.py

It runs every test that takes the fixture ``recorder``, the long ones too, and writes what they
recorded to ``assets/docs/marking-cases.md``: for each case what is done, the state and points due,
those seen with the message, and the test; below them how many passes and fails were false. It ends
with 1 if a test fails or a mark is false. It takes some minutes, as root, since some cases are
marked by an account without rights too.
"""

import ast
import json
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import generated

CHECKOUT = Path(__file__).resolve().parents[1]
DOCS = CHECKOUT / "assets" / "docs"
PAGE = DOCS / "marking-cases.md"
COMMAND = ".venv/bin/python .ci/marking_cases.py"
PLACES = ("tests/marking", "tests/handin", "tests/records")
AT_ONCE = ("--numprocesses", "2", "--dist", "loadfile")
ROOT = "0"


@dataclass(frozen=True)
class Row:
    """One case: its test and what that saw, as each account that marked."""

    test: str
    accounts: tuple[str, ...]
    does: str
    due: Mapping[str, Any]
    seen: Mapping[str, Any]
    most: float | None
    honest: bool

    @property
    def false_pass(self) -> bool:
        """Whether there are points for work that is not there."""
        return (self.seen["points"] or 0) > (self.due["points"] or 0)

    @property
    def false_fail(self) -> bool:
        """Whether work that is there has fewer points than are due, or honest work no mark."""
        if self.due["points"] is None:
            return False
        seen = self.seen["points"]
        return self.honest if seen is None else seen < self.due["points"]


def main() -> int:
    """Run the tests and write the page."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "rows")
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", f"--cases={path}", *AT_ONCE, *PLACES],
            cwd=CHECKOUT,
            check=False,
        )
        rows = joined(json.loads(line) for line in path.read_text(encoding="utf-8").splitlines())
    PAGE.write_text(page(rows), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=DOCS)
    wrong = [row.test for row in rows if row.false_pass or row.false_fail]
    print(f"{len(rows)} cases; false marks: {', '.join(wrong) or 'none'}")
    return 1 if done.returncode or wrong else 0


def joined(lines: Iterable[Mapping[str, Any]]) -> list[Row]:
    """Return a row for each case; accounts that saw the same share one."""
    found: dict[str, Row] = {}
    for line in lines:
        who = ("root" if line["as"] == ROOT else "no rights",) if line["as"] else ()
        told = {key: line[key] for key in ("does", "due", "seen", "most", "honest")}
        row = Row(line["test"], who, **told)
        same = json.dumps([line["test"], told], sort_keys=True)
        before = found.get(same)
        found[same] = row if before is None else replace(before, accounts=before.accounts + who)
    return sorted(found.values(), key=lambda row: (row.test.partition("::")[0], row.test))


def collected() -> set[str]:
    """Return the cases that there are: the ids of their tests, whoever marks in them."""
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "--collect-only", "--cases=none", *PLACES],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
        check=True,
    )
    ids = (line for line in done.stdout.splitlines() if "::" in line)
    return {re.sub(r"\[\]$", "", re.sub(r"-?uid-\d+-?", "", one)) for one in ids}


def listed(text: str) -> set[str]:
    """Return the cases that a page lists."""
    found, file = set(), ""
    for line in text.splitlines():
        if heading := re.match(r"### `(.+)`", line):
            file = heading[1]
        elif test := re.search(r"\| `(test_.+)` \|$", line):
            found.add(f"{file}::{test[1]}")
    return found


def page(rows: Sequence[Row]) -> str:
    """Return the page."""
    parts = []
    for file in dict.fromkeys(row.test.partition("::")[0] for row in rows):
        mine = [row for row in rows if row.test.startswith(f"{file}::")]
        lines = "\n".join(map(line_of, mine))
        said = (ast.get_docstring(ast.parse((CHECKOUT / file).read_text("utf-8"))) or "").split(
            "\n\n"
        )
        told = said[0].replace("\n", " ")
        parts.append(f"### `{file}`\n\n{told}\n\n{HEAD}\n{lines}\n")
    return PAGE_TEXT.format(
        command=COMMAND,
        tables="\n".join(parts),
        cases=len({row.test for row in rows}),
        honest=len({row.test for row in rows if row.honest}),
        passes=sum(row.false_pass for row in rows),
        fails=sum(row.false_fail for row in rows),
    )


def line_of(row: Row) -> str:
    """Return a row of the table."""
    test = row.test.partition("::")[2]
    name = re.search(r"\[(.+)\]$", test)
    case = name[1] if name else "–"
    cells = (
        f"{case}{' (honest)' if row.honest else ''}",
        row.does,
        mark(row.due, row.most),
        mark(row.seen, row.most),
        row.seen["message"],
        ", ".join(sorted(set(row.accounts))) or "–",
    )
    return f"| {' | '.join(map(plain, cells))} | `{test}` |"


def mark(told: Mapping[str, Any], most: float | None) -> str:
    """Say a state with its points."""
    if told["points"] is None:
        return f"{told['state']}, no mark" if most is not None else told["state"]
    return f"{told['state']}, {told['points']:g}{'' if most is None else f' of {most:g}'}"


def plain(text: str) -> str:
    """Return text as it stands in a cell of a table, letter for letter."""
    return re.sub(r"([\\`*_<>|\[\]~&#$])", r"\\\1", text)


HEAD = """| case | what is done | due | seen | what was said | as | test |
|---|---|---|---|---|---|---|"""
PAGE_TEXT = """# Cases that marking was put to

Each row is a test that marked what it says and wrote down what came of it. *Due* is the state \
of the hand-in or of its question, and the points that the work in it is worth; *no mark* is not \
zero. *Seen* is what marking gave, and *what was said* its message, shortened. *As* names the \
accounts that marked, where more than whoever ran the tests did. In every run honest hand-ins are \
marked among the others.

A pass is false where there are points for work that is not in the hand-in. A fail is false where \
there are fewer points than the work is worth, or none for an honest hand-in.

{tables}
## Counts

| | |
|---|---|
| cases | {cases} |
| of them honest | {honest} |
| false passes | {passes} |
| false fails | {fails} |

Made by `{command}`.
"""


if __name__ == "__main__":
    sys.exit(main())
