"""Questions that a workspace does not ask: they are off in its ``bank.toml``."""

import json
import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from cubital import items
from cubital.handin.files import write_text
from cubital.handin.released.bank import FILE
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.items.core import is_asked
from cubital.marking.errors import CourseError

_HEAD = """\
# The core alone is asked: the questions below are off. Delete a question's two lines to ask it too.

"""


def check_core(workspace: Path) -> None:
    """Hold that a folder can ask the core alone: nothing in it says otherwise yet.

    Raises
    ------
    CourseError
        It has a ``bank.toml`` with something else, or worksheets that were released without one.
    """
    path = workspace / FILE
    if path.exists():
        if path.read_bytes().replace(b"\r\n", b"\n") != _wanted().encode():
            raise CourseError(
                f"{path} says already what is asked: to ask the core alone, move it away first"
            )
        return
    released = sorted(one.parent.name for one in workspace.glob(f"source/*/{RELEASE_FILE}"))
    if released:
        raise CourseError(
            f"{', '.join(released)} is released already with all questions: ask the core alone in "
            "a new folder"
        )


def ask_core(workspace: Path) -> None:
    """Switch off all questions of a workspace but those of the core and the optional ones."""
    write_text(workspace / FILE, _wanted())


def _wanted() -> str:
    listed = (item for worksheet in items.WORKSHEETS.values() for item in worksheet)
    return _HEAD + without("", [item.id for item in listed if not is_asked(item)])


def without(bank: str, off: Iterable[str]) -> str:
    """Return the text of a ``bank.toml`` with these items switched off as well.

    >>> print(without("[items]\\na = {points = 3} # ours\\n", ["a", "b"]), end="")
    [items.a]
    points = 3
    off = true
    <BLANKLINE>
    [items.b]
    off = true
    """
    told = tomllib.loads(bank)
    changes = told.setdefault("items", {})
    for item in off:
        changes.setdefault(item, {})["off"] = True
    shares = told.get("pass_share", {})
    tables = {f"items.{key}": change for key, change in changes.items()}
    return "\n".join(_table(*row) for row in (*tables.items(), ("pass_share", shares)) if row[1])


def _table(name: str, rows: Mapping[str, Any]) -> str:
    """Return a table of TOML whose values are numbers, words, true and false."""
    lines = (f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in rows.items())
    return "\n".join((f"[{name}]", *lines, ""))
