"""Light at a smooth boundary between two media."""

import numpy as np

from cubital.calc.quantities import check
from cubital.calc.units import Number, plain


def reflectance_share(
    incidence_deg: Number, *, refractive_index: Number, refractive_index_beyond: Number
) -> Number:
    """Return the share of unpolarised light that a smooth boundary reflects.

    `R = (Rs + Rp) / 2`, with `Rs = ((n1 cos i - n2 cos t) / (n1 cos i + n2 cos t))^2` and
    `Rp = ((n1 cos t - n2 cos i) / (n1 cos t + n2 cos i))^2`

    Examples
    --------
    >>> round(reflectance_share(0, refractive_index=1, refractive_index_beyond=1.4), 4)
    0.0278
    """
    n1 = check("refractive_index", refractive_index)
    n2 = check("refractive_index_beyond", refractive_index_beyond)
    angle = np.radians(check("incidence_deg", incidence_deg))
    cosine = np.cos(angle)
    square = (n1 / n2 * np.sin(angle)) ** 2
    beyond = np.sqrt(np.maximum(1 - square, 0))
    across = (n1 * cosine - n2 * beyond) / (n1 * cosine + n2 * beyond)
    along = (n1 * beyond - n2 * cosine) / (n1 * beyond + n2 * cosine)
    return plain(np.where(square >= 1, 1.0, (across**2 + along**2) / 2))
