"""Light at a smooth boundary between two clear media."""

import numpy as np

from cubital.calc.shared.quantities import checked, written
from cubital.calc.shared.units import Number, plain


@checked("refractive_index", "refractive_index_beyond", "incidence_deg")
def reflectance_share(
    incidence_deg: Number, *, refractive_index: Number, refractive_index_beyond: Number
) -> Number:
    """Return the share of unpolarised light that a smooth boundary reflects.

    `R = (Rs + Rp) / 2`, with `Rs = ((n1 cos i - n2 cos t) / (n1 cos i + n2 cos t))^2` and
    `Rp = ((n1 cos t - n2 cos i) / (n1 cos t + n2 cos i))^2` (Fresnel)

    Parameters
    ----------
    incidence_deg : float or array
        Angle i between the light and the normal, on the side it comes from [degrees]
    refractive_index : float or array
        Refractive index n1 where the light comes from [-]
    refractive_index_beyond : float or array
        Refractive index n2 beyond the boundary [-]

    Returns
    -------
    float or ndarray
        Reflected share; 1 from the critical angle on [-]

    Notes
    -----
    Angle 0 to 90 degrees, both indices 1 to 3. A smooth face between media that absorb little;
    not the sheen of rough or oily skin.

    Examples
    --------
    >>> round(reflectance_share(0, refractive_index=1, refractive_index_beyond=1.4), 4)
    0.0278

    References
    ----------
    born-wolf
    """
    before, after = refractive_index, refractive_index_beyond
    incident = np.radians(incidence_deg)
    sine, cosine = before / after * np.sin(incident), np.cos(incident)
    is_total = np.asarray(sine >= 1)
    beyond = np.sqrt(np.where(is_total, 1.0, 1 - np.square(sine)))  # any, where all is reflected
    across = (before * cosine - after * beyond) / (before * cosine + after * beyond)
    along = (before * beyond - after * cosine) / (before * beyond + after * cosine)
    return plain(np.where(is_total, 1.0, (across**2 + along**2) / 2)[()])


@checked
def critical_angle_deg(refractive_index: Number, *, refractive_index_beyond: Number) -> Number:
    """Return the angle from which on a boundary reflects all light.

    `sin i = n2 / n1`

    Parameters
    ----------
    refractive_index : float or array
        Refractive index n1 where the light comes from, the larger one [-]
    refractive_index_beyond : float or array
        Refractive index n2 beyond the boundary [-]

    Returns
    -------
    float or ndarray
        Angle to the normal, on the side the light comes from [degrees]

    Notes
    -----
    Both indices 1 to 3, the one beyond not the larger: into an optically denser medium some light
    gets at any angle.

    Examples
    --------
    >>> round(critical_angle_deg(1.4, refractive_index_beyond=1.0), 2)
    45.58

    References
    ----------
    born-wolf
    """
    before, after = refractive_index, refractive_index_beyond
    if np.any(after > before):
        raise ValueError(
            f"refractive index beyond the boundary is {written(np.max(after))}: "
            f"it must be from 1 to {written(np.min(before))}, that before it"
        )
    return plain(np.degrees(np.arcsin(after / before)))


@checked("refractive_index", "refractive_index_beyond", "incidence_deg")
def refraction_angle_deg(
    incidence_deg: Number, *, refractive_index: Number, refractive_index_beyond: Number
) -> Number:
    """Return the direction of light beyond a boundary.

    `sin t = n1 sin i / n2` (Snell)

    Parameters
    ----------
    incidence_deg : float or array
        Angle i between the light and the normal, on the side it comes from [degrees]
    refractive_index : float or array
        Refractive index n1 where the light comes from [-]
    refractive_index_beyond : float or array
        Refractive index n2 beyond the boundary [-]

    Returns
    -------
    float or ndarray
        Angle t to the normal beyond the boundary [degrees]

    Notes
    -----
    Angle 0 to 90 degrees, both indices 1 to 3; past the critical angle there is no light beyond
    and the angle is an error. A line of sight bends like this in clear phantoms only: in skin
    light is scattered many times, and a vein's shadow lies above it along the normal.

    Examples
    --------
    >>> round(refraction_angle_deg(30, refractive_index=1.0, refractive_index_beyond=1.37), 2)
    21.41

    References
    ----------
    born-wolf
    """
    before, after = refractive_index, refractive_index_beyond
    sine = before / after * np.sin(np.radians(incidence_deg))
    if np.any(sine > 1):
        critical = np.degrees(np.arcsin(np.min(after / before)))
        raise ValueError(
            f"angle of incidence is {written(np.max(incidence_deg))} degrees: for light to pass it "
            f"must be from 0 to {critical:.2f} degrees, the critical angle"
        )
    return plain(np.degrees(np.arcsin(sine)))
