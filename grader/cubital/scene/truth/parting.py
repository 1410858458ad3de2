"""Where two bands that meet are first seen apart: the fork that a picture shows.

Bands are wider than vessels. Where vessels meet at a small angle the picture shows one band from
well before the confluence on.
"""

import numpy as np
from scipy import ndimage

from cubital.scene.truth.segments import Stretch

SAMPLES = 25  # places looked at between two bands: closer than two pixels for most


def way_from(lines: list[Stretch], columns: list[np.ndarray], key: str, vessel: str) -> np.ndarray:
    """Return columns by point of a vessel, from a bifurcation on to the picture's edge or its end.

    `lines` are the stretches of the picture, each vessel's in the order of its flow, and `columns`
    whatever is known at their points.
    """
    own = [at for at, line in enumerate(lines) if line.vessel == vessel]
    first = next(n for n, at in enumerate(own) if key in (lines[at].starts, lines[at].stops))
    if lines[own[first]].starts == key:
        return np.concatenate([columns[at] for at in own[first:]], axis=1)
    return np.concatenate([columns[at][:, ::-1] for at in own[first::-1]], axis=1)


def parting(
    darkening: np.ndarray, way: np.ndarray, others: np.ndarray, *, least: float
) -> tuple[float, float] | None:
    """Return where, from a confluence on, two bands are first seen apart [px].

    `way` and `others` are, by point of the joining band from the confluence on and of the bands
    that it meets there: column, row, half the width [px] and whether it is seen as a band of its
    own. The bands are apart where the skin between is lighter than the lighter of them by `least`,
    as a share of brightness, or where one is seen by itself beyond the other's half width and its
    own, as at a right angle. The place is the lightest between them. None if the band ends before.
    """
    away = np.hypot(*(way[axis][:, None] - others[axis] for axis in (0, 1)))
    nearest = away.argmin(axis=1)
    beyond = away.min(axis=1) >= way[2] + others[2][nearest]
    share = np.linspace(0, 1, SAMPLES)
    columns, rows = (
        way[axis][:, None] + share * (others[axis][nearest] - way[axis])[:, None] for axis in (0, 1)
    )
    values = ndimage.map_coordinates(darkening, [rows, columns], order=1, mode="nearest")
    lighter = np.minimum(values[:, 0], values[:, -1]) - values.min(axis=1) >= least
    apart = lighter | (beyond & (way[3] > 0))
    if not apart.any():
        return None
    at = int(apart.argmax())
    between = int(values[at].argmin())
    return float(columns[at, between]), float(rows[at, between])
