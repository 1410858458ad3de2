"""Light of a projected picture on the skin, and how it stands against the room light."""

from typing import NamedTuple

import numpy as np

from cubital.calc.focus.projection import camera_scale
from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import M2_PER_MM2, Number, plain


class PictureContrast(NamedTuple):
    """One contrast in its three customary forms [-]."""

    weber: Number
    michelson: Number
    ratio: Number


@checked("picture_width_mm", "picture_height_mm", "light_output_lm")
def picture_illuminance_lx(
    light_output_lm: Number, *, picture_width_mm: Number, picture_height_mm: Number
) -> Number:
    """Return how brightly a projector lights the skin where its picture is all white.

    `E = light output / (width * height)`

    Parameters
    ----------
    light_output_lm : float or array
        Light that leaves the projector [lm]
    picture_width_mm : float or array
        Width of the picture on the skin [mm]
    picture_height_mm : float or array
        Height of the picture on the skin [mm]

    Returns
    -------
    float or ndarray
        Illuminance, as a mean over the picture [lx]

    Notes
    -----
    Light output 0.001 to 100000 lm, width and height 1 to 5000 mm. All light falls in the picture,
    evenly; a real projector is brighter in the middle. Lumens weigh the light as a daylight-adapted
    eye does: near-infrared light counts nothing.

    Examples
    --------
    >>> lit = picture_illuminance_lx(14, picture_width_mm=96, picture_height_mm=72)
    >>> round(lit)
    2025

    References
    ----------
    hecht-optics
    """
    area_m2 = M2_PER_MM2 * picture_width_mm * picture_height_mm
    return plain(light_output_lm / area_m2)


@checked("reference_distance_mm", "distance_error_mm", "illuminance_lx")
def illuminance_at_distance_lx(
    illuminance_lx: Number, *, distance_error_mm: Number, reference_distance_mm: Number
) -> Number:
    """Return the illuminance when the skin is nearer or farther than the reference plane.

    `E' = E * (s / (s + ds))^2`

    Parameters
    ----------
    illuminance_lx : float or array
        Illuminance on the reference plane [lx]
    distance_error_mm : float or array
        How far the skin lies beyond the reference plane; below 0, nearer [mm]
    reference_distance_mm : float or array
        Distance s of the reference plane from the projector [mm]

    Returns
    -------
    float or ndarray
        Illuminance on the skin [lx]

    Notes
    -----
    Illuminance 0 to 1000000 lx, error of distance -10000 to 10000 mm, reference plane 10 to 20000
    mm, the skin in front of the projector. The same light on a picture that grows as the square of
    the distance; the light's source is taken as a point.

    Examples
    --------
    >>> round(illuminance_at_distance_lx(2000, distance_error_mm=22, reference_distance_mm=220))
    1653

    References
    ----------
    hecht-optics
    """
    shrunk = camera_scale(distance_error_mm, reference_distance_mm=reference_distance_mm)
    return plain(illuminance_lx * shrunk**2)


@checked("tilt_deg", "illuminance_lx")
def illuminance_on_tilt_lx(illuminance_lx: Number, *, tilt_deg: Number) -> Number:
    """Return the illuminance on skin that is tilted against the light.

    `E' = E * cos t`

    Parameters
    ----------
    illuminance_lx : float or array
        Illuminance on skin square to the light [lx]
    tilt_deg : float or array
        Tilt of the skin [degrees]

    Returns
    -------
    float or ndarray
        Illuminance on the tilted skin [lx]

    Notes
    -----
    Illuminance 0 to 1000000 lx, tilt -85 to 85 degrees. The same light on a picture that is
    stretched by 1 / cos t. Room light from all sides does not fall with the tilt, so contrast does.

    Examples
    --------
    >>> round(illuminance_on_tilt_lx(2000, tilt_deg=20))
    1879

    References
    ----------
    hecht-optics
    """
    tilt = np.radians(tilt_deg)
    return plain(illuminance_lx * np.cos(tilt))


@checked("surface_reflectance", "illuminance_lx")
def luminance_cd_per_m2(illuminance_lx: Number, *, surface_reflectance: Number) -> Number:
    """Return how bright a lit matt surface looks.

    `L = reflectance * E / pi` (Lambert)

    Parameters
    ----------
    illuminance_lx : float or array
        Illuminance on the surface [lx]
    surface_reflectance : float or array
        Share of the light that the surface gives back [-]

    Returns
    -------
    float or ndarray
        Luminance, the same from all sides [cd/m2]

    Notes
    -----
    Illuminance 0 to 1000000 lx, reflectance 0 to 1. Matt surface: the shine of moist or greasy skin
    is left out. Reflectance depends on the skin and on the colour of the light; it cancels in
    every contrast of picture against room light.

    Examples
    --------
    >>> round(luminance_cd_per_m2(2000, surface_reflectance=0.4))
    255

    References
    ----------
    hecht-optics
    """
    return plain(surface_reflectance * illuminance_lx / np.pi)


@checked
def picture_contrast(projected_lx: Number, *, room_lx: Number) -> PictureContrast:
    """Return the contrast of the lit against the unlit parts of a projected picture.

    `Weber = Ep / Ea`, `Michelson = Ep / (Ep + 2 Ea)`, `ratio = (Ep + Ea) / Ea`

    Parameters
    ----------
    projected_lx : float or array
        Illuminance Ep by the picture where it is lit [lx]
    room_lx : float or array
        Illuminance Ea of the same skin by the room [lx]

    Returns
    -------
    PictureContrast
        Weber contrast, Michelson contrast and luminance ratio [-]

    Notes
    -----
    Picture 0.001 to 1000000 lx, room light 0.01 to 200000 lx. Both fall on the same skin, so that
    its reflectance cancels. Colour contrast, which helps a green picture on skin, light that the
    projector leaks into its dark parts, and blur are left out.

    Examples
    --------
    >>> contrast = picture_contrast(2025, room_lx=500)
    >>> round(contrast.weber, 2), round(contrast.michelson, 2), round(contrast.ratio, 2)
    (4.05, 0.67, 5.05)

    References
    ----------
    contrast-and-colour-page, image-contrast-2011
    """
    lit, room = projected_lx, room_lx
    return PictureContrast(
        weber=plain(lit / room),
        michelson=plain(lit / (lit + 2 * room)),
        ratio=plain((lit + room) / room),
    )


@checked
def room_light_limit_lx(projected_lx: Number, *, weber_needed: Number) -> Number:
    """Return the room light above which a projected picture lacks a needed contrast.

    `Ea = Ep / Weber contrast needed`

    Parameters
    ----------
    projected_lx : float or array
        Illuminance by the picture where it is lit [lx]
    weber_needed : float or array
        Weber contrast that is needed: a luminance ratio less 1 [-]

    Returns
    -------
    float or ndarray
        Illuminance by the room light at which the contrast just fails [lx]

    Notes
    -----
    Picture 0.001 to 1000000 lx, contrast 0.001 to 1000. Which contrast is needed depends on the
    eye, the width of the lines and the colour; the course's 0.5 is a teaching assumption.

    Examples
    --------
    >>> room_light_limit_lx(2025, weber_needed=0.5)
    4050.0

    References
    ----------
    contrast-and-colour-page
    """
    return plain(projected_lx / weber_needed)
