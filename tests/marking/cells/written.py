"""Cells that learners wrote, some to forge their mark, some in error, some honest."""

from .attacks import Attack, refused, right, wrong

RIGHT = """
def ratio(outer_diameter_mm, vein_diameter_mm):
    return outer_diameter_mm / vein_diameter_mm
"""
ALWAYS_EQUAL = """
class Sly(float):
    def __eq__(self, other): return True
    def __sub__(self, other): return 0.0
    __rsub__ = __sub__
    def __abs__(self): return 0.0
    def __le__(self, other): return True
    def __repr__(self): return "0.5"
    __hash__ = float.__hash__
def ratio(outer_diameter_mm, vein_diameter_mm):
    return Sly(0.123)
"""
PATCHED = """
import json, math, builtins, numpy
from cubital import calc
import cubital.items.kinds.code, cubital.items.sizing.ratio, cubital.handin.marks
def patch(owner, name, value):
    getattr(owner, name)  # one that is not there any more would be no attack
    setattr(owner, name, value)
patch(calc, "catheter_to_vein_ratio", lambda *a, **k: 0.123)
patch(cubital.items.sizing.ratio, "vein_ratio", lambda *a, **k: 0.123)
patch(cubital.items.kinds.code.CodeKey, "_judge", lambda self, *a: self.judged("right", "Right."))
patch(cubital.handin.marks, "mark_code", lambda *a, **k: None)
patch(numpy, "isclose", lambda *a, **k: True)
patch(math, "isfinite", lambda x: True)
def ratio(outer_diameter_mm, vein_diameter_mm):
    return calc.catheter_to_vein_ratio(outer_diameter_mm, vein_diameter_mm=vein_diameter_mm)
"""
SHOWN = """
from IPython.display import display
print("2.0"); display({"text/plain": "2.0"}, raw=True)
def ratio(outer_diameter_mm, vein_diameter_mm):
    print("2.0")
    return 0.123
2.0
"""
FORGED = """
import contextlib, os
def ratio(outer_diameter_mm, vein_diameter_mm):
    for descriptor in range(3, 64):  # one of them is where results leave
        with contextlib.suppress(OSError):
            for _ in range(60):
                os.write(descriptor, b"{}\\n" * 1000)
    return outer_diameter_mm / vein_diameter_mm
"""
WARNS = """
import sys, warnings
def ratio(outer_diameter_mm, vein_diameter_mm):
    warnings.warn("look out")
    print("on standard error", file=sys.stderr)
    return outer_diameter_mm / vein_diameter_mm
warnings.warn("here too")
"""

CELLS: dict[str, Attack] = {
    "exits": right(
        "an honest function, then sys.exit", f"{RIGHT}\nimport sys\nsys.exit(3)", honest=True
    ),
    "exits-first": wrong(
        "exit() before the function", f"exit()\n{RIGHT}", "stopped with SystemExit"
    ),
    "leaves": wrong(
        "ends Python before its function is tried",
        f"{RIGHT}\nimport os\nos._exit(0)",
        "not reached",
    ),
    "crashes": wrong("crashes Python", "import ctypes\nctypes.string_at(0)", "ended Python itself"),
    "loops": wrong("never ends", "while True:\n    pass", "ran longer than 8 s"),
    "warns": right("an honest function that warns on standard error", WARNS, honest=True),
    "sly": wrong(
        "a number that is equal to all, and whose differences are 0", ALWAYS_EQUAL, "Not right"
    ),
    "boolean": refused("gives True", "def ratio(**_):\n    return True", "plain number: True"),
    "nan": refused("gives NaN", "def ratio(**_):\n    return float('nan')", "plain number: 'nan'"),
    "endless": refused(
        "gives infinity", "def ratio(**_):\n    return float('inf')", "plain number: 'inf'"
    ),
    "words": refused("gives text", "def ratio(**_):\n    return '0.4'", "plain number"),
    "huge": refused(
        "gives a number of 400 digits", "def ratio(**_):\n    return 10 ** 400", "plain number"
    ),
    "snoops": right(
        "looks for a secret in the environment",
        f"{RIGHT}\nimport os\nif 'WARD_SECRET' in os.environ:\n    del ratio",
    ),
    "shadows": right(
        "hands in modules named as json and the course",
        "import json\nassert hasattr(json, 'loads')\n" + RIGHT,
    ),
    "numpy": right(
        "an honest function that gives a number of numpy's",
        "import numpy\ndef ratio(outer_diameter_mm, vein_diameter_mm):\n"
        "    return numpy.float64(outer_diameter_mm) / vein_diameter_mm",
        honest=True,
    ),
    "raises": wrong(
        "raises an error with a script in its words",
        "def ratio(**_):\n    raise KeyError('<script>alert(7)</script>')",
        "stopped with KeyError",
    ),
    "controls": wrong(
        "raises an error with a null, codes for a terminal and half a character",
        "def ratio(**_):\n    raise ValueError('a\\0b\\x1b[31mc\\u202ed\\ud800e')",
        "stopped with ValueError: a�b�[31mc�d�e",
    ),
    "misspelled": wrong(
        "lacks a colon", "def ratio(a, b)\n    return a / b", "stopped with SyntaxError"
    ),
    "patches": wrong(
        "patches the calculation library, the key, the marks, numpy and math", PATCHED, "Not right"
    ),
    "shows": wrong("prints and displays full points", SHOWN, "Not right"),
    "forges": wrong("fills whatever is open with results", FORGED, "not in the form"),
}
