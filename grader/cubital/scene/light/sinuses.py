"""How a valve shows: a notch at its base and a bulge at its pocket, on the side of the heart.

Simulated, not clinically validated.
"""

from collections.abc import Callable, Iterable

import numpy as np
from scipy import ndimage

from cubital import tables
from cubital.scene.anatomy.vessels import Valve, Vessel

LEAST_STEPS = 0.1  # of a blur


def _hump(share: np.ndarray) -> np.ndarray:
    """Return a smooth hump: 1 in the middle, 0 from -1 and 1 on."""
    return np.where(np.abs(share) < 1, np.cos(np.pi / 2 * share) ** 2, 0.0)


def diameter_with_valves_mm(
    vessel: Vessel,
    valves: Iterable[Valve],
    along_mm: np.ndarray,
    *,
    spread_mm: Callable[[Valve], float] | None = None,
) -> np.ndarray:
    """Return the diameter at ways along a vein, with notch and bulge of each of its valves [mm].

    The notch has its middle at the valve and half the bulge's length; the bulge follows it, in the
    direction of flow. `along_mm` are even steps; `spread_mm` gives how far light blurs a valve
    along the vein, as a standard deviation [mm].

    Examples
    --------
    >>> way, even = np.linspace(0, 40, 81), np.full(81, 3.0)
    >>> vein = Vessel("a", "vein", 0 * way, -way, even, even)
    >>> shown = diameter_with_valves_mm(vein, [Valve("a", 20.0)], way)
    >>> bool(shown.min() < 3 < shown.max()), bool(way[shown.argmin()] < way[shown.argmax()])
    (True, True)
    >>> bool((diameter_with_valves_mm(vein, [Valve("b", 20.0)], way) == even).all())
    True
    """
    plain = np.interp(along_mm, vessel.along_mm, vessel.diameter_mm)
    shown = plain.copy()
    bulge, notch, length = (
        tables.constant(f"valve-{name}").value
        for name in ("bulge-share", "notch-share", "bulge-length")
    )
    for valve in valves:
        if valve.vessel != vessel.key:
            continue
        half = length / 2 * float(np.interp(valve.along_mm, along_mm, plain))
        past = np.asarray(along_mm) - valve.along_mm
        shape = bulge * _hump((past - half) / half) - notch * _hump(past / (half / 2))
        if spread_mm is not None:
            step = along_mm[1] - along_mm[0]
            spread = spread_mm(valve) / step
            if spread > LEAST_STEPS:  # less moves nothing to a neighbour
                shape = ndimage.gaussian_filter1d(shape, spread, mode="constant")
        shown += plain * shape
    return shown
