"""Questions that a workspace does not ask: they are off in its ``bank.toml``."""

import re
import tomllib
from collections.abc import Iterable

from cubital import items
from cubital.handin.files import write_text
from cubital.handin.released.bank import FILE
from cubital.items.core import is_asked
from cubital.marking.cohort.course import Course
from cubital.marking.errors import CourseError

_HEAD = """\
# The core alone is asked: the questions below are off. Delete a question's two lines to ask it too.

"""


def ask_the_core_alone(course: Course) -> None:
    """Switch off all questions but those of the core and the optional ones.

    Raises
    ------
    CourseError
        The workspace has a ``bank.toml`` that says something else.
    """
    path = course.workspace / FILE
    listed = (item for worksheet in items.WORKSHEETS.values() for item in worksheet)
    wanted = _HEAD + without("", [item.id for item in listed if not is_asked(item)])
    if path.exists() and path.read_text(encoding="utf-8") != wanted:
        raise CourseError(
            f"{path} says already what is asked: to ask the core alone, move it away first"
        )
    write_text(path, wanted)


def without(bank: str, off: Iterable[str]) -> str:
    """Return the text of a ``bank.toml`` with these items switched off as well.

    >>> print(without("[items.a]\\npoints = 3\\n", ["a", "b"]))
    [items.a]
    off = true
    points = 3
    <BLANKLINE>
    [items.b]
    off = true
    <BLANKLINE>
    """
    told = tomllib.loads(bank).get("items", {})
    for item in off:
        if item not in told:
            bank = f"{bank.rstrip()}\n\n[items.{item}]\noff = true\n".lstrip()
        elif not told[item].get("off"):
            name = rf"[\"']?{re.escape(item)}[\"']?"
            head = re.compile(rf"^[ \t]*\[items\.{name}\].*$", re.MULTILINE)
            bank = head.sub(lambda found: f"{found[0]}\noff = true", bank, count=1)
    return bank
