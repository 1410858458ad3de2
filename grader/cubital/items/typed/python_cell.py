"""Find the one line of arithmetic in a learner's cell of Python, as the cell stands."""

import ast
from collections.abc import Sequence

from cubital.items.typed.parsing import parse_cell, shown
from cubital.items.typed.quantity import UnreadableAnswerError

LONGEST_CELL = 4000  # characters
NOT_WRITTEN = "The line is not written yet."
# What may be imported above or in the function: the names that an expression takes, as themselves.
_IMPORTED: dict[str, tuple[str | None, ...]] = {"math": (None,), "numpy": (None, "np")}
_IMPORTED_FROM = {"pi", "sqrt"}


class NotWrittenError(UnreadableAnswerError):
    """The cell is as it was handed out, or nothing is written in it."""

    def __init__(self) -> None:
        super().__init__(NOT_WRITTEN)


def expression_in_cell(cell_source: str, function: str, parameters: Sequence[str]) -> str:
    """Return what stands after ``return`` in the learner's cell, as it is written there.

    Comments, texts in quotes and blank lines are passed over, and so are imports of `math` and
    `numpy` and lines outside the function that only try something, such as ``print(ratio(1, 2))``:
    none of them changes what the line gives.

    Parameters
    ----------
    cell_source
        The cell's whole text.
    function, parameters
        What the cell's line with ``def`` must name.

    Raises
    ------
    NotWrittenError
        The cell holds no line yet.
    UnreadableAnswerError
        The cell holds something else than the one function with the one line; the words say what
        stands there and what to do.
    """
    if not cell_source.strip():
        raise NotWrittenError
    first_line = f"def {function}({', '.join(parameters)}):"
    found = None
    for statement in parse_cell(cell_source, LONGEST_CELL):
        if isinstance(statement, ast.Expr) or _is_import(statement):
            continue
        if not isinstance(statement, ast.FunctionDef) or statement.name != function:
            raise _not_taken(cell_source, statement, first_line)
        if found:
            raise UnreadableAnswerError(
                f"“def {function}” stands in the code twice. Delete one of the two."
            )
        found = statement
    if found is None:
        raise UnreadableAnswerError(f"The code has no line “{first_line}”. Write it again.")
    if _parameters(found) != tuple(parameters) or found.decorator_list:
        raise UnreadableAnswerError(
            f"The first line of the function was changed. Write it again: {first_line}"
        )
    return _returned(cell_source, found)


def _is_import(statement: ast.stmt) -> bool:
    if isinstance(statement, ast.Import):
        return all(one.asname in _IMPORTED.get(one.name, ()) for one in statement.names)
    if isinstance(statement, ast.ImportFrom):
        return statement.module in _IMPORTED and all(
            one.name in _IMPORTED_FROM and one.asname is None for one in statement.names
        )
    return False


def _parameters(function: ast.FunctionDef) -> tuple[str, ...] | None:
    """Return a function's parameters if they are plain names."""
    taken = function.args
    others = (taken.posonlyargs, taken.kwonlyargs, taken.defaults, taken.vararg, taken.kwarg)
    return None if any(others) else tuple(one.arg for one in taken.args)


def _returned(source: str, function: ast.FunctionDef) -> str:
    """Return what stands after the one ``return`` of a function."""
    lines = [line for line in function.body if not (_says_nothing(line) or _is_import(line))]
    if not lines or all(_is_stub(line) for line in lines):
        raise NotWrittenError
    for line in lines:
        if _is_stub(line):
            raise UnreadableAnswerError(f"Delete the line “{_shown(source, line)}”.")
        if not isinstance(line, ast.Return):
            raise _not_a_return(source, line)
    if len(lines) > 1:
        raise UnreadableAnswerError("There is more than one line with return. Leave one of them.")
    written = (ast.get_source_segment(source, lines[0]) or "").removeprefix("return").strip()
    if not written:
        raise UnreadableAnswerError("After return stands nothing. Write what gives the number.")
    return written


def _says_nothing(statement: ast.stmt) -> bool:
    """Tell whether a statement is a text in quotes, an ellipsis or ``pass``."""
    if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant):
        return isinstance(statement.value.value, str) or statement.value.value is ...
    return isinstance(statement, ast.Pass)


def _is_stub(statement: ast.stmt) -> bool:
    if not isinstance(statement, ast.Raise):
        return False
    raised = statement.exc.func if isinstance(statement.exc, ast.Call) else statement.exc
    return isinstance(raised, ast.Name) and raised.id == "NotImplementedError"


def _not_a_return(source: str, statement: ast.stmt) -> UnreadableAnswerError:
    line = _shown(source, statement)
    if isinstance(statement, ast.Raise):
        return UnreadableAnswerError(f"“{line}” begins with raise. Write return in its place.")
    if isinstance(statement, ast.Expr):
        return UnreadableAnswerError(
            f"“{line}” does not begin with return. Write return and then what gives the number."
        )
    return UnreadableAnswerError(
        f"“{line}” is not taken. Write all of it in one line that begins with return, without "
        "names of your own."
    )


def _not_taken(source: str, statement: ast.stmt, first_line: str) -> UnreadableAnswerError:
    return UnreadableAnswerError(
        f"“{_shown(source, statement)}” is not taken. The code holds the line “{first_line}” and "
        "one line with return under it, and nothing else."
    )


def _shown(source: str, statement: ast.stmt) -> str:
    """Return a statement's first line for a message."""
    lines = (ast.get_source_segment(source, statement) or "").strip().splitlines()
    return shown(lines[0]) if lines else ""
