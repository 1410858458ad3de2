"""Over the whole stated range view and readiness give finite numbers within bounds, or say why."""

import inspect

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cubital import calc, tables
from cubital.tables.focus import holdings

FREE = [
    calc.hyperfocal_distance_mm,
    calc.tilt_stretch,
    calc.tilt_depth_span_mm,
    calc.largest_tilt_deg,
    calc.convergence_angle_deg,
    calc.phantom_sight_line_shift_mm,
    calc.phantom_apparent_depth_mm,
    calc.picture_illuminance_lx,
    calc.illuminance_on_tilt_lx,
    calc.luminance_cd_per_m2,
    calc.room_light_limit_lx,
    calc.tremor_amplitude_mm,
    calc.drift_spread_mm,
    calc.share_of_time_in_window,
    calc.tremor_lag_error_mm,
    calc.drift_lag_error_mm,
    calc.charge_availability,
    calc.on_time_h,
    calc.stations_kept,
    calc.sessions_per_charge,
    calc.any_ready_chance,
    calc.time_to_loss_h,
]
BOUND = [  # some pairs of possible inputs are impossible together
    calc.blur_circle_mm,
    calc.blur_on_skin_mm,
    calc.f_number_for_window,
    calc.camera_scale,
    calc.projected_scale,
    calc.limb_drop_mm,
    calc.illuminance_at_distance_lx,
]
SHARES = [calc.share_of_time_in_window, calc.charge_availability, calc.any_ready_chance]


def named(functions):
    return [pytest.param(function, id=function.__name__) for function in functions]


def inputs(function):
    limits = tables.limits()
    return st.fixed_dictionaries(
        {
            name: st.floats(limits[name].low, limits[name].high)
            for name in inspect.signature(function).parameters
        }
    )


def call(function, values):
    first, *rest = inspect.signature(function).parameters
    return function(values[first], **{name: values[name] for name in rest})


@pytest.mark.parametrize("function", named(FREE))
@given(st.data())
def test_a_result_is_a_finite_plain_float_and_not_negative(function, data):
    result = call(function, data.draw(inputs(function)))
    assert type(result) is float
    assert 0 <= result < np.inf
    assert result <= 1 or function not in SHARES


@pytest.mark.parametrize("function", named(BOUND))
@given(st.data())
def test_a_result_is_finite_or_the_input_is_refused_with_a_reason(function, data):
    try:
        result = call(function, data.draw(inputs(function)))
    except ValueError as error:
        assert "it must " in str(error)  # noqa: PT017 - either is right
    else:
        assert type(result) is float
        assert 0 <= result < np.inf


@pytest.mark.parametrize("function", named(FREE))
@settings(max_examples=15)
@given(st.data())
def test_arrays_give_what_single_numbers_give(function, data):
    many = data.draw(st.lists(inputs(function), min_size=2, max_size=3))
    together = call(function, {name: np.array([row[name] for row in many]) for name in many[0]})
    assert together.shape == (len(many),)
    alone = [call(function, row) for row in many]
    np.testing.assert_allclose(together, alone, rtol=1e-12, atol=1e-300)


@pytest.mark.parametrize("function", named(FREE + BOUND))
def test_every_argument_is_checked(function):
    limits = tables.limits()
    names = list(inspect.signature(function).parameters)
    usual = {name: (limits[name].usual_low + limits[name].usual_high) / 2 for name in names}
    usual |= {name: 9 for name in names if name == "focal_length_mm"}
    for name in names:
        for bad in (limits[name].high * 2 + 1, np.nan, np.inf, "1", True, None):
            with pytest.raises(ValueError, match=limits[name].quantity):
                call(function, usual | {name: bad})


SOME_REAL_LIMITS = {
    "tilt_deg": st.floats(-85, 85),
    "place_mm": st.floats(-1000, 1000),
    "room_lx": st.floats(0.01, 200_000),
    "holding": st.sampled_from([*holdings()]),
}


@given(st.fixed_dictionaries(SOME_REAL_LIMITS))
def test_a_budget_is_finite_over_its_whole_range(use):
    found = calc.view_budget(calc.scenario_device(), **use)
    numbers = [value for value in found if isinstance(value, float)]
    assert len(numbers) == 8
    assert all(type(value) is float for value in numbers)
    assert all(0 <= value < np.inf for value in numbers)
    assert found.holds == (
        found.window_share <= 1
        and found.registration_share <= 1
        and use["room_lx"] <= found.room_light_limit_lx
    )


def test_the_tables_of_view_and_readiness_say_kind_source_and_how_far_it_was_seen():
    rows = [
        *(row for key, row in tables.constants().items() if key.startswith(("view-", "tremor-"))),
        *(row for key, row in tables.constants().items() if key.startswith(("contrast-", "daily"))),
        *holdings().values(),
    ]
    assert len(rows) >= 15
    for row in rows:
        assert row.kind in tables.KINDS
        assert row.seen in tables.SEEN
        assert row.source in tables.bibliography()
