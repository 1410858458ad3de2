"""Say in plain words what keeps a typed line from being arithmetic, and where in the line it is."""

import difflib
import keyword
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

FUNCTIONS = ("sqrt", "abs", "min", "max", "round")
_TOKEN = re.compile(
    r"(?P<number>(?:\d[\d_]*\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)"
    r"|(?P<name>[^\W\d]\w*(?:\.[^\W\d]\w*)*)"
    r"|(?P<sign>\*\*|//|[-+*/^%])"
    r"|(?P<opened>\()|(?P<closed>\))|(?P<comma>,)|(?P<other>\S)"
)
_DECIMAL_COMMA = re.compile(r"(?<![\w.,])\d+,\d+(?![\w.,])")
_TIMES = re.compile(r"[xX](\d*)")
_SHOWN = 40  # characters beside a fault by which its place is found
_OTHER = {
    ":": "For divided by, type / instead of “:”.",
    "=": "Leave out “=” and what stands before it.",
    "[": "Type ( for a parenthesis instead of “[”.",
    "]": "Type ) for a parenthesis instead of “]”.",
    "{": "Type ( for a parenthesis instead of “{”.",
    "}": "Type ) for a parenthesis instead of “}”.",
}
_ANYTHING = "Check its signs, names and parentheses."


@dataclass(frozen=True)
class _Token:
    """A number, a name, a sign, a parenthesis or a comma of a line, and where it begins."""

    kind: str
    text: str
    at: int

    @property
    def shown(self) -> str:
        return _start(self.text)

    @property
    def ends_a_value(self) -> bool:
        return self.kind in {"number", "name", "closed"}

    @property
    def begins_a_value(self) -> bool:
        return self.kind in {"number", "name", "opened"}


def fault_in_line(line: str, names: Sequence[str]) -> str:
    """Return what is wrong with a line that is no arithmetic, where, and what to do.

    Parameters
    ----------
    line
        The line, of which Python says that it is no expression.
    names
        The names that stand for numbers in it.
    """
    tokens = [
        _Token(str(found.lastgroup), found[0], found.start()) for found in _TOKEN.finditer(line)
    ]
    faults = (
        _not_taken(tokens),
        _decimal_comma(line),
        _beside(tokens, names),
        _parentheses(tokens, line),
    )
    return next((words for one in faults for words in one), _ANYTHING)


def decimal_point(text: str) -> str:
    """Say of a text with a comma between two numbers what to type; empty if it has none."""
    found = _DECIMAL_COMMA.search(text)
    if found is None:
        return ""
    return f"“{found[0]}” has a comma. Type a decimal point: {found[0].replace(',', '.')}."


def nearest(written: str, names: Sequence[str]) -> str:
    """Return the known name that a written one is like; empty if that is none or several."""
    plain = {name.lower(): name for name in names}
    close = difflib.get_close_matches(written.lower(), plain, n=1, cutoff=0.7)
    if not close and len(written) > 1:
        close = [name for name in plain if written.lower() in name]
    return plain[close[0]] if len(close) == 1 else ""


def listed(names: Sequence[str]) -> str:
    """Return names as a sentence lists them."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _not_taken(tokens: Sequence[_Token]) -> Iterator[str]:
    """Yield the first sign that stands in no arithmetic, and the first word of Python's own."""
    for token in tokens:
        if token.kind == "other":
            plain = (
                f"Leave out “{token.text}”. Of signs, only + - * / ** and parentheses are taken."
            )
            yield _OTHER.get(token.text, plain)
    for before, token in pairwise(tokens):
        if token.text == "%" and before.ends_a_value:
            yield (
                f"“%” after “{before.shown}” does not mean per cent here. Leave it out, and divide "
                "by 100."
            )


def _decimal_comma(line: str) -> Iterator[str]:
    if words := decimal_point(line):
        yield words


def _beside(tokens: Sequence[_Token], names: Sequence[str]) -> Iterator[str]:
    """Yield where two parts stand beside each other that cannot, from left to right."""
    if tokens and _needs_left(tokens[0]):
        yield f"“{tokens[0].text}” stands at the start. Write a number or a name before it."
    known = {*names, *FUNCTIONS, "pi"}
    for place, (left, right) in enumerate(pairwise(tokens)):
        after = tokens[place + 2] if place + 2 < len(tokens) else None
        if left.ends_a_value and right.begins_a_value:
            if left.kind == "name" and right.kind == "opened" and left.text not in names:
                continue  # a function
            yield from _missing(left, right, after, known)
        elif left.kind in {"sign", "opened", "comma"} and _needs_left(right):
            yield _two_signs(left, right)
        elif left.kind == "sign" and right.kind in {"closed", "comma"}:
            yield f"After “{left.text}” and before “{right.text}” a number or a name is missing."
        elif left.kind == "opened" and right.kind == "closed":
            yield "Between “(” and “)” nothing stands. Write a number or a name there."
    if tokens and tokens[-1].kind == "sign":
        yield (
            f"The line ends with “{tokens[-1].text}”. Write a number or a name after it, or leave "
            "it out."
        )


def _needs_left(token: _Token) -> bool:
    return token.kind == "sign" and token.text not in "+-"


def _two_signs(left: _Token, right: _Token) -> str:
    if left.kind != "sign":
        return f"After “{left.text}” stands “{right.text}”. Write a number or a name between them."
    if left.text == right.text == "*":
        return "“*” stands twice with a blank between. Type ** for a power, and one * for times."
    return f"“{left.text}” and “{right.text}” stand beside each other. Leave one of them out."


def _missing(left: _Token, right: _Token, after: _Token | None, known: set[str]) -> Iterator[str]:
    """Yield what is wrong where a number, name or parenthesis follows upon another."""
    unknown = right.kind == "name" and right.text not in known
    if unknown and (times := _TIMES.fullmatch(right.text)):
        then = times[1] or (after.shown if after is not None else "…")
        yield (
            f"“{right.text[0]}” between “{left.shown}” and “{then}” does not mean times here. "
            "Type * instead."
        )
    for word in (left.text, right.text):
        if keyword.iskeyword(word) and not (word == "in" and left.kind == "number"):  # an inch
            yield f"“{word}” is not taken here: leave it out, and write arithmetic alone."
    if (joined := f"{left.text}_{right.text}") in known:
        yield f"“{left.text} {right.text}” has a blank in it. The name is {joined}."
    if unknown and (left.kind != "name" or left.text in known):
        where = "the parenthesis" if left.kind == "closed" else left.shown
        alone = f": type {left.shown} alone" if left.kind == "number" else ""
        yield f"“{right.shown}” after {where} is a unit or a name. Leave units out{alone}."
    if left.text in FUNCTIONS:
        yield f"After “{left.text}” parentheses are missing. Type {left.text}({right.shown})."
    yield (
        f"Between “{left.shown}” and “{right.shown}” a sign is missing. Type one of + - * / ** "
        "there: * for times, / for divided by."
    )


def _parentheses(tokens: Sequence[_Token], line: str) -> Iterator[str]:
    """Yield a parenthesis that is closed and not opened, or opened and not closed."""
    waiting: list[_Token] = []
    for token in tokens:
        if token.kind == "opened":
            waiting.append(token)
        elif token.kind == "closed" and not waiting:
            before = line[: token.at].rstrip()
            yield (
                f"The parenthesis that is closed after “{_end(before)}” was not opened. Type ( "
                "where it begins, or leave out this one."
            )
        elif token.kind == "closed":
            waiting.pop()
    for token in waiting:
        after = line[token.at + 1 :].strip()
        place = f"opens before “{_start(after)}”" if after else "opens at the end of the line"
        yield f"The parenthesis that {place} is not closed. Type ) where it ends."


def _start(text: str) -> str:
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN].rstrip()} …"


def _end(text: str) -> str:
    return text if len(text) <= _SHOWN else f"… {text[-_SHOWN:].lstrip()}"
