"""How deep a vein is still seen through layered skin, at a given noise."""

import functools

import numpy as np

from cubital.calc.light.skin_visibility import skin_brightness_share, skin_vein_contrast
from cubital.calc.light.visibility import deepest_seen_mm
from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import Number


@checked("picture_wavelength_nm", "epidermal_melanin_fraction", "white_noise_share")
def skin_deepest_visible_mm(
    white_noise_share: Number,
    *,
    lumen_diameter_mm: Number,
    picture_wavelength_nm: Number,
    epidermal_melanin_fraction: Number,
    vessel_absorption_per_mm: Number | None = None,
    contrast_to_noise: Number | None = None,
) -> Number:
    """Return the deepest upper wall at which a vein stands out of the light's own noise.

    `contrast(depth) = ratio * noise / sqrt(R)`, solved for the depth; R is the skin's brightness

    Parameters
    ----------
    white_noise_share : float or array
        Noise where the vein is looked for, as a share of the brightness, if it were white [-]
    lumen_diameter_mm : float or array
        Inner diameter of the vein [mm]
    picture_wavelength_nm : float or array
        Wavelength of the light [nm]
    epidermal_melanin_fraction : float or array
        Share of the epidermis that is melanosomes [-]
    vessel_absorption_per_mm : float or array, optional
        Absorption of the blood; that of venous blood if not given [1/mm]
    contrast_to_noise : float or array, optional
        How many times the noise the contrast must be; 3 if not given [-]

    Returns
    -------
    float or ndarray
        Depth of the upper wall: 0 if not even one at 0.2 mm is seen, 8 for 8 or deeper [mm]

    Notes
    -----
    Noise 0.0001 to 1, diameter 0.5 to 6 mm, wavelength 700 to 1000 nm, melanin 0.01 to 0.43, blood
    of absorption 0.12 to 1.2 per mm, contrast-to-noise ratio 0.1 to 100. Noise of counted photons:
    darker skin sends back fewer, unless the light is turned up. The ratio needed is a teaching
    assumption. Leaves out hair, texture, room light and the camera's own noise and sensitivity. The
    contrast is a fit within 3 to 5 % of the transport, so the depth is within 0.1 mm of it.
    Simulated, not clinically validated.

    Examples
    --------
    >>> pale, dark = (
    ...     skin_deepest_visible_mm(
    ...         0.01, lumen_diameter_mm=3.0, picture_wavelength_nm=850.0,
    ...         epidermal_melanin_fraction=melanin,
    ...     )
    ...     for melanin in (0.02, 0.3)
    ... )
    >>> 2 < dark < pale
    True

    References
    ----------
    course, rose-1948
    """
    brightness = skin_brightness_share(
        picture_wavelength_nm, epidermal_melanin_fraction=epidermal_melanin_fraction
    )
    noise = white_noise_share / np.sqrt(brightness)
    contrast = functools.partial(
        skin_vein_contrast,
        lumen_diameter_mm=lumen_diameter_mm,
        picture_wavelength_nm=picture_wavelength_nm,
        epidermal_melanin_fraction=epidermal_melanin_fraction,
        vessel_absorption_per_mm=vessel_absorption_per_mm,
    )
    return deepest_seen_mm(contrast, noise, contrast_to_noise)
