"""Tissue and skin in light: laws of mixing, of scattering and of layers."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc
from cubital.tables import light

WAVELENGTHS = st.floats(650, 1000)
BLOOD = {"oxygen_saturation": 0.64, "haematocrit": 0.45}
CONVENTIONS = ["skin-optics-1998", "melanosome-1998", "review-2013"]


def absorbs(wavelength_nm, blood=0.0, water=0.0, fat=0.0):
    return calc.tissue_absorption_per_mm(
        wavelength_nm, blood_fraction=blood, water_fraction=water, fat_fraction=fat, **BLOOD
    )


@given(WAVELENGTHS, st.floats(0, 0.3), st.floats(0, 0.3), st.floats(0, 0.3))
def test_tissue_absorbs_as_the_sum_of_its_parts(wavelength_nm, blood, water, fat):
    parts = (
        blood * absorbs(wavelength_nm, blood=1)
        + water * absorbs(wavelength_nm, water=1)
        + fat * absorbs(wavelength_nm, fat=1)
    )
    assert absorbs(wavelength_nm, blood, water, fat) == pytest.approx(parts, rel=1e-9, abs=1e-15)


def test_tissue_of_one_substance_is_that_substance():
    wavelengths = np.array([650.0, 760.0, 930.0, 1000.0])
    assert absorbs(wavelengths, water=1) == pytest.approx(calc.water_absorption_per_mm(wavelengths))
    assert absorbs(wavelengths, fat=1) == pytest.approx(calc.fat_absorption_per_mm(wavelengths))
    assert absorbs(wavelengths, blood=1) == pytest.approx(
        calc.blood_absorption_per_mm(wavelengths, **BLOOD)
    )
    assert absorbs(wavelengths) == pytest.approx(np.zeros(4))


def test_parts_of_more_than_the_whole_raise():
    with pytest.raises(ValueError, match=r"add to 1\.2: they must add to at most 1"):
        absorbs(850, blood=0.5, water=0.5, fat=0.2)
    assert absorbs(850, blood=0.1, water=0.2, fat=0.7) > 0


def test_fat_absorbs_most_at_930_nm_and_water_at_970_nm():
    wavelengths = np.arange(650.0, 1001.0)
    assert wavelengths[calc.fat_absorption_per_mm(wavelengths).argmax()] == 930
    assert wavelengths[calc.water_absorption_per_mm(wavelengths).argmax()] == pytest.approx(970, 2)


@given(st.floats(1e-9, 1e-4), WAVELENGTHS)
def test_absorption_goes_with_the_index_and_against_the_wavelength(k, wavelength_nm):
    once = calc.absorption_from_index_per_mm(k, wavelength_nm=wavelength_nm)
    assert calc.absorption_from_index_per_mm(2 * k, wavelength_nm=wavelength_nm) == pytest.approx(
        2 * once
    )
    # after one wavelength the field has fallen by exp(-2 pi k), the light by its square
    assert math.exp(-once * wavelength_nm / 1e6) == pytest.approx(math.exp(-2 * math.pi * k) ** 2)


@pytest.mark.parametrize("name", light.scattering())
def test_scattering_falls_with_the_wavelength(name):
    wavelengths = np.arange(650.0, 1001.0, 10.0)
    row = light.scattering()[name]
    for model, given_b in (("power", row.power_b), ("rayleigh-mie", row.mie_b)):
        if given_b is None:
            with pytest.raises(ValueError, match=f"no model of scattering for {name}"):
                calc.reduced_scattering_per_mm(wavelengths, tissue_name=name, model=model)
        else:
            found = calc.reduced_scattering_per_mm(wavelengths, tissue_name=name, model=model)
            assert (np.diff(found) < 0).all()


@pytest.mark.parametrize("group", ["skin", "epidermis", "fat"])
def test_every_source_lies_within_the_spread_of_scattering(group):
    wavelengths = np.array([700.0, 850.0, 1000.0])
    between = calc.reduced_scattering_spread_per_mm(wavelengths, group=group)
    for name in (row.key for row in light.scattering().values() if row.group == group):
        model = "power" if light.scattering()[name].power_b else "rayleigh-mie"
        found = calc.reduced_scattering_per_mm(wavelengths, tissue_name=name, model=model)
        assert ((between.low <= found) & (found <= between.high)).all()
        assert f"{name}, {model}" in between.sources


def test_unknown_names_raise_with_the_names_there_are():
    with pytest.raises(ValueError, match="no tissue is called 'bone': choose one of skin"):
        calc.reduced_scattering_per_mm(850, tissue_name="bone")
    with pytest.raises(ValueError, match="no group of tissues is called 'bone'"):
        calc.reduced_scattering_spread_per_mm(850, group="bone")
    with pytest.raises(ValueError, match="choose one of segelstein, hale-querry"):
        calc.water_absorption_per_mm(850, table="mine")
    with pytest.raises(ValueError, match="choose one of skin-optics-1998"):
        calc.melanosome_absorption_per_mm(850, convention="mine")


@pytest.mark.parametrize("convention", CONVENTIONS)
@given(WAVELENGTHS, st.floats(0, 0.24), st.floats(1e-6, 0.25))
def test_more_melanin_absorbs_more_and_lets_less_through(convention, wavelength_nm, melanin, more):
    asked = {"convention": convention}
    less_absorption, more_absorption = (
        calc.epidermis_absorption_per_mm(wavelength_nm, melanin_fraction=m, **asked)
        for m in (melanin, melanin + more)
    )
    less_light, more_light = (
        calc.epidermis_double_pass(wavelength_nm, melanin_fraction=m, epidermis_mm=0.1, **asked)
        for m in (melanin + more, melanin)
    )
    assert more_absorption > less_absorption
    assert 0 < less_light < more_light < 1


@given(WAVELENGTHS, st.floats(0, 0.5), st.floats(0.01, 1))
def test_twice_the_epidermis_lets_the_square_through(wavelength_nm, melanin, thickness_mm):
    once, twice = (
        calc.epidermis_double_pass(wavelength_nm, melanin_fraction=melanin, epidermis_mm=d)
        for d in (thickness_mm, 2 * thickness_mm)
    )
    assert twice == pytest.approx(once**2)


def test_melanin_absorbs_less_at_longer_wavelengths():
    wavelengths = np.arange(650.0, 1001.0, 10.0)
    for convention in CONVENTIONS:
        found = calc.melanosome_absorption_per_mm(wavelengths, convention=convention)
        assert (np.diff(found) < 0).all()


@given(WAVELENGTHS, st.floats(0, 0.5))
def test_layers_hold_the_coefficients_of_their_own_functions(wavelength_nm, melanin):
    layers = calc.skin_layers(
        wavelength_nm,
        melanin_fraction=melanin,
        epidermis_mm=0.08,
        dermis_mm=1.4,
        fat_mm=5,
        blood_fraction=0.03,
        **BLOOD,
    )
    epidermis, dermis, fat = (layer.medium for layer in layers)
    assert [layer.thickness_mm for layer in layers] == [0.08, 1.4, 5.0]
    assert epidermis.absorption_per_mm == calc.epidermis_absorption_per_mm(
        wavelength_nm, melanin_fraction=melanin
    )
    assert dermis.absorption_per_mm == pytest.approx(absorbs(wavelength_nm, 0.03, 0.65))
    assert fat.absorption_per_mm == pytest.approx(absorbs(wavelength_nm, 0.01, 0.15, 0.75))
    for medium, name in ((epidermis, "epidermis"), (dermis, "skin"), (fat, "fatty")):
        assert medium.reduced_scattering_per_mm == pytest.approx(
            calc.reduced_scattering_per_mm(wavelength_nm, tissue_name=name)
        )
        assert medium.anisotropy == calc.skin_anisotropy(wavelength_nm)
        assert {type(number) for number in medium} == {float}


def test_without_a_thickness_the_fat_has_no_end_and_the_rest_is_the_tables():
    thicknesses = [layer.thickness_mm for layer in calc.skin_layers(850, melanin_fraction=0.1)]
    rows = [*light.skin_layers().values()]
    assert thicknesses == [rows[0].thickness_mm, rows[1].thickness_mm, math.inf]


def test_blood_makes_the_dermis_darker_and_leaves_the_other_layers():
    pale, flushed = (
        calc.skin_layers(850, melanin_fraction=0.1, blood_fraction=b) for b in (0.01, 0.05)
    )
    assert flushed[1].medium.absorption_per_mm > pale[1].medium.absorption_per_mm
    assert (flushed[0], flushed[2]) == (pale[0], pale[2])


def test_layers_of_several_wavelengths_or_impossible_melanin_raise():
    with pytest.raises(ValueError, match="it must be a single number from"):
        calc.skin_layers([760, 850], melanin_fraction=0.1)
    with pytest.raises(ValueError, match=r"melanin fraction of the epidermis is 14: .* 0 to 0\.5"):
        calc.skin_layers(850, melanin_fraction=14)
    with pytest.raises(ValueError, match="thickness of the fat under the skin is inf mm"):
        calc.skin_layers(850, melanin_fraction=0.1, fat_mm=math.inf)


@given(st.floats(0, 100), st.floats(0.1, 100))
def test_the_colour_angle_turns_back_into_lightness(lightness, yellowness):
    angle = calc.skin_colour_angle_degrees(lightness, yellowness=yellowness)
    assert -90 < angle < 90
    assert 50 + yellowness * math.tan(math.radians(angle)) == pytest.approx(lightness, abs=1e-9)


def test_colour_classes_follow_each_other_from_light_to_dark():
    words = [calc.skin_colour_class(L, yellowness=15.0) for L in range(90, 5, -1)]
    order = list(dict.fromkeys(words))
    assert order == ["very light", "light", "intermediate", "tan", "brown", "dark"]
    assert words == sorted(words, key=order.index)


def test_a_limit_of_the_colour_angle_belongs_to_the_darker_class(monkeypatch):
    rows = [light.ColourClass(words, above, "", "", "") for words, above in (("a", 0), ("b", -90))]
    monkeypatch.setattr(light, "colour_classes", lambda: rows)
    assert calc.skin_colour_class(50, yellowness=15.0) == "b"
    assert calc.skin_colour_class(50 + 1e-9, yellowness=15.0) == "a"


def test_a_layer_lies_in_its_own_ranges():
    for row in light.skin_layers().values():
        assert row.thickness_low_mm <= row.thickness_mm <= row.thickness_high_mm
        assert row.blood_low <= row.blood_fraction <= row.blood_high
        assert row.index_low <= row.refractive_index <= row.index_high
        if row.water_fraction is not None:
            assert row.water_low <= row.water_fraction <= row.water_high
            assert row.fat_low <= row.fat_fraction <= row.fat_high
            assert row.blood_fraction + row.water_fraction + row.fat_fraction <= 1


def test_sources_disagree_twenty_fold_on_melanin_and_none_names_a_people():
    rows = light.melanin_fractions()
    assert max(r.high for r in rows) / max(r.high for r in rows if r.seen == "read") > 20
    words = " ".join(r.words for r in rows).lower()
    assert not {"african", "asian", "european", "caucasian", "indian"} & set(words.split())
