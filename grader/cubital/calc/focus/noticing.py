"""How small a difference in brightness an eye notices, by the brightness that surrounds it."""

import numpy as np

from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import Number, plain


@checked
def noticed_difference_cd_per_m2(background_cd_per_m2: Number, *, target_arcmin: Number) -> Number:
    """Return the difference in luminance that a young eye almost certainly notices in two seconds.

    `dL = 2.6 * (f / a + w)^2`, with `f = lg(4.1925 * L^0.1556) + 0.1684 * L^0.5867` and
    `w = 0.05946 * L^0.466`

    Parameters
    ----------
    background_cd_per_m2 : float or array
        Luminance L of what surrounds the target, to which the eye is adapted [cd/m2]
    target_arcmin : float or array
        Angle a that the target fills, seen from the eye [arcmin]

    Returns
    -------
    float or ndarray
        Least difference dL between target and background [cd/m2]

    Notes
    -----
    Background 0.6 to 20000 cd/m2, target 1 to 60 arcmin. Adrian's model for round targets a little
    lighter than their background, as open code states it; the paper was not read, nor up to which
    background it was tried. A target that is darker is noticed some per cent sooner, an older eye
    notices less; both are left out. A line is longer than a round target and so easier to notice.

    Examples
    --------
    >>> round(noticed_difference_cd_per_m2(100, target_arcmin=7.64), 2)
    2.39

    References
    ----------
    adrian-1989
    """
    lit, angle = background_cd_per_m2, target_arcmin
    # the coefficients are the model's, fitted to measured thresholds from 0.6 cd/m2 on
    of_angle = np.log10(4.1925 * lit**0.1556) + 0.1684 * lit**0.5867
    of_light = 0.05946 * lit**0.466  # the same fit
    return plain(2.6 * (of_angle / angle + of_light) ** 2)  # 2.6: from one in two to almost certain
