"""Which pixels of the picture lie over a vessel: 0 none, 1 vein, 2 artery."""

from itertools import pairwise

import numpy as np

from cubital.scene.anatomy.vessels import Scene, Vessel
from cubital.scene.light.geometry import mm_per_px_at, to_picture

NONE, VEIN, ARTERY = 0, 1, 2
VALUES = {"vein": VEIN, "artery": ARTERY}
MARGIN_PX = 1  # beyond a capsule's own box, for rounding


def _capsules(scene: Scene, vessel: Vessel) -> np.ndarray:
    """Return column, row, radius [px] and depth [mm] of each point of a vessel."""
    column, row = to_picture(scene.view, vessel.x_mm, vessel.y_mm)
    radius = vessel.diameter_mm / 2 / mm_per_px_at(scene.view, column, row)
    return np.stack([column, row, radius, vessel.depth_mm], axis=1)


def _paint(mask: np.ndarray, nearest: np.ndarray, a: np.ndarray, b: np.ndarray, value: int) -> None:
    """Mark what lies within a radius of the line from a to b, if nothing shallower lies over it."""
    height, width = mask.shape
    reach = max(a[2], b[2]) + MARGIN_PX
    left, top = (max(int(np.floor(min(a[i], b[i]) - reach)), 0) for i in (0, 1))
    right = min(int(np.ceil(max(a[0], b[0]) + reach)) + 1, width)
    bottom = min(int(np.ceil(max(a[1], b[1]) + reach)) + 1, height)
    if left >= right or top >= bottom:
        return
    columns, rows = np.arange(left, right)[None, :], np.arange(top, bottom)[:, None]
    step = b[:2] - a[:2]
    length = max(float(step @ step), np.finfo(float).tiny)
    share = np.clip(((columns - a[0]) * step[0] + (rows - a[1]) * step[1]) / length, 0, 1)
    away = np.hypot(columns - a[0] - share * step[0], rows - a[1] - share * step[1])
    depth = a[3] + share * (b[3] - a[3])
    box = slice(top, bottom), slice(left, right)
    over = (away <= a[2] + share * (b[2] - a[2])) & (depth < nearest[box])
    mask[box][over] = value
    nearest[box][over] = depth[over]


def mask(scene: Scene) -> np.ndarray:
    """Return for each pixel whether its middle lies over a vessel: 0 none, 1 vein, 2 artery.

    From true diameters, not from how wide a band looks; where two cross, the shallower. It holds
    every vessel, seen or not: what can be seen of them is said by the segments of the truth.
    Simulated, not clinically validated.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb, Vessel
    >>> line = Vessel("a", "vein", *np.array([[0, 0], [90, -90], [1, 1], [2, 2]], float))
    >>> bool(np.unique(mask(Scene(Anatomy("forearm", "adult", 0, Limb(40), (line,)))))[1] == VEIN)
    True
    """
    shape = scene.view.height_px, scene.view.width_px
    found, nearest = np.zeros(shape, np.uint8), np.full(shape, np.inf)
    for vessel in scene.anatomy.vessels:
        points = _capsules(scene, vessel)
        for a, b in pairwise(points):
            _paint(found, nearest, a, b, VALUES[vessel.kind])
    return found
