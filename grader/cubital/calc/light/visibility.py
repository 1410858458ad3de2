"""How a vein shows through skin, at once: formulas fitted to photon transport.

Made for figures that follow a slider; `shadows` is the transport itself, for any layers.
"""

import functools
from collections.abc import Callable

import numpy as np

from cubital import tables
from cubital.calc.light.polynomial import Polynomial
from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import Number, plain
from cubital.tables import light

HALVINGS = 40  # of the range of depths: to far below a micrometre


@functools.cache
def fitted_polynomial(name: str) -> Polynomial:
    """Return one of the fits by its name.

    Examples
    --------
    >>> fitted_polynomial("contrast").degree
    6
    """
    row = light.fitted()[name]
    lists = {key: tuple(value) for key, value in row.items() if isinstance(value, list)}
    return Polynomial(**{**row, **lists})


def log_contrast_base(depth: Number, background: Number) -> Number:
    """Return the logarithm by which light fades on its way to a depth and back, by diffusion.

    In units of the reduced scattering.

    Examples
    --------
    >>> round(float(log_contrast_base(1.0, 0.01)), 3)
    -0.348
    """
    # 3: of the diffusion approximation
    return -2 * np.sqrt(3 * background * (1 + background)) * depth


def log_width_base(depth: Number, diameter: Number) -> Number:
    """Return the logarithm of a vein's own width and twice its depth, taken as two blurs.

    Examples
    --------
    >>> round(float(np.exp(log_width_base(2.0, 3.0))), 3)
    5.0
    """
    return np.log(np.hypot(diameter, 2 * depth))


@checked
def _in_units_of_scattering(
    *,
    upper_wall_depth_mm: Number,
    lumen_diameter_mm: Number,
    skin_reduced_scattering_per_mm: Number,
    skin_absorption_per_mm: Number,
    vessel_absorption_per_mm: Number,
    vessel_reduced_scattering_per_mm: Number | None,
) -> tuple[Number, ...]:
    """Check the quantities and return them as the fits take them."""
    if vessel_reduced_scattering_per_mm is None:
        vessel_reduced_scattering_per_mm = tables.constant("blood-reduced-scattering").value
    depth = upper_wall_depth_mm
    diameter = lumen_diameter_mm
    unit = skin_reduced_scattering_per_mm
    skin = skin_absorption_per_mm
    blood = vessel_absorption_per_mm
    scattering = vessel_reduced_scattering_per_mm
    return depth * unit, diameter * unit, skin / unit, (blood - skin) / unit, scattering / unit


def vein_contrast(
    upper_wall_depth_mm: Number,
    *,
    lumen_diameter_mm: Number,
    skin_reduced_scattering_per_mm: Number,
    skin_absorption_per_mm: Number,
    vessel_absorption_per_mm: Number,
    vessel_reduced_scattering_per_mm: Number | None = None,
) -> Number:
    """Return the contrast of a vein under broad even light, from a fit to photon transport.

    `contrast = (background - darkest) / background`, as `1 - exp(-exp(p - 2 * k * z))` with p a
    polynomial of the logarithms of all quantities and `k = sqrt(3 mu_a (mu_a + mu_s'))`

    Parameters
    ----------
    upper_wall_depth_mm : float or array
        Depth of the vein's upper wall below the skin's surface [mm]
    lumen_diameter_mm : float or array
        Inner diameter of the vein [mm]
    skin_reduced_scattering_per_mm : float or array
        Reduced scattering of the tissue round the vein [1/mm]
    skin_absorption_per_mm : float or array
        Absorption of the tissue round the vein [1/mm]
    vessel_absorption_per_mm : float or array
        Absorption of the blood [1/mm]
    vessel_reduced_scattering_per_mm : float or array, optional
        Reduced scattering of the blood; 1.25 if not given [1/mm]

    Returns
    -------
    float or ndarray
        Contrast of the light that leaves at all angles [-]

    Notes
    -----
    Upper wall 0.2 to 8 mm deep, diameter 0.5 to 6 mm, skin of reduced scattering 0.8 to 3 and
    absorption 0.004 to 0.06 per mm, blood of absorption 0.12 to 1.2 and reduced scattering 1.05 to
    1.4 per mm. Within 5 % of fresh transport for 95 of 100 random points where the contrast
    exceeds 0.005; below that it only stays small.

    One straight vein in one even tissue of anisotropy 0.9 and index 1.4, the blood's index that of
    the tissue: blood's own, lower index takes about 4 % off the contrast. Skin is not one even
    tissue: `skin_vein_contrast` has its layers. Simulated, not clinically validated.

    Examples
    --------
    >>> skin = {"skin_reduced_scattering_per_mm": 1.8, "skin_absorption_per_mm": 0.02}
    >>> contrast = vein_contrast(
    ...     np.array([1.0, 2.0, 4.0]), lumen_diameter_mm=3.0, vessel_absorption_per_mm=0.5, **skin
    ... )
    >>> np.round(contrast, 2)
    array([0.29, 0.12, 0.02])

    References
    ----------
    wyman-1989, sassaroli-1998
    """
    scaled = _in_units_of_scattering(
        upper_wall_depth_mm=upper_wall_depth_mm,
        lumen_diameter_mm=lumen_diameter_mm,
        skin_reduced_scattering_per_mm=skin_reduced_scattering_per_mm,
        skin_absorption_per_mm=skin_absorption_per_mm,
        vessel_absorption_per_mm=vessel_absorption_per_mm,
        vessel_reduced_scattering_per_mm=vessel_reduced_scattering_per_mm,
    )
    by_depth = log_contrast_base(scaled[0], scaled[2])
    return plain(-np.expm1(-np.exp(fitted_polynomial("contrast")(*scaled) + by_depth)))


def apparent_width_mm(
    upper_wall_depth_mm: Number,
    *,
    lumen_diameter_mm: Number,
    skin_reduced_scattering_per_mm: Number,
    skin_absorption_per_mm: Number,
    vessel_absorption_per_mm: Number,
    vessel_reduced_scattering_per_mm: Number | None = None,
) -> Number:
    """Return how wide a vein's dark band looks, from a fit to photon transport.

    `width = full width at half of the contrast`, as `sqrt(d^2 + (2 z)^2) * exp(p)` with p a
    polynomial of the logarithms of all quantities

    Parameters
    ----------
    upper_wall_depth_mm : float or array
        Depth of the vein's upper wall below the skin's surface [mm]
    lumen_diameter_mm : float or array
        Inner diameter of the vein [mm]
    skin_reduced_scattering_per_mm : float or array
        Reduced scattering of the tissue round the vein [1/mm]
    skin_absorption_per_mm : float or array
        Absorption of the tissue round the vein [1/mm]
    vessel_absorption_per_mm : float or array
        Absorption of the blood [1/mm]
    vessel_reduced_scattering_per_mm : float or array, optional
        Reduced scattering of the blood; 1.25 if not given [1/mm]

    Returns
    -------
    float or ndarray
        Full width at half of the contrast [mm]

    Notes
    -----
    Upper wall 0.2 to 8 mm deep, diameter 0.5 to 6 mm, skin of reduced scattering 0.8 to 3 and
    absorption 0.004 to 0.06 per mm, blood of absorption 0.12 to 1.2 and reduced scattering 1.05 to
    1.4 per mm. Within about 5 % of transport where the contrast exceeds 0.005.

    A deep vein looks wider than it is. A wide one just below the skin looks narrower, for its sides
    lie deeper than its top. So a picture's band is not the diameter that a catheter is chosen by.
    Simulated, not clinically validated.

    Examples
    --------
    >>> skin = {"skin_reduced_scattering_per_mm": 1.8, "skin_absorption_per_mm": 0.02}
    >>> width = apparent_width_mm(
    ...     np.array([0.5, 4.0]), lumen_diameter_mm=3.0, vessel_absorption_per_mm=0.5, **skin
    ... )
    >>> np.round(width)
    array([4., 8.])

    References
    ----------
    wyman-1989, sassaroli-1998
    """
    scaled = _in_units_of_scattering(
        upper_wall_depth_mm=upper_wall_depth_mm,
        lumen_diameter_mm=lumen_diameter_mm,
        skin_reduced_scattering_per_mm=skin_reduced_scattering_per_mm,
        skin_absorption_per_mm=skin_absorption_per_mm,
        vessel_absorption_per_mm=vessel_absorption_per_mm,
        vessel_reduced_scattering_per_mm=vessel_reduced_scattering_per_mm,
    )
    log_width = fitted_polynomial("width")(*scaled) + log_width_base(scaled[0], scaled[1])
    return plain(np.exp(log_width) / np.asarray(skin_reduced_scattering_per_mm))


def blur_mm(
    upper_wall_depth_mm: Number,
    *,
    skin_reduced_scattering_per_mm: Number,
    skin_absorption_per_mm: Number,
    vessel_absorption_per_mm: Number,
    vessel_reduced_scattering_per_mm: Number | None = None,
) -> Number:
    """Return how wide scattering smears the finest vein at a depth.

    `blur = apparent width of a vein of 0.5 mm`, so fine that its own width hardly counts

    Parameters
    ----------
    upper_wall_depth_mm : float or array
        Depth of the vein's upper wall below the skin's surface [mm]
    skin_reduced_scattering_per_mm : float or array
        Reduced scattering of the tissue round the vein [1/mm]
    skin_absorption_per_mm : float or array
        Absorption of the tissue round the vein [1/mm]
    vessel_absorption_per_mm : float or array
        Absorption of the blood [1/mm]
    vessel_reduced_scattering_per_mm : float or array, optional
        Reduced scattering of the blood; 1.25 if not given [1/mm]

    Returns
    -------
    float or ndarray
        Full width at half of the contrast [mm]

    Notes
    -----
    Upper wall 0.2 to 8 mm deep, skin of reduced scattering 0.8 to 3 and absorption 0.004 to 0.06
    per mm, blood of absorption 0.12 to 1.2 and reduced scattering 1.05 to 1.4 per mm. Blur by
    scattering alone; the camera adds its own. Two veins closer than this look like one. At the
    shallowest depths the vein's own half millimetre still counts.

    Examples
    --------
    >>> skin = {"skin_reduced_scattering_per_mm": 1.8, "skin_absorption_per_mm": 0.02}
    >>> blur = blur_mm(np.array([1.0, 3.0]), vessel_absorption_per_mm=0.5, **skin)
    >>> np.round(blur)
    array([3., 6.])

    References
    ----------
    course
    """
    return apparent_width_mm(
        upper_wall_depth_mm,
        lumen_diameter_mm=tables.limits()["lumen_diameter_mm"].low,
        skin_reduced_scattering_per_mm=skin_reduced_scattering_per_mm,
        skin_absorption_per_mm=skin_absorption_per_mm,
        vessel_absorption_per_mm=vessel_absorption_per_mm,
        vessel_reduced_scattering_per_mm=vessel_reduced_scattering_per_mm,
    )


@checked("noise_share")
def deepest_visible_mm(
    noise_share: Number,
    *,
    lumen_diameter_mm: Number,
    skin_reduced_scattering_per_mm: Number,
    skin_absorption_per_mm: Number,
    vessel_absorption_per_mm: Number,
    vessel_reduced_scattering_per_mm: Number | None = None,
    contrast_to_noise: Number | None = None,
) -> Number:
    """Return the deepest upper wall at which a vein still stands out of the noise.

    `contrast(depth) = ratio * noise`, solved for the depth

    Parameters
    ----------
    noise_share : float or array
        Noise of the picture where the vein is looked for, as a share of its brightness [-]
    lumen_diameter_mm : float or array
        Inner diameter of the vein [mm]
    skin_reduced_scattering_per_mm : float or array
        Reduced scattering of the tissue round the vein [1/mm]
    skin_absorption_per_mm : float or array
        Absorption of the tissue round the vein [1/mm]
    vessel_absorption_per_mm : float or array
        Absorption of the blood [1/mm]
    vessel_reduced_scattering_per_mm : float or array, optional
        Reduced scattering of the blood; 1.25 if not given [1/mm]
    contrast_to_noise : float or array, optional
        How many times the noise the contrast must be; 3 if not given [-]

    Returns
    -------
    float or ndarray
        Depth of the upper wall: 0 if not even one at 0.2 mm is seen, 8 for 8 or deeper [mm]

    Notes
    -----
    Noise 0.0001 to 1, diameter 0.5 to 6 mm, skin of reduced scattering 0.8 to 3 and absorption
    0.004 to 0.06 per mm, blood of absorption 0.12 to 1.2 and reduced scattering 1.05 to 1.4 per
    mm, contrast-to-noise ratio 0.1 to 100. The ratio needed is a teaching assumption: it depends
    on the observer, the band's length, hair and texture, and no source was found for veins. Where
    the contrast is below 0.005 the depth is rough. Simulated, not clinically validated.

    Examples
    --------
    >>> skin = {"skin_reduced_scattering_per_mm": 1.8, "skin_absorption_per_mm": 0.02}
    >>> depth = deepest_visible_mm(
    ...     np.array([0.01, 0.05]), lumen_diameter_mm=3.0, vessel_absorption_per_mm=0.5, **skin
    ... )
    >>> np.round(depth, 1)
    array([3.6, 1.7])

    References
    ----------
    course, rose-1948
    """
    contrast = functools.partial(
        vein_contrast,
        lumen_diameter_mm=lumen_diameter_mm,
        skin_reduced_scattering_per_mm=skin_reduced_scattering_per_mm,
        skin_absorption_per_mm=skin_absorption_per_mm,
        vessel_absorption_per_mm=vessel_absorption_per_mm,
        vessel_reduced_scattering_per_mm=vessel_reduced_scattering_per_mm,
    )
    return deepest_seen_mm(contrast, noise_share, contrast_to_noise)


@checked
def deepest_seen_mm(
    contrast: Callable[[Number], Number], noise: Number, contrast_to_noise: Number | None
) -> Number:
    """Return the depth at which a contrast that falls with depth sinks into the noise.

    Examples
    --------
    >>> round(deepest_seen_mm(lambda depth_mm: 0.3 / depth_mm, 0.05, 2.0), 6)
    3.0
    """
    if contrast_to_noise is None:
        contrast_to_noise = tables.constant("contrast-to-noise-needed").value
    needed = np.asarray(noise) * contrast_to_noise
    limit = tables.limits()["upper_wall_depth_mm"]
    shape = np.broadcast_shapes(np.shape(needed), np.shape(contrast(limit.low)))
    seen, unseen = np.full(shape, limit.low), np.full(shape, limit.high)
    for _ in range(HALVINGS):
        middle = (seen + unseen) / 2
        is_seen = contrast(middle) >= needed
        seen, unseen = np.where(is_seen, middle, seen), np.where(is_seen, unseen, middle)
    seen = np.where(contrast(limit.high) >= needed, limit.high, seen)
    return plain(np.where(contrast(limit.low) >= needed, seen, 0.0))
