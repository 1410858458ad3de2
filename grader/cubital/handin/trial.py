"""Try a learner's function on cases: plain numbers come out, or why there are none."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from cubital.items.typed.python_cell import NOT_WRITTEN

Function = Callable[..., Any]
# Set where the course's own marking runs cells: takes each question, with its function if it has
# one. Then nothing is shown or marked there.
taker: Callable[[str, Function | None], None] | None = None

# A run as nbgrader's own marking leaves it in the output of a grade cell.
RUN_TYPE = "application/vnd.cubital.run+json"

NOT_REACHED = "The code with the function was not reached."
STOPPED = "The code stopped with"
LONGEST_TEXT = 300  # characters of an error or of a result that is no number


@dataclass(frozen=True)
class CodeRun:
    """What a learner's function gave on the cases it was tried on, or why it gave nothing."""

    results: Sequence[Any] = ()
    error: str = ""


def try_function(function: Function | None, cases: list[dict[str, Any]]) -> CodeRun:
    """Call a learner's function on each case, in this process."""
    if not callable(function):
        return CodeRun(error="The code does not hold a function any more.")
    results = []
    for case in cases:
        try:
            results.append(_as_plain(function(**case)))
        except NotImplementedError:
            return CodeRun(error=NOT_WRITTEN)
        except Exception as error:  # whatever a learner's line may raise
            text = f"The function stopped with {type(error).__name__}: {error}"
            return CodeRun(error=text[:LONGEST_TEXT])
    return CodeRun(results)


def _as_plain(value: Any) -> Any:
    """Turn numpy's numbers into Python's; leave all else for the marker to refuse."""
    number = value.item() if hasattr(value, "item") and not isinstance(value, str) else value
    return number if isinstance(number, bool | int | float) else repr(number)[:LONGEST_TEXT]


def run_as_data(item_id: str, run: CodeRun) -> dict[str, Any]:
    """Return a run as the plain data in which it leaves the process that ran it."""
    return {"item": item_id, "results": list(run.results), "error": run.error}


def read_run(data: Any, item_id: str, cases: int) -> CodeRun | None:
    """Return a run that another process left, or None if the data has not its form.

    A number that is not finite comes as words, for the marker to refuse.
    """
    taken = (
        isinstance(data, dict)
        and data.keys() == {"item", "results", "error"}
        and data["item"] == item_id
        and isinstance(data["error"], str)
        and len(data["error"]) <= LONGEST_TEXT
        and isinstance(data["results"], list)
        and len(data["results"]) == (0 if data["error"] else cases)
        and all(isinstance(value, bool | int | float | str) for value in data["results"])
    )
    if not taken:
        return None
    return CodeRun([_number(value) for value in data["results"]], whole(data["error"]))


def _number(value: Any) -> Any:
    try:
        finite = not isinstance(value, str) and math.isfinite(value)
    except OverflowError:
        finite = False
    return value if finite else whole(str(value)[:LONGEST_TEXT])


def whole(text: str) -> str:
    """Return words of a cell so that they can be written and shown wherever marks are.

    What is no letter, such as a null, half a character or a command to a terminal, becomes a sign;
    blanks and line ends stay.
    """
    return "".join(sign if sign.isprintable() or sign.isspace() else "�" for sign in text)
