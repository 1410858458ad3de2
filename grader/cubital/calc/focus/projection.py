"""Where a projected picture falls: its scale, and how far a mark falls beside its vein.

Camera and projector are pinholes side by side, looking the same way and a baseline apart. They are
made to agree on one plane, the reference plane, square to their axes; it lies at the working
distance. A distance error is positive where the skin is farther away than that plane.
"""

from typing import NamedTuple

import numpy as np

from cubital.calc.shared.quantities import checked, written
from cubital.calc.shared.units import Number, plain

ON_SKIN = "skin"
ON_REFERENCE_PLANE = "reference plane"


class Offset(NamedTuple):
    """A shift in two directions across the device's picture as it is held [mm]."""

    x_mm: Number
    y_mm: Number


@checked
def _distances(reference_distance_mm: Number, distance_error_mm: Number) -> tuple[Number, Number]:
    """Return the distance of the reference plane and that of the skin, both before the device."""
    skin = np.asarray(reference_distance_mm + distance_error_mm)
    if (skin <= 0).any():
        first = written(np.broadcast_to(distance_error_mm, skin.shape)[skin <= 0].flat[0])
        raise ValueError(
            f"distance beyond the reference plane is {first} mm: "
            "it must leave the skin in front of the device"
        )
    return reference_distance_mm, plain(skin)


def camera_scale(distance_error_mm: Number, *, reference_distance_mm: Number) -> Number:
    """Return how large things look to the camera, over their size on the reference plane.

    `scale = s / (s + ds)`

    Parameters
    ----------
    distance_error_mm : float or array
        How far the skin lies beyond the reference plane; below 0, nearer [mm]
    reference_distance_mm : float or array
        Distance s of the reference plane from the camera [mm]

    Returns
    -------
    float or ndarray
        Scale; 1 on the reference plane [-]

    Notes
    -----
    Reference plane 10 to 20000 mm, error -10000 to 10000 mm, the skin in front of the camera.
    Pinhole, skin square to the axis.

    Examples
    --------
    >>> round(camera_scale(11, reference_distance_mm=220), 3)
    0.952

    References
    ----------
    hecht-optics
    """
    reference, skin = _distances(reference_distance_mm, distance_error_mm)
    return plain(reference / skin)


def projected_scale(distance_error_mm: Number, *, reference_distance_mm: Number) -> Number:
    """Return how large the projected picture is, over its size on the reference plane.

    `scale = (s + ds) / s`

    Parameters
    ----------
    distance_error_mm : float or array
        How far the skin lies beyond the reference plane; below 0, nearer [mm]
    reference_distance_mm : float or array
        Distance s of the reference plane from the projector [mm]

    Returns
    -------
    float or ndarray
        Scale; 1 on the reference plane [-]

    Notes
    -----
    Reference plane 10 to 20000 mm, error -10000 to 10000 mm, the skin in front of the projector.
    Pinhole, skin square to the axis. With the camera on the same axis the two scales cancel: what
    looks smaller is projected larger, and falls where it belongs.

    Examples
    --------
    >>> projected_scale(11, reference_distance_mm=220)
    1.05

    References
    ----------
    hecht-optics
    """
    reference, skin = _distances(reference_distance_mm, distance_error_mm)
    return plain(skin / reference)


@checked("reference_distance_mm", "distance_error_mm", "baseline_mm")
def registration_error_mm(
    distance_error_mm: Number,
    *,
    baseline_mm: Number,
    reference_distance_mm: Number,
    measured_on: str = ON_SKIN,
) -> Number:
    """Return how far beside its vein a mark falls when the skin is off the reference plane.

    `e = b * dz / s` on the skin; `e = b * dz / (s + dz)` as the camera sees it, on the reference
    plane

    Parameters
    ----------
    distance_error_mm : float or array
        How far the skin at this place lies beyond the reference plane; below 0, nearer [mm]
    baseline_mm : float or array
        Distance b between camera and projector, side by side; 0 when they share an axis [mm]
    reference_distance_mm : float or array
        Distance s of the reference plane, on which the two agree [mm]
    measured_on : str, optional
        skin, or reference plane [-]

    Returns
    -------
    float or ndarray
        Error along the baseline; positive away from the projector, negative towards it [mm]

    Notes
    -----
    Error of distance -10000 to 10000 mm, baseline 0 to 1000 mm, reference plane 10 to 20000 mm.
    Exact for pinholes and skin that lies parallel to the reference plane, wherever in the picture;
    on a curved limb take the local distance. Axes that converge change nothing here, as long as the
    two agree on the plane. The vein is taken to lie under its dark band; delay is left out.

    Examples
    --------
    >>> error = registration_error_mm(11, baseline_mm=24, reference_distance_mm=220)
    >>> round(error, 2)
    1.2
    >>> registration_error_mm(11, baseline_mm=0, reference_distance_mm=220)
    0.0

    References
    ----------
    stereo-lecture
    """
    reference, skin = _distances(reference_distance_mm, distance_error_mm)
    shift = baseline_mm * distance_error_mm
    if measured_on not in (ON_SKIN, ON_REFERENCE_PLANE):
        raise ValueError(
            f"measured_on is {measured_on!r}: it must be {ON_SKIN!r} or {ON_REFERENCE_PLANE!r}"
        )
    return plain(shift / (reference if measured_on == ON_SKIN else skin))


@checked("registration_tolerance_mm", "reference_distance_mm", "baseline_mm")
def distance_error_allowed_mm(
    registration_tolerance_mm: Number, *, baseline_mm: Number, reference_distance_mm: Number
) -> Number:
    """Return how far off the reference plane the skin may be for a given registration error.

    `dz = e * s / b`, on the skin; infinite for a common axis

    Parameters
    ----------
    registration_tolerance_mm : float or array
        Registration error that is tolerated [mm]
    baseline_mm : float or array
        Distance b between camera and projector [mm]
    reference_distance_mm : float or array
        Distance s of the reference plane, on which the two agree [mm]

    Returns
    -------
    float or ndarray
        Largest distance from the reference plane, either way [mm]

    Notes
    -----
    Tolerance 0.01 to 100 mm, baseline 0 to 1000 mm, reference plane 10 to 20000 mm. It can be less
    than the focus window: then a picture is out of register while it still looks sharp.

    Examples
    --------
    >>> round(distance_error_allowed_mm(1, baseline_mm=24, reference_distance_mm=220), 1)
    9.2

    References
    ----------
    stereo-lecture
    """
    reference = reference_distance_mm
    baseline = np.asarray(baseline_mm)
    apart = np.where(baseline > 0, baseline, 1)
    return plain(np.where(baseline > 0, registration_tolerance_mm * reference / apart, np.inf))


@checked("reference_distance_mm", "distance_error_mm", "baseline_mm", "rotation_deg")
def registration_offset_mm(
    distance_error_mm: Number,
    *,
    baseline_mm: Number,
    reference_distance_mm: Number,
    rotation_deg: Number,
) -> Offset:
    """Return the registration error, by direction on the skin, of a device turned about its axis.

    `(x, y) = b * dz / s * (cos a, sin a)`

    Parameters
    ----------
    distance_error_mm : float or array
        How far the skin lies beyond the reference plane; below 0, nearer [mm]
    baseline_mm : float or array
        Distance b between camera and projector [mm]
    reference_distance_mm : float or array
        Distance s of the reference plane, on which the two agree [mm]
    rotation_deg : float or array
        Turn of the device about its axis; at 0 the baseline lies along x, counted towards y
        [degrees]

    Returns
    -------
    Offset
        Error along x and along y of the skin, positive away from the projector at 0 degrees [mm]

    Notes
    -----
    Error of distance -10000 to 10000 mm, baseline 0 to 1000 mm, reference plane 10 to 20000 mm,
    turn -360 to 360 degrees. Turning the device leaves distance, focus, scale and the size of the
    error as they were, and turns its direction: a mark that falls beside a vein with the device
    across the arm falls on it, farther along, with the device along the arm.

    Examples
    --------
    >>> offset = registration_offset_mm(
    ...     11, baseline_mm=24, reference_distance_mm=220, rotation_deg=90
    ... )
    >>> round(offset.x_mm, 2), round(offset.y_mm, 2)
    (0.0, 1.2)

    References
    ----------
    stereo-lecture
    """
    error = registration_error_mm(
        distance_error_mm, baseline_mm=baseline_mm, reference_distance_mm=reference_distance_mm
    )
    turn = np.radians(rotation_deg)
    return Offset(plain(error * np.cos(turn)), plain(error * np.sin(turn)))


@checked
def registration_error_on_slope_mm(
    place_mm: Number, *, tilt_deg: Number, baseline_mm: Number, reference_distance_mm: Number
) -> Number:
    """Return the registration error on skin that is tilted along the baseline.

    `e = u - x / (cos t - (x - b) sin t / s)`, with `x = u s cos t / (s + u sin t)`

    Parameters
    ----------
    place_mm : float or array
        Place u along the skin, from where the camera's axis meets it; above 0 on the projector's
        side [mm]
    tilt_deg : float or array
        Tilt t; above 0 the skin falls away on the projector's side [degrees]
    baseline_mm : float or array
        Distance b between camera and projector [mm]
    reference_distance_mm : float or array
        Distance s of the reference plane, on which the two agree [mm]

    Returns
    -------
    float or ndarray
        Error along the skin; positive away from the projector [mm]

    Notes
    -----
    Place -1000 to 1000 mm, tilt -85 to 85 degrees, baseline 0 to 1000 mm, reference plane 10 to
    20000 mm, the place in front of the device and met by the projector's light. Pinholes with
    parallel axes, flat skin that crosses the reference plane on the camera's axis. For small tilts
    it is b u tan(t) / s. Tilt across the baseline needs no formula of its own: take the local
    distance in registration_error_mm.

    Examples
    --------
    >>> error = registration_error_on_slope_mm(
    ...     30, tilt_deg=20, baseline_mm=24, reference_distance_mm=220
    ... )
    >>> round(error, 2)
    1.2

    References
    ----------
    stereo-lecture
    """
    place, tilt = place_mm, np.radians(tilt_deg)
    reference = reference_distance_mm
    depth = np.asarray(reference + place * np.sin(tilt))
    seen = place * reference * np.cos(tilt) / np.where(depth > 0, depth, np.inf)
    facing = np.cos(tilt) - (seen - baseline_mm) * np.sin(tilt) / reference
    before = reference * np.cos(tilt) + baseline_mm * np.sin(tilt)  # the projector, before the skin
    if min(np.min(depth), np.min(facing), np.min(before)) <= 0:
        raise ValueError("place across the picture is out of reach of the light at this tilt")
    return plain(place - seen / facing)
