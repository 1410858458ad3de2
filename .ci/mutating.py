"""The mutants of one function: the places where one small change is made, and the changed text.

The changes are operators of the library cosmic-ray, applied to the text of the function's body
alone, so that a mutant is found again wherever its function stands in the module.
"""

import ast
import hashlib
import textwrap
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator

# One change for each thing that can be changed, as a slip of the pen would have it.
OPERATORS = (
    *(
        f"ReplaceComparisonOperator_{pair}"
        for pair in (
            *("Lt_LtE", "LtE_Lt", "Gt_GtE", "GtE_Gt"),
            *("Eq_NotEq", "NotEq_Eq", "Is_IsNot", "IsNot_Is"),
        )
    ),
    *(
        f"ReplaceBinaryOperator_{pair}"
        for pair in ("Add_Sub", "Sub_Add", "Mul_Div", "Div_Mul", "FloorDiv_Mul", "Pow_Mul")
    ),
    *("ReplaceAndWithOr", "ReplaceOrWithAnd", "AddNot", "ReplaceUnaryOperator_Delete_Not"),
    *("ReplaceTrueWithFalse", "ReplaceFalseWithTrue", "ReplaceUnaryOperator_Delete_USub"),
    *("ReplaceBreakWithContinue", "ReplaceContinueWithBreak", "ZeroIterationForLoop"),
    "NumberReplacer",
)
ROUND = {
    *(f"ReplaceComparisonOperator_{pair}" for pair in ("Eq_NotEq", "NotEq_Eq", "Is_IsNot")),
    *("ReplaceComparisonOperator_IsNot_Is", "AddNot", "ReplaceUnaryOperator_Delete_Not"),
}
LEAST_LINES = 4  # of a function's body, without its docstring
LEAST_MUTANTS = 4  # fewer, or all in one line, and a function decides little
LEAST_LINES_CHANGED = 2
# A change of this operator does nothing but fail where paths are joined.
_ON_PATHS, _PATHS = "ReplaceBinaryOperator_Div_Mul", ("import Path", "import files")


class Mutant(NamedTuple):
    """One change: the operator, its n-th place in the function, and the line before and after."""

    operator: str
    place: int
    line: str
    becomes: str


class Gone(Exception):  # noqa: N818 - it says what became of a mutant, and is no error of Python's
    """The function, or the place in it, is no longer there."""


def functions(source: str) -> Iterator[tuple[str, ast.FunctionDef]]:
    """Yield the functions and methods of a module by their qualified names."""
    for node in ast.parse(source).body:
        if isinstance(node, ast.FunctionDef):
            yield node.name, node
        if isinstance(node, ast.ClassDef):
            for inner in node.body:
                if isinstance(inner, ast.FunctionDef):
                    yield f"{node.name}.{inner.name}", inner


def body_lines(function: ast.FunctionDef) -> int:
    """Return how many lines a function's body has without its docstring."""
    first, last = _body(function)
    return last - first


def mutants(source: str, name: str) -> list[Mutant]:
    """Return every mutant of one function, in the order of `OPERATORS` and places."""
    text = _text(source, name)
    found = []
    for operator in OPERATORS:
        if operator == _ON_PATHS and any(name in source for name in _PATHS):
            continue
        place = 0
        while (changed := _changed(text, operator, place)) is not None:
            before, after = _difference(text, changed)
            if before != after:
                found.append(Mutant(operator, place, before, after))
            place += 1
    return found


def mutated(source: str, name: str, mutant: Mutant) -> str:
    """Return the module's text with one change in one function.

    Raises
    ------
    Gone
        The module has no such function, the function no such place, or another line stands there.
    """
    text = _text(source, name)
    changed = _changed(text, mutant.operator, mutant.place)
    if changed is None:
        raise Gone(f"{mutant.operator} has no place {mutant.place} in it")
    before, after = _difference(text, changed)
    if (before, after) != (mutant.line, mutant.becomes):
        raise Gone(f"place {mutant.place} of {mutant.operator} is now “{before}”")
    first, last = _lines(source, name)
    lines = source.splitlines(keepends=True)
    indent = lines[first][: len(lines[first]) - len(lines[first].lstrip())]
    lines[first:last] = [textwrap.indent(changed, indent)]
    return "".join(lines)


def rank(*parts: object) -> str:
    """Return where a name comes in a draw: the same for a name whatever others there are."""
    return hashlib.sha256("\n".join(map(str, parts)).encode()).hexdigest()


def chosen(found: Iterable[Mutant], most: int, known: Iterable[Mutant] = ()) -> list[Mutant]:
    """Return known mutants and the first of others, those of lines that none changes yet first.

    Of those that turn a line's condition round, such as `!=` for `==` and `not`, one is enough.
    """
    taken = list(known)
    round_already = {one.line for one in taken if one.operator in ROUND}
    left = [one for one in found if one.line not in round_already or one.operator not in ROUND]
    while left and len(taken) < most:
        times = {mutant: sum(one.line == mutant.line for one in taken) for mutant in left}
        taken.append(min(left, key=times.__getitem__))
        left.remove(taken[-1])
        if taken[-1].operator in ROUND:
            left = [one for one in left if one.line != taken[-1].line or one.operator not in ROUND]
    return taken


def _body(function: ast.FunctionDef) -> tuple[int, int]:
    """Return the lines of a body without its docstring, from and to, counted from 0."""
    has_docstring = ast.get_docstring(function) is not None
    rest = function.body[1:] if has_docstring else function.body
    if not rest or rest[0].lineno == function.lineno:
        return 0, 0
    return rest[0].lineno - 1, rest[-1].end_lineno or rest[-1].lineno


def _lines(source: str, name: str) -> tuple[int, int]:
    node = dict(functions(source)).get(name)
    if node is None:
        raise Gone("there is no such function")
    return _body(node)


def _text(source: str, name: str) -> str:
    first, last = _lines(source, name)
    return textwrap.dedent("".join(source.splitlines(keepends=True)[first:last]))


def _changed(text: str, operator: str, place: int) -> str | None:
    return mutate_code(text, get_operator(f"core/{operator}")(), place)


def _difference(before: str, after: str) -> tuple[str, str]:
    """Return the first line that differs, before and after."""
    pairs = zip(before.splitlines(), after.splitlines(), strict=True)
    return next(((a.strip(), b.strip()) for a, b in pairs if a.strip() != b.strip()), ("", ""))
