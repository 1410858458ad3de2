"""Water against the formulations of IAPWS, as computed by the iapws library."""

import pytest
from iapws import IAPWS95

from cubital import calc

ATMOSPHERE_MPA = 0.101325
# Viscosity and density at one atmosphere, as printed in handbooks of water properties (memory).
HANDBOOK = {20: (1.0016, 998.21), 25: (0.8900, 997.05), 37: (0.6913, 993.34)}


def test_viscosity_at_25_degrees_is_the_check_value_of_the_release():
    """iapws-r12-08, table of check values, from memory: 889.7351 uPa s at 298.15 K, 998 kg/m3.

    Water at one atmosphere is by 1 kg/m3 less dense there, which changes less than 0.05 %.
    """
    assert calc.water_viscosity_mpa_s(25) == pytest.approx(0.8897351, rel=5e-4)


@pytest.mark.parametrize("temperature_c", [1, 4, 10, 15, 20, 22, 25, 30, 37, 45, 60, 80, 99])
def test_viscosity_and_density_follow_iapws(temperature_c):
    water = IAPWS95(T=temperature_c + 273.15, P=ATMOSPHERE_MPA)
    assert calc.water_viscosity_mpa_s(temperature_c) == pytest.approx(1000 * water.mu, rel=1e-4)
    assert calc.water_density_kg_per_m3(temperature_c) == pytest.approx(water.rho, rel=3e-5)


@pytest.mark.parametrize(("temperature_c", "expected"), HANDBOOK.items())
def test_viscosity_and_density_are_those_of_handbooks(temperature_c, expected):
    viscosity, density = expected
    assert calc.water_viscosity_mpa_s(temperature_c) == pytest.approx(viscosity, rel=1e-3)
    assert calc.water_density_kg_per_m3(temperature_c) == pytest.approx(density, abs=0.05)
