"""Pipe flow against the fluids library, a general-purpose library of fluid mechanics."""

import fluids
import numpy as np
import pytest
from fluids.friction import friction_laminar

from cubital import calc, tables

CASES = [
    # bore mm, length mm, pressure Pa, viscosity mPa s, density kg/m3
    (0.5, 19, 9785, 0.954, 998),
    (0.8, 32, 9785, 0.954, 998),
    (0.95, 45, 9785, 0.954, 998),
    (1.3, 45, 20_000, 0.70, 1004),
    (1.75, 45, 40_000, 4.0, 1055),
]


def speed_m_per_s(flow_ml_per_min, bore_mm):
    return flow_ml_per_min / 60e6 / (np.pi / 4 * (bore_mm / 1000) ** 2)


def reynolds_by_fluids(speed, bore_mm, viscosity_mpa_s, density):
    return fluids.Reynolds(speed, bore_mm / 1000, rho=density, mu=viscosity_mpa_s / 1000)


@pytest.mark.parametrize(("bore", "length", "pressure", "viscosity", "density"), CASES)
def test_hagen_poiseuille_is_laminar_friction(bore, length, pressure, viscosity, density):
    flow = calc.poiseuille_flow_ml_per_min(
        bore, length_mm=length, pressure_pa=pressure, viscosity_mpa_s=viscosity
    )
    speed = speed_m_per_s(flow, bore)
    friction = friction_laminar(reynolds_by_fluids(speed, bore, viscosity, density))
    losses = fluids.K_from_f(fd=friction, L=length / 1000, D=bore / 1000)
    assert fluids.dP_from_K(losses, rho=density, V=speed) == pytest.approx(pressure, rel=1e-9)


@pytest.mark.parametrize("extra", [0.5, 2.0, 2.28, 2.8])
@pytest.mark.parametrize("case", CASES)
def test_a_catheter_is_friction_plus_losses(case, extra):
    bore, length, pressure, viscosity, density = case
    flow = calc.catheter_flow_ml_per_min(
        bore,
        length_mm=length,
        pressure_pa=pressure,
        viscosity_mpa_s=viscosity,
        density_kg_per_m3=density,
        loss_coefficient=extra,
    )
    speed = speed_m_per_s(flow, bore)
    friction = friction_laminar(reynolds_by_fluids(speed, bore, viscosity, density))
    losses = fluids.K_from_f(fd=friction, L=length / 1000, D=bore / 1000) + extra
    assert fluids.dP_from_K(losses, rho=density, V=speed) == pytest.approx(pressure, rel=1e-9)


@pytest.mark.parametrize("flow", [5, 60, 300])
@pytest.mark.parametrize("case", CASES)
def test_reynolds_number(case, flow):
    bore, _, _, viscosity, density = case
    ours = calc.reynolds_number(
        flow, inner_diameter_mm=bore, viscosity_mpa_s=viscosity, density_kg_per_m3=density
    )
    theirs = reynolds_by_fluids(speed_m_per_s(flow, bore), bore, viscosity, density)
    assert ours == pytest.approx(theirs, rel=1e-9)


def test_the_laminar_band_holds_the_transition_in_pipes():
    limit = tables.constant("laminar-reynolds-limit")
    assert limit.low <= fluids.LAMINAR_TRANSITION_PIPE <= limit.high


def test_the_loss_lies_between_a_parabolic_jet_and_a_jet_behind_a_sharp_entry():
    """Kinetic energy of the profile v = 1 - r^2, by summing; the entry from the fluids library."""
    edges = np.linspace(0, 1, 100_001)
    middle, width = (edges[1:] + edges[:-1]) / 2, edges[1] - edges[0]
    speed, ring = 1 - middle**2, 2 * middle * width
    mean = (speed * ring).sum()
    jet = (speed**3 * ring).sum() / mean**3
    assert jet == pytest.approx(2, rel=1e-6)
    assert jet <= tables.constant("loss-coefficient").value <= jet + fluids.entrance_sharp()
