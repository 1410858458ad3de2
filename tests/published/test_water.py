"""Water against the formulations of IAPWS, as computed by the iapws library."""

import pytest
from iapws import IAPWS95
from iapws._iapws import _Viscosity

from cubital import calc

ATMOSPHERE_MPA = 0.101325
# Viscosity and density at one atmosphere, as printed in handbooks of water properties (memory).
HANDBOOK = {20: (1.0016, 998.21), 25: (0.8900, 997.05), 37: (0.6913, 993.34)}


def test_the_library_gives_the_check_value_of_the_release():
    """iapws-r12-08, table of check values, from memory: 298.15 K and 998 kg/m3."""
    assert _Viscosity(998, 298.15) == pytest.approx(889.735100e-6, rel=1e-8)


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
