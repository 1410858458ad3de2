"""What is sharp: blur circle, depth of field and window about the working distance."""

from typing import NamedTuple

import numpy as np

from cubital.calc.shared.quantities import checked, written
from cubital.calc.shared.units import Number, plain


class DepthOfField(NamedTuple):
    """The nearest and farthest sharp distance, and what lies between [mm]."""

    near_mm: Number
    far_mm: Number
    total_mm: Number


@checked
def _beyond_focal_length(focus_distance_mm: Number, focal_length_mm: Number) -> tuple:
    """Check a distance and a focal length: nearer than the lens's focus nothing is focused on."""
    distance = np.asarray(focus_distance_mm)
    focal = np.asarray(focal_length_mm)
    inside = np.asarray(distance <= focal)
    if inside.any():
        first = [
            written(np.broadcast_to(part, inside.shape)[inside].flat[0])
            for part in (distance, focal)
        ]
        raise ValueError(
            f"distance at which it is focused is {first[0]} mm: "
            f"it must be above the focal length, {first[1]} mm"
        )
    return distance, focal


@checked
def hyperfocal_distance_mm(
    focal_length_mm: Number, *, f_number: Number, circle_of_confusion_mm: Number
) -> Number:
    """Return the focusing distance beyond which sharpness has no far end.

    `H = f^2 / (N * c) + f`

    Parameters
    ----------
    focal_length_mm : float or array
        Focal length of the lens [mm]
    f_number : float or array
        Focal length over aperture [-]
    circle_of_confusion_mm : float or array
        Largest blur on the sensor that passes for sharp [mm]

    Returns
    -------
    float or ndarray
        Hyperfocal distance [mm]

    Notes
    -----
    Focal length 1 to 200 mm, f-number 0.7 to 64, blur 0.0005 to 1 mm. Thin lens in air; diffraction
    and the lens's faults are left out.

    Examples
    --------
    >>> round(hyperfocal_distance_mm(8, f_number=2, circle_of_confusion_mm=0.005))
    6408

    References
    ----------
    hecht-optics
    """
    number, blur = f_number, circle_of_confusion_mm
    return plain(focal_length_mm**2 / (number * blur) + focal_length_mm)


@checked
def depth_of_field_mm(
    focus_distance_mm: Number,
    *,
    focal_length_mm: Number,
    f_number: Number,
    circle_of_confusion_mm: Number,
) -> DepthOfField:
    """Return between which distances a picture is sharp.

    `near, far = s f^2 / (f^2 +- N c (s - f))`; there is no far end where `N c (s - f) >= f^2`

    Parameters
    ----------
    focus_distance_mm : float or array
        Distance at which the lens is focused, from the lens [mm]
    focal_length_mm : float or array
        Focal length of the lens [mm]
    f_number : float or array
        Focal length over aperture [-]
    circle_of_confusion_mm : float or array
        Largest blur on the sensor that passes for sharp [mm]

    Returns
    -------
    DepthOfField
        Near end, far end (infinite from the hyperfocal distance on) and their difference [mm]

    Notes
    -----
    Distance 10 to 20000 mm and above the focal length, focal length 1 to 200 mm, f-number 0.7 to
    64, blur 0.0005 to 1 mm. Thin lens in air; diffraction and the lens's faults are left out. The
    near part is always the shorter. Sharp is a matter of degree: nothing happens at the ends.

    Examples
    --------
    >>> near, far, total = depth_of_field_mm(
    ...     220, focal_length_mm=8, f_number=2.8, circle_of_confusion_mm=0.01
    ... )
    >>> round(near, 1), round(far, 1)
    (201.3, 242.5)

    References
    ----------
    hecht-optics
    """
    distance, focal = _beyond_focal_length(focus_distance_mm, focal_length_mm)
    number, blur = f_number, circle_of_confusion_mm
    spread = number * blur * (distance - focal)
    near = distance * focal**2 / (focal**2 + spread)
    left = focal**2 - spread
    far = np.where(left > 0, distance * focal**2 / np.where(left > 0, left, 1), np.inf)
    return DepthOfField(plain(near), plain(far), plain(far - near))


@checked
def blur_circle_mm(
    object_distance_mm: Number,
    *,
    focus_distance_mm: Number,
    focal_length_mm: Number,
    f_number: Number,
) -> Number:
    """Return the blur on the sensor of a point that is out of focus.

    `c = f / N * |x - s| / x * f / (s - f)`

    Parameters
    ----------
    object_distance_mm : float or array
        Distance x of the point from the lens [mm]
    focus_distance_mm : float or array
        Distance s at which the lens is focused [mm]
    focal_length_mm : float or array
        Focal length of the lens [mm]
    f_number : float or array
        Focal length over aperture [-]

    Returns
    -------
    float or ndarray
        Diameter of the blur circle on the sensor [mm]

    Notes
    -----
    Distances 10 to 20000 mm, the focused one above the focal length; focal length 1 to 200 mm,
    f-number 0.7 to 64. Thin lens in air; diffraction and the lens's faults are left out, so at the
    focus it says 0 where a real lens has a spot of some micrometres.

    Examples
    --------
    >>> blur = blur_circle_mm(240, focus_distance_mm=220, focal_length_mm=8, f_number=2.8)
    >>> round(blur, 4)
    0.009

    References
    ----------
    hecht-optics
    """
    place = object_distance_mm
    distance, focal = _beyond_focal_length(focus_distance_mm, focal_length_mm)
    aperture = focal / f_number
    return plain(aperture * np.abs(place - distance) / place * focal / (distance - focal))


@checked
def blur_on_skin_mm(
    object_distance_mm: Number,
    *,
    focus_distance_mm: Number,
    focal_length_mm: Number,
    f_number: Number,
) -> Number:
    """Return how wide a point is smeared out, measured on the skin.

    `b = f / N * |x - s| / s`

    Parameters
    ----------
    object_distance_mm : float or array
        Distance x of the skin from the lens [mm]
    focus_distance_mm : float or array
        Distance s at which the lens is focused [mm]
    focal_length_mm : float or array
        Focal length of the lens [mm]
    f_number : float or array
        Focal length over aperture [-]

    Returns
    -------
    float or ndarray
        Diameter of the blur circle on the skin [mm]

    Notes
    -----
    Distances 10 to 20000 mm, the focused one above the focal length; focal length 1 to 200 mm,
    f-number 0.7 to 64. The cone of light between lens and skin is the same both ways, so it holds
    for a camera and for a projector. Thin lens in air; the blur that tissue adds, which is much
    larger for a vein below the skin, is left out.

    Examples
    --------
    >>> blur = blur_on_skin_mm(240, focus_distance_mm=220, focal_length_mm=8, f_number=2.8)
    >>> round(blur, 2)
    0.26

    References
    ----------
    hecht-optics
    """
    distance, focal = _beyond_focal_length(focus_distance_mm, focal_length_mm)
    return plain(focal / f_number * np.abs(object_distance_mm - distance) / distance)


@checked
def f_number_for_window(
    window_mm: Number,
    *,
    focus_distance_mm: Number,
    focal_length_mm: Number,
    circle_of_confusion_mm: Number,
) -> Number:
    """Return the smallest f-number that keeps a whole window sharp.

    `N = f^2 w / (c (s - f)(s - w))`, from the near end, which is the harder one

    Parameters
    ----------
    window_mm : float or array
        Half-width w of the window about the working distance [mm]
    focus_distance_mm : float or array
        Working distance s, at which the lens is focused [mm]
    focal_length_mm : float or array
        Focal length of the lens [mm]
    circle_of_confusion_mm : float or array
        Largest blur on the sensor that passes for sharp [mm]

    Returns
    -------
    float or ndarray
        f-number: focal length over aperture [-]

    Notes
    -----
    Window 0.1 to 1000 mm and below the distance, distance 10 to 20000 mm and above the focal
    length, focal length 1 to 200 mm, blur 0.0005 to 1 mm. Thin lens in air; a large f-number lets
    less light in and, by diffraction, which is left out, makes its own blur.

    Examples
    --------
    >>> number = f_number_for_window(
    ...     18, focus_distance_mm=220, focal_length_mm=8, circle_of_confusion_mm=0.01
    ... )
    >>> round(number, 2)
    2.69

    References
    ----------
    hecht-optics
    """
    window = np.asarray(window_mm)
    distance, focal = _beyond_focal_length(focus_distance_mm, focal_length_mm)
    blur = circle_of_confusion_mm
    beyond = np.asarray(window >= distance)
    if beyond.any():
        first = written(np.broadcast_to(window, beyond.shape)[beyond].flat[0])
        raise ValueError(
            f"half-width of the focus window is {first} mm: "
            "it must be below the distance at which it is focused"
        )
    return plain(focal**2 * window / (blur * (distance - focal) * (distance - window)))
