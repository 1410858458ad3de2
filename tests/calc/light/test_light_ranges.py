"""Light in tissue over its whole stated range: finite, not negative, and the same for arrays."""

import inspect

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cubital import calc, tables
from cubital.tables import light, readiness

NAMES = {
    ("table", "water_absorption_per_mm"): [*light.water()],
    ("table", None): ["bosschaart", "prahl"],  # over the whole range of wavelengths
    ("convention", None): [*light.melanin()],
    ("tissue_name", None): [k for k, row in light.scattering().items() if row.power_b],
    ("model", None): ["power"],
    ("guideline", None): [*readiness.retina_limits()],
}
FUNCTIONS = [
    calc.water_absorption_per_mm,
    calc.absorption_from_index_per_mm,
    calc.fat_absorption_per_mm,
    calc.melanosome_absorption_per_mm,
    calc.bloodless_skin_absorption_per_mm,
    calc.absorption_from_extinction_per_mm,
    calc.blood_absorption_per_mm,
    calc.blood_scattering_per_mm,
    calc.blood_anisotropy,
    calc.tissue_absorption_per_mm,
    calc.reduced_scattering_per_mm,
    calc.skin_anisotropy,
    calc.tissue_refractive_index,
    calc.epidermis_absorption_per_mm,
    calc.epidermis_double_pass,
    calc.eye_irradiance_limit_w_per_m2,
    calc.skin_exposure_limit_j_per_m2,
    calc.retina_radiance_limit_w_per_m2_sr,
    calc.retina_thermal_weight,
    calc.irradiance_w_per_m2,
]
NAMED = [pytest.param(function, id=function.__name__) for function in FUNCTIONS]


def words(function):
    """Return the words that each argument of names may take."""
    return {
        name: NAMES.get((name, function.__name__)) or NAMES[name, None]
        for name in inspect.signature(function).parameters
        if name not in tables.limits()
    }


def parts_that_fit(values):
    """Shrink the fractions of a tissue until they are no more than the whole."""
    parts = [
        name for name in ("blood_fraction", "water_fraction", "fat_fraction") if name in values
    ]
    whole = max(1, sum(values[name] for name in parts)) if len(parts) > 1 else 1
    return values | {name: values[name] / whole for name in parts}


def numbers(function):
    """Return a strategy for the numbers that go into a function, over their whole range."""
    limits = tables.limits()
    return st.fixed_dictionaries(
        {
            name: st.floats(limits[name].low, limits[name].high)
            for name in inspect.signature(function).parameters
            if name in limits
        }
    ).map(parts_that_fit)


def call(function, values, chosen):
    first, *_ = inspect.signature(function).parameters
    rest = {name: value for name, value in values.items() if name != first}
    return function(values[first], **rest, **chosen)


@pytest.mark.parametrize("function", NAMED)
@given(st.data())
def test_a_result_is_a_finite_plain_float_and_not_negative(function, data):
    values = data.draw(numbers(function))
    chosen = {name: data.draw(st.sampled_from(w)) for name, w in words(function).items()}
    result = call(function, values, chosen)
    assert type(result) is float
    assert 0 <= result < np.inf


@pytest.mark.parametrize("function", NAMED)
@settings(max_examples=30)
@given(st.data())
def test_arrays_give_what_single_numbers_give(function, data):
    many = data.draw(st.lists(numbers(function), min_size=2, max_size=3))
    chosen = {name: w[-1] for name, w in words(function).items()}
    together = call(function, {n: np.array([row[n] for row in many]) for n in many[0]}, chosen)
    assert together.shape == (len(many),)
    np.testing.assert_allclose(together, [call(function, row, chosen) for row in many], rtol=1e-12)


@pytest.mark.parametrize("function", NAMED)
def test_every_number_is_checked(function):
    limits = tables.limits()
    chosen = {name: w[0] for name, w in words(function).items()}
    asked = [name for name in inspect.signature(function).parameters if name in limits]
    usual = {name: limits[name].usual_low for name in asked}
    call(function, usual, chosen)
    for name in asked:
        for bad in (limits[name].high * 2 + 1, np.nan, np.inf, "1", True):
            with pytest.raises(ValueError, match=limits[name].quantity.split("*")[0]):
                call(function, usual | {name: bad}, chosen)
