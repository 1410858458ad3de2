"""Infrared light on eye and skin: limits by time, and the margin of an invented lamp."""

from typing import NamedTuple

import numpy as np

from cubital import tables
from cubital.calc.light.spectrum import chosen
from cubital.calc.shared.quantities import check, checked, remarks, single
from cubital.calc.shared.units import M_PER_MM, Number, plain
from cubital.tables import readiness as exposure

CAUTION = (
    "For training. Local policy, the device's instructions for use and licensed practice decide."
)


class Margin(NamedTuple):
    """One limit of exposure, what a source gives, and how many times below the limit it is."""

    hazard: str
    exposure: float
    limit: float
    unit: str
    margin: float
    within: bool
    guideline: str


class Exposure(NamedTuple):
    """The margins of a source at an exposure time; simulated, not clinically validated."""

    source: str
    notice: str
    caution: str
    margins: tuple[Margin, ...]
    remarks: tuple[str, ...]


@checked
def eye_irradiance_limit_w_per_m2(exposure_time_s: Number) -> Number:
    """Return the limit of infrared irradiance on cornea and lens.

    `E = 18000 t^-0.75` below 1000 s, `E = 100` from 1000 s on

    Parameters
    ----------
    exposure_time_s : float or array
        Time of exposure [s]

    Returns
    -------
    float or ndarray
        Irradiance on the eye, summed from 780 to 3000 nm [W/m2]

    Notes
    -----
    0.001 to 30000 s. For lamps and LEDs, not for lasers. It has a step of 1 % at 1000 s. The
    guidelines of 2013 may let wavelengths below 1000 nm count less; this counts them in full. The
    device's instructions for use decide.

    Examples
    --------
    >>> round(eye_irradiance_limit_w_per_m2(7), 2)
    4182.63
    >>> eye_irradiance_limit_w_per_m2(3600)
    100.0

    References
    ----------
    led-worked-examples, iec-62471, icnirp-2013, tracker-led-page, eu-2006-25
    """
    time = np.asarray(exposure_time_s)
    coefficient = tables.constant("eye-limit-coefficient").value
    power = tables.constant("eye-limit-power").value
    long_from = tables.constant("eye-limit-long-from").value
    long_limit = tables.constant("eye-limit-long").value
    return plain(np.where(time < long_from, coefficient * time**-power, long_limit))


@checked
def skin_exposure_limit_j_per_m2(skin_exposure_time_s: Number) -> Number:
    """Return the limit of radiant exposure of the skin in a short exposure.

    `H = 20000 t^0.25`

    Parameters
    ----------
    skin_exposure_time_s : float or array
        Time of exposure [s]

    Returns
    -------
    float or ndarray
        Radiant exposure, summed from 380 to 3000 nm [J/m2]

    Notes
    -----
    0.001 to 10 s: against burns. Beyond there is no limit in numbers, because a person draws back
    from heat in time; one who feels no warmth or pain, or cannot move, does not. The device's
    instructions for use decide.

    Examples
    --------
    >>> skin_exposure_limit_j_per_m2(1)
    20000.0

    References
    ----------
    icnirp-2013, iec-62471, eu-2006-25
    """
    time = np.asarray(skin_exposure_time_s)
    power = tables.constant("skin-limit-power").value
    return plain(tables.constant("skin-limit-coefficient").value * time**power)


def retina_radiance_limit_w_per_m2_sr(
    source_angle_rad: Number, *, guideline: str = "icnirp-2013"
) -> Number:
    """Return the limit of weighted radiance for the retina in a long look at a dim infrared source.

    `L_R = 6300 / alpha` (icnirp-2013) or `L_R = 6000 / alpha` (iec-62471-2006)

    Parameters
    ----------
    source_angle_rad : float or array
        Angle alpha that the source subtends at the eye [rad]
    guideline : str
        icnirp-2013 or iec-62471-2006 [-]

    Returns
    -------
    float or ndarray
        Radiance, weighted and summed from 780 to 1400 nm [W/(m2 sr)]

    Notes
    -----
    Angle 0.0001 to 3 rad; below 0.011 rad it counts as 0.011, above 0.1 rad as 0.1. For looks from
    100 s (icnirp-2013) or 10 s (iec-62471-2006) at a source too dim to make the eye turn away.
    The two differ by 5 %: name the one you use. The device's instructions for use decide.

    Examples
    --------
    >>> round(retina_radiance_limit_w_per_m2_sr(0.011, guideline="iec-62471-2006"))
    545455
    >>> round(retina_radiance_limit_w_per_m2_sr(0.011))
    572727

    References
    ----------
    icnirp-2013, iec-62471, led-worked-examples
    """
    row = chosen(exposure.retina_limits(), guideline, kind="guideline")
    angle = np.clip(
        check("source_angle_rad", source_angle_rad),
        tables.constant("retina-angle-least").value,
        tables.constant("retina-angle-most").value,
    )
    return plain(row.coefficient_w_per_m2_sr_rad / angle)


@checked
def retina_thermal_weight(wavelength_nm: Number) -> Number:
    """Return how much a wavelength counts in heating the retina.

    `R = 10^((700 - nm) / 500)` from 700 nm on, 1 below

    Parameters
    ----------
    wavelength_nm : float or array
        Wavelength in air [nm]

    Returns
    -------
    float or ndarray
        Weight [-]

    Notes
    -----
    650 to 1000 nm, within the 500 to 1050 nm of the rule. From memory of the guidelines.

    Examples
    --------
    >>> round(retina_thermal_weight(850), 4)
    0.5012

    References
    ----------
    icnirp-2013
    """
    beyond = np.asarray(wavelength_nm - tables.constant("retina-weight-start").value)
    decade = tables.constant("retina-weight-decade").value
    return plain(10.0 ** (-np.maximum(beyond, 0) / decade))  # 10: the rule is in decades


@checked("source_distance_mm", "radiant_intensity_w_per_sr")
def irradiance_w_per_m2(
    radiant_intensity_w_per_sr: Number, *, source_distance_mm: Number
) -> Number:
    """Return the irradiance at a distance from a small source.

    `E = I / d^2`

    Parameters
    ----------
    radiant_intensity_w_per_sr : float or array
        Radiant intensity towards the eye or the skin [W/sr]
    source_distance_mm : float or array
        Distance from the source [mm]

    Returns
    -------
    float or ndarray
        Irradiance on a surface that faces the source [W/m2]

    Notes
    -----
    Intensity 0 to 1000 W/sr, distance 10 to 10000 mm. For a source smaller than a fifth of the
    distance; lenses and mirrors on the way change it.

    Examples
    --------
    >>> round(irradiance_w_per_m2(0.5, source_distance_mm=250), 3)
    8.0

    References
    ----------
    led-worked-examples
    """
    distance_m = source_distance_mm * M_PER_MM
    return plain(radiant_intensity_w_per_sr / distance_m**2)


def exposure_margins(
    source_name: str = "ring-lamp",
    *,
    exposure_time_s: float,
    source_distance_mm: float | None = None,
) -> Exposure:
    """Return how far an invented source of infrared light is below the limits for eye and skin.

    `margin = limit / exposure`

    Parameters
    ----------
    source_name : str
        A key of `assets/readiness/exposure-source.toml` [-]
    exposure_time_s : float
        Time of exposure [s]
    source_distance_mm : float, optional
        Distance of eye and skin from the source, without one the source's own [mm]

    Returns
    -------
    Exposure
        A margin [-] for each limit, with exposure and limit in its unit [W/m2, J/m2, W/(m2 sr)]

    Notes
    -----
    0.001 to 30000 s, 10 to 10000 mm. The limit for the retina is that of a long look, which is
    the lowest; the limit for the skin exists only below 10 s and is left out beyond. Takes the
    source as round, even, and facing eye and skin. Simulated, not clinically validated: the
    lamp is invented, and for a real device its instructions for use and safety report decide.

    Examples
    --------
    >>> result = exposure_margins(exposure_time_s=600)
    >>> [(row.hazard, row.within) for row in result.margins][0]
    ('cornea and lens', True)

    References
    ----------
    icnirp-2013, iec-62471
    """
    lamp = chosen(exposure.light_sources(), source_name, kind="source of light")
    given = lamp.source_distance_mm if source_distance_mm is None else source_distance_mm
    distance = single("source_distance_mm", given)
    time = single("exposure_time_s", exposure_time_s)
    irradiance = irradiance_w_per_m2(lamp.radiant_intensity_w_per_sr, source_distance_mm=distance)
    eye = _margin(
        "cornea and lens",
        irradiance,
        eye_irradiance_limit_w_per_m2(time),
        unit="W/m2",
        guideline="iec-62471",
    )
    skin = ()
    if time < tables.limits()["skin_exposure_time_s"].high:
        limit = skin_exposure_limit_j_per_m2(time)
        dose = irradiance * time
        skin = (_margin("skin", dose, limit, unit="J/m2", guideline="icnirp-2013"),)
    diameter = lamp.source_diameter_mm
    area_m2 = np.pi * (diameter * M_PER_MM / 2) ** 2
    radiance = lamp.radiant_intensity_w_per_sr / area_m2
    retina = [
        _margin(
            "retina",
            radiance * retina_thermal_weight(lamp.wavelength_nm),
            retina_radiance_limit_w_per_m2_sr(diameter / distance, guideline=key),
            unit="W/(m2 sr)",
            guideline=key,
        )
        for key in exposure.retina_limits()
    ]
    return Exposure(
        source=lamp.words,
        notice=lamp.notice,
        caution=CAUTION,
        margins=(eye, *skin, *retina),
        remarks=remarks(exposure_time_s=time, source_distance_mm=distance),
    )


def _margin(hazard: str, exposed: float, limit: float, *, unit: str, guideline: str) -> Margin:
    return Margin(hazard, exposed, limit, unit, limit / exposed, exposed <= limit, guideline)
