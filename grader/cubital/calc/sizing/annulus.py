"""Flow left beside a catheter: exact for any place between the middle of the vein and its wall."""

import numpy as np

from cubital.calc.shared.quantities import checked
from cubital.calc.shared.spans import Span
from cubital.calc.shared.units import Number, plain
from cubital.calc.sizing.flow import annulus_flow_share

TOUCHING = 0.9999  # from here to the wall a straight line to the exact value at the wall
CENTRED = 1e-6  # below it the catheter is in the middle: the difference is of the order 1e-12
NO_GAP = 1 - 1e-3  # ratio above which rounding would tell: the limit of a narrow gap holds there
NO_CATHETER = 1e-300  # thinner than this would overflow; the share is the same
TERM_END = 18  # terms fall as exp(-2 n beta): at n beta = 18 they are below rounding
SHIFT = 10  # steps that the trigamma function is shifted by before its long-range series
WALL_FACTOR = 2.5  # a narrow gap, touching over centred: 1 + 3/2 * eccentricity^2 at 1
# coefficients of the long-range series of the trigamma function (Bernoulli numbers)
TRIGAMMA = ((1, 1), (2, 1 / 2), (3, 1 / 6), (5, -1 / 30), (7, 1 / 42), (9, -1 / 30))


def _trigamma(x: np.ndarray) -> np.ndarray:
    """Return the sum over k of 1 / (x + k)^2, for x from 1."""
    far = x + SHIFT
    near = sum(1 / (x + k) ** 2 for k in range(SHIFT))
    return near + sum(factor / far**power for power, factor in TRIGAMMA)


def _at_the_wall(k: np.ndarray) -> np.ndarray:
    """Return the share left by a catheter that touches the wall: the limit of the series."""
    return 1 - k**4 - 4 * k**2 * _trigamma(1 / (1 - k))  # 4: fourth power, and c^2 / (1 - k)^2


def _by_series(k: np.ndarray, eccentricity: np.ndarray) -> np.ndarray:
    """Return the share by the series of Piercy, Hooper and Winny, vein's radius 1."""
    c = eccentricity * (1 - k)
    f = (1 - k**2 + c**2) / (2 * c)
    m2 = (f - 1) * (f + 1)
    alpha, beta = np.arccosh(f), np.arccosh((f - c) / k)
    n = np.arange(1, int(TERM_END / beta.min()) + 2)
    apart = -np.expm1(-2 * n * (beta - alpha)[..., None])
    terms = 2 * n * np.exp(-2 * n * beta[..., None]) / apart
    fourfold = 4 * c**2 * m2  # 4 c^2 M^2 of the formula
    inner = fourfold / (beta - alpha) + 2 * fourfold * terms.sum(axis=-1)
    return 1 - k**4 - inner


@checked
def eccentric_flow_share(ratio: Number, *, eccentricity: Number) -> Number:
    """Return the share of the vein's flow left beside a catheter that lies off the middle.

    `Q/Q0 = 1 - k^4 - 4c^2M^2/(b - a) - 8c^2M^2 * sum n exp(-n(b + a)) / sinh(n(b - a))`, with
    `c = e(1 - k)`, `F = (1 - k^2 + c^2)/(2c)`, `M^2 = F^2 - 1`, `cosh a = F`, `cosh b = (F - c)/k`;
    at the wall `Q/Q0 = 1 - k^4 - 4k^2 * sum over j of 1/(j + 1/(1 - k))^2`

    Parameters
    ----------
    ratio : float or array
        Catheter-to-vein ratio k, by diameter [-]
    eccentricity : float or array
        e, 0 with the catheter in the middle, 1 with it at the wall [-]

    Returns
    -------
    float or ndarray
        Share of the flow without a catheter, at the same pressure drop [-]

    Notes
    -----
    Ratio 0 to 1, eccentricity 0 to 1. Laminar flow of a simple fluid in a stiff round vein along
    the whole catheter. A vein that stretches, a catheter that is shorter than the vein, and veins
    that go round it leave more.

    Examples
    --------
    >>> round(eccentric_flow_share(0.45, eccentricity=0), 3)
    0.163
    >>> round(eccentric_flow_share(0.45, eccentricity=1), 3)
    0.37

    References
    ----------
    piercy-1933, white-fluid-mechanics
    """
    k, e = np.broadcast_arrays(ratio, eccentricity)
    centred = np.asarray(annulus_flow_share(k))
    open_gap = (k > 0) & (k < NO_GAP)
    safe = np.where(open_gap, np.maximum(k, NO_CATHETER), 0.5)
    wall = np.where(open_gap, _at_the_wall(safe), np.where(k > 0, WALL_FACTOR, 1) * centred)
    inner = np.clip(e, CENTRED, TOUCHING)
    series = np.where(open_gap, _by_series(safe, inner), centred + (wall - centred) * e**2)
    beyond = np.clip((e - TOUCHING) / (1 - TOUCHING), 0, 1)
    share = np.where(e < CENTRED, centred, series + beyond * (wall - series))
    return plain(np.clip(share, centred, 1))


@checked
def flow_left_share(ratio: Number) -> Span:
    """Return the share of the vein's flow left beside a catheter, from middle to wall.

    `low <= Q/Q0 <= high`: catheter in the middle and catheter at the wall

    Parameters
    ----------
    ratio : float or array
        Catheter-to-vein ratio, by diameter [-]

    Returns
    -------
    Span
        Low and high share of the flow without a catheter [-]

    Notes
    -----
    Ratio 0 to 1. A catheter in life mostly lies at a wall. As for the eccentric flow: a stiff vein
    and no way round.

    Examples
    --------
    >>> low, high = flow_left_share(0.33)
    >>> round(low, 2), round(high, 2)
    (0.27, 0.58)

    References
    ----------
    piercy-1933, nifong-2011
    """
    k = ratio
    return Span(annulus_flow_share(k), eccentric_flow_share(k, eccentricity=1))
