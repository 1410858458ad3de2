"""Tissue in light: absorption by what it is made of, reduced scattering, index, anisotropy."""

import numpy as np

from cubital import tables
from cubital.calc.light.absorbers import fat_absorption_per_mm, water_absorption_per_mm
from cubital.calc.light.blood import WHOLE_BLOOD, blood_absorption_per_mm
from cubital.calc.light.spectrum import Spread, chosen, spread
from cubital.calc.shared.quantities import check, checked, written
from cubital.calc.shared.units import MM_PER_CM, Number, plain
from cubital.tables import light

POWER, RAYLEIGH_MIE = "power", "rayleigh-mie"


@checked("blood_fraction", "water_fraction", "fat_fraction")
def tissue_absorption_per_mm(
    wavelength_nm: Number,
    *,
    blood_fraction: Number,
    oxygen_saturation: Number,
    haematocrit: Number,
    water_fraction: Number,
    fat_fraction: Number,
    table: str = WHOLE_BLOOD,
) -> Number:
    """Return the absorption coefficient of tissue from the shares of blood, water and fat.

    `mu_a = B * mu_blood(S) + W * mu_water + F * mu_fat`

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]
    blood_fraction : float or array
        Share B of the volume that is blood [-]
    oxygen_saturation : float or array
        Share S of the haemoglobin that carries oxygen [-]
    haematocrit : float or array
        Share of the blood's volume that is red cells [-]
    water_fraction : float or array
        Share W of the volume that is water outside the blood [-]
    fat_fraction : float or array
        Share F of the volume that is fat [-]
    table : str
        Table of blood: bosschaart, prahl or moaveni [-]

    Returns
    -------
    float or ndarray
        Absorption coefficient [1/mm]

    Notes
    -----
    650 to 1000 nm; saturation and shares 0 to 1, together at most 1; haematocrit 0 to 0.7. Leaves
    out what is neither blood, water nor fat, so it is a lower bound: in skin without blood and
    melanin, a fit gives 0.025 per mm where water alone gives 0.003 at 850 nm, and excised dermis
    measured 0.10.

    Examples
    --------
    >>> round(tissue_absorption_per_mm(
    ...     850, blood_fraction=0.02, oxygen_saturation=0.64, haematocrit=0.45,
    ...     water_fraction=0.65, fat_fraction=0), 4)
    0.0121

    References
    ----------
    jacques-2013, salomatina-2006
    """
    filled = np.asarray(blood_fraction + water_fraction + fat_fraction)
    if (filled > 1 + np.finfo(float).eps * 2).any():
        total = written(np.round(filled.max(), 6))  # 6 digits: for reading
        raise ValueError(
            f"the fractions of blood, water and fat add to {total}: they must add to at most 1"
        )
    of_blood = blood_absorption_per_mm(
        wavelength_nm, oxygen_saturation=oxygen_saturation, haematocrit=haematocrit, table=table
    )
    return plain(
        blood_fraction * of_blood
        + water_fraction * water_absorption_per_mm(wavelength_nm)
        + fat_fraction * fat_absorption_per_mm(wavelength_nm)
    )


def _by_power(row: light.Scattering, relative: Number) -> Number:
    return row.power_a_per_cm * relative**-row.power_b / MM_PER_CM


def _by_rayleigh_mie(row: light.Scattering, relative: Number) -> Number:
    rayleigh = row.rayleigh_share * relative**-4  # particles much smaller than a wavelength
    mie = (1 - row.rayleigh_share) * relative**-row.mie_b
    return row.mie_a_per_cm * (rayleigh + mie) / MM_PER_CM


def _models(row: light.Scattering) -> dict:
    """Return the models that a row has coefficients for."""
    found = {POWER: (_by_power, row.power_a_per_cm), RAYLEIGH_MIE: (_by_rayleigh_mie, row.mie_b)}
    return {name: model for name, (model, given) in found.items() if given is not None}


def reduced_scattering_per_mm(
    wavelength_nm: Number, *, tissue_name: str, model: str = POWER
) -> Number:
    """Return the reduced scattering coefficient of a named tissue.

    `mu_s' = a (nm/500)^-b`, or `mu_s' = a' (f (nm/500)^-4 + (1 - f) (nm/500)^-c)`

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]
    tissue_name : str
        A key of `assets/light/scattering.csv`, such as skin, dermis, epidermis or fatty [-]
    model : str
        power (the first formula) or rayleigh-mie (the second) [-]

    Returns
    -------
    float or ndarray
        Reduced scattering coefficient [1/mm]

    Notes
    -----
    650 to 1000 nm, within the fits' 400 to 1300 nm. The mean of skin is known to about 30 % from
    source to source, and single sources lie a factor of two apart: see the spread.

    Examples
    --------
    >>> round(reduced_scattering_per_mm(850, tissue_name="skin"), 3)
    2.164
    >>> round(reduced_scattering_per_mm(850, tissue_name="skin", model="rayleigh-mie"), 3)
    2.19

    References
    ----------
    jacques-2013
    """
    row = chosen(light.scattering(), tissue_name, kind="tissue")
    formula = chosen(_models(row), model, kind=f"model of scattering for {tissue_name}")
    relative = np.asarray(check("wavelength_nm", wavelength_nm) / row.reference_nm)
    return plain(formula(row, relative))


def reduced_scattering_spread_per_mm(wavelength_nm: Number, *, group: str) -> Spread:
    """Return how far sources disagree on the reduced scattering of a group of tissues.

    `low <= mu_s' <= high`, over all sources and models of the group

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]
    group : str
        skin (dermis or all of skin), epidermis or fat [-]

    Returns
    -------
    Spread
        Least and greatest reduced scattering coefficient [1/mm], and the sources [-]

    Notes
    -----
    650 to 1000 nm. A spread of mean values: people, sites and methods spread it further, in the
    whole literature by more than a factor of ten.

    Examples
    --------
    >>> between = reduced_scattering_spread_per_mm(850, group="skin")
    >>> round(between.low, 2), round(between.high, 2)
    (1.19, 2.28)

    References
    ----------
    jacques-2013, vts, jacques-1998, lister-2012
    """
    groups: dict[str, list[light.Scattering]] = {}
    for row in light.scattering().values():
        groups.setdefault(row.group, []).append(row)
    return spread(
        {
            f"{row.key}, {model}": reduced_scattering_per_mm(
                wavelength_nm, tissue_name=row.key, model=model
            )
            for row in chosen(groups, group, kind="group of tissues")
            for model in _models(row)
        }
    )


@checked
def skin_anisotropy(wavelength_nm: Number) -> Number:
    """Return the mean cosine of a scattering in skin.

    `g = 0.62 + 0.00029 nm`

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
    650 to 1000 nm, but fitted only from 302 to 633 nm: here the line is carried on. Many codes
    take 0.9. Away from a source and a boundary only the reduced scattering counts.

    Examples
    --------
    >>> round(skin_anisotropy(850), 4)
    0.8665

    References
    ----------
    van-gemert-1989
    """
    at_zero = tables.constant("skin-anisotropy-at-zero").value
    slope = tables.constant("skin-anisotropy-slope").value
    return plain(at_zero + slope * wavelength_nm)


@checked
def tissue_refractive_index(water_fraction: Number) -> Number:
    """Return the refractive index of tissue from its share of water.

    `n = n_dry - (n_dry - n_water) W`

    Parameters
    ----------
    water_fraction : float or array
        Share W of the volume that is water [-]

    Returns
    -------
    float or ndarray
        Refractive index [-]

    Notes
    -----
    Share 0 to 1. A rule of thumb without a wavelength: from 650 to 1000 nm the index of skin falls
    by about 0.01.

    Examples
    --------
    >>> round(tissue_refractive_index(0.65), 4)
    1.3895

    References
    ----------
    jacques-2013
    """
    dry = tables.constant("dry-tissue-refractive-index").value
    water = tables.constant("water-refractive-index").value
    return plain(dry - (dry - water) * water_fraction)
