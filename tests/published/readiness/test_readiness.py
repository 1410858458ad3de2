"""Batteries, storage and the daily check against outside values and other libraries.

Beside each check stands its source and how far it was seen. Run times of 2 h and charge times of
4 h are check values: common practice, no source.
"""

from functools import partial

import numpy as np
import pytest
import statsmodels.api as sm
from scipy.stats import gamma

from cubital import calc

CHECK = {"run_time_h": 2, "charge_time_h": 4}  # common practice, no source
schedule = partial(calc.charge_schedule, **CHECK)


def test_availability_is_that_of_a_reliability_guide():
    """availability-guide (read): MTBF / (MTBF + MTTR), with 50 h and 10 h: 50 / 60."""
    assert calc.charge_availability(50, charge_time_h=10) == pytest.approx(50 / 60)
    assert calc.charge_availability(2, charge_time_h=4) == pytest.approx(1 / 3)


def test_units_and_chargers_for_one_station_by_the_check_values():
    """common practice, no source: 3 units and 2 chargers for one always-on station."""
    assert calc.units_for_always_on(2, charge_time_h=4) == 3
    assert calc.chargers_for_always_on(2, charge_time_h=4) == 2
    assert schedule(168, batteries=3, chargers=2).first_gap_h is None
    assert schedule(168, batteries=2, chargers=2).first_gap_h == 4
    assert schedule(168, batteries=3, chargers=1).first_gap_h is not None


@pytest.mark.parametrize(("batteries", "chargers", "kept"), [(3, 2, 1), (3, 1, 0.5), (2, 2, 2 / 3)])
def test_stations_kept_by_the_check_values(batteries, chargers, kept):
    """common practice, no source, for the values; baccelli-1992 (memory) for the bound."""
    assert calc.stations_kept(batteries, chargers=chargers, **CHECK) == pytest.approx(kept)
    long = schedule(200, batteries=batteries, chargers=chargers)
    assert long.kept_share == pytest.approx(kept, abs=0.03)


def test_a_shift_of_eight_hours_with_one_unit_runs_for_half_of_it():
    """common practice, no source: on from 0 to 2 and from 6 to 8 h."""
    found = schedule(8, batteries=1, chargers=1)
    runs = [(span.start_h, span.end_h) for span in found.spans if span.what == "run"]
    assert runs == [(0, 2), (6, 8)]
    assert found.kept_h == calc.on_time_h(8, **CHECK) == 4


@pytest.mark.parametrize(
    ("units", "chance"), [(1, 0.3333), (2, 0.5556), (3, 0.7037), (4, 0.8025), (6, 0.9122)]
)
def test_some_unit_is_charged_as_often_as_parallel_parts_work(units, chance):
    """parallel-availability (read): 1 - (1 - A)^n; at 1/3 (common practice, no source)."""
    assert calc.any_ready_chance(units, **CHECK) == pytest.approx(chance, abs=5e-5)


def test_a_store_of_two_hundred_pictures_at_the_check_values():
    """common practice, no source: 200 pictures, 10 an hour: 20 h; the 201st costs the first."""
    assert calc.time_to_loss_h(10, stored_pictures=200) == 20
    assert calc.stored_range(201, stored_pictures=200) == (2, 201, 1)


@pytest.mark.parametrize(("mean", "capacity"), [(12, 16), (150, 200), (210, 200)])
def test_the_chance_of_loss_is_that_of_a_waiting_time(mean, capacity):
    """poisson-counts (memory): the time to the n-th event of a Poisson process is a gamma time."""
    chance = calc.chance_of_loss(mean, stored_pictures=capacity)
    assert chance == pytest.approx(gamma(capacity).cdf(mean), rel=1e-9)


def test_the_fit_is_that_of_the_worked_example_of_the_paper():
    """umeyama-1991: its points (second-hand, in two programs' tests), its result from memory.

    (0, 0), (1, 0), (0, 2) go to (0, 0), (-1, 0), (0, 2): rotation [[0.832, 0.555], [-0.555,
    0.832]], scale 0.721, translation (-0.800, 0.400).
    """
    true, projected = np.array([[0, 0], [1, 0], [0, 2]]), np.array([[0, 0], [-1, 0], [0, 2]])
    fit = calc.fit_registration(projected, true_mm=true)
    turn = np.radians(fit.rotation_deg)
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    assert fit.scale == pytest.approx(0.721, abs=5e-4)
    assert rotation == pytest.approx(np.array([[0.832, 0.555], [-0.555, 0.832]]), abs=5e-4)
    middle = np.add(true.mean(axis=0), (fit.offset_x_mm, fit.offset_y_mm))
    shift = middle - fit.scale * rotation @ true.mean(axis=0)
    assert shift == pytest.approx([-0.8, 0.4], abs=5e-4)


def test_the_standard_errors_are_those_of_a_linear_regression():
    """statsmodels: x and y of each mark on offset, cosine and sine parts, as one regression."""
    generator = np.random.default_rng(6)
    true = np.array([[-30, -20], [30, -20], [30, 20], [-30, 20], [0, 5], [12, -9]], dtype=float)
    projected = true * 1.01 + [0.3, -0.2] + generator.normal(0, 0.25, true.shape)
    arms = true - true.mean(axis=0)
    ones, none = np.ones(len(true)), np.zeros(len(true))
    design = np.vstack(
        [
            np.column_stack([ones, none, arms[:, 0], -arms[:, 1]]),
            np.column_stack([none, ones, arms[:, 1], arms[:, 0]]),
        ]
    )
    found = sm.OLS(np.concatenate([*(projected - true.mean(axis=0)).T]), design).fit()
    fit = calc.fit_registration(projected, true_mm=true)
    assert (fit.offset_x_mm, fit.offset_y_mm) == pytest.approx(tuple(found.params[:2]))
    assert fit.scale == pytest.approx(np.hypot(*found.params[2:]))
    assert np.radians(fit.rotation_deg) == pytest.approx(np.arctan2(*found.params[:1:-1]))
    assert fit.offset_se_mm == pytest.approx(found.bse[0])
    assert fit.scale_se == pytest.approx(found.bse[2])
    assert np.radians(fit.rotation_se_deg) == pytest.approx(found.bse[3] / fit.scale)
    assert fit.scatter_mm == pytest.approx(np.sqrt(found.scale))
