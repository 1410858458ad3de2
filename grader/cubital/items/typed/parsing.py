"""Read Python text as a syntax tree: nothing is run, and what is wrong is said in plain words."""

import ast
import re
import unicodedata
from collections.abc import Sequence

from cubital.items.typed.line_faults import fault_in_line
from cubital.items.typed.quantity import UnreadableAnswerError

# What is typed by hand or pasted from a text -> what Python reads.
LOOK_ALIKES = {
    "×": "*",
    "·": "*",
    "⋅": "*",
    "∙": "*",
    "∗": "*",
    "÷": "/",
    "∕": "/",
    "⁄": "/",
    "−": "-",
    "–": "-",
    "—": "-",
    "‐": "-",
    "‑": "-",
    "²": "**2",
    "³": "**3",
    "½": "0.5",
    "π": "pi",
    "√": "sqrt(...)",
    "،": ".",
    "٫": ".",
}
_LONGEST_SHOWN = 60
_CODE_POINT = re.compile(r"U\+([0-9A-F]{4,6})")
_RETURN = re.compile(r"\s*return\b")


def parse_expression(source: str, longest: int, names: Sequence[str] = ()) -> ast.expr:
    """Return the syntax tree of one expression; ``names`` are those that it may hold.

    Raises
    ------
    UnreadableAnswerError
        The text has more than ``longest`` characters, or it is not one expression of Python; the
        words say what to do.
    """
    _check_characters(source, longest, "The line")
    try:
        return ast.parse(source, mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        raise _refusal(error, source, names) from None


def parse_cell(source: str, longest: int) -> list[ast.stmt]:
    """Return the syntax trees of a cell's statements.

    Raises
    ------
    UnreadableAnswerError
        The text has more than ``longest`` characters, or it is not Python; the words say what to
        do.
    """
    _check_characters(source, longest, "The code")
    try:
        return ast.parse(source).body
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        raise _refusal(error, source) from None


def shown(text: str) -> str:
    """Return a learner's text for a message: on one line, printable and not too long."""
    line = "".join(sign if sign.isprintable() else "�" for sign in " ".join(text.split()))
    return line if len(line) <= _LONGEST_SHOWN else f"{line[:_LONGEST_SHOWN]} …"


def plain_instead(sign: str) -> str:
    """Say what to type in place of a character that Python does not read, or takes for another."""
    code_point = f"U+{ord(sign):04X}"
    if sign in LOOK_ALIKES:
        return f"“{sign}” cannot be read here. Type {LOOK_ALIKES[sign]} instead."
    if not sign.isprintable():
        return (
            f"A hidden character ({code_point}) stands in the line, as a text that was copied can "
            "hold. Type the line again."
        )
    plain = unicodedata.normalize("NFKC", sign)
    if sign.isdigit():
        plain = str(unicodedata.digit(sign))
    if plain.isascii() and plain.isprintable():
        return f"“{sign}” ({code_point}) only looks like {plain}. Type {plain} instead."
    return f"“{sign}” ({code_point}) cannot be read here. Type the line again in plain letters."


def _check_characters(source: str, longest: int, what: str) -> None:
    if len(source) > longest:
        raise UnreadableAnswerError(
            f"{what} is longer than {longest} characters. Write one short expression."
        )
    if any(sign == "\0" or unicodedata.category(sign) == "Cs" for sign in source):
        raise UnreadableAnswerError(
            f"{what} holds a character that is none: a null or half a character. Type it again."
        )


def _refusal(
    error: Exception, source: str, names: Sequence[str] | None = None
) -> UnreadableAnswerError:
    """Say in plain words why Python cannot read a line with ``names``, or without them a cell."""
    if not isinstance(error, SyntaxError):
        words = "The line is nested too deeply to be read. Write one short expression."
    elif named := _CODE_POINT.search(str(error.msg)):
        words = plain_instead(chr(int(named[1], 16)))
    elif names is None:
        words = _fault_in_cell(error, source)
    elif _RETURN.match(source):
        words = "Leave out “return”, which stands before the line."
    else:
        words = fault_in_line(source, names)
    return UnreadableAnswerError(
        "".join(sign if sign.isprintable() else "�" for sign in words)  # it quotes the line
    )


def _fault_in_cell(error: SyntaxError, source: str) -> str:
    lines = source.splitlines()
    number = error.lineno or 1
    line = lines[number - 1] if 0 < number <= len(lines) else ""
    if isinstance(error, IndentationError):
        return (
            f"The blanks before “{shown(line)}” are wrong. Put four blanks before the line with "
            "return, and none before def."
        )
    told = f"“{shown(line)}” is not Python"
    if not _RETURN.match(line):
        return (
            f"{told}. Leave the line with def as it was, and write one line with return under it."
        )
    return f"{told}. {fault_in_line(_RETURN.sub('', line), ())}"
