"""Skin by what can be measured: melanin, thickness, blood, and colour as an angle."""

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from cubital import tables
from cubital.calc.light.absorbers import (
    bloodless_skin_absorption_per_mm,
    melanosome_absorption_per_mm,
)
from cubital.calc.light.blood import WHOLE_BLOOD, named_blood
from cubital.calc.light.media import Layer, Medium
from cubital.calc.light.tissue import (
    reduced_scattering_per_mm,
    skin_anisotropy,
    tissue_absorption_per_mm,
)
from cubital.calc.shared.quantities import check, checked, single
from cubital.calc.shared.units import Number, plain
from cubital.tables import light

MELANIN = "skin-optics-1998"


@checked("melanin_fraction")
def epidermis_absorption_per_mm(
    wavelength_nm: Number, *, melanin_fraction: Number, convention: str = MELANIN
) -> Number:
    """Return the absorption coefficient of epidermis from its melanin.

    `mu_a = M * mu_melanosome + (1 - M) * mu_bloodless`

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]
    melanin_fraction : float or array
        Share M of the volume that is melanosomes [-]
    convention : str
        Convention for melanosomes: skin-optics-1998, melanosome-1998 or review-2013 [-]

    Returns
    -------
    float or ndarray
        Absorption coefficient [1/mm]

    Notes
    -----
    650 to 1000 nm, melanin 0 to 0.5. Spreads melanin evenly through the layer; most of it lies at
    the bottom. Sources give deeply pigmented epidermis anything from 0.02 to 0.43: a fraction is
    a setting of the model, not a finding in a patient.

    Examples
    --------
    >>> round(epidermis_absorption_per_mm(850, melanin_fraction=0.14), 2)
    1.65

    References
    ----------
    jacques-1998, jacques-2013
    """
    melanin = melanin_fraction
    melanosome = melanosome_absorption_per_mm(wavelength_nm, convention=convention)
    return plain(
        melanin * melanosome + (1 - melanin) * bloodless_skin_absorption_per_mm(wavelength_nm)
    )


def epidermis_double_pass(
    wavelength_nm: Number,
    *,
    melanin_fraction: Number,
    epidermis_mm: Number,
    convention: str = MELANIN,
) -> Number:
    """Return the share of light that epidermis lets through down and up again.

    `share = exp(-2 mu_a d)`

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]
    melanin_fraction : float or array
        Share of the volume that is melanosomes [-]
    epidermis_mm : float or array
        Thickness d of the epidermis [mm]
    convention : str
        Convention for melanosomes: skin-optics-1998, melanosome-1998 or review-2013 [-]

    Returns
    -------
    float or ndarray
        Share [-]

    Notes
    -----
    650 to 1000 nm, melanin 0 to 0.5, epidermis 0.01 to 2 mm. Straight down and straight up:
    scattering lengthens the way, so the true share is less. Melanin takes light from vein and
    surroundings alike: it costs brightness, and little contrast while there is light enough.

    Examples
    --------
    >>> round(epidermis_double_pass(850, melanin_fraction=0.14, epidermis_mm=0.06), 3)
    0.821

    References
    ----------
    jacques-1998
    """
    absorption = epidermis_absorption_per_mm(
        wavelength_nm, melanin_fraction=melanin_fraction, convention=convention
    )
    return plain(np.exp(-2 * np.asarray(absorption * check("epidermis_mm", epidermis_mm))))


def skin_layers(
    wavelength_nm: float,
    *,
    melanin_fraction: float,
    epidermis_mm: float | None = None,
    dermis_mm: float | None = None,
    fat_mm: float | None = None,
    blood_fraction: float | None = None,
    oxygen_saturation: float | None = None,
    haematocrit: float | None = None,
    convention: str = MELANIN,
    table: str = WHOLE_BLOOD,
) -> tuple[Layer, Layer, Layer]:
    """Return epidermis, dermis and the fat under it as plane layers for light transport.

    `mu_s = mu_s' / (1 - g)`; each coefficient from its own function

    Parameters
    ----------
    wavelength_nm : float
        Wavelength in air [nm]
    melanin_fraction : float
        Share of the epidermis that is melanosomes [-]
    epidermis_mm : float, optional
        Thickness of the epidermis, without one that of `assets/light/layers.csv` [mm]
    dermis_mm : float, optional
        Thickness of the dermis, without one that of `assets/light/layers.csv` [mm]
    fat_mm : float, optional
        Thickness of the fat, without one without end [mm]
    blood_fraction : float, optional
        Share of the dermis that is blood, without one that of `assets/light/layers.csv` [-]
    oxygen_saturation : float, optional
        Saturation of the blood in dermis and fat, without one that of mixed tissue [-]
    haematocrit : float, optional
        Haematocrit of the blood in dermis and fat, without one that of mixed tissue [-]
    convention : str
        Convention for melanosomes: skin-optics-1998, melanosome-1998 or review-2013 [-]
    table : str
        Table of blood: bosschaart, prahl or moaveni [-]

    Returns
    -------
    tuple of Layer
        Epidermis, dermis, fat: coefficients [1/mm] and thickness [mm]

    Notes
    -----
    650 to 1000 nm; melanin 0 to 0.5; epidermis 0.01 to 2 mm, dermis 0.1 to 10 mm, fat 0.1 to
    100 mm; blood 0 to 1, saturation 0 to 1, haematocrit 0 to 0.7; single numbers only. Skin is
    plane, even along the arm, and without hair, gloss or veins. Absorption of dermis and fat is a
    lower bound (see `tissue_absorption_per_mm`); shares of blood, water and fat are teaching
    assumptions. Simulated, not clinically validated.

    Examples
    --------
    >>> epidermis, dermis, fat = skin_layers(850, melanin_fraction=0.05)
    >>> round(epidermis.medium.absorption_per_mm, 2), epidermis.thickness_mm
    (0.6, 0.1)
    >>> round(dermis.medium.reduced_scattering_per_mm, 2), fat.thickness_mm
    (2.16, inf)

    References
    ----------
    jacques-2013, jacques-1998, bhandari-2011
    """
    rows = light.skin_layers()
    mixed = named_blood("tissue")
    given = {
        "wavelength_nm": wavelength_nm,
        "melanin_fraction": melanin_fraction,
        "epidermis_mm": _given(epidermis_mm, rows["epidermis"].thickness_mm),
        "dermis_mm": _given(dermis_mm, rows["dermis"].thickness_mm),
        "blood_fraction": _given(blood_fraction, rows["dermis"].blood_fraction),
        "oxygen_saturation": _given(oxygen_saturation, mixed.oxygen_saturation),
        "haematocrit": _given(haematocrit, mixed.haematocrit),
    }
    value = {quantity: single(quantity, number) for quantity, number in given.items()}
    blood = {
        "oxygen_saturation": value["oxygen_saturation"],
        "haematocrit": value["haematocrit"],
        "table": table,
    }
    absorption = {
        "epidermis": epidermis_absorption_per_mm(
            value["wavelength_nm"],
            melanin_fraction=value["melanin_fraction"],
            convention=convention,
        ),
        "dermis": _mixture(value["wavelength_nm"], rows["dermis"], value["blood_fraction"], blood),
        "fat": _mixture(value["wavelength_nm"], rows["fat"], rows["fat"].blood_fraction, blood),
    }
    thickness = {
        "epidermis": value["epidermis_mm"],
        "dermis": value["dermis_mm"],
        "fat": math.inf if fat_mm is None else single("fat_mm", fat_mm),
    }
    return tuple(
        Layer(_medium(value["wavelength_nm"], rows[key], absorption[key]), thickness[key])
        for key in rows
    )


def _given(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


def _mixture(
    wavelength_nm: float, row: light.SkinLayer, blood_fraction: float, blood: Mapping[str, Any]
) -> float:
    return tissue_absorption_per_mm(
        wavelength_nm,
        blood_fraction=blood_fraction,
        water_fraction=row.water_fraction,
        fat_fraction=row.fat_fraction,
        **blood,
    )


def _medium(wavelength_nm: float, row: light.SkinLayer, absorption_per_mm: float) -> Medium:
    anisotropy = skin_anisotropy(wavelength_nm)
    reduced = reduced_scattering_per_mm(wavelength_nm, tissue_name=row.scattering)
    return Medium(absorption_per_mm, reduced / (1 - anisotropy), anisotropy, row.refractive_index)


@checked
def skin_colour_angle_degrees(lightness: Number, *, yellowness: Number) -> Number:
    """Return the individual typology angle, a measure of skin colour.

    `ITA = atan((L* - 50) / b*) * 180 / pi`

    Parameters
    ----------
    lightness : float or array
        L* of the colour, from a colorimeter on clean, unflushed skin [-]
    yellowness : float or array
        b* of the colour [-]

    Returns
    -------
    float or ndarray
        Individual typology angle [degrees]

    Notes
    -----
    L* 0 to 100, b* 0.1 to 100, under standard light. The lighter the skin, the larger the angle. It
    is a colour in visible light: it says nothing about origin, and little about how well a vein
    shows at 850 nm.

    Examples
    --------
    >>> round(skin_colour_angle_degrees(53.94, yellowness=19.23), 1)
    11.6

    References
    ----------
    chardon-1991
    """
    above = lightness - tables.constant("colour-angle-lightness").value
    return plain(np.degrees(np.arctan(above / yellowness)))


def skin_colour_class(lightness: float, *, yellowness: float) -> str:
    """Return the usual word for a skin colour by its individual typology angle.

    `class = first with limit < ITA`: very light 55, light 41, intermediate 28, tan 10, brown -30

    Parameters
    ----------
    lightness : float
        L* of the colour [-]
    yellowness : float
        b* of the colour [-]

    Returns
    -------
    str
        very light, light, intermediate, tan, brown or dark [-]

    Notes
    -----
    L* 0 to 100, b* 0.1 to 100. The words are customary; a limit belongs to the darker class.

    Examples
    --------
    >>> skin_colour_class(53.94, yellowness=19.23)
    'tan'

    References
    ----------
    chardon-1991
    """
    angle = skin_colour_angle_degrees(lightness, yellowness=yellowness)
    classes = light.colour_classes()
    return next((row.words for row in classes if angle > row.above_degrees), classes[-1].words)
