"""A learner's own function tried at once: on their own computer, in their own kernel."""

import contextlib
import io
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from types import FrameType
from typing import Any

from cubital.handin.trial import LONGEST_TEXT, STOPPED, CodeRun, try_function, whole
from cubital.items import UnreadableAnswerError
from cubital.items.kinds.code import CodeForm

MOST_LINES = 200_000  # run before a function is taken for one that does not end
_FILE = "<your function>"


class _TooLongError(BaseException):
    """The function has run through more lines than any that ends by itself."""


def tried(form: CodeForm, answer: Mapping[str, Any], cases: Sequence[dict[str, Any]]) -> CodeRun:
    """Run a saved function's text and call the function on each case."""
    names: dict[str, Any] = {"__name__": "__main__"}
    try:
        with _limited():
            exec(compile(form.source(answer), _FILE, "exec"), names)
            return try_function(names.get(form.function), list(cases))
    except UnreadableAnswerError as error:
        return CodeRun(error=str(error))
    except _TooLongError:
        return CodeRun(error=f"The function ran through {MOST_LINES} lines and did not end.")
    except (Exception, SystemExit) as error:
        return CodeRun(error=whole(f"{STOPPED} {type(error).__name__}: {error}"[:LONGEST_TEXT]))


def gives(run: CodeRun) -> str:
    """Say what a function gave on the learner's own values."""
    return run.error or f"On your values it gives {run.results[0]}."


@contextlib.contextmanager
def _limited() -> Iterator[None]:
    """Stop what runs through too many lines, and let it print nowhere."""
    left = MOST_LINES

    def trace(frame: FrameType, event: str, _arg: Any) -> Callable[..., Any] | None:
        nonlocal left
        if frame.f_code.co_filename != _FILE:
            return None
        left -= event == "line"
        if left < 0:
            raise _TooLongError
        return trace

    before = sys.gettrace()
    with contextlib.redirect_stdout(io.StringIO()):
        sys.settrace(trace)
        try:
            yield
        finally:
            sys.settrace(before)
