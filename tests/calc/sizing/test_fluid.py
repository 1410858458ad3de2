"""Fluids by their factors over water."""

import pytest

from cubital import calc


def test_warm_water_is_thinner_and_lighter():
    temperatures = [5, 15, 25, 35, 45]
    viscosities = [calc.water_viscosity_mpa_s(t) for t in temperatures]
    densities = [calc.water_density_kg_per_m3(t) for t in temperatures]
    assert viscosities == sorted(viscosities, reverse=True)
    assert densities == sorted(densities, reverse=True)


def test_water_is_densest_at_four_degrees():
    assert calc.water_density_kg_per_m3(4) > calc.water_density_kg_per_m3(3)
    assert calc.water_density_kg_per_m3(4) > calc.water_density_kg_per_m3(5)


def test_water_as_a_fluid_is_water():
    water = calc.fluid("water", temperature_c=22)
    assert water.viscosity_mpa_s == calc.water_viscosity_mpa_s(22)
    assert water.density_kg_per_m3 == calc.water_density_kg_per_m3(22)


# Figures in mPa s at 37 degrees C: blood 3.5 to 5.5 (read), plasma 1.1 to 1.3 (from memory).
@pytest.mark.parametrize(
    ("name", "low", "high"), [("blood", 3.5, 5.5), ("plasma", 1.1, 1.3), ("saline", 0.69, 0.72)]
)
def test_body_warm_fluids_lie_in_their_usual_range(name, low, high):
    assert low <= calc.fluid(name, temperature_c=37).viscosity_mpa_s <= high


def test_saline_is_as_heavy_as_it_is_weighed():
    # 1004.6 kg/m3 at 20 degrees C, from memory of density tables
    assert calc.fluid("saline", temperature_c=20).density_kg_per_m3 == pytest.approx(
        1004.6, abs=0.1
    )


def test_an_unknown_fluid_raises_with_the_fluids_there_are():
    with pytest.raises(ValueError, match="choose one of water, saline, plasma, blood"):
        calc.fluid("lemonade", temperature_c=20)


def test_a_fluid_outside_liquid_water_raises():
    with pytest.raises(ValueError, match="temperature is -5 degrees C: it must be from 0 to 100"):
        calc.fluid("water", temperature_c=-5)
