"""Laws of flow: limits, inverses, scaling and order."""

from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc, tables

BORE = st.floats(0.2, 3)
LENGTH = st.floats(10, 100)
PRESSURE = st.floats(100, 50_000)
VISCOSITY = st.floats(0.5, 10)
WATER = {"viscosity_mpa_s": 0.954, "density_kg_per_m3": 998.0}
flow = partial(calc.catheter_flow_ml_per_min, **WATER)


def poiseuille(bore, length, pressure, viscosity):
    return calc.poiseuille_flow_ml_per_min(
        bore, length_mm=length, pressure_pa=pressure, viscosity_mpa_s=viscosity
    )


@given(BORE, LENGTH, PRESSURE, VISCOSITY)
def test_poiseuille_flow_goes_with_the_fourth_power_of_the_bore(bore, length, pressure, viscosity):
    base = poiseuille(bore, length, pressure, viscosity)
    assert poiseuille(2 * bore, length, pressure, viscosity) == pytest.approx(16 * base)
    assert poiseuille(bore, 2 * length, pressure, viscosity) == pytest.approx(base / 2)
    assert poiseuille(bore, length, 2 * pressure, viscosity) == pytest.approx(2 * base)
    assert poiseuille(bore, length, pressure, 2 * viscosity) == pytest.approx(base / 2)
    change = calc.flow_after_bore_change_ml_per_min(
        10, inner_diameter_mm=bore, new_inner_diameter_mm=2 * bore
    )
    assert change == pytest.approx(160)


@given(BORE, LENGTH, PRESSURE)
def test_without_losses_a_catheter_is_a_poiseuille_tube(bore, length, pressure):
    plain = poiseuille(bore, length, pressure, WATER["viscosity_mpa_s"])
    assert flow(bore, length_mm=length, pressure_pa=pressure, loss_coefficient=0) == pytest.approx(
        plain, rel=1e-9
    )


@given(BORE, LENGTH, PRESSURE)
def test_losses_only_take_from_the_flow(bore, length, pressure):
    at = partial(flow, bore, length_mm=length, pressure_pa=pressure)
    flows = [at(loss_coefficient=loss) for loss in (0, 1, 2.28, 2.8)]
    assert flows == sorted(flows, reverse=True)
    assert flows[0] > flows[-1]


@given(BORE, LENGTH, PRESSURE)
def test_a_catheters_flow_gives_back_its_pressure(bore, length, pressure):
    flow_m3_per_s = flow(bore, length_mm=length, pressure_pa=pressure, loss_coefficient=2) / 6e7
    bore_m, length_m = bore / 1000, length / 1000
    speed = flow_m3_per_s / (np.pi / 4 * bore_m**2)
    friction = 32 * 0.954e-3 * length_m * speed / bore_m**2
    kinetic = 2 * 998 * speed**2 / 2
    assert friction + kinetic == pytest.approx(pressure)


@given(BORE, LENGTH, PRESSURE)
def test_wider_shorter_higher_and_thinner_fluid_flow_more(bore, length, pressure):
    base = flow(bore, length_mm=length, pressure_pa=pressure)
    assert flow(bore * 1.1, length_mm=length, pressure_pa=pressure) > base
    assert flow(bore, length_mm=length * 1.1, pressure_pa=pressure) < base
    assert flow(bore, length_mm=length, pressure_pa=pressure * 1.1) > base
    blood = calc.catheter_flow_ml_per_min(
        bore, length_mm=length, pressure_pa=pressure, viscosity_mpa_s=4, density_kg_per_m3=998
    )
    assert blood < base


def test_no_pressure_no_flow():
    assert flow(0.8, length_mm=32, pressure_pa=0) == 0
    assert poiseuille(0.8, 32, 0, 1) == 0
    assert calc.hydrostatic_pressure_pa(0, density_kg_per_m3=1000) == 0


def test_a_very_thin_catheter_is_a_poiseuille_tube_and_a_very_wide_one_a_free_jet():
    thin = flow(0.05, length_mm=100, pressure_pa=1000)
    assert thin == pytest.approx(poiseuille(0.05, 100, 1000, 0.954), rel=1e-3)
    wide = flow(10, length_mm=1, pressure_pa=10_000, loss_coefficient=2)
    speed = np.sqrt(10_000 / 998)  # K half rho v^2 = dP with K = 2
    assert wide == pytest.approx(speed * np.pi / 4 * 0.01**2 * 6e7, rel=1e-2)


def test_the_default_loss_is_the_tabled_one():
    given_loss = flow(0.8, length_mm=32, pressure_pa=9785, loss_coefficient=2.28)
    assert flow(0.8, length_mm=32, pressure_pa=9785) == given_loss


def test_ten_metres_of_water_are_about_one_atmosphere():
    pressure = calc.hydrostatic_pressure_pa(np.array([5000.0]), density_kg_per_m3=1000) * 2
    assert pressure == pytest.approx(98_066.5)


@given(st.floats(1, 500), BORE)
def test_reynolds_number_goes_with_flow_over_bore(flow_ml_per_min, bore):
    at = partial(calc.reynolds_number, **WATER)
    base = at(flow_ml_per_min, inner_diameter_mm=bore)
    assert at(2 * flow_ml_per_min, inner_diameter_mm=bore) == pytest.approx(2 * base)
    assert at(flow_ml_per_min, inner_diameter_mm=2 * bore) == pytest.approx(base / 2)


def test_laminar_ends_at_the_tabled_limit():
    assert calc.is_laminar(2000) is True
    assert calc.is_laminar(2000.1) is False
    assert calc.is_laminar(np.array([100.0, 4000.0])).tolist() == [True, False]


def test_entrance_length_goes_with_reynolds_number_and_bore():
    assert calc.entrance_length_mm(0, inner_diameter_mm=1) == 0
    base = calc.entrance_length_mm(500, inner_diameter_mm=1)
    assert calc.entrance_length_mm(1000, inner_diameter_mm=2) == pytest.approx(4 * base)
    with pytest.raises(ValueError, match="Reynolds number is -1: it must be from 0 to 1000000"):
        calc.entrance_length_mm(-1, inner_diameter_mm=1)


def test_no_catheter_leaves_all_the_flow_and_a_full_vein_none():
    assert calc.annulus_flow_share(0) == 1
    assert calc.annulus_flow_share(1) == 0
    assert calc.annulus_flow_share(0.999999) == pytest.approx(0, abs=1e-15)


@given(st.floats(0.0001, 0.98))
def test_a_thicker_catheter_leaves_less_flow(ratio):
    assert calc.annulus_flow_share(ratio + 0.01) < calc.annulus_flow_share(ratio)


@given(st.floats(0.01, 0.99))
def test_a_catheter_takes_more_flow_than_cross_section(ratio):
    assert calc.annulus_flow_share(ratio) < 1 - calc.area_share(ratio)


def in_makers_test(formula, gauge, length_mm):
    """Flow in water at 22 degrees under a metre of it, and the gauge's row."""
    row = calc.gauge(gauge)
    water = calc.fluid("water", temperature_c=tables.constant("flow-test-temperature").value)
    given = {
        "length_mm": length_mm,
        "pressure_pa": calc.hydrostatic_pressure_pa(
            tables.constant("flow-test-head").value, density_kg_per_m3=water.density_kg_per_m3
        ),
        "viscosity_mpa_s": water.viscosity_mpa_s,
    }
    if formula is calc.catheter_flow_ml_per_min:
        given["density_kg_per_m3"] = water.density_kg_per_m3
    return formula(row.inner_mm, **given), row


@pytest.mark.parametrize("gauge", [26, 24, 22, 20, 18, 16, 14])
def test_the_tabled_flow_is_within_a_quarter_of_the_model(gauge):
    length = min(calc.gauge(gauge).lengths_mm)
    found, row = in_makers_test(calc.catheter_flow_ml_per_min, gauge, length)
    assert row.nominal_flow_ml_per_min == pytest.approx(found, rel=0.25)


def test_how_far_the_long_tube_overstates_a_14g_catheter_is_as_its_docstring_says():
    alone, row = in_makers_test(calc.poiseuille_flow_ml_per_min, 14, 45)
    losses, _ = in_makers_test(calc.catheter_flow_ml_per_min, 14, 45)
    doc = " ".join(calc.poiseuille_flow_ml_per_min.__doc__.split())
    assert f"by {alone / losses:.1f} times what `catheter_flow_ml_per_min` gives" in doc
    assert f"which is {alone / row.nominal_flow_ml_per_min:.1f} times its nominal flow" in doc
