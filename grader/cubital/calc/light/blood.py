"""Blood in light: absorption by saturation and haematocrit, scattering, isosbestic point."""

import numpy as np

from cubital import tables
from cubital.calc.light.media import Medium
from cubital.calc.light.spectrum import Spread, chosen, interpolate, spread
from cubital.calc.shared.quantities import check, checked, single
from cubital.calc.shared.units import MM_PER_CM, Number, plain
from cubital.tables import light

WHOLE_BLOOD = "bosschaart"


def named_blood(name: str) -> light.Blood:
    """Return oxygen saturation and haematocrit of a named kind of blood.

    `low <= saturation <= high`, with the ranges of `assets/light/blood.csv`

    Parameters
    ----------
    name : str
        venous, arterial or tissue [-]

    Returns
    -------
    Blood
        Oxygen saturation and haematocrit, each with its range and source [-]

    Notes
    -----
    Adults at rest. A limb that is cold, occluded or inflamed, and a patient with anaemia, lie
    elsewhere: then give the numbers themselves.

    Examples
    --------
    >>> named_blood("venous").oxygen_saturation
    0.7

    References
    ----------
    simpa-literature, jacques-2013
    """
    return chosen(light.blood(), name, kind="kind of blood")


@checked
def absorption_from_extinction_per_mm(
    extinction_per_cm_per_molar: Number,
    *,
    concentration_g_per_l: Number,
    molar_mass_g_per_mol: Number,
) -> Number:
    """Return the absorption coefficient of a solution from its molar extinction coefficient.

    `mu_a = ln(10) * extinction * concentration / molar mass`

    Parameters
    ----------
    extinction_per_cm_per_molar : float or array
        Molar extinction coefficient, to base 10 as spectrometers give it [1/(cm M)]
    concentration_g_per_l : float or array
        Concentration by mass [g/L]
    molar_mass_g_per_mol : float or array
        Molar mass that goes with the table of extinction [g/mol]

    Returns
    -------
    float or ndarray
        Absorption coefficient, to base e [1/mm]

    Notes
    -----
    Extinction 0 to 1000000, concentration 0 to 1000 g/L, molar mass 1 to 1000000 g/mol. Holds for
    a solution: red cells hide some of their haemoglobin where absorption is strong, little so in
    the near infrared. Page R50 of the review prints a factor ten times too large.

    Examples
    --------
    >>> round(absorption_from_extinction_per_mm(
    ...     818, concentration_g_per_l=150, molar_mass_g_per_mol=64458), 3)
    0.438

    References
    ----------
    jacques-2013, prahl-1999
    """
    extinction = extinction_per_cm_per_molar
    molar = concentration_g_per_l / molar_mass_g_per_mol
    return plain(np.log(10) * extinction * molar / MM_PER_CM)  # ln 10: from base 10 to base e


def _saturated_per_mm(wavelength_nm: Number, table: str) -> tuple[Number, Number]:
    """Return absorption of fully and of not oxygenated blood at the tables' haematocrit."""
    row = chosen(light.haemoglobin_tables(), table, kind="table of blood")
    if row.molar_mass_g_per_mol is None:
        blood = light.whole_blood()
        full = [(r.wavelength_nm, r.oxygenated_per_mm) for r in blood]
        none = [(r.wavelength_nm, r.deoxygenated_per_mm) for r in blood]
        return tuple(interpolate(wavelength_nm, table=table, rows=rows) for rows in (full, none))
    rows = light.haemoglobin(table)
    full = [(r.wavelength_nm, r.oxygenated_per_cm_per_molar) for r in rows]
    none = [(r.wavelength_nm, r.deoxygenated_per_cm_per_molar) for r in rows]
    return tuple(
        absorption_from_extinction_per_mm(
            interpolate(wavelength_nm, table=table, rows=pairs),
            concentration_g_per_l=tables.constant("blood-haemoglobin").value,
            molar_mass_g_per_mol=row.molar_mass_g_per_mol,
        )
        for pairs in (full, none)
    )


def blood_absorption_per_mm(
    wavelength_nm: Number,
    *,
    oxygen_saturation: Number,
    haematocrit: Number,
    table: str = WHOLE_BLOOD,
) -> Number:
    """Return the absorption coefficient of blood by a named table.

    `mu_a = (S * mu_oxygenated + (1 - S) * mu_deoxygenated) * haematocrit / 0.45`

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]
    oxygen_saturation : float or array
        Share S of the haemoglobin that carries oxygen [-]
    haematocrit : float or array
        Share of the blood's volume that is red cells [-]
    table : str
        bosschaart (whole blood), prahl or moaveni (haemoglobin only, 150 g/L at 0.45) [-]

    Returns
    -------
    float or ndarray
        Absorption coefficient [1/mm]

    Notes
    -----
    650 to 1000 nm (moaveni ends at 950), saturation 0 to 1, haematocrit 0 to 0.7; rows are joined
    by straight lines. The tables differ by up to a third below 950 nm, and two-fold at
    1000 nm without oxygen: name the one you use. The haemoglobin tables leave out the blood's
    water, up to 0.04 per mm near 970 nm; the table of whole blood holds it, and scales it with
    the haematocrit, which is not quite right.

    Examples
    --------
    >>> round(blood_absorption_per_mm(850, oxygen_saturation=0.7, haematocrit=0.45), 3)
    0.469
    >>> round(blood_absorption_per_mm(
    ...     850, oxygen_saturation=0.7, haematocrit=0.45, table="prahl"), 3)
    0.508

    References
    ----------
    bosschaart-2014, prahl-1999, moaveni-1970, boe-2017
    """
    full, none = _saturated_per_mm(wavelength_nm, table)
    saturation = check("oxygen_saturation", oxygen_saturation)
    scale = check("haematocrit", haematocrit) / tables.constant("blood-haematocrit").value
    return plain((saturation * full + (1 - saturation) * none) * scale)


@checked
def blood_absorption_spread_per_mm(
    wavelength_nm: Number, *, oxygen_saturation: Number, haematocrit: Number
) -> Spread:
    """Return how far the tables of blood disagree.

    `low <= mu_a <= high`, over the tables that reach the wavelength

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]
    oxygen_saturation : float or array
        Share of the haemoglobin that carries oxygen [-]
    haematocrit : float or array
        Share of the blood's volume that is red cells [-]

    Returns
    -------
    Spread
        Least and greatest absorption coefficient [1/mm], and the tables [-]

    Notes
    -----
    650 to 1000 nm, saturation 0 to 1, haematocrit 0 to 0.7. The spread of tables, not of people.

    Examples
    --------
    >>> between = blood_absorption_spread_per_mm(940, oxygen_saturation=0, haematocrit=0.45)
    >>> round(between.low, 3), round(between.high, 3)
    (0.371, 0.43)

    References
    ----------
    bosschaart-2014, prahl-1999, moaveni-1970
    """
    longest = np.max(wavelength_nm)
    reaching = [
        key
        for key in light.haemoglobin_tables()
        if key == WHOLE_BLOOD or longest <= light.haemoglobin(key)[-1].wavelength_nm
    ]
    return spread(
        {
            key: blood_absorption_per_mm(
                wavelength_nm,
                oxygen_saturation=oxygen_saturation,
                haematocrit=haematocrit,
                table=key,
            )
            for key in reaching
        }
    )


def isosbestic_wavelength_nm(table: str = WHOLE_BLOOD) -> float:
    """Return the near-infrared wavelength at which oxygen changes nothing in a table.

    `mu_oxygenated(nm) = mu_deoxygenated(nm)`, the longest such wavelength

    Parameters
    ----------
    table : str
        bosschaart, prahl or moaveni [-]

    Returns
    -------
    float
        Wavelength [nm]

    Notes
    -----
    Between rows joined by straight lines. Tables put it anywhere from 797 nm to 823 nm; a table
    with two decimals cannot say it better than to some nanometres.

    Examples
    --------
    >>> round(isosbestic_wavelength_nm("moaveni"))
    812

    References
    ----------
    prahl-1999, moaveni-1970, bosschaart-2014
    """
    row = chosen(light.haemoglobin_tables(), table, kind="table of blood")
    rows = light.whole_blood() if row.molar_mass_g_per_mol is None else light.haemoglobin(table)
    wavelengths = np.array([r.wavelength_nm for r in rows])
    full, none = _saturated_per_mm(wavelengths, table)
    difference = full - none
    below = np.flatnonzero(difference < 0)[-1]
    share = difference[below] / (difference[below] - difference[below + 1])
    return plain(wavelengths[below] + share * (wavelengths[below + 1] - wavelengths[below]))


@checked("haematocrit")
def blood_scattering_per_mm(wavelength_nm: Number, *, haematocrit: Number) -> Number:
    """Return the scattering coefficient of whole blood.

    `mu_s = mu_s(0.45) * H (1 - H) / (0.45 * (1 - 0.45))`, H the haematocrit

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]
    haematocrit : float or array
        Share of the blood's volume that is red cells [-]

    Returns
    -------
    float or ndarray
        Scattering coefficient [1/mm]

    Notes
    -----
    650 to 1000 nm, haematocrit 0 to 0.7; measured blood with oxygen at rows 10 nm apart, joined by
    straight lines. Theory gives 7 to 17 % less from 800 to 1000 nm, and blood without oxygen
    about 12 % less still. The step to another haematocrit is the simplest of several that differ
    by 16 % at 0.30; it is exact at 0.45 only.

    Examples
    --------
    >>> round(blood_scattering_per_mm(850, haematocrit=0.45), 1)
    74.2

    References
    ----------
    bosschaart-2014, twersky-1970
    """
    rows = [(row.wavelength_nm, row.scattering_per_mm) for row in light.whole_blood()]
    share = np.asarray(haematocrit)
    known = tables.constant("blood-haematocrit").value
    scale = share * (1 - share) / (known * (1 - known))
    return plain(scale * interpolate(wavelength_nm, table=WHOLE_BLOOD, rows=rows))


def blood_anisotropy(wavelength_nm: Number) -> Number:
    """Return the mean cosine of a scattering in whole blood.

    `g` between rows is a straight line: `g = g_1 + (g_2 - g_1) (nm - nm_1)/(nm_2 - nm_1)`

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]

    Returns
    -------
    float or ndarray
        Mean cosine [-]

    Notes
    -----
    650 to 1000 nm, measured blood with oxygen at a haematocrit of 0.45. Reduced scattering goes
    with 1 - g, so the difference of 0.003 to theory changes it by a fifth.

    Examples
    --------
    >>> round(blood_anisotropy(800), 4)
    0.9833

    References
    ----------
    bosschaart-2014
    """
    rows = [(row.wavelength_nm, row.anisotropy) for row in light.whole_blood()]
    return interpolate(wavelength_nm, table=WHOLE_BLOOD, rows=rows)


@checked("wavelength_nm", "haematocrit", "oxygen_saturation", form=single)
def blood_medium(
    wavelength_nm: float,
    *,
    oxygen_saturation: float,
    haematocrit: float,
    table: str = WHOLE_BLOOD,
) -> Medium:
    """Return blood as a medium for light transport.

    `mu_s' = mu_s (1 - g)`; each coefficient from its own function

    Parameters
    ----------
    wavelength_nm : float
        Wavelength in air [nm]
    oxygen_saturation : float
        Share of the haemoglobin that carries oxygen [-]
    haematocrit : float
        Share of the blood's volume that is red cells [-]
    table : str
        Table of absorption: bosschaart, prahl or moaveni [-]

    Returns
    -------
    Medium
        Absorption and scattering [1/mm], anisotropy and refractive index [-]

    Notes
    -----
    650 to 1000 nm, saturation 0 to 1, haematocrit 0 to 0.7; single numbers only. Blood at rest
    and in flow scatter differently; here both are the same. Simulated, not clinically validated.

    Examples
    --------
    >>> vein = blood_medium(850, oxygen_saturation=0.7, haematocrit=0.45)
    >>> round(vein.absorption_per_mm, 3), round(vein.reduced_scattering_per_mm, 2)
    (0.469, 1.25)

    References
    ----------
    bosschaart-2014, li-2000
    """
    return Medium(
        blood_absorption_per_mm(
            wavelength_nm,
            oxygen_saturation=oxygen_saturation,
            haematocrit=haematocrit,
            table=table,
        ),
        blood_scattering_per_mm(wavelength_nm, haematocrit=haematocrit),
        blood_anisotropy(wavelength_nm),
        tables.constant("blood-refractive-index").value,
    )
