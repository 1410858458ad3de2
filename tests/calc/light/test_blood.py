"""Blood in light: laws of mixing, of the isosbestic point and of scattering."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc
from cubital.tables import light

TABLES = ["bosschaart", "prahl", "moaveni"]
WAVELENGTHS = st.floats(650, 950)
SHARES = st.floats(0, 1)


@pytest.mark.parametrize("table", TABLES)
@given(WAVELENGTHS, SHARES, st.floats(0.01, 0.7))
def test_absorption_is_linear_in_oxygen_saturation(table, wavelength_nm, saturation, haematocrit):
    full, none, mixed = (
        calc.blood_absorption_per_mm(
            wavelength_nm, oxygen_saturation=s, haematocrit=haematocrit, table=table
        )
        for s in (1, 0, saturation)
    )
    assert mixed == pytest.approx(none + saturation * (full - none), rel=1e-9)
    assert min(full, none) * (1 - 1e-9) <= mixed <= max(full, none) * (1 + 1e-9)


@pytest.mark.parametrize("table", TABLES)
@given(WAVELENGTHS, SHARES, st.floats(0.01, 0.35))
def test_twice_the_red_cells_absorb_twice_as_much(table, wavelength_nm, saturation, haematocrit):
    once, twice = (
        calc.blood_absorption_per_mm(
            wavelength_nm, oxygen_saturation=saturation, haematocrit=h, table=table
        )
        for h in (haematocrit, 2 * haematocrit)
    )
    assert twice == pytest.approx(2 * once, rel=1e-12)


@pytest.mark.parametrize("table", TABLES)
def test_at_the_isosbestic_point_oxygen_changes_nothing(table):
    point = calc.isosbestic_wavelength_nm(table)
    saturations = np.linspace(0, 1, 5)
    found = calc.blood_absorption_per_mm(
        point, oxygen_saturation=saturations, haematocrit=0.4, table=table
    )
    assert found == pytest.approx(np.full(5, found[0]), rel=1e-9)


@pytest.mark.parametrize("table", TABLES)
def test_blood_without_oxygen_is_darker_before_the_isosbestic_point_and_lighter_after(table):
    point = calc.isosbestic_wavelength_nm(table)
    before, after = np.arange(650, point - 3, 5.0), np.arange(point + 3, 951, 5.0)

    def difference(wavelength_nm):
        venous, arterial = (
            calc.blood_absorption_per_mm(
                wavelength_nm, oxygen_saturation=s, haematocrit=0.45, table=table
            )
            for s in (0, 1)
        )
        return venous - arterial

    assert (difference(before) > 0).all()
    assert (difference(after) < 0).all()


def test_each_table_lies_within_the_spread():
    asked = {"oxygen_saturation": 0.7, "haematocrit": 0.45}
    wavelengths = np.arange(650.0, 951.0, 25.0)
    between = calc.blood_absorption_spread_per_mm(wavelengths, **asked)
    assert between.sources == tuple(TABLES)
    for table in TABLES:
        found = calc.blood_absorption_per_mm(wavelengths, **asked, table=table)
        assert ((between.low <= found) & (found <= between.high)).all()


def test_a_table_that_ends_before_the_wavelength_is_left_out_of_the_spread():
    found = calc.blood_absorption_spread_per_mm(980, oxygen_saturation=0.7, haematocrit=0.45)
    assert found.sources == ("bosschaart", "prahl")


def test_a_table_is_not_carried_on_beyond_its_end():
    with pytest.raises(ValueError, match="wavelength is 960 nm: the table moaveni goes from 650"):
        calc.blood_absorption_per_mm(960, oxygen_saturation=0.7, haematocrit=0.45, table="moaveni")


def test_an_unknown_table_or_kind_of_blood_raises_with_the_names_there_are():
    with pytest.raises(ValueError, match="choose one of bosschaart, prahl, moaveni"):
        calc.blood_absorption_per_mm(850, oxygen_saturation=1, haematocrit=0.4, table="mine")
    with pytest.raises(ValueError, match="choose one of bosschaart, prahl, moaveni"):
        calc.isosbestic_wavelength_nm("mine")
    with pytest.raises(ValueError, match="choose one of venous, arterial, tissue"):
        calc.named_blood("royal")


def test_blood_scatters_less_at_longer_wavelengths():
    found = calc.blood_scattering_per_mm(np.arange(650.0, 1001.0, 10.0), haematocrit=0.45)
    assert (np.diff(found) < 0).all()


def test_neither_plasma_alone_nor_more_than_half_red_cells_scatters_more():
    found = calc.blood_scattering_per_mm(850, haematocrit=np.linspace(0, 0.7, 15))
    assert found[0] == 0
    assert found.argmax() == 10, "crowded cells scatter together less than apart"


def test_a_vein_and_an_artery_are_told_apart_at_760_nm_but_hardly_at_810_nm():
    def ratio(wavelength_nm):
        return np.divide(
            *(
                calc.blood_medium(
                    wavelength_nm,
                    oxygen_saturation=row.oxygen_saturation,
                    haematocrit=row.haematocrit,
                ).absorption_per_mm
                for row in (calc.named_blood("venous"), calc.named_blood("arterial"))
            )
        )

    assert ratio(760) > 1.4
    assert ratio(810) == pytest.approx(1, abs=0.05)
    assert ratio(940) < 1


def test_a_medium_is_of_plain_floats_and_of_one_wavelength():
    medium = calc.blood_medium(805, oxygen_saturation=1, haematocrit=0.4)
    assert {type(number) for number in medium} == {float}
    with pytest.raises(ValueError, match="it must be a single number from"):
        calc.blood_medium([760, 850], oxygen_saturation=1, haematocrit=0.4)


def test_named_blood_lies_in_its_own_range_with_more_oxygen_in_arteries():
    for row in light.blood().values():
        assert row.saturation_low <= row.oxygen_saturation <= row.saturation_high
        assert row.haematocrit_low <= row.haematocrit <= row.haematocrit_high
    assert (
        calc.named_blood("tissue").oxygen_saturation
        < calc.named_blood("venous").oxygen_saturation
        < calc.named_blood("arterial").oxygen_saturation
    )
