"""One line of arithmetic as a learner writes it in Python: read as data, computed, never run.

The line is parsed to a syntax tree, and only what `TAKEN` names is taken over from it into a tree
of our own, which is computed on floats. So a line cannot do anything but compute a number.
"""

import ast
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from cubital.items.typed.line_faults import decimal_point, listed, nearest
from cubital.items.typed.parsing import parse_expression, plain_instead, shown
from cubital.items.typed.quantity import UnreadableAnswerError

LONGEST_EXPRESSION = 300  # characters
DEEPEST = 50  # steps within steps
MOST_DECIMALS = 15  # of round(x, decimals)
TAKEN = "numbers, + - * / **, parentheses, pi, sqrt, abs, min, max and round"
TOO_LARGE = "The line leads to a number that is too large to be computed."
BY_ZERO = "The line divides by zero."
NO_ROOT = "The line takes a root or a broken power of a negative number, which gives no number."

_PI = {"pi", "math.pi", "np.pi", "numpy.pi"}
_ROOTS = {"sqrt", "math.sqrt", "np.sqrt", "numpy.sqrt"}
_WORDS_FOR_SIGNS = {
    ast.BitXor: ("^", "does not mean power here. Type ** instead."),
    ast.Mod: ("%", "does not mean per cent here. Multiply or divide by 100 instead."),
    ast.FloorDiv: ("//", "drops what comes after the decimal point. Type / instead."),
}


@dataclass(frozen=True)
class _Number:
    number: float

    def value(self, inputs: Mapping[str, float]) -> float:
        return self.number


@dataclass(frozen=True)
class _Input:
    name: str

    def value(self, inputs: Mapping[str, float]) -> float:
        return float(inputs[self.name])


@dataclass(frozen=True)
class _Step:
    """One operation and what it is done to."""

    compute: Callable[..., object]
    of: "tuple[_Part, ...]"

    def value(self, inputs: Mapping[str, float]) -> float:
        try:
            number = self.compute(*(part.value(inputs) for part in self.of))
        except ZeroDivisionError:
            raise UnreadableAnswerError(BY_ZERO) from None
        except OverflowError:
            raise UnreadableAnswerError(TOO_LARGE) from None
        except ValueError as error:
            if isinstance(error, UnreadableAnswerError):
                raise
            raise UnreadableAnswerError(NO_ROOT) from None
        if not isinstance(number, float):  # a broken power of a negative number is complex
            raise UnreadableAnswerError(NO_ROOT)
        if not math.isfinite(number):
            raise UnreadableAnswerError(TOO_LARGE)
        return number


_Part: TypeAlias = _Number | _Input | _Step


@dataclass(frozen=True)
class Expression:
    """One line of arithmetic on named inputs, as it was written and as it is computed."""

    source: str
    _tree: _Part = field(repr=False)

    def value(self, inputs: Mapping[str, float]) -> float:
        """Return the number that the line gives.

        Parameters
        ----------
        inputs
            The number of each parameter by its name.

        Raises
        ------
        UnreadableAnswerError
            The line divides by zero with these inputs, takes the root of a negative number or
            leads to a number that is too large; the words say which.
        KeyError
            An input is missing.
        """
        return self._tree.value(inputs)


def read_expression(source: str, parameters: Sequence[str]) -> Expression:
    """Return the expression that ``source`` is.

    Parameters
    ----------
    source
        What the learner wrote, without ``return``: ``outer_diameter_mm / vein_diameter_mm``.
    parameters
        The names that stand for numbers in it.

    Raises
    ------
    UnreadableAnswerError
        Nothing is written, the text is too long or not one expression, or it holds something
        else than `TAKEN`; the words say what stands there and what to do.
    """
    if not source.strip():
        raise UnreadableAnswerError("The line is empty. Write what gives the number.")
    text = source.strip()
    tree = parse_expression(text, LONGEST_EXPRESSION, parameters)
    return Expression(text, _Reader(text, tuple(parameters)).part(tree, 1))


@dataclass(frozen=True)
class _Reader:
    """Takes an expression over from Python's syntax tree, part by part."""

    text: str
    parameters: tuple[str, ...]

    def part(self, node: ast.expr, depth: int) -> _Part:
        if depth > DEEPEST:
            raise UnreadableAnswerError(
                f"The line has more than {DEEPEST} steps within each other. Write it shorter."
            )
        match node:
            case ast.Constant():
                return _Number(self._number(node))
            case ast.Name():
                return self._named(node)
            case ast.Attribute() if self._segment(node) in _PI:
                return _Number(math.pi)
            case ast.UnaryOp(op=ast.USub() | ast.UAdd() as sign):
                compute = _minus if isinstance(sign, ast.USub) else _plus
                return _Step(compute, (self.part(node.operand, depth + 1),))
            case ast.BinOp():
                compute_two = self._operation(node)
                sides = (self.part(side, depth + 1) for side in (node.left, node.right))
                return _Step(compute_two, tuple(sides))
            case ast.Call():
                return self._called(node, depth)
            case ast.Tuple():
                raise self._several(node)
        raise self._not_taken(node)

    def _several(self, node: ast.Tuple) -> UnreadableAnswerError:
        if not node.elts:
            return UnreadableAnswerError(
                "Between “(” and “)” nothing stands. Write a number there."
            )
        return UnreadableAnswerError(
            decimal_point(self._segment(node))
            or f"“{self._shown(node)}” has a comma, which makes two numbers of it. Write one."
        )

    def _number(self, node: ast.Constant) -> float:
        if isinstance(node.value, bool) or not isinstance(node.value, int | float):
            raise self._not_taken(node)
        try:
            number = float(node.value)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            raise UnreadableAnswerError(f"“{self._shown(node)}” is too large a number.")
        return number

    def _named(self, node: ast.Name) -> _Part:
        written = self._segment(node)
        if odd := next((sign for sign in written if not sign.isascii()), None):
            raise UnreadableAnswerError(plain_instead(odd))
        if written in self.parameters:
            return _Input(written)
        if written in _PI:
            return _Number(math.pi)
        if written in {*_FUNCTIONS, *_ROOTS}:
            raise UnreadableAnswerError(
                f"After “{written}” stands nothing in parentheses. Write {written}(...)."
            )
        near = nearest(written, (*self.parameters, *_FUNCTIONS, "sqrt", "pi"))
        meant = f" Did you mean {near}?" if near else ""
        raise UnreadableAnswerError(
            f"The name “{shown(written)}” is not known here.{meant} The names that stand for "
            f"numbers are {listed(self.parameters)}."
        )

    def _operation(self, node: ast.BinOp) -> Callable[..., object]:
        compute = _OPERATIONS.get(type(node.op))
        if compute is None:
            sign, words = _WORDS_FOR_SIGNS.get(type(node.op), ("", ""))
            raise UnreadableAnswerError(
                f"“{sign}” in “{self._shown(node)}” {words}"
                if sign
                else f"A sign in “{self._shown(node)}” is not taken here. {self._taken()}"
            )
        return compute

    def _called(self, node: ast.Call, depth: int) -> _Part:
        name = self._segment(node.func)
        if isinstance(node.func, ast.Constant | ast.BinOp) or name in {*self.parameters, *_PI}:
            raise UnreadableAnswerError(
                f"After “{shown(name)}” stands a parenthesis. Type * before it for times."
            )
        if name not in _FUNCTIONS and name not in _ROOTS:
            raise self._not_taken(node)
        if node.keywords or any(isinstance(one, ast.Starred) for one in node.args):
            raise UnreadableAnswerError(
                f"“{self._shown(node)}” has a sign “=” or “*” that is not taken in parentheses. "
                "Write only the numbers there, with commas between them."
            )
        count = len(node.args)
        if name == "round" and count == 2:
            compute = _rounding(self._decimals(node.args[1]))
            return _Step(compute, (self.part(node.args[0], depth + 1),))
        if count < 2 if name in {"min", "max"} else count != 1:
            wanted = "two numbers or more" if name in {"min", "max"} else "one number"
            raise UnreadableAnswerError(f"“{self._shown(node)}”: {name} takes {wanted}.")
        parts = tuple(self.part(one, depth + 1) for one in node.args)
        return _Step(_FUNCTIONS.get(name, math.sqrt), parts)

    def _decimals(self, node: ast.expr) -> int:
        if (
            isinstance(node, ast.Constant)
            and type(node.value) is int
            and node.value <= MOST_DECIMALS
        ):
            return node.value
        raise UnreadableAnswerError(
            f"The decimals in round are “{self._shown(node)}”. Write a whole number up to "
            f"{MOST_DECIMALS}, as in round(x, 2)."
        )

    def _not_taken(self, node: ast.expr) -> UnreadableAnswerError:
        return UnreadableAnswerError(f"“{self._shown(node)}” is not taken here. {self._taken()}")

    def _taken(self) -> str:
        return f"Write it with {', '.join(self.parameters)}, {TAKEN}."

    def _segment(self, node: ast.expr) -> str:
        return ast.get_source_segment(self.text, node) or ""

    def _shown(self, node: ast.expr) -> str:
        return shown(self._segment(node))


def _plus(number: float) -> float:
    return number


def _minus(number: float) -> float:
    return -number


def _rounding(decimals: int) -> Callable[[float], float]:
    return lambda number: round(number, decimals)


_OPERATIONS: dict[type[ast.operator], Callable[..., object]] = {
    ast.Add: lambda a, b: a + b,
    ast.Sub: lambda a, b: a - b,
    ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b,
    ast.Pow: lambda a, b: a**b,
}
_FUNCTIONS: dict[str, Callable[..., object]] = {
    "abs": abs,
    "min": min,
    "max": max,
    "round": _rounding(0),
}
