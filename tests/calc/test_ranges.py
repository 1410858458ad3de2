"""Over the whole stated range every calculation is finite and not negative, and broadcasts."""

import inspect
from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc, tables

FUNCTIONS = [
    calc.french_size,
    calc.outer_diameter_mm,
    calc.catheter_to_vein_ratio,
    calc.smallest_vein_diameter_mm,
    calc.largest_outer_diameter_mm,
    calc.area_share,
    calc.water_viscosity_mpa_s,
    calc.water_density_kg_per_m3,
    calc.hydrostatic_pressure_pa,
    calc.poiseuille_flow_ml_per_min,
    calc.catheter_flow_ml_per_min,
    calc.reynolds_number,
    calc.entrance_length_mm,
    calc.flow_after_bore_change_ml_per_min,
    calc.annulus_flow_share,
    calc.drip_rate_per_min,
    calc.infusion_time_h,
    calc.infusion_rate_ml_per_h,
]
NAMED = [pytest.param(function, id=function.__name__) for function in FUNCTIONS]


def inputs(function):
    """Return a strategy for the arguments of a function, over their whole stated range."""
    limits = tables.limits()
    return st.fixed_dictionaries(
        {
            name: st.floats(limits[name].low, limits[name].high)
            for name in inspect.signature(function).parameters
        }
    )


def call(function, values):
    first, *_ = inspect.signature(function).parameters
    rest = {name: value for name, value in values.items() if name != first}
    return function(values[first], **rest)


@pytest.mark.parametrize("function", NAMED)
@given(st.data())
def test_a_result_is_a_finite_plain_float_and_not_negative(function, data):
    result = call(function, data.draw(inputs(function)))
    assert type(result) is float
    assert 0 <= result < np.inf


@pytest.mark.parametrize("function", NAMED)
@given(st.data())
def test_arrays_give_what_single_numbers_give(function, data):
    many = data.draw(st.lists(inputs(function), min_size=2, max_size=4))
    together = call(function, {name: np.array([row[name] for row in many]) for name in many[0]})
    assert together.shape == (len(many),)
    np.testing.assert_allclose(together, [call(function, row) for row in many], rtol=1e-12)


@pytest.mark.parametrize("function", NAMED)
def test_every_argument_is_checked(function):
    limits = tables.limits()
    names = list(inspect.signature(function).parameters)
    usual = {name: limits[name].usual_high for name in names}
    for name in names:
        for bad in (limits[name].high * 2 + 1, np.nan, "1", True):
            with pytest.raises(ValueError, match=limits[name].quantity):
                call(function, usual | {name: bad})


@pytest.mark.parametrize("share", [calc.area_share, calc.annulus_flow_share])
@given(st.floats(0, 1))
def test_a_share_is_at_most_one(share, ratio):
    assert share(ratio) <= 1


def test_a_row_and_a_column_make_a_table():
    flow = partial(calc.poiseuille_flow_ml_per_min, pressure_pa=9000, viscosity_mpa_s=1)
    assert flow(np.array([[0.5], [1.0]]), length_mm=np.array([20.0, 30.0, 40.0])).shape == (2, 3)
