"""A decorated function gets arguments that are checked by their names, and nothing else changes."""

import inspect

import numpy as np
import pytest

from cubital import calc, tables
from cubital.calc.shared.quantities import checked, single, single_whole
from cubital.calc.shared.units import Number

DECORATED = [
    function
    for function in (getattr(calc, name) for name in calc.__all__)
    if inspect.isroutine(function) and hasattr(function, "__wrapped__")
]


@checked
def got(
    vein_diameter_mm: Number, *, ratio: Number | None = None, word: str = "a", ph: Number = 7
) -> tuple:
    """Return the arguments as they came."""
    return vein_diameter_mm, ratio, word, ph


def message(call):
    with pytest.raises(ValueError) as caught:  # noqa: PT011 - the message is compared
        call()
    return str(caught.value)


def test_a_function_gets_floats_or_arrays():
    assert repr(got(3, ratio=1)) == "(3.0, 1.0, 'a', 7)"
    assert got([3, 4])[0].dtype == float
    assert repr(got(vein_diameter_mm=3)[0]) == "3.0"


@pytest.mark.parametrize("call", [lambda: got(0), lambda: got(vein_diameter_mm=0)])
def test_an_impossible_argument_is_named_whether_by_position_or_by_name(call):
    assert message(call) == "vein diameter is 0 mm: it must be from 0.1 to 30 mm"


def test_none_passes_only_where_the_annotation_allows_it():
    assert got(3, ratio=None)[1] is None
    assert message(lambda: got(None)).startswith("vein diameter is None, which is not a number")
    assert message(lambda: got(3, ph=None)).startswith("pH is None, which is not a number")


def test_of_two_impossible_arguments_the_first_of_the_signature_is_named():
    assert message(lambda: got(0, ph=99, ratio=9)).startswith("vein diameter")
    assert message(lambda: got(3, ph=99, ratio=9)).startswith("catheter-to-vein ratio")


def test_named_parameters_alone_are_checked_in_the_order_given():
    order = checked("ph", "ratio")(got.__wrapped__)
    assert message(lambda: order(0, ph=99, ratio=9)).startswith("pH")
    assert order(0)[0] == 0


def test_a_parameter_can_have_a_quantity_of_another_name():
    other = checked(ratio="vein_diameter_mm")(got.__wrapped__)
    assert (
        message(lambda: other(3, ratio=0)) == "vein diameter is 0 mm: it must be from 0.1 to 30 mm"
    )
    assert message(lambda: other(0, ratio=3)).startswith("vein diameter is 0")


def test_decorators_with_different_forms_stack():
    @checked("vein_diameter_mm", form=single)
    @checked("cores", form=single_whole)
    def both(vein_diameter_mm, *, cores):
        return vein_diameter_mm, cores

    assert repr(both(3, cores=2.0)) == "(3.0, 2)"
    assert "must be a single number" in message(lambda: both([3, 4], cores=1.5))
    assert "must be a whole number" in message(lambda: both(3, cores=1.5))


def test_signature_name_and_docstring_stay():
    assert inspect.signature(got) == inspect.signature(got.__wrapped__)
    assert (got.__name__, got.__doc__) == ("got", "Return the arguments as they came.")


def test_an_unknown_parameter_is_refused_where_the_function_is_defined():
    with pytest.raises(TypeError, match="got has no parameter depth, width"):
        checked("width", depth="vein_diameter_mm")(got.__wrapped__)


@pytest.mark.parametrize(
    "call",
    [
        got,
        lambda: got(3, 0.5),
        lambda: got(3, vein_diameter_mm=3),
        lambda: got(3, shoe_size=42),
    ],
    ids=["none", "too many", "twice", "unknown"],
)
def test_a_wrong_call_fails_as_without_the_decorator(call):
    with pytest.raises(TypeError):
        call()


def test_what_comes_back_is_not_touched():
    same = np.array([1, 2])
    assert checked(lambda ratio: same)(0.5) is same


@pytest.mark.parametrize("function", DECORATED, ids=lambda function: function.__name__)
def test_a_default_needs_no_check(function):
    limits = tables.limits()
    for name, parameter in inspect.signature(function).parameters.items():
        if name in limits and isinstance(parameter.default, int | float):
            assert limits[name].low <= parameter.default <= limits[name].high


def test_most_calculations_are_decorated():
    assert len(DECORATED) > 80
