"""How creases, tendons, moles and scars look, over even skin; and the light that glare adds.

The lamp stands beside the camera, so that what slants away sends back less: the bottom and sides of
a crease, and the furrows on either side of a tendon, whose ridge faces the lamp. The widths and
shares are common practice, with no source. Simulated, not clinically validated.
"""

from collections.abc import Callable, Iterable

import numpy as np

from cubital.scene.anatomy.surface import MOLE_REACH, table
from cubital.scene.anatomy.vessels import Line, View
from cubital.scene.light import geometry
from cubital.scene.light.stamping import sampled
from cubital.scene.light.texture import TILE_MM, TILE_PX

REACH = 5  # spreads to the side: beyond, a line changes nothing
MOLE_EDGE = 0.13  # of half a mole's size, over which its edge is soft
LEAST = 0.05  # of the light is left everywhere


def crease(beside: np.ndarray) -> np.ndarray:
    """Return how a crease changes the light, by how many spreads beside it, over its strength [-].

    Dark at its bottom, with lips that are a little lighter.

    Examples
    --------
    >>> bottom, lip, far = crease(np.array([0.0, 2.4, 5.0])).round(2).tolist()
    >>> bottom, lip > 0, far
    (-1.0, True, 0.0)
    """
    return 0.2 * _hump(beside, 2.4, 0.8) - _hump(beside, 0, 1)


def tendon(beside: np.ndarray) -> np.ndarray:
    """Return how a tendon changes the light, by how many spreads beside it, over its strength [-].

    A light ridge between two furrows that are darker than even skin.

    Examples
    --------
    >>> ridge, furrow, far = tendon(np.array([0.0, 2.4, 5.0])).round(2).tolist()
    >>> ridge > 0.9, -0.6 < furrow < -0.4, far
    (True, True, -0.0)
    """
    return _hump(beside, 0, 1) - table()["tendons"]["furrow"] * _hump(beside, 2.4, 0.8)


def scar(beside: np.ndarray) -> np.ndarray:
    """Return how an old scar changes the light, by how many spreads beside it [-].

    Lighter, between edges that are a little darker.

    Examples
    --------
    >>> middle, edge = scar(np.array([0.0, 2.4])).round(1).tolist()
    >>> middle, edge < 0
    (1.0, True)
    """
    return _hump(beside, 0, 1) - 0.25 * _hump(beside, 2.4, 0.7)


def mole(away: np.ndarray) -> np.ndarray:
    """Return how a mole changes the light, by how far from its middle, over half its size [-].

    Evenly dark, with an edge that is not quite sharp.

    Examples
    --------
    >>> mole(np.array([0.0, 1.0, 2.0])).round(2).tolist()
    [-1.0, -0.5, -0.0]
    """
    return -1 / (1 + np.exp((away - 1) / MOLE_EDGE))


def glare(beside: np.ndarray) -> np.ndarray:
    """Return the light that glare adds, by how many spreads beside its middle [-].

    Examples
    --------
    >>> glare(np.array([0.0, 5.0])).round(2).tolist()
    [1.0, 0.0]
    """
    return _hump(beside, 0, 1)


def _hump(beside: np.ndarray, middle: float, spread: float) -> np.ndarray:
    return np.exp(-0.5 * ((np.abs(beside) - middle) / spread) ** 2)


Profile = Callable[[np.ndarray], np.ndarray]
PROFILES: dict[str, Profile] = {"crease": crease, "tendon": tendon, "scar": scar, "mole": mole}
ADDED = {"glare": glare}  # what adds light of its own


def darkest(line: Line) -> float:
    """Return by which share of the light the darkest place of a line is darker than even skin [-].

    Examples
    --------
    >>> round(darkest(Line("crease", (-20.0, 20.0), (0.0, 0.0), (0.02, 0.08), 0.5)), 3)
    0.08
    """
    if line.kind in ADDED:
        return 0.0
    beside = np.linspace(0, REACH, 20 * REACH + 1)
    return max(line.strength) * -float(PROFILES[line.kind](beside).min())


def share(lines: Iterable[Line], view: View, x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
    """Return the light that the skin sends back over that of even skin, by picture element.

    Parameters
    ----------
    lines : iterable
        What the skin shows [mm]
    view : View
        Which picture [-]
    x_mm, y_mm : ndarray
        The places on the skin that its elements show [mm]

    Examples
    --------
    >>> x, y = np.meshgrid(np.arange(64.0) - 31.5, np.arange(48.0) - 23.5)
    >>> fold = Line("crease", (-20.0, 20.0), (0.5, 0.5), (0.1, 0.1), 1.0)
    >>> found = share([fold], View(64, 48, mm_per_px=1.0), x, y)
    >>> round(float(found[24, 32]), 3), float(found[40, 32])
    (0.9, 1.0)
    """
    found = np.ones(x_mm.shape, np.float32)
    for line in lines:
        box = _box(line, view)
        if box is not None and line.kind in PROFILES:
            found[box] *= 1 + _change(line, PROFILES[line.kind], x_mm[box], y_mm[box])
    return np.maximum(found, np.float32(LEAST))


def added(
    lines: Iterable[Line], view: View, x_mm: np.ndarray, y_mm: np.ndarray, tile: np.ndarray
) -> np.ndarray:
    """Return the light of glare by picture element, as a share of the camera's full scale.

    It comes back from the skin's surface, so that it never met a vessel. Where the skin's own
    unevenness, a `tile` of `texture`, is raised, it glares in flecks.

    Examples
    --------
    >>> x, y = np.meshgrid(np.arange(64.0) - 31.5, np.arange(48.0) - 23.5)
    >>> sheen = Line("glare", (0.5, 0.5), (-4.0, 4.0), (0.1, 0.1), 2.0)
    >>> even = np.zeros((512, 512), np.float32)
    >>> found = added([sheen], View(64, 48, mm_per_px=1.0), x, y, even)
    >>> round(float(found[24, 32]), 3), float(found[4, 4])
    (0.1, 0.0)
    """
    row, finer = table()["glare"], TILE_PX / TILE_MM
    found = np.zeros(x_mm.shape, np.float32)
    for line in lines:
        box = _box(line, view)
        if box is not None and line.kind in ADDED:
            raised = sampled(tile, y_mm[box] * finer, x_mm[box] * finer) - row["from"]
            sheen = _change(line, ADDED[line.kind], x_mm[box], y_mm[box])
            found[box] += sheen * (1 + row["flecks"] * np.maximum(raised, 0))
    return found


def _box(line: Line, view: View) -> tuple[slice, slice] | None:
    """Return the rows and columns of a picture that a line may change; None outside it."""
    column, row = geometry.to_picture(view, np.array(line.x_mm), np.array(line.y_mm))
    scale = float(geometry.mm_per_px_at(view, column, row).min())
    reach = REACH * line.spread_mm / scale + 1
    box = []
    for places, length in ((row, view.height_px), (column, view.width_px)):
        first = max(int(np.floor(places.min() - reach)), 0)
        last = min(int(np.ceil(places.max() + reach)) + 1, length)
        if first >= last:
            return None
        box.append(slice(first, last))
    return box[0], box[1]


def _change(line: Line, profile: Profile, x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
    """Return the share of the light that a line adds or takes at places on the skin [-].

    Places are told by how far they lie along the straight way from the line's first point to its
    last, and beside the line there.
    """
    x, y, strength = (np.array(values) for values in (line.x_mm, line.y_mm, line.strength))
    dx, dy = x[-1] - x[0], y[-1] - y[0]
    long = float(np.hypot(dx, dy))
    dx, dy = dx / long, dy / long
    own = (x - x[0]) * dx + (y - y[0]) * dy, (y - y[0]) * dx - (x - x[0]) * dy
    u, v = x_mm - x[0], y_mm - y[0]
    along, beside = u * dx + v * dy, v * dx - u * dy
    beside = (beside - np.interp(along, *own)) / line.spread_mm
    there = np.interp(along, own[0], strength, left=0, right=0)
    if line.kind == "mole":
        beside = np.hypot(beside, MOLE_REACH * (2 * along / long - 1))
    return there * profile(beside)
