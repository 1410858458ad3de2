"""Read Python text as a syntax tree: nothing is run, and what is wrong is said in plain words."""

import ast
import re
import unicodedata

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
# What stands in a line that is not Python -> what to do, the first that is found.
_HINTS = (
    (re.compile(r":"), "For divided by, type / instead of “:”."),
    (re.compile(r"="), "Leave out “=” and what stands before it."),
    (re.compile(r"\b\d+,\d"), "Type a decimal point, as in 0.5."),
    (
        re.compile(r"(?:\b\d+\.?|\.\d+|\))\s*[^\W\d]"),
        "Leave out units, and type * for times between a number and a name.",
    ),
    (re.compile(r"[^\W\d]\w*\s+[\w.]"), "Between two names or numbers stands one of + - * / **."),
    (re.compile(r"[%;$€&!?]"), "Leave out all signs but + - * / ** and parentheses."),
)


def parse_expression(source: str, longest: int) -> ast.expr:
    """Return the syntax tree of one expression.

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
        raise _refusal(error, source, in_cell=False) from None


def parse_cell(source: str, longest: int) -> list[ast.stmt]:
    """Return the syntax trees of a cell's statements.

    Raises
    ------
    UnreadableAnswerError
        The text has more than ``longest`` characters, or it is not Python; the words say what to
        do.
    """
    _check_characters(source, longest, "The cell")
    try:
        return ast.parse(source).body
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        raise _refusal(error, source, in_cell=True) from None


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


def _refusal(error: Exception, source: str, *, in_cell: bool) -> UnreadableAnswerError:
    """Say in plain words why Python cannot read a text."""
    if not isinstance(error, SyntaxError):
        return UnreadableAnswerError(
            "The line is nested too deeply to be read. Write one short expression."
        )
    if named := _CODE_POINT.search(str(error.msg)):
        return UnreadableAnswerError(plain_instead(chr(int(named[1], 16))))
    lines = source.splitlines()
    number = error.lineno or 1
    line = lines[number - 1] if 0 < number <= len(lines) else ""
    if in_cell and isinstance(error, IndentationError):
        return UnreadableAnswerError(
            f"The blanks before “{shown(line)}” are wrong. Put four blanks before the line with "
            "return, and none before def."
        )
    told = f"“{shown(line)}” is not Python"
    if not in_cell and _RETURN.match(line):
        return UnreadableAnswerError(f"{told} here. Leave out return.")
    if in_cell and not _RETURN.match(line):
        return UnreadableAnswerError(
            f"{told}. Leave the line with def as it was, and write one line with return under it."
        )
    return UnreadableAnswerError(f"{told}. {_hint(_RETURN.sub('', line))}")


def _hint(text: str) -> str:
    """Say what may be wrong with a line that is no expression."""
    opened, closed = text.count("("), text.count(")")
    if opened > closed:
        return "A parenthesis is opened and not closed."
    if opened < closed:
        return "A parenthesis is closed and was not opened."
    for found, words in _HINTS:
        if found.search(text):
            return words
    return "Check its signs, names and parentheses."
