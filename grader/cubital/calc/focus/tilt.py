"""Tilted and round skin: stretch, depth and the part of the window that they use up."""

import numpy as np

from cubital.calc.shared.quantities import checked, written
from cubital.calc.shared.units import Number, plain


@checked
def tilt_stretch(tilt_deg: Number) -> Number:
    """Return how much a projected picture is stretched along tilted skin.

    `stretch = 1 / cos t`

    Parameters
    ----------
    tilt_deg : float or array
        Tilt of the skin against a plane square to the axis [degrees]

    Returns
    -------
    float or ndarray
        Length on the skin over length on skin that is square to the axis [-]

    Notes
    -----
    Tilt -85 to 85 degrees. Along the tilt only; across it nothing changes. The camera sees the skin
    shortened by the same factor. Small pictures far away: what the near and the far edge add by
    their distance is left out.

    Examples
    --------
    >>> round(tilt_stretch(20), 3)
    1.064

    References
    ----------
    hecht-optics
    """
    return plain(1 / np.cos(np.radians(tilt_deg)))


@checked("tilt_deg", "field_mm")
def tilt_depth_span_mm(field_mm: Number, *, tilt_deg: Number) -> Number:
    """Return by how much two ends of a tilted stretch of skin differ in distance.

    `span = L * sin |t|`

    Parameters
    ----------
    field_mm : float or array
        Length L of the skin in the picture, along the tilt [mm]
    tilt_deg : float or array
        Tilt of the skin against a plane square to the axis [degrees]

    Returns
    -------
    float or ndarray
        Difference in distance between the two ends [mm]

    Notes
    -----
    Length 1 to 2000 mm, tilt -85 to 85 degrees. Flat skin. With the middle at the working distance,
    each end is half of this off.

    Examples
    --------
    >>> round(tilt_depth_span_mm(96, tilt_deg=20), 1)
    32.8

    References
    ----------
    hecht-optics
    """
    tilt = np.radians(np.abs(tilt_deg))
    return plain(field_mm * np.sin(tilt))


@checked("window_mm", "field_mm")
def largest_tilt_deg(field_mm: Number, *, window_mm: Number) -> Number:
    """Return the largest tilt at which the whole length of a picture stays in the window.

    `t = arcsin(2 w / L)`, and 90 where the window is longer than the picture

    Parameters
    ----------
    field_mm : float or array
        Length L of the skin in the picture, along the tilt [mm]
    window_mm : float or array
        Half-width w of the window about the working distance [mm]

    Returns
    -------
    float or ndarray
        Tilt [degrees]

    Notes
    -----
    Length 1 to 2000 mm, window 0.1 to 1000 mm. Flat skin, its middle at the working distance, and
    nothing else that uses up the window.

    Examples
    --------
    >>> round(largest_tilt_deg(96, window_mm=18), 1)
    22.0

    References
    ----------
    hecht-optics
    """
    share = 2 * window_mm / field_mm
    return plain(np.degrees(np.arcsin(np.minimum(share, 1))))


@checked
def limb_drop_mm(place_mm: Number, *, limb_radius_mm: Number) -> Number:
    """Return how far round skin lies below its highest line.

    `drop = R - sqrt(R^2 - x^2)`

    Parameters
    ----------
    place_mm : float or array
        Place x across the limb, from its highest line [mm]
    limb_radius_mm : float or array
        Radius R of the limb, or of the local curve of the skin [mm]

    Returns
    -------
    float or ndarray
        How much farther away the skin is than at its highest line [mm]

    Notes
    -----
    Place -1000 to 1000 mm and not beyond the radius, radius 3 to 300 mm. A round limb seen from far
    above; a wrist is flatter in front and back and rounder at its sides. This is the local distance
    error for registration_error_mm when the highest line is at the working distance.

    Examples
    --------
    >>> round(limb_drop_mm(15, limb_radius_mm=30), 2)
    4.02

    References
    ----------
    hecht-optics
    """
    place = np.asarray(place_mm)
    radius = np.asarray(limb_radius_mm)
    beside = np.asarray(np.abs(place) > radius)
    if beside.any():
        first = written(np.broadcast_to(place, beside.shape)[beside].flat[0])
        raise ValueError(
            f"place across the picture is {first} mm: it must be on the limb, within its radius"
        )
    # written so that nothing cancels near the highest line
    return plain(place**2 / (radius + np.sqrt(radius**2 - place**2)))


@checked
def convergence_angle_deg(baseline_mm: Number, *, reference_distance_mm: Number) -> Number:
    """Return the angle between axes that cross on the reference plane.

    `angle = arctan(b / s)`

    Parameters
    ----------
    baseline_mm : float or array
        Distance b between camera and projector [mm]
    reference_distance_mm : float or array
        Distance s of the reference plane, where the axes cross [mm]

    Returns
    -------
    float or ndarray
        Angle between the axis of the camera, square to the plane, and that of the projector
        [degrees]

    Notes
    -----
    Baseline 0 to 1000 mm, reference plane 10 to 20000 mm. The projector's plane of focus is tilted
    by this angle, so it uses up window as a tilt of the skin does; the registration error is that
    of parallel axes.

    Examples
    --------
    >>> round(convergence_angle_deg(24, reference_distance_mm=220), 1)
    6.2

    References
    ----------
    stereo-lecture
    """
    return plain(np.degrees(np.arctan(baseline_mm / reference_distance_mm)))
