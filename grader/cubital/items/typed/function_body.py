"""The lines of a function that somebody types below its first line: read as text, not run."""

import ast
import textwrap
from collections.abc import Sequence

from cubital.items.typed.python_cell import LONGEST_CELL
from cubital.items.typed.quantity import UnreadableAnswerError


def first_line(function: str, parameters: Sequence[str]) -> str:
    """Return the line that a function begins with."""
    return f"def {function}({', '.join(parameters)}):"


def with_first_line(first: str, body: str) -> str:
    """Return a function as it stands in a cell."""
    return f"{first}\n{textwrap.indent(body, '    ')}"


def read_body(typed: str, first: str) -> str:
    """Return the lines of a function as they are kept: without blanks that stand before all.

    Raises
    ------
    UnreadableAnswerError
        Nothing is written, it is too long, the first line stands there once more, or the lines are
        no Python; the words say where.
    """
    body = textwrap.dedent(typed.replace("\r\n", "\n")).strip("\n").rstrip()
    if not body.strip():
        raise UnreadableAnswerError("Nothing is written yet.")
    if len(body) > LONGEST_CELL:
        raise UnreadableAnswerError(
            f"The text has {len(body)} characters; at most {LONGEST_CELL} are taken."
        )
    if body.lstrip().startswith(first.partition("(")[0] + "("):
        raise UnreadableAnswerError(
            f"The line “{first}” stands above the box. Leave it out here, and type what comes "
            "below it."
        )
    try:
        ast.parse(with_first_line(first, body))
    except SyntaxError as error:
        raise UnreadableAnswerError(_fault(error, body)) from None
    except (ValueError, RecursionError, MemoryError):
        raise UnreadableAnswerError("The text cannot be read as Python. Type it again.") from None
    return body


def _fault(error: SyntaxError, body: str) -> str:
    """Say in which of the typed lines a fault is, and which."""
    lines = body.splitlines()
    number = min(max((error.lineno or 2) - 1, 1), len(lines))
    line = " ".join(lines[number - 1].split())
    shown = "".join(sign if sign.isprintable() else "�" for sign in line[:60])
    return f"Line {number}, “{shown}”, is not valid Python: {error.msg}."
