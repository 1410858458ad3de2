"""Veins, insertion, infusates and swelling over their whole stated range: finite, not negative."""

import inspect

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cubital import calc, tables

NAMES = {"wall": ["near", "centre", "far"], "skin": ["loose", "resting", "stretched"]}
FUNCTIONS = [
    calc.vein_velocity_mm_per_s,
    calc.vein_flow_from_velocity_ml_per_min,
    calc.velocity_between_valves_mm_per_s,
    calc.refill_volume_ml,
    calc.refill_time_s,
    calc.refill_front_mm,
    calc.distended_area_share,
    calc.distended_diameter_mm,
    calc.distension_progress,
    calc.tourniquet_pressure_mmhg,
    calc.vein_pressure_under_cuff_mmhg,
    calc.sideways_shift_mm,
    calc.depth_to_wall_mm,
    calc.track_length_mm,
    calc.length_in_vein_mm,
    calc.fraction_in_vein,
    calc.reach_along_needle,
    calc.eccentric_flow_share,
    calc.flow_left_share,
    calc.osmolarity_from_solute_mosm_per_l,
    calc.infusate_share,
    calc.diluted_osmolarity_mosm_per_l,
    calc.infiltrated_volume_ml,
    calc.swelling_diameter_mm,
    calc.swelling_length_share,
    calc.limb_volume_share,
    calc.girth_rise_mm,
    calc.haematoma_limit_ml,
    calc.haematoma_volume_ml,
]
NAMED = [pytest.param(function, id=function.__name__) for function in FUNCTIONS]


def arguments(function):
    """Return a strategy for all arguments, numbers over their whole stated range."""
    limits = tables.limits()
    return st.fixed_dictionaries(
        {
            name: st.floats(limits[name].low, limits[name].high)
            if name in limits
            else st.sampled_from(NAMES[name])
            for name in inspect.signature(function).parameters
        }
    )


def call(function, values):
    first, *_ = inspect.signature(function).parameters
    return function(values[first], **{k: v for k, v in values.items() if k != first})


def numbers_of(result):
    """Yield the numbers of a result, also of one that holds ranges."""
    if isinstance(result, tuple):
        for part in result:
            yield from numbers_of(part)
    else:
        yield result


@pytest.mark.parametrize("function", NAMED)
@settings(max_examples=50)
@given(st.data())
def test_a_result_is_finite_plain_and_not_negative(function, data):
    for number in numbers_of(call(function, data.draw(arguments(function)))):
        assert type(number) is float
        assert 0 <= number < np.inf


@pytest.mark.parametrize("function", NAMED)
@settings(max_examples=30)
@given(st.data())
def test_arrays_give_what_single_numbers_give(function, data):
    names = data.draw(st.fixed_dictionaries({k: st.sampled_from(v) for k, v in NAMES.items()}))
    rows = data.draw(st.lists(arguments(function), min_size=2, max_size=3))
    rows = [row | {k: v for k, v in names.items() if k in row} for row in rows]
    columns = {
        key: value if key in NAMES else np.array([row[key] for row in rows])
        for key, value in rows[0].items()
    }
    together = [*numbers_of(call(function, columns))]
    single = zip(*(numbers_of(call(function, row)) for row in rows), strict=True)
    for ours, theirs in zip(together, single, strict=True):
        np.testing.assert_allclose(ours, theirs, rtol=1e-9, atol=1e-13)


@pytest.mark.parametrize("function", NAMED)
def test_every_number_is_checked(function):
    limits = tables.limits()
    names = list(inspect.signature(function).parameters)
    usual = {k: limits[k].usual_high if k in limits else NAMES[k][0] for k in names}
    for name in names:
        if name in limits:
            for bad in (limits[name].high * 2 + 1, np.nan, np.inf, "1", True):
                with pytest.raises(ValueError, match=limits[name].quantity):
                    call(function, usual | {name: bad})
        else:
            with pytest.raises(ValueError, match=f"{name} is 'no such'"):
                call(function, usual | {name: "no such"})


@pytest.mark.parametrize("function", [calc.refill_time_s, calc.length_in_vein_mm])
def test_unequal_shapes_raise(function):
    names = list(inspect.signature(function).parameters)
    usual = {name: tables.limits()[name].usual_high for name in names}
    wrong = usual | {names[0]: np.array([20.0, 30.0]), names[1]: np.array([2.0, 3.0, 4.0])}
    with pytest.raises(ValueError, match="shape"):
        call(function, wrong)
