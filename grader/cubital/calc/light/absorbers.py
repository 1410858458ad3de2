"""What absorbs light in skin besides blood: water, fat, melanin, and skin without any of them."""

import numpy as np

from cubital import tables
from cubital.calc.light.spectrum import Spread, chosen, interpolate, spread
from cubital.calc.shared.quantities import check, checked
from cubital.calc.shared.units import MM_PER_CM, MM_PER_M, NM_PER_MM, Number, plain
from cubital.tables import light


def water_absorption_per_mm(wavelength_nm: Number, *, table: str = "segelstein") -> Number:
    """Return the absorption coefficient of water by a named table.

    `mu_a` between rows is a straight line: `mu_a = mu_1 + (mu_2 - mu_1) (nm - nm_1)/(nm_2 - nm_1)`

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]
    table : str
        segelstein or hale-querry [-]

    Returns
    -------
    float or ndarray
        Absorption coefficient [1/mm]

    Notes
    -----
    650 to 1000 nm. The two tables differ by 8 % at 940 nm, on the slope of the water band at
    970 nm. Pure water near 25 degrees C; warmth shifts the band by a few nanometres.

    Examples
    --------
    >>> round(water_absorption_per_mm(970), 4)
    0.0453
    >>> round(water_absorption_per_mm(970, table="hale-querry"), 4)
    0.045

    References
    ----------
    segelstein-1981, hale-querry-1973
    """
    rows = chosen(light.water(), table, kind="table of water")
    pairs = [(row.wavelength_nm, row.absorption_per_cm) for row in rows]
    return interpolate(wavelength_nm, table=table, rows=pairs) / MM_PER_CM


@checked
def absorption_from_index_per_mm(imaginary_index: Number, *, wavelength_nm: Number) -> Number:
    """Return the absorption coefficient from the imaginary part of the refractive index.

    `mu_a = 4 pi k / wavelength`

    Parameters
    ----------
    imaginary_index : float or array
        Imaginary part k of the refractive index [-]
    wavelength_nm : float or array
        Wavelength in air [nm]

    Returns
    -------
    float or ndarray
        Absorption coefficient [1/mm]

    Notes
    -----
    Exact by definition, k from 0 to 1, 650 to 1000 nm.

    Examples
    --------
    >>> round(absorption_from_index_per_mm(3.47e-6, wavelength_nm=970), 4)
    0.045

    References
    ----------
    jacques-2013
    """
    k = imaginary_index
    wavelength_mm = wavelength_nm / NM_PER_MM
    return plain(4 * np.pi * k / wavelength_mm)  # 4 pi: intensity falls twice as fast as field


def fat_absorption_per_mm(wavelength_nm: Number) -> Number:
    """Return the absorption coefficient of pure fat.

    `mu_a` between rows is a straight line: `mu_a = mu_1 + (mu_2 - mu_1) (nm - nm_1)/(nm_2 - nm_1)`

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]

    Returns
    -------
    float or ndarray
        Absorption coefficient [1/mm]

    Notes
    -----
    650 to 1000 nm. Melted pig's fat, taken for human; its strongest band here is at 930 nm.

    Examples
    --------
    >>> round(fat_absorption_per_mm(930), 4)
    0.0131

    References
    ----------
    van-veen-2005
    """
    pairs = [(row.wavelength_nm, row.absorption_per_m) for row in light.fat()]
    return interpolate(wavelength_nm, table="fat", rows=pairs) / MM_PER_M


def melanosome_absorption_per_mm(
    wavelength_nm: Number, *, convention: str = "skin-optics-1998"
) -> Number:
    """Return the absorption coefficient of the inside of a melanosome by a named convention.

    `mu_a = c * (nm / nm_0)^-m`, with c, nm_0 and m from `assets/light/melanin.csv`

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]
    convention : str
        skin-optics-1998, melanosome-1998 or review-2013 [-]

    Returns
    -------
    float or ndarray
        Absorption coefficient [1/mm]

    Notes
    -----
    650 to 1000 nm. The conventions disagree by 8 to 20 %, melanosomes themselves ten-fold: a
    melanin fraction means something only together with its convention.

    Examples
    --------
    >>> round(melanosome_absorption_per_mm(850), 1)
    11.6
    >>> round(melanosome_absorption_per_mm(850, convention="review-2013"), 1)
    10.6

    References
    ----------
    jacques-1998, jacques-melanin-1998, jacques-2013
    """
    row = chosen(light.melanin(), convention, kind="convention for melanin")
    relative = np.asarray(check("wavelength_nm", wavelength_nm) / row.reference_nm)
    return plain(row.coefficient_per_cm * relative**-row.power / MM_PER_CM)


def melanosome_absorption_spread_per_mm(wavelength_nm: Number) -> Spread:
    """Return how far the conventions for melanosomes disagree.

    `low <= mu_a <= high`, over all conventions of `assets/light/melanin.csv`

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]

    Returns
    -------
    Spread
        Least and greatest absorption coefficient [1/mm], and the conventions [-]

    Notes
    -----
    650 to 1000 nm. The spread of three formulas, not of people.

    Examples
    --------
    >>> between = melanosome_absorption_spread_per_mm(940)
    >>> round(between.low, 2), round(between.high, 2)
    (7.66, 8.3)

    References
    ----------
    jacques-1998, jacques-melanin-1998, jacques-2013
    """
    return spread(
        {
            key: melanosome_absorption_per_mm(wavelength_nm, convention=key)
            for key in light.melanin()
        }
    )


@checked
def bloodless_skin_absorption_per_mm(wavelength_nm: Number) -> Number:
    """Return the absorption coefficient of skin without blood and melanin.

    `mu_a = 0.244 + 85.3 exp(-(nm - 154) / 66.2)` per cm

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]

    Returns
    -------
    float or ndarray
        Absorption coefficient [1/mm]

    Notes
    -----
    650 to 1000 nm, within the fit's 350 to 1100 nm. Rat skin, taken for human. It knows no water
    band, so above 920 nm it is too low.

    Examples
    --------
    >>> round(bloodless_skin_absorption_per_mm(850), 4)
    0.0246

    References
    ----------
    jacques-1998
    """
    floor, amplitude, start, width = (
        tables.constant(f"skin-baseline-{part}").value
        for part in ("floor", "amplitude", "start", "width")
    )
    beyond = np.asarray(wavelength_nm - start)
    return plain((floor + amplitude * np.exp(-beyond / width)) / MM_PER_CM)
