"""Where two bands that meet are first seen apart: the fork that a picture shows.

Bands are wider than vessels. Where vessels meet at a small angle the picture shows one band from
well before the confluence on.
"""

import numpy as np
from scipy import ndimage

from cubital.scene.segments import Stretch

SAMPLES = 25  # places looked at between two bands: closer than two pixels for most


def way_from(lines: list[Stretch], key: str, vessel: str) -> np.ndarray:
    """Return columns and rows of a vessel from a bifurcation on, to the picture's edge or its end.

    `lines` are the stretches of the picture, each vessel's in the order of its flow.
    """
    own = [line for line in lines if line.vessel == vessel]
    first = next(at for at, line in enumerate(own) if key in (line.starts, line.stops))
    on = own[first:] if own[first].starts == key else own[first::-1]
    step = 1 if own[first].starts == key else -1
    return np.concatenate([np.stack([line.column, line.row])[:, ::step] for line in on], axis=1)


def parting(
    darkening: np.ndarray, way: np.ndarray, others: list[Stretch], *, least: float
) -> tuple[float, float] | None:
    """Return where, from a confluence on, skin is first seen between two bands [px].

    `way` are columns and rows of the joining band from the confluence on, `others` the stretches
    that it meets there; `least` is by how much the skin between must be lighter than the lighter of
    the two bands, as a share of brightness. None if the band ends before it is apart.
    """
    places = [
        np.concatenate([getattr(other, axis) for other in others]) for axis in ("column", "row")
    ]
    away = np.hypot(*(own[:, None] - place for own, place in zip(way, places, strict=True)))
    nearest = away.argmin(axis=1)
    share = np.linspace(0, 1, SAMPLES)
    columns, rows = (
        own[:, None] + share * (place[nearest] - own)[:, None]
        for own, place in zip(way, places, strict=True)
    )
    values = ndimage.map_coordinates(darkening, [rows, columns], order=1, mode="nearest")
    apart = np.minimum(values[:, 0], values[:, -1]) - values.min(axis=1) >= least
    if not apart.any():
        return None
    at = int(apart.argmax())
    between = int(values[at].argmin())
    return float(columns[at, between]), float(rows[at, between])
