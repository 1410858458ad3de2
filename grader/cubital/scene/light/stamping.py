"""What lies where in a simulated picture: nearest places on vessels, dark bands, blur, hair.

Whole arrays at a time. Arrays are rows by columns.
"""

import math
from typing import NamedTuple

import numpy as np
from scipy.spatial import cKDTree

SHARPNESS = 4  # squarings: how nearly the darkest wins where vessels of a tree join
FULL_REACH = 0.5  # of a band's reach: from here on it is led smoothly to nothing


class Laid(NamedTuple):
    """A vessel laid on a grid: the places within reach, by their index in the flattened grid.

    For each the nearest way along the vessel, and how far beside it lies [mm]; then which ends of
    the vessel are open, its start and its end, and the reach [mm].
    """

    index: np.ndarray
    way: np.ndarray
    beside: np.ndarray
    is_open: tuple[bool, bool]
    reach: float


def nearest(
    places: tuple[np.ndarray, np.ndarray],
    points: tuple[np.ndarray, np.ndarray],
    along: np.ndarray,
    is_open: tuple[bool, bool],
    reach: float,
) -> Laid:
    """Return the nearest way along a vessel for each place within reach of it.

    Places and the vessel's points are given by x and y. The nearest place on a vessel is taken to
    lie on one of the pieces that meet at the nearest of its points, which are to be close to each
    other where it bends. Beyond an open end the way goes on along the last piece, below 0 or above
    the length.

    Examples
    --------
    >>> line, no = np.array([0.0, 10.0]), np.zeros(2)
    >>> found = nearest((np.array([4.0]), np.array([3.0])), (line, no), line, (True, True), 9)
    >>> float(found.way[0]), float(found.beside[0])
    (4.0, 3.0)
    """
    extent_x, extent_y = (np.diff(values) for values in points)
    squares = extent_x**2 + extent_y**2
    one_over = np.divide(1, squares, out=np.zeros_like(squares), where=squares > 0)
    last = len(squares) - 1
    tree = cKDTree(np.column_stack(points))
    _, point = tree.query(
        np.column_stack(places), distance_upper_bound=reach + math.sqrt(squares.max())
    )
    (index,) = np.nonzero(point < len(along))  # the tree's word for none within the bound
    (x, y), point = (values[index] for values in places), point[index]

    def on(piece: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        u, v = x - points[0][piece], y - points[1][piece]
        dx, dy = extent_x[piece], extent_y[piece]
        share = (u * dx + v * dy) * one_over[piece]
        inside = np.minimum(np.maximum(share, 0), 1)
        squared = (u - inside * dx) ** 2 + (v - inside * dy) ** 2
        if is_open[0]:
            inside = np.where((share < 0) & (piece == 0), share, inside)
        if is_open[1]:
            inside = np.where((share > 1) & (piece == last), share, inside)
        way = along[piece] + inside * np.diff(along)[piece]
        return squared, way, np.hypot(u - inside * dx, v - inside * dy)

    before, after = on(np.maximum(point - 1, 0)), on(np.minimum(point, last))
    squared, way, beside = (
        np.where(after[0] < before[0], later, earlier)
        for earlier, later in zip(before, after, strict=True)
    )
    within = squared <= reach * reach
    kept = (values[within].astype(np.float32) for values in (way, beside))
    return Laid(index[within], *kept, is_open, reach)


def lay(
    vessel: Laid,
    step: float,
    band: tuple[np.ndarray, np.ndarray, np.ndarray],
    over: np.ndarray,
    under: np.ndarray,
) -> None:
    """Add a vessel's dark band to the sums of its tree, from values at even steps along it.

    The band has contrast [-], width [mm] and exponent of its profile, which is
    `c (1 + k x^2)^-m` with half of c at half of the width. At an open end it fades as the light of
    half a line does. The sums are flattened grids.

    Examples
    --------
    >>> over, under = np.zeros((2, 1))
    >>> vessel = Laid(np.zeros(1, int), np.full(1, 5.0), np.full(1, 2.0), (False, False), 99.0)
    >>> lay(vessel, 5.0, (np.full(3, 0.2), np.full(3, 4.0), np.ones(3)), over, under)
    >>> round(float(over[0] / under[0]), 6)
    0.1
    """
    last = len(band[0]) - 1
    way, beside = vessel.way.astype(float), vessel.beside.astype(float)
    place = np.minimum(np.maximum(way / step, 0.0), last)
    k = np.minimum(place.astype(np.intp), last - 1)
    t = place - k
    c, w, m = (values[k] + t * np.diff(values)[k] for values in band)
    half = w / 2
    x = beside / half
    value = c * np.exp(-m * np.log1p((np.exp2(1 / m) - 1) * x * x))
    if vessel.is_open[0]:
        value *= 0.5 * (1 + way / np.hypot(way, half))
    if vessel.is_open[1]:
        left = last * step - way
        value *= 0.5 * (1 + left / np.hypot(left, half))
    edge = np.minimum(np.maximum(beside / vessel.reach - FULL_REACH, 0.0) / (1 - FULL_REACH), 1.0)
    value *= (1 - edge * edge) ** 2
    power = value.copy()
    for _ in range(SHARPNESS):
        power *= power
    under[vessel.index] += power
    over[vessel.index] += power * value


def together(over: np.ndarray, under: np.ndarray, taken: np.ndarray) -> np.ndarray:
    """Return the light that trees take, one more of them after those already laid.

    Examples
    --------
    >>> float(together(np.full(1, 0.1), np.full(1, 0.2), np.full(1, 0.5))[0])
    0.75
    """
    own = np.divide(over, under, out=np.zeros_like(over), where=under > 0)
    return 1 - (1 - taken) * (1 - own)


def enlarged(
    coarse: np.ndarray,
    first_row: np.ndarray,
    row_weights: np.ndarray,
    first_column: np.ndarray,
    column_weights: np.ndarray,
) -> np.ndarray:
    """Return a picture between the places of a coarse one, by four weights along each side.

    Examples
    --------
    >>> flat = np.ones((4, 4), np.float32)
    >>> weights = np.full((3, 4), 0.25, np.float32)
    >>> zero = np.zeros(3, np.int64)
    >>> bool((enlarged(flat, zero, weights, zero, weights) == 1).all())
    True
    """
    wide = sum(column_weights[:, k] * coarse[:, first_column + k] for k in range(4))
    return sum(row_weights[:, k, None] * wide[first_row + k] for k in range(4))


def blurred(picture: np.ndarray, kernel: np.ndarray) -> np.ndarray:
    """Return a picture blurred along rows and columns by an odd kernel; edges are carried on.

    The kernel is the same from both its ends.

    Examples
    --------
    >>> thirds = np.full(3, 1 / 3, np.float32)
    >>> float(blurred(np.full((5, 6), 2.0, np.float32), thirds).round(5).max())
    2.0
    """
    reach = len(kernel) // 2
    for axis in (1, 0):
        sides = [(reach, reach) if way == axis else (0, 0) for way in range(2)]
        wide = np.moveaxis(np.pad(picture, sides, mode="edge"), axis, 0)
        length = picture.shape[axis]
        found = kernel[reach] * wide[reach : reach + length]
        pair = np.empty_like(found)
        for k in range(reach):
            np.add(wide[k : k + length], wide[2 * reach - k : 2 * reach - k + length], out=pair)
            pair *= kernel[k]
            found += pair
        picture = np.moveaxis(found, 0, axis)
    return picture


def sampled(tile: np.ndarray, rows: np.ndarray, columns: np.ndarray) -> np.ndarray:
    """Return values between the elements of a tile that repeats without end.

    Examples
    --------
    >>> tile = np.array([[0.0, 1.0], [0.0, 1.0]], np.float32)
    >>> float(sampled(tile, np.zeros((1, 1)), np.full((1, 1), 0.25))[0, 0])
    0.25
    """
    height, width = tile.shape
    wide = np.pad(tile, (0, 1), mode="wrap").ravel()
    y, x = np.floor(rows), np.floor(columns)
    v, u = rows - y, columns - x
    first = y.astype(np.int32) % height * (width + 1) + x.astype(np.int32) % width
    top, low = (
        wide.take(at) + u * (wide.take(at + 1) - wide.take(at)) for at in (first, first + width + 1)
    )
    return (top + v * (low - top)).astype(np.float32)


def strewn(
    columns: np.ndarray, rows: np.ndarray, widths: np.ndarray, shape: tuple[int, int]
) -> np.ndarray:
    """Return what thin lines cover of a picture, given by points along each of them [px].

    Each step of a line covers its length times its width, shared among the four elements around;
    from its middle on a line grows thinner to a tip.

    Examples
    --------
    >>> line = np.linspace(1, 7, 25)[None]
    >>> covered = strewn(line, np.ones((1, 25)), np.array([0.5]), (3, 9))
    >>> 2.2 < float(covered.sum()) < 2.4
    True
    """
    height, width = shape
    ax, ay, bx, by = columns[:, :-1], rows[:, :-1], columns[:, 1:], rows[:, 1:]
    near = (np.maximum(ax, bx) > -1) & (np.minimum(ax, bx) < width)
    near &= (np.maximum(ay, by) > -1) & (np.minimum(ay, by) < height)
    line, step = np.nonzero(near)
    ax, ay, dx, dy = ax[near], ay[near], (bx - ax)[near], (by - ay)[near]
    length = np.hypot(dx, dy)
    parts = (2 * length).astype(np.intp) + 1  # each half an element or less
    of = np.repeat(np.arange(len(parts)), parts)
    part = np.arange(len(of)) - np.repeat(np.cumsum(parts) - parts, parts)
    share = (part + 0.5) / parts[of]
    left = 1 - (step[of] + share) / near.shape[1]  # of the way to the tip
    area = (length / parts * widths[line])[of] * np.minimum(1, 2 * left)
    x, y = ax[of] + share * dx[of], ay[of] + share * dy[of]
    # an edge of one element more on each side takes what falls beside the picture
    j, i = np.floor(x).astype(np.intp), np.floor(y).astype(np.intp)
    u, v = x - j, y - i
    inside = (j >= -1) & (j < width) & (i >= -1) & (i < height)
    first = ((i + 1) * (width + 2) + j + 1)[inside]
    covered = np.zeros((height + 2) * (width + 2))
    for down, across, part_of in (
        (0, 0, (1 - v) * (1 - u)),
        (0, 1, (1 - v) * u),
        (1, 0, v * (1 - u)),
        (1, 1, v * u),
    ):
        covered += np.bincount(
            first + down * (width + 2) + across, (area * part_of)[inside], len(covered)
        )
    return covered.reshape(height + 2, width + 2)[1:-1, 1:-1].astype(np.float32)


def recorded(light: np.ndarray, noise: np.ndarray, share: float) -> np.ndarray:
    """Return grey levels of light with noise that grows as its square root.

    Examples
    --------
    >>> light = np.full((1, 1), 0.25, np.float32)
    >>> int(recorded(light, np.ones((1, 1), np.float32), 0.1)[0, 0])
    77
    """
    level = light + share * (np.sqrt(np.maximum(light, 0)) * noise)
    return (np.clip(255 * level, 0, 255) + 0.5).astype(np.uint8)  # 255: the largest level
