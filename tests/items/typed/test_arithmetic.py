"""One line of arithmetic: the same number as Python's own, and nothing but arithmetic."""

import math
import re
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cubital.items import UnreadableAnswerError
from cubital.items.typed.arithmetic import (
    BY_ZERO,
    DEEPEST,
    LONGEST_EXPRESSION,
    NO_ROOT,
    TOO_LARGE,
    read_expression,
)

NAMES = ("outer_mm", "vein_mm")
INPUTS = {"outer_mm": 0.9, "vein_mm": 3.0}


def read(source: str):
    return read_expression(source, NAMES)


def refusal(source: str) -> str:
    with pytest.raises(UnreadableAnswerError) as told:
        read(source).value(INPUTS)
    return str(told.value)


# ------------------------------------------------------------------ against Python's own eval


class Watched(float):
    """Python's own number, which raises where a result is no finite real number."""


def watched(number: Any) -> Watched:
    if isinstance(number, complex):
        raise ValueError("complex")
    if not math.isfinite(number):
        raise OverflowError
    return Watched(number)


def _watching(name: str) -> Any:
    return lambda *of: watched(getattr(float, name)(*of))


for _name in ("add", "sub", "mul", "truediv", "pow", "neg", "pos", "abs"):
    setattr(Watched, f"__{_name}__", _watching(f"__{_name}__"))


class Library:
    pi = Watched(math.pi)

    @staticmethod
    def sqrt(number: float) -> Watched:
        return watched(math.sqrt(number))


PYTHONS = {
    "abs": abs,
    "min": min,
    "max": max,
    "N": Watched,
    "math": Library,
    "np": Library,
    "pi": Library.pi,
    "sqrt": Library.sqrt,
    "round": lambda number, decimals=0: watched(round(float(number), decimals)),
} | {name: Watched(number) for name, number in INPUTS.items()}
PYTHONS_WORDS = {ZeroDivisionError: BY_ZERO, OverflowError: TOO_LARGE, ValueError: NO_ROOT}


def outcome(compute: Callable[[], float]) -> float | str:
    """Return the number, or the words for why there is none."""
    try:
        return compute()
    except UnreadableAnswerError as error:
        return str(error)
    except tuple(PYTHONS_WORDS) as error:
        return PYTHONS_WORDS[type(error)]


# N(...) watches a number that is typed; the learner's line is the same text without it.
LEAVES = st.one_of(
    st.integers(0, 400).map("N({})".format),
    st.floats(0.01, 400).map("N({:.3f})".format),
    st.sampled_from(["N(1e3)", "N(2.5e-2)", "N(.5)", "N(4.)", "N(1_000)"]),
    st.sampled_from([*NAMES, "pi", "math.pi", "np.pi"]),
)
ONE = ["-{0}", "+{0}", "({0})", "( -{0} )", "{0}**N(2)", "({0}) ** N(0.5)", "({0}) ** -N(1)"]
ONE += ["abs({0})", "round({0})", "round({0}, 2)", "sqrt({0})", "math.sqrt({0})", "np.sqrt({0})"]
TWO = ["{0} + {1}", "{0}-{1}", "{0} * {1}", "{0}/{1}", "{0} ** {1}", "({0} - {1})", "({0} / {1})"]
TWO += ["min({0}, {1})", "max({0}, {1}, N(1)/N(3))", "({0}\n  + {1})", "({0} # why\n  * {1})"]


def _extended(parts: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.one_of(
        st.builds(str.format, st.sampled_from(ONE), parts),
        st.builds(str.format, st.sampled_from(TWO), parts, parts),
    )


@given(st.recursive(LEAVES, _extended, max_leaves=9))
def test_the_line_gives_what_python_gives_or_says_why_it_gives_no_number(watched_line):
    typed = re.sub(r"N\((.*?)\)", r"\1", watched_line)
    assume(len(typed) <= LONGEST_EXPRESSION)
    by_python = outcome(lambda: eval(watched_line, {"__builtins__": {}}, PYTHONS))
    assert outcome(lambda: read(typed).value(INPUTS)) == by_python


@given(st.floats(0.1, 10), st.floats(0.1, 10))
def test_the_line_is_computed_on_the_inputs_that_are_given(outer, vein):
    line = read("4 * outer_mm / (pi * vein_mm ** 2)")
    inputs = {"outer_mm": outer, "vein_mm": vein}
    assert line.value(inputs) == 4 * outer / (math.pi * vein**2)


@pytest.mark.parametrize("line", ["round(0.5)", "round(2.5)", "round(-3.5)", "round(0.125, 2)"])
def test_a_half_is_rounded_to_the_even_neighbour_as_python_rounds_it(line):
    assert read(line).value(INPUTS) == eval(line)


def test_two_ways_of_writing_one_sum_are_kept_as_written():
    assert read(" outer_mm/vein_mm ").source == "outer_mm/vein_mm"
    assert read("(outer_mm) / vein_mm").source == "(outer_mm) / vein_mm"


# --------------------------------------------------------------------- what is no arithmetic

NAMED = "The names that stand for numbers are outer_mm and vein_mm."
TAKEN = "Write it with outer_mm, vein_mm, numbers, + - * / **, parentheses, pi, sqrt, abs, min, max"
LONG = f"The line is longer than {LONGEST_EXPRESSION} characters."
# What is written, and what must be said.
NOT_TAKEN = {
    "": "The line is empty.",
    " \n\t ": "The line is empty.",
    "outer": f"The name “outer” is not known here. Did you mean outer_mm? {NAMED}",
    "Outer_mm / vein_mm": "The name “Outer_mm” is not known here. Did you mean outer_mm?",
    "outer_mm / vien_mm": "The name “vien_mm” is not known here. Did you mean vein_mm?",
    "mm": f"The name “mm” is not known here. {NAMED}",  # both names hold it
    "depth / 2": f"The name “depth” is not known here. {NAMED}",
    "sqr(outer_mm)": "“sqr(outer_mm)” is not taken here.",
    "sqrt": "After “sqrt” stands nothing in parentheses. Write sqrt(...).",
    "ratio(outer_mm, vein_mm)": f"“ratio(outer_mm, vein_mm)” is not taken here. {TAKEN}",
    "calc.catheter_to_vein_ratio(outer_mm, vein_diameter_mm=vein_mm)": "“calc.catheter_to_vein",
    "print(outer_mm)": "“print(outer_mm)” is not taken here.",
    "open('x', 'w')": "“open('x', 'w')” is not taken here.",
    "__import__('os').mkdir('x')": "“__import__('os').mkdir('x')” is not taken here.",
    "().__class__.__base__.__subclasses__()": "“().__class__.__base__.__subclasses__()” is not",
    "outer_mm.__class__": "“outer_mm.__class__” is not taken here.",
    "math.tau": "“math.tau” is not taken here.",
    "math.pi.real": "“math.pi.real” is not taken here.",
    "math . sqrt(4)": "“math . sqrt(4)” is not taken here.",
    "getattr(math, 'pi')": "“getattr(math, 'pi')” is not taken here.",
    "abs.__call__(1)": "“abs.__call__(1)” is not taken here.",
    "(lambda: 1)()": "“(lambda: 1)()” is not taken here.",
    "lambda: outer_mm": "“lambda: outer_mm” is not taken here.",
    "[x for x in (1, 2)]": "“[x for x in (1, 2)]” is not taken here.",
    "max(x for x in (1, 2))": "“max(x for x in (1, 2))”: max takes two numbers or more.",
    "max([1, 2])": "“max([1, 2])”: max takes two numbers or more.",
    "max([1], [2])": "“[1]” is not taken here.",
    "(x := 2)": "“x := 2” is not taken here.",
    "f'{outer_mm}'": "“f'{outer_mm}'” is not taken here.",
    "'0.3'": "“'0.3'” is not taken here.",
    "b'3'": "“b'3'” is not taken here.",
    "None": "“None” is not taken here.",
    "True": "“True” is not taken here.",
    "...": "“...” is not taken here.",
    "2j": "“2j” is not taken here.",
    "not outer_mm": "“not outer_mm” is not taken here.",
    "~3": "“~3” is not taken here.",
    "outer_mm < vein_mm": "“outer_mm < vein_mm” is not taken here.",
    "outer_mm and vein_mm": "“outer_mm and vein_mm” is not taken here.",
    "1 if outer_mm else 2": "“1 if outer_mm else 2” is not taken here.",
    "outer_mm[0]": "“outer_mm[0]” is not taken here.",
    "outer_mm @ vein_mm": "A sign in “outer_mm @ vein_mm” is not taken here.",
    "1 << 99": "A sign in “1 << 99” is not taken here.",
    "outer_mm ^ 2": "“^” in “outer_mm ^ 2” does not mean power here. Type ** instead.",
    "45 % vein_mm": "“%” in “45 % vein_mm” does not mean per cent here. Multiply or",
    "outer_mm // vein_mm": "“//” in “outer_mm // vein_mm” drops what comes after",
    "0,5 * outer_mm": "“0,5” has a comma. Type a decimal point: 0.5.",
    "outer_mm, vein_mm": "“outer_mm, vein_mm” has a comma, which makes two numbers of it.",
    "outer_mm / 2,75 mm": "“2,75” has a comma. Type a decimal point: 2.75.",
    "outer_mm / ()": "Between “(” and “)” nothing stands.",
    "(outer_mm + ()": "Between “(” and “)” nothing stands.",
    "2(outer_mm)": "After “2” stands a parenthesis. Type * before it for times.",
    "outer_mm(vein_mm)": "After “outer_mm” stands a parenthesis. Type * before it",
    "(outer_mm + 1)(2)": "After “outer_mm + 1” stands a parenthesis. Type * before it",
    "pi(2)": "After “pi” stands a parenthesis.",
    "abs()": "“abs()”: abs takes one number.",
    "sqrt(1, 2)": "“sqrt(1, 2)”: sqrt takes one number.",
    "min(1)": "“min(1)”: min takes two numbers or more.",
    "max(1, 2, key=abs)": "“max(1, 2, key=abs)” has a sign “=” or “*” that is not taken",
    "min(*outer_mm)": "“min(*outer_mm)” has a sign “=” or “*” that is not taken",
    "round(1, 2, 3)": "“round(1, 2, 3)”: round takes one number.",
    "round(outer_mm, vein_mm)": "The decimals in round are “vein_mm”. Write a whole number",
    "round(outer_mm, 2.0)": "The decimals in round are “2.0”.",
    "round(outer_mm, True)": "The decimals in round are “True”.",
    "round(outer_mm, 16)": "The decimals in round are “16”. Write a whole number up to 15",
    "return outer_mm / vein_mm": "Leave out “return”, which stands before the line.",
    "outer_mm : vein_mm": "For divided by, type / instead of “:”.",
    "ratio = outer_mm / vein_mm": "Leave out “=” and what stands before it.",
    "import os": "“import” is not taken here: leave it out",
    "outer_mm; vein_mm": "Leave out “;”. Of signs, only + - * / ** and parentheses are taken.",
    "[outer_mm / vein_mm": "Type ( for a parenthesis instead of “[”.",
    "45 % / vein_mm": "“%” after “45” does not mean per cent here. Leave it out, and",
    "100 * outer_mm %": "“%” after “outer_mm” does not mean per cent here.",
    "0.9 mm / 3 mm": "“mm” after 0.9 is a unit or a name. Leave units out: type 0.9 alone.",
    "outer_mm / 3mm": "“mm” after 3 is a unit or a name. Leave units out: type 3 alone.",
    "outer_mm / 3 in": "“in” after 3 is a unit or a name.",
    "outer_mm / vein_mm mm": "“mm” after vein_mm is a unit or a name. Leave units out.",
    "(outer_mm / vein_mm) mm": "“mm” after the parenthesis is a unit or a name. Leave units out.",
    "2outer_mm": "Between “2” and “outer_mm” a sign is missing. Type one of + - *",
    "outer_mm vein_mm": "Between “outer_mm” and “vein_mm” a sign is missing.",
    "(outer_mm) vein_mm": "Between “)” and “vein_mm” a sign is missing.",
    "1 + 2 3": "Between “2” and “3” a sign is missing.",
    "outer mm / vein_mm": "“outer mm” has a blank in it. The name is outer_mm.",
    "sqrt outer_mm": "After “sqrt” parentheses are missing. Type sqrt(outer_mm).",
    "outer_mm x vein_mm": "“x” between “outer_mm” and “vein_mm” does not mean times here. Type *",
    "2 X vein_mm": "“X” between “2” and “vein_mm” does not mean times here. Type * instead.",
    "2x3": "“x” between “2” and “3” does not mean times here. Type * instead.",
    "outer_mm /": "The line ends with “/”. Write a number or a name after it, or leave it out.",
    "/ vein_mm": "“/” stands at the start. Write a number or a name before it.",
    "outer_mm * / vein_mm": "“*” and “/” stand beside each other. Leave one of them out.",
    "outer_mm * * 2": "“*” stands twice with a blank between. Type ** for a power",
    "(* 2)": "After “(” stands “*”. Write a number or a name between them.",
    "(outer_mm -) / 2": "After “-” and before “)” a number or a name is missing.",
    "(outer_mm / vein_mm": "The parenthesis that opens before “outer_mm / vein_mm” is not closed.",
    "2 * (outer_mm / (vein_mm + 1)": "The parenthesis that opens before “outer_mm / (vein_mm + 1)”",
    "outer_mm + (": "The parenthesis that opens at the end of the line is not closed.",
    "outer_mm / vein_mm)": "The parenthesis that is closed after “outer_mm / vein_mm” was not open",
    "outer_mm × vein_mm": "“×” cannot be read here. Type * instead.",
    "outer_mm ÷ vein_mm": "“÷” cannot be read here. Type / instead.",
    "outer_mm − vein_mm": "“−” cannot be read here. Type - instead.",
    "vein_mm²": "“²” cannot be read here. Type **2 instead.",
    "π * 2": "“π” cannot be read here. Type pi instead.",
    "１ + 2": "“１” (U+FF11) only looks like 1. Type 1 instead.",
    "٣ + 2": "“٣” (U+0663) only looks like 3. Type 3 instead.",
    "2 + 𝟏": "“𝟏” (U+1D7CF) only looks like 1. Type 1 instead.",
    "ｖein_mm": "“ｖ” (U+FF56) only looks like v. Type v instead.",
    "оuter_mm": "“о” (U+043E) cannot be read here. Type the line again in plain letters.",
    "outer_mm\u00a0/ vein_mm": "A hidden character (U+00A0) stands in the line",
    "outer_mm / \u200bvein_mm": "A hidden character (U+200B) stands in the line",
    "1 + \x00 2": "The line holds a character that is none",
    "1 + '\ud800'": "The line holds a character that is none",
    "1e400": "“1e400” is too large a number.",
    "0x" + "f" * 290: "” is too large a number.",
    "9" * 5000: LONG,
    "1" + "0" * 309: LONG,
    "1 + " * 75 + "1": LONG,
    "x" * 1_000_000: LONG,
    "(" * 1000 + "1" + ")" * 1000: LONG,
    "-" * 299 + "1": f"The line has more than {DEEPEST} steps within each other.",
    "1" + "+1" * 60: f"The line has more than {DEEPEST} steps within each other.",
    "2**" * 90 + "2": f"The line has more than {DEEPEST} steps within each other.",
    "10**10**10": TOO_LARGE,
    "9**9**9**9**9": TOO_LARGE,
    "1e300 * 1e300": TOO_LARGE,
    "1 / (1e300 * 1e300)": TOO_LARGE,
    "1 / 0": BY_ZERO,
    "0 ** -1": BY_ZERO,
    "1 / (vein_mm - 3)": BY_ZERO,
    "sqrt(-outer_mm)": NO_ROOT,
    "(-8) ** (1/3)": NO_ROOT,
}


@pytest.mark.parametrize("source", NOT_TAKEN, ids=lambda source: source[:30])
def test_what_is_no_arithmetic_is_refused_and_nothing_is_done(source, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    words = refusal(source)
    assert NOT_TAKEN[source] in words
    assert len(words) < 400
    assert not list(tmp_path.iterdir())


def test_a_number_of_many_figures_and_a_line_of_the_greatest_length_are_read():
    assert read("9" * LONGEST_EXPRESSION).value({}) == 1e300
    assert read("(" * 100 + "2" + ")" * 100).value({}) == 2
    assert read("1" + "+1" * (DEEPEST - 1)).value({}) == DEEPEST


PIECES = [*NAMES, *"()[]{},-/ \n:='.×２\\#_", "1", "2.5", "1e999", "**", "math", "sqrt", "round"]
PIECES += ["lambda ", "for ", "if "]


@given(st.one_of(st.text(), st.lists(st.sampled_from(PIECES), max_size=12).map("".join)))
def test_whatever_is_written_is_a_number_or_is_told_in_words_that_can_be_saved(source):
    try:
        number = read(source).value(INPUTS)
    except UnreadableAnswerError as error:
        words = str(error)
        assert words.endswith(".")
        assert words.isprintable()
        words.encode("utf-8")
    else:
        assert math.isfinite(number)
