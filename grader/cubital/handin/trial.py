"""Try a learner's function on cases: plain numbers come out, or why there are none."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

# Set by the course's own marking: a file with the cases to try, and one to add the results to.
CASES_VARIABLE = "CUBITAL_CASES"
RESULTS_VARIABLE = "CUBITAL_RESULTS"

NOT_WRITTEN = "The line is not written yet."
_LONGEST_ERROR = 300


@dataclass(frozen=True)
class CodeRun:
    """What a learner's function gave on the cases it was tried on, or why it gave nothing."""

    results: Sequence[Any] = ()
    error: str = ""


def try_function(function: Callable[..., Any] | None, cases: list[dict[str, Any]]) -> CodeRun:
    """Call a learner's function on each case, in this process."""
    if not callable(function):
        return CodeRun(error="The cell does not hold a function any more.")
    results = []
    for case in cases:
        try:
            results.append(_as_plain(function(**case)))
        except NotImplementedError:
            return CodeRun(error=NOT_WRITTEN)
        except Exception as error:  # whatever a learner's line may raise
            text = f"The function stopped with {type(error).__name__}: {error}"
            return CodeRun(error=text[:_LONGEST_ERROR])
    return CodeRun(results)


def _as_plain(value: Any) -> Any:
    """Turn numpy's numbers into Python's; leave all else for the marker to refuse."""
    number = value.item() if hasattr(value, "item") and not isinstance(value, str) else value
    return number if isinstance(number, bool | int | float) else repr(number)[:_LONGEST_ERROR]
