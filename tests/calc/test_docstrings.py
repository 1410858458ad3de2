"""The docstrings of the public calculations are checked data."""

import doctest
import importlib
import inspect
import pkgutil
import re

import pytest

from cubital import calc, tables

FUNCTIONS = [getattr(calc, name) for name in calc.__all__ if inspect.isroutine(getattr(calc, name))]
MODULES = [found.name for found in pkgutil.walk_packages(calc.__path__, "cubital.calc.")]
HEADING = re.compile(r"^(\w+)\n-{3,}\n", re.MULTILINE)
UNIT = re.compile(r"\[([^\[\]]+)\]")
NUMBER = r"(-?\d+(?:\.\d+)?(?:e\d+)?)"
RANGE = re.compile(f"{NUMBER} to {NUMBER}")
# Symbols of the field: these quantities go into a medium, or stand in equations by their words.
OF_THE_FIELD = {"wavelength_nm", "scattering_per_mm", "anisotropy", "refractive_index"}
PAIRED_DATA = {"successes trials", "item_scores rest_scores"}


def sections(doc: str) -> dict[str, str]:
    """Split a cleaned docstring into its head and its named sections."""
    parts = HEADING.split(doc)
    return {"head": parts[0]} | dict(zip(parts[1::2], parts[2::2], strict=True))


def entries(section: str) -> dict[str, str]:
    """Return the descriptions of a Parameters or Returns section by their unindented line."""
    found = re.split(r"^(?=\S)", section, flags=re.MULTILINE)
    pairs = (entry.partition("\n")[::2] for entry in found if entry.strip())
    return {name.partition(" : ")[0].strip("* "): text for name, text in pairs}


def faults(doc: str, names: list[str], quantity: str = "") -> list[str]:
    """Say what a docstring of a function with these parameters lacks.

    A function that is named after a quantity returns it, and so has its unit.
    """
    part = sections(doc)
    lacking = [
        f"no section {name}"
        for name in ("Parameters", "Returns", "Notes", "Examples", "References")
        if not part.get(name, "").strip()
    ]
    if lacking:
        return lacking
    found = []
    summary = part["head"].split("\n\n")[0]
    if not re.fullmatch(r"[A-Z][^.]*\.", summary):
        found.append("the summary is not one sentence")
    if not re.search(r"`[^`]*(=|~|<=|>=|/)[^`]*`", part["head"] + part["Notes"]):
        found.append("no equation")
    described = entries(part["Parameters"])
    if list(described) != names:
        found.append(f"parameters {list(described)} are not those of the signature")
    limits = tables.limits()
    ranges = {(float(low), float(high)) for low, high in RANGE.findall(_flat(part["Notes"]))}
    for name, text in described.items():
        found += unit_faults(text, name, called=name)
        if name in limits and (limits[name].low, limits[name].high) not in ranges:
            found.append(f"the range of {name} is not stated")
    for text in entries(part["Returns"]).values():
        found += unit_faults(text, quantity, called="the return")
    if ">>> " not in part["Examples"]:
        found.append("no executed example")
    for key in re.split(r"[,\s]+", part["References"].strip()):
        if key not in tables.bibliography():
            found.append(f"unknown reference {key}")
    return found


def unit_faults(text: str, quantity: str, called: str) -> list[str]:
    """Say whether a description lacks its unit, or has another than its quantity."""
    unit, limit = UNIT.search(text), tables.limits().get(quantity)
    if unit is None:
        return [f"no [unit] on {called}"]
    if limit and unit[1] != (limit.unit or "-"):
        return [f"{called} is in {limit.unit}, not in {unit[1]}"]
    return []


def _flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__name__)
def test_a_public_docstring_is_complete(function):
    names = list(inspect.signature(function).parameters)
    assert faults(inspect.getdoc(function), names, function.__name__) == []


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__name__)
def test_arguments_after_the_first_go_by_name(function):
    positional = [
        name
        for name, parameter in inspect.signature(function).parameters.items()
        if parameter.kind is parameter.POSITIONAL_OR_KEYWORD
    ]
    is_pair = " ".join(positional) in PAIRED_DATA
    names_a_quantity = function is calc.check
    assert len(positional) <= 1 or is_pair or names_a_quantity


@pytest.mark.parametrize("module", MODULES)
def test_the_examples_run(module):
    result = doctest.testmod(importlib.import_module(module), report=False)
    is_drawer = hasattr(importlib.import_module(module), "__path__")
    expected = 0 if is_drawer or module == "cubital.calc.shared.units" else 1
    assert result.attempted >= expected
    assert result.failed == 0


GOOD = inspect.getdoc(calc.catheter_to_vein_ratio)


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("[mm]", "", "no [unit] on outer_diameter_mm"),
        ("[mm]", "[cm]", "outer_diameter_mm is in mm, not in cm"),
        ("[-]", "", "no [unit] on the return"),
        (">>>", "", "no executed example"),
        ("sharp-2021", "nobody-1900", "unknown reference nobody-1900"),
        ("sharp-2021", "", "no section References"),
        ("0.1 to 15", "0.1 to 16", "the range of outer_diameter_mm is not stated"),
        ("`ratio = outer diameter / vein diameter`", "", "no equation"),
        ("takes up.", "takes up", "the summary is not one sentence"),
    ],
)
def test_a_fault_in_a_docstring_is_found(old, new, fault):
    names = ["outer_diameter_mm", "vein_diameter_mm"]
    assert faults(GOOD, names) == []
    assert fault in faults(GOOD.replace(old, new), names)


def test_a_return_in_another_unit_than_its_quantity_is_found():
    doc, names = inspect.getdoc(calc.outer_diameter_mm), ["french"]
    assert faults(doc, names, "outer_diameter_mm") == []
    wrong = doc.replace("[mm]", "[cm]")
    assert faults(wrong, names, "outer_diameter_mm") == ["the return is in mm, not in cm"]


@pytest.mark.parametrize(
    "name",
    [name for name, row in tables.limits().items() if row.symbol and name not in OF_THE_FIELD],
)
def test_a_symbol_stands_in_an_equation_of_what_takes_or_returns_the_quantity(name):
    docs = [
        inspect.getdoc(function)
        for function in FUNCTIONS
        if name in {function.__name__, *inspect.signature(function).parameters}
    ]
    symbol = re.escape(tables.limits()[name].symbol)
    equations = " ".join(equation for doc in docs for equation in re.findall("`[^`]*`", doc))
    assert re.search(rf"(?<![\w']){symbol}(?![\w'])", equations)


def test_a_parameter_without_a_description_is_found():
    assert faults(GOOD, ["outer_diameter_mm", "vein_diameter_mm", "extra"]) != []
