"""Sight lines into a clear phantom. Not into skin, which scatters light and forms no image."""

import numpy as np

from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import Number, plain


@checked
def phantom_sight_line_shift_mm(
    phantom_depth_mm: Number, *, sight_angle_deg: Number, phantom_index: Number
) -> Number:
    """Return how far a straight line of sight misses a thread in a clear phantom.

    `shift = d * (tan i - tan r)`, with `sin r = sin i / n`

    Parameters
    ----------
    phantom_depth_mm : float or array
        Depth d of the thread below the surface [mm]
    sight_angle_deg : float or array
        Angle i between the line of sight in air and the normal [degrees]
    phantom_index : float or array
        Refractive index n of the clear phantom [-]

    Returns
    -------
    float or ndarray
        Distance along the surface between where the line points and where the thread is [mm]

    Notes
    -----
    Depth 0 to 300 mm, angle 0 to 89 degrees, index 1 to 2. For clear phantoms (gel, water) only.
    Not for skin: there light is scattered many times, and the shadow lies above the vein along the
    normal, whatever the line of sight. That is reasoned, not taken from a source.

    Examples
    --------
    >>> shift = phantom_sight_line_shift_mm(6, sight_angle_deg=30, phantom_index=1.37)
    >>> round(shift, 2)
    1.11

    References
    ----------
    hecht-optics
    """
    incident = np.radians(sight_angle_deg)
    inside = np.arcsin(np.sin(incident) / phantom_index)
    return plain(phantom_depth_mm * np.maximum(np.tan(incident) - np.tan(inside), 0))


@checked
def phantom_apparent_depth_mm(phantom_depth_mm: Number, *, phantom_index: Number) -> Number:
    """Return how deep a thread in a clear phantom looks from straight above.

    `d' = d / n`

    Parameters
    ----------
    phantom_depth_mm : float or array
        True depth d below the surface [mm]
    phantom_index : float or array
        Refractive index n of the clear phantom [-]

    Returns
    -------
    float or ndarray
        Apparent depth [mm]

    Notes
    -----
    Depth 0 to 300 mm, index 1 to 2. Near the normal, for clear phantoms (gel, water) only: a vein
    in skin has no apparent depth, since scattered light forms no image of it.

    Examples
    --------
    >>> round(phantom_apparent_depth_mm(6, phantom_index=1.37), 2)
    4.38

    References
    ----------
    hecht-optics
    """
    return plain(phantom_depth_mm / phantom_index)
