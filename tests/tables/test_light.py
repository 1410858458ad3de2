"""The tables of light in tissue and of exposure: in order, and read as they stand."""

from itertools import pairwise

import pytest

from cubital import tables
from cubital.tables import light

SPECTRA = {
    "prahl": lambda: light.haemoglobin("prahl"),
    "moaveni": lambda: light.haemoglobin("moaveni"),
    "whole blood": light.whole_blood,
    "segelstein": lambda: light.water()["segelstein"],
    "hale-querry": lambda: light.water()["hale-querry"],
    "fat": light.fat,
}


@pytest.mark.parametrize("name", SPECTRA)
def test_a_spectrum_goes_up_in_steps_small_enough_for_straight_lines(name):
    wavelengths = [row.wavelength_nm for row in SPECTRA[name]()]
    step = 25 if name == "hale-querry" else 10
    assert all(0 < b - a <= step for a, b in pairwise(wavelengths))
    assert wavelengths[0] <= 650
    assert wavelengths[-1] >= (950 if name == "moaveni" else 1000)


def test_limits_of_wavelength_are_those_of_the_tables():
    limit = tables.limits()["wavelength_nm"]
    assert (limit.low, limit.high) == (650, 1000)


def test_a_layer_names_a_tissue_that_scatters():
    assert {row.scattering for row in light.skin_layers().values()} <= {*light.scattering()}
