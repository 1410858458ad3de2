"""Impossible values raise with quantity, value, unit and range; implausible ones are remarked."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc, tables


@pytest.mark.parametrize(
    ("quantity", "value", "message"),
    [
        ("vein_diameter_mm", 0, "vein diameter is 0 mm: it must be from 0.1 to 30 mm"),
        ("vein_diameter_mm", -2.5, "vein diameter is -2.5 mm: it must be from 0.1 to 30 mm"),
        ("vein_diameter_mm", float("nan"), "vein diameter is nan mm: it must be from 0.1 to 30 mm"),
        ("vein_diameter_mm", float("inf"), "vein diameter is inf mm: it must be from 0.1 to 30 mm"),
        ("ratio", 1.5, "catheter-to-vein ratio is 1.5: it must be from 0 to 1"),
        (
            "vein_diameter_mm",
            30.000000001,
            "vein diameter is 30.000000001 mm: it must be from 0.1 to 30 mm",
        ),
        (
            "vein_diameter_mm",
            True,
            "vein diameter is True, which is not a number: it must be from 0.1 to 30 mm",
        ),
        (
            "vein_diameter_mm",
            "3",
            "vein diameter is '3', which is not a number: it must be from 0.1 to 30 mm",
        ),
    ],
)
def test_an_impossible_value_is_named_with_its_unit_and_range(quantity, value, message):
    with pytest.raises(ValueError) as caught:  # noqa: PT011 - the whole message is compared
        calc.check(quantity, value)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    "value",
    [None, [1.0, "2"], [1.0, True], np.array([True]), 1j, {}, [[1.0], [1.0, 2.0]], b"3", [None]],
    ids=repr,
)
def test_what_is_not_a_number_raises(value):
    with pytest.raises(ValueError, match="which is not a number"):
        calc.check("vein_diameter_mm", value)


def test_the_first_impossible_value_of_an_array_is_named():
    with pytest.raises(ValueError, match="vein diameter is 45 mm"):
        calc.check("vein_diameter_mm", np.array([3.0, 45.0, 99.0]))


def test_a_quantity_without_limits_raises():
    with pytest.raises(ValueError, match="no limits are known for the quantity 'shoe_size'"):
        calc.check("shoe_size", 42)


@pytest.mark.parametrize("value", [3, 3.0, np.float32(3), np.int64(3), np.array(3)])
def test_a_single_number_comes_back_as_a_plain_float(value):
    assert type(calc.check("vein_diameter_mm", value)) is float


@pytest.mark.parametrize("value", [[2, 3], (2.0, 3.0), np.array([2, 3])])
def test_several_numbers_come_back_as_an_array_of_floats(value):
    numbers = calc.check("vein_diameter_mm", value)
    assert isinstance(numbers, np.ndarray)
    assert numbers.dtype == float
    assert numbers.tolist() == [2.0, 3.0]


@given(st.sampled_from(sorted(tables.limits())), st.floats(allow_nan=True, allow_infinity=True))
def test_a_value_passes_exactly_when_it_lies_within_the_limits(quantity, value):
    limit = tables.limits()[quantity]
    if limit.low <= value <= limit.high:
        assert calc.check(quantity, value) == value
    else:
        with pytest.raises(ValueError, match=limit.quantity):
            calc.check(quantity, value)


def test_usual_values_pass_without_remark():
    assert calc.remarks(vein_diameter_mm=3.2, height_mm=900) == ()


def test_each_unusual_value_gets_one_remark():
    found = calc.remarks(
        vein_diameter_mm=12, outer_diameter_mm=0.3, height_mm=900, inner_diameter_mm=[0.8, 9.0]
    )
    assert [text.split(" is outside")[0] for text in found] == [
        "vein diameter 12 mm",
        "outer diameter 0.3 mm",
        "inner diameter 9 mm",
    ]


def test_an_impossible_value_raises_instead_of_a_remark():
    with pytest.raises(ValueError, match="it must be from"):
        calc.remarks(vein_diameter_mm=0)
