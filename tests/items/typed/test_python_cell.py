"""The one line in a learner's cell: found as the cell stands, or told what is in the way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital.handin.released.stubs import CODE_STUB
from cubital.items import UnreadableAnswerError
from cubital.items.typed.arithmetic import read_expression
from cubital.items.typed.python_cell import (
    LONGEST_CELL,
    NOT_WRITTEN,
    NotWrittenError,
    expression_in_cell,
)

NAMES = ("outer_mm", "vein_mm")
DEF = "def ratio(outer_mm, vein_mm):"


def found(cell: str) -> str:
    return expression_in_cell(cell, "ratio", NAMES)


def refusal(cell: str) -> str:
    with pytest.raises(UnreadableAnswerError) as told:
        found(cell)
    assert not isinstance(told.value, NotWrittenError)
    return str(told.value)


READ = {
    f"{DEF}\n    return outer_mm / vein_mm": "outer_mm / vein_mm",
    f"{DEF} return outer_mm/vein_mm": "outer_mm/vein_mm",
    f"{DEF}\n\treturn outer_mm / vein_mm\n\n": "outer_mm / vein_mm",
    f"{DEF}\r\n    return outer_mm / vein_mm\r\n": "outer_mm / vein_mm",
    f"# the ratio, größer → schlechter\n\n{DEF}  # leave\n\n    # here:\n    return outer_mm / "
    "vein_mm  # × 100 for %\n": "outer_mm / vein_mm",
    f'{DEF}\n    """Give the ratio: „Verhältnis“."""\n    return outer_mm / vein_mm': (
        "outer_mm / vein_mm"
    ),
    f"{DEF}\n    return (outer_mm\n            / vein_mm)": "(outer_mm\n            / vein_mm)",
    f"{DEF}\n    return outer_mm / \\\n        vein_mm": "outer_mm / \\\n        vein_mm",
    f"{DEF}\n    return(outer_mm) / vein_mm": "(outer_mm) / vein_mm",
    f"{DEF}\n    return (outer_mm  # catheter\n            / vein_mm)  # vein": (
        "(outer_mm  # catheter\n            / vein_mm)"
    ),
    "def ratio(outer_mm: float, vein_mm: float) -> float:\n    return outer_mm / vein_mm": (
        "outer_mm / vein_mm"
    ),
    "def ratio( outer_mm , vein_mm ) :\n  return outer_mm / vein_mm": "outer_mm / vein_mm",
    f"import math\nimport numpy as np\nfrom math import pi, sqrt\n{DEF}\n    import math\n"
    "    return math.sqrt(outer_mm**2 / vein_mm**2)": "math.sqrt(outer_mm**2 / vein_mm**2)",
    f"{DEF}\n    pass\n    return outer_mm / vein_mm": "outer_mm / vein_mm",
    f"{DEF}\n    return outer_mm / vein_mm\n\nprint(ratio(0.9, 3))\nratio(1.1, 3)": (
        "outer_mm / vein_mm"
    ),
    f"{DEF}\n    return outer": "outer",  # its words come from read_expression
}


@pytest.mark.parametrize("cell", READ)
def test_the_line_is_found_as_it_is_written(cell):
    assert found(cell) == READ[cell]


@pytest.mark.parametrize("cell", [cell for cell in READ if READ[cell] != "outer"])
def test_the_line_gives_what_the_cell_gives_when_it_is_run(cell):
    names: dict = {}
    exec(cell, names)
    inputs = {"outer_mm": 0.9, "vein_mm": 3.1}
    assert read_expression(found(cell), NAMES).value(inputs) == names["ratio"](**inputs)


@pytest.mark.parametrize(
    "cell",
    [
        f"{DEF}\n    {CODE_STUB}",
        f"{DEF}\n    {CODE_STUB}  # outer_mm / vein_mm",
        f'{DEF}\n    raise NotImplementedError("outer_mm / vein_mm")',
        f"{DEF}\n    raise NotImplementedError",
        f'{DEF}\n    """The ratio."""\n    {CODE_STUB}\n',
        f'{DEF}\n    """The ratio."""',
        f"{DEF}\n    pass",
        f"{DEF}\n    ...",
        "",
        "\n   \n",
    ],
)
def test_a_cell_with_no_line_yet_is_told_as_not_written(cell):
    with pytest.raises(NotWrittenError) as told:
        found(cell)
    assert str(told.value) == NOT_WRITTEN == "The line is not written yet."


WRITE_ALL = "is not taken. Write all of it in one line that begins with return"
FIRST_LINE = f"The first line of the function was changed. Write it again: {DEF}"
ONLY = f"The code holds the line “{DEF}” and one line with return under it, and nothing else."
REFUSED = {
    "outer_mm / vein_mm": f"The code has no line “{DEF}”. Write it again.",
    "# only a remark": f"The code has no line “{DEF}”.",
    f"{DEF}\n    r = outer_mm / vein_mm\n    return r": f"“r = outer_mm / vein_mm” {WRITE_ALL}",
    f"{DEF}\n    return r\n    r = 2": f"“r = 2” {WRITE_ALL}",
    f"{DEF}\n    vein_mm *= 2\n    return outer_mm / vein_mm": f"“vein_mm *= 2” {WRITE_ALL}",
    f"{DEF}\n    if vein_mm:\n        return outer_mm / vein_mm": f"“if vein_mm:” {WRITE_ALL}",
    f"{DEF}\n    for _ in '':\n        pass\n    return 1": f"“for _ in '':” {WRITE_ALL}",
    f"{DEF}\n    while True:\n        pass": f"“while True:” {WRITE_ALL}",
    f"{DEF}\n    global pi\n    return pi": f"“global pi” {WRITE_ALL}",
    f"{DEF}\n    import os\n    return 1": f"“import os” {WRITE_ALL}",
    f"{DEF}\n    def ratio(a): return a\n    return 1": f"“def ratio(a): return a” {WRITE_ALL}",
    f"{DEF}\n    outer_mm / vein_mm": "“outer_mm / vein_mm” does not begin with return.",
    f"{DEF}\n    print(outer_mm / vein_mm)": "“print(outer_mm / vein_mm)” does not begin with",
    f"{DEF}\n    raise outer_mm / vein_mm": "“raise outer_mm / vein_mm” begins with raise. Write",
    f"{DEF}\n    {CODE_STUB}\n    return outer_mm / vein_mm": f"Delete the line “{CODE_STUB}”.",
    f"{DEF}\n    return outer_mm / vein_mm\n    {CODE_STUB}": f"Delete the line “{CODE_STUB}”.",
    f"{DEF}\n    return outer_mm / vein_mm\n    return 3": "There is more than one line with ret",
    f"{DEF}\n    return": "After return stands nothing. Write what gives the number.",
    f"{DEF}\n    return 1\n{DEF}\n    return 2": "“def ratio” stands in the code twice.",
    "ratio = lambda outer_mm, vein_mm: outer_mm / vein_mm": (
        f"“ratio = lambda outer_mm, vein_mm: outer_mm / vein_mm” is not taken. {ONLY}"
    ),
    f"{DEF}\n    return outer_mm / vein_mm\nratio = abs": f"“ratio = abs” is not taken. {ONLY}",
    f"def other(a):\n    return a\n{DEF}\n    return other(1)": "“def other(a):” is not taken.",
    f"async {DEF}\n    return 1": f"“async {DEF}” is not taken.",
    f"import os\n{DEF}\n    return 1": "“import os” is not taken.",
    f"import math as np\n{DEF}\n    return np.pi": "“import math as np” is not taken.",
    f"from math import pi as sqrt\n{DEF}\n    return 1": "“from math import pi as sqrt” is not",
    f"from math import *\n{DEF}\n    return 1": "“from math import *” is not taken.",
    f"from os import pi\n{DEF}\n    return 1": "“from os import pi” is not taken.",
    f"from . import pi\n{DEF}\n    return 1": "“from . import pi” is not taken.",
    "def ratio(vein_mm, outer_mm):\n    return outer_mm / vein_mm": FIRST_LINE,
    "def ratio(a, b):\n    return a / b": FIRST_LINE,
    "def ratio(outer_mm, vein_mm=3):\n    return outer_mm / vein_mm": FIRST_LINE,
    "def ratio(outer_mm, *, vein_mm):\n    return outer_mm / vein_mm": FIRST_LINE,
    "def ratio(outer_mm, vein_mm, *pi):\n    return outer_mm": FIRST_LINE,
    "def ratio(outer_mm, vein_mm, **pi):\n    return outer_mm": FIRST_LINE,
    "def ratio(outer_mm, vein_mm, /):\n    return outer_mm": FIRST_LINE,
    f"@abs\n{DEF}\n    return 1": FIRST_LINE,
    f"{DEF[:-1]}\n    return 1": f"“{DEF[:-1]}” is not Python. Leave the line with def as it was",
    f"%%time\n{DEF}\n    return 1": "“%%time” is not Python. Leave the line with def as it was",
    f"{DEF}\nreturn outer_mm / vein_mm": "The blanks before “return outer_mm / vein_mm” are wro",
    f"  {DEF}\n    return 1": f"The blanks before “{DEF}” are wrong.",
    f"{DEF}\n    '''x'''\n\treturn 1": "The blanks before “return 1” are wrong.",
    f"{DEF}\n    return outer_mm : vein_mm": "For divided by, type / instead of “:”.",
    f"{DEF}\n    return outer_mm = vein_mm": "Leave out “=” and what stands before it.",
    f"{DEF}\n    return 0.9 mm / 3 mm": "is not Python. “mm” after 0.9 is a unit",
    f"{DEF}\n    return (outer_mm / vein_mm": "is not Python. The parenthesis that opens",
    f"{DEF}\n    return outer_mm × vein_mm": "“×” cannot be read here. Type * instead.",
    f"{DEF}\n    return １ / vein_mm": "“１” (U+FF11) only looks like 1. Type 1 instead.",
    f"{DEF}\n    return 1 /\u00a0vein_mm": "A hidden character (U+00A0) stands in the line",
    f"{DEF}\n    return 1 \x00": "The code holds a character that is none",
    f"{DEF}\n    return 1  # \udc80": "The code holds a character that is none",
    f"{DEF}\n    return {'(' * 1000}1{')' * 1000}": "is not Python. Check its signs, names and",
    f"{DEF}\n    return {'-' * 3900}1": "The line is nested too deeply to be read.",
    f"{DEF}\n    return 1\n#{'x' * 1_000_000}": f"The code is longer than {LONGEST_CELL} charac",
}


@pytest.mark.parametrize("cell", REFUSED, ids=lambda cell: cell[:60])
def test_what_stands_in_the_way_is_said_with_what_to_do(cell, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    words = refusal(cell)
    assert REFUSED[cell] in words
    assert words.isprintable()
    assert len(words) < 300
    assert not list(tmp_path.iterdir())


def test_a_long_line_is_refused_when_it_is_read_as_an_expression():
    line = found(f"{DEF}\n    return {'1 + ' * 500}1")
    with pytest.raises(UnreadableAnswerError, match="longer than 300 characters"):
        read_expression(line, NAMES)


PIECES = [DEF, *"()[]:=\n\t'#@%\\×", "    ", "\n    ", "return ", "raise ", "import math", "ratio"]
PIECES += ["outer_mm", "/", "vein_mm", "lambda ", "1", "\n\n", "pass", "def ", '"""', "\x00"]


@given(st.one_of(st.text(), st.lists(st.sampled_from(PIECES), max_size=14).map("".join)))
def test_whatever_stands_in_a_cell_is_a_line_or_is_told_in_words_that_can_be_saved(cell):
    try:
        line = found(cell)
    except UnreadableAnswerError as error:
        words = str(error)
        assert words.endswith(".")
        assert words.isprintable()
        words.encode("utf-8")
    else:
        assert line
        assert line in cell
