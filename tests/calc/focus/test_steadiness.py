"""Laws of an unsteady hand: closed forms, other libraries and simulation say the same."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.linalg import expm, solve_continuous_lyapunov
from scipy.stats import norm
from sklearn.gaussian_process.kernels import Matern

from cubital import calc
from cubital.tables.focus import holdings

HOLD = {
    "setting_error_mm": 6.0,
    "drift_sd_mm": 5.0,
    "drift_time_s": 0.5,
    "tremor_amplitude_mm": 2.0,
    "tremor_hz": 7.0,
}


@given(st.floats(0.0015, 0.05), st.floats(3, 15))
def test_a_tremor_of_that_amplitude_has_that_acceleration(acceleration, hertz):
    amplitude = calc.tremor_amplitude_mm(acceleration, tremor_hz=hertz)
    time, step = np.linspace(0, 1 / hertz, 2001, retstep=True)
    place_m = amplitude / 1000 * np.sin(2 * np.pi * hertz * time)
    second = np.gradient(np.gradient(place_m, step), step)[5:-5]
    assert np.abs(second).max() == pytest.approx(acceleration * 9.80665, rel=1e-4)


@pytest.mark.parametrize("elapsed", [1e-6, 1e-3, 0.1, 0.9, 1.1, 3.0, 9.0])
def test_the_drift_spreads_as_a_pushed_and_damped_weight(elapsed):
    """Its covariance: that at rest in the long run, less what the start still takes from it."""
    model = np.array([[0.0, 1.0], [-1.0, -2.0]])
    settled = solve_continuous_lyapunov(model, -np.diag([0.0, 4.0]))
    assert settled == pytest.approx(np.eye(2))
    pushes = quad(lambda s: 4 * expm(model * s)[0, 1] ** 2, 0, elapsed, epsabs=0, limit=200)[0]
    spread = calc.drift_spread_mm(3 * elapsed, drift_sd_mm=5, drift_time_s=3)
    assert spread == pytest.approx(5 * np.sqrt(pushes), rel=1e-8)


@pytest.mark.parametrize("elapsed", [1e-3, 0.02, 0.5, 0.99, 1.01, 4.0])
def test_what_the_drift_does_in_a_delay_follows_from_the_matern_function(elapsed):
    kernel = Matern(length_scale=np.sqrt(3) * 0.8, nu=1.5)
    alike = kernel(np.array([[0.0]]), np.array([[0.8 * elapsed]]))[0, 0]
    error = calc.drift_lag_error_mm(5, drift_time_s=0.8, latency_ms=800 * elapsed)
    assert error == pytest.approx(5 * np.sqrt(2 * (1 - alike)), rel=1e-6)


@given(st.floats(0.1, 20), st.floats(0.2, 60), st.floats(0, 100), st.floats(1.01, 3))
def test_drift_only_grows_with_time_up_to_its_spread(spread, tau, time, longer):
    at = {"drift_sd_mm": spread, "drift_time_s": tau}
    assert calc.drift_spread_mm(0, **at) == 0
    assert calc.drift_spread_mm(time, **at) <= calc.drift_spread_mm(longer * time, **at) <= spread
    assert calc.drift_spread_mm(100 * tau, **at) == pytest.approx(spread)


@given(st.floats(1, 30), st.floats(-20, 20), st.floats(0.1, 15))
def test_without_tremor_the_share_is_that_of_the_normal_law(window, setting, spread):
    share = calc.share_of_time_in_window(
        window, setting_error_mm=setting, drift_sd_mm=spread, tremor_amplitude_mm=0
    )
    law = norm(setting, spread)
    assert share == pytest.approx(law.cdf(window) - law.cdf(-window), abs=1e-9)


@given(st.floats(1, 30), st.floats(1.01, 1.6))
def test_without_drift_the_share_is_the_arcsine_law(window, over):
    share = calc.share_of_time_in_window(
        window, setting_error_mm=0, drift_sd_mm=0, tremor_amplitude_mm=window * over
    )
    assert share == pytest.approx(2 / np.pi * np.arcsin(1 / over), abs=0.003)


@given(st.floats(1, 30), st.floats(0, 20), st.floats(0, 15), st.floats(0, 5))
def test_a_share_is_one_and_no_more_and_a_wider_window_never_less(window, setting, spread, tremor):
    hold = {"setting_error_mm": setting, "drift_sd_mm": spread, "tremor_amplitude_mm": tremor}
    share = calc.share_of_time_in_window(window, **hold)
    assert 0 <= share <= 1
    assert calc.share_of_time_in_window(window + 1, **hold) >= share - 1e-12
    mirrored = hold | {"setting_error_mm": -setting}
    assert calc.share_of_time_in_window(window, **mirrored) == pytest.approx(share, abs=1e-9)


def test_a_device_that_stands_still_is_in_the_window_or_out_of_it():
    still = {"drift_sd_mm": 0, "tremor_amplitude_mm": 0}
    assert calc.share_of_time_in_window(18, setting_error_mm=17.9, **still) == 1
    assert calc.share_of_time_in_window(18, setting_error_mm=18.1, **still) == 0


def test_the_simulated_share_is_that_of_the_closed_form():
    """1500 holds of 30 s, the first 5 s left out.

    The drift's correlation adds up to 4 time constants, 2 s, so a hold has 12 independent looks and
    all have 18 000: a share is known to sqrt(0.25 / 18000) = 0.0037; three of those are allowed.
    """
    runs = calc.simulate_hold(30, seed=11, holds=1500, **HOLD)
    late = runs._replace(distance_error_mm=runs.distance_error_mm[:, 250:])
    for window in (6, 9, 14):
        expected = calc.share_of_time_in_window(
            window, **{key: HOLD[key] for key in HOLD if key not in ("drift_time_s", "tremor_hz")}
        )
        assert late.share_in_window(window) == pytest.approx(expected, abs=0.011)


def test_the_simulated_spread_grows_as_the_closed_form():
    """4000 holds: a standard deviation is known to 1 in sqrt(8000), so three of those are 3.4 %."""
    runs = calc.simulate_hold(3, seed=5, holds=4000, **HOLD | {"tremor_amplitude_mm": 0})
    for step in (5, 12, 25, 50, 150):
        expected = calc.drift_spread_mm(step / 50, drift_sd_mm=5, drift_time_s=0.5)
        assert runs.distance_error_mm[:, step].std() == pytest.approx(expected, rel=0.034)
        standard_error = expected / np.sqrt(4000)
        assert runs.distance_error_mm[:, step].mean() == pytest.approx(6, abs=3 * standard_error)


def test_a_delay_moves_simulated_holds_as_the_closed_form_says():
    runs = calc.simulate_hold(
        20, seed=8, holds=1000, **HOLD | {"tremor_amplitude_mm": 0, "setting_error_mm": 0}
    )
    late = runs.distance_error_mm[:, 250:]
    moved = late[:, 5:] - late[:, :-5]
    expected = calc.drift_lag_error_mm(5, drift_time_s=0.5, latency_ms=100)
    assert moved.std() == pytest.approx(expected, rel=0.02)


def test_the_same_seed_gives_the_same_holds_and_another_others():
    first, again, other = (
        calc.simulate_hold(2, seed=seed, holds=3, **HOLD).distance_error_mm for seed in (1, 1, 2)
    )
    assert (first == again).all()
    assert (first != other).any()


def test_when_a_hold_first_leaves_the_window_is_told():
    runs = calc.simulate_hold(10, seed=3, holds=50, **HOLD)
    exits = runs.first_exit_s(12)
    for row, left in zip(runs.distance_error_mm, exits, strict=True):
        outside = [t for t, error in zip(runs.time_s, row, strict=True) if abs(error) > 12]
        assert left == (min(outside) if outside else np.inf)
    assert np.isinf(runs.first_exit_s(900)).all()


@given(st.floats(0.01, 2), st.floats(3, 12), st.floats(0, 400))
def test_a_tremor_carries_a_delayed_picture_by_the_largest_difference_of_a_sine(a, hertz, delay):
    error = calc.tremor_lag_error_mm(a, tremor_hz=hertz, latency_ms=delay)
    time = np.linspace(0, 1 / hertz, 501)

    def moved(lag):
        return a * np.abs(
            np.sin(2 * np.pi * hertz * (time + lag)) - np.sin(2 * np.pi * hertz * time)
        )

    expected = max(moved(lag).max() for lag in np.linspace(0, delay / 1000, 100))
    assert error == pytest.approx(expected, rel=2e-3, abs=1e-12)


def test_a_stand_is_steadier_than_a_braced_hand_and_that_than_a_free_one():
    shares = [
        calc.share_of_time_in_window(
            9,
            setting_error_mm=row.setting_error_mm,
            drift_sd_mm=row.drift_sd_mm,
            tremor_amplitude_mm=row.tremor_amplitude_mm,
        )
        for row in holdings().values()
    ]
    assert [*holdings()] == ["hand-held", "braced", "fixed-stand"]
    assert shares == sorted(shares)
    assert all(row.kind == "teaching assumption" for row in holdings().values())


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"drift_sd_mm": -1}, "spread of the slow drift is -1 mm"),
        ({"tremor_hz": 0}, "frequency of the tremor is 0 Hz"),
        ({"drift_time_s": np.nan}, "time constant of the slow drift is nan s"),
        ({"seed": 1.5}, "seed is 1.5: it must be a whole number"),
        ({"holds": 0}, "holds is 0: it must be a whole number above 0"),
        ({"steps_per_s": True}, "steps_per_s is True"),
        ({"holds": 5000, "steps_per_s": 200}, "it must be at most 5000000"),
    ],
)
def test_impossible_input_raises(change, message):
    with pytest.raises(ValueError, match=message):
        calc.simulate_hold(20, **{"seed": 1, **HOLD, **change})
