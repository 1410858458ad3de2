"""Swelling: from a rate and a time to a volume, and from a volume to what is seen on a limb."""

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import MM3_PER_ML, Number, plain

BALL = np.pi / 6  # volume of an ellipsoid over the product of its three diameters
FULL_TURN = 4 * np.pi  # 4 pi: square of a circle's girth over its area


@checked("rate_ml_per_h", "outside_share", "time_h", "half_time_h")
def infiltrated_volume_ml(
    rate_ml_per_h: Number,
    *,
    time_h: Number,
    outside_share: Number = 1,
    half_time_h: Number | None = None,
) -> Number:
    """Return the volume that lies outside the vein after a time.

    `V = s * q * t`; with uptake `V = s * q * h / ln 2 * (1 - 2^(-t / h))`

    Parameters
    ----------
    rate_ml_per_h : float or array
        Rate of the infusion q [mL/h]
    time_h : float or array
        Time since it began to leak t [h]
    outside_share : float or array, optional
        Share s that goes outside the vein; all of it if not given [-]
    half_time_h : float or array, optional
        Half-time h in which tissue takes the fluid up; no uptake if not given [h]

    Returns
    -------
    float or ndarray
        Volume outside the vein [mL]

    Notes
    -----
    Rate 0.01 to 20000 mL/h, time 0.001 to 1000 h, share 0 to 1, half-time 0.01 to 10000 h. A steady
    leak. A half-time is a teaching assumption: no source was found. A pump goes on against the
    tissue's pressure and need not alarm.

    Examples
    --------
    >>> infiltrated_volume_ml(100, time_h=0.5)
    50.0

    References
    ----------
    course
    """
    leak = rate_ml_per_h * outside_share
    if half_time_h is None:
        return plain(leak * time_h)
    scale = half_time_h / np.log(2)
    return plain(-leak * scale * np.expm1(-time_h / scale))


@checked
def swelling_diameter_mm(volume_ml: Number, *, height_share: Number | None = None) -> Number:
    """Return the diameter of a swelling of a volume.

    `d = (6 * V / (pi * s))^(1/3)`, half an ellipsoid of height s * d

    Parameters
    ----------
    volume_ml : float or array
        Volume outside the vein [mL]
    height_share : float or array, optional
        Height over diameter s; 0.15 if not given [-]

    Returns
    -------
    float or ndarray
        Diameter of its base [mm]

    Notes
    -----
    Volume 0.01 to 50000 mL, height 0.01 to 1 of the diameter. The shape is a teaching assumption:
    fluid follows loose layers and spreads unseen, so that a swelling seen is late. Twice the
    diameter is eight times the volume.

    Examples
    --------
    >>> round(swelling_diameter_mm(10))
    50

    References
    ----------
    course
    """
    if height_share is None:
        height_share = tables.constant("swelling-height-share").value
    volume = volume_ml * MM3_PER_ML
    return plain(np.cbrt(volume / (BALL * height_share)))


@checked
def swelling_length_share(swelling_diameter_mm: Number, *, limb_length_mm: Number) -> Number:
    """Return the share of a limb's length that a swelling takes up.

    `share = swelling / limb`

    Parameters
    ----------
    swelling_diameter_mm : float or array
        Longest diameter of the swelling [mm]
    limb_length_mm : float or array
        Length of the limb [mm]

    Returns
    -------
    float or ndarray
        Share of the length, above 1 when it goes round or beyond [-]

    Notes
    -----
    Swelling 0 to 1000 mm, limb 20 to 1500 mm. For children swelling is told as such a share, since
    25 mm is little on an adult and much on a newborn. Cut-offs in circulation differ (10, 25, 50 %
    or 30, 60 %), so none is used here.

    Examples
    --------
    >>> swelling_length_share(40, limb_length_mm=160)
    0.25

    References
    ----------
    common-practice
    """
    return plain(swelling_diameter_mm / limb_length_mm)


@checked("girth_mm", "limb_length_mm", "volume_ml")
def limb_volume_share(volume_ml: Number, *, girth_mm: Number, limb_length_mm: Number) -> Number:
    """Return a volume of fluid over the volume of the limb.

    `share = V / (C^2 * L / (4 * pi))`

    Parameters
    ----------
    volume_ml : float or array
        Volume outside the vein [mL]
    girth_mm : float or array
        Girth of the limb C [mm]
    limb_length_mm : float or array
        Length of the limb L [mm]

    Returns
    -------
    float or ndarray
        Share of the limb's volume [-]

    Notes
    -----
    Volume 0.01 to 50000 mL, girth 20 to 1500 mm, length 20 to 1500 mm. A limb as a cylinder.

    Examples
    --------
    >>> round(limb_volume_share(30, girth_mm=100, limb_length_mm=120), 2)
    0.31

    References
    ----------
    course
    """
    limb_ml = girth_mm**2 * limb_length_mm / FULL_TURN / MM3_PER_ML
    return plain(volume_ml / limb_ml)


@checked("girth_mm", "swollen_length_mm", "volume_ml")
def girth_rise_mm(volume_ml: Number, *, girth_mm: Number, swollen_length_mm: Number) -> Number:
    """Return how much thicker than the other limb a limb becomes.

    `dC = sqrt(C^2 + 4 * pi * V / L) - C`

    Parameters
    ----------
    volume_ml : float or array
        Volume outside the vein [mL]
    girth_mm : float or array
        Girth of the other limb at the same place C [mm]
    swollen_length_mm : float or array
        Length of limb that takes up the fluid L [mm]

    Returns
    -------
    float or ndarray
        Rise of the girth [mm]

    Notes
    -----
    Volume 0.01 to 50000 mL, girth 20 to 1500 mm, length 5 to 1500 mm. A cylinder that takes the
    fluid up evenly. Skin tone does not hide it: measure both limbs at the same place.

    Examples
    --------
    >>> round(girth_rise_mm(50, girth_mm=240, swollen_length_mm=120), 1)
    10.7

    References
    ----------
    course, extravasation-lesson
    """
    added = FULL_TURN * volume_ml * MM3_PER_ML / swollen_length_mm
    # the difference of squares over the sum, so that a small rise is not lost by rounding
    return plain(added / (np.sqrt(girth_mm**2 + added) + girth_mm))
