"""The stretches of vessels that lie in the picture, between confluences, ends and its edges."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from cubital.calc.shared.units import Number
from cubital.scene.anatomy.vessels import Scene, Vessel, View
from cubital.scene.light.geometry import to_picture

STEP_MM = 1.0  # between points of a stretch: 5 px, finer than the narrowest bend of a vein
FINE = 8  # points looked at per step, to find where the picture's edge cuts a vessel
END, EDGE = "end", "edge"  # what a stretch ends at, if not at a bifurcation


@dataclass(frozen=True, eq=False)
class Stretch:
    """A piece of one vessel in the picture, by points in the direction of flow.

    `starts` and `stops` are "end", "edge" (of the picture) or the key of a bifurcation.
    """

    vessel: str
    kind: str
    along_mm: np.ndarray
    x_mm: np.ndarray
    y_mm: np.ndarray
    depth_mm: np.ndarray
    diameter_mm: np.ndarray
    column: np.ndarray
    row: np.ndarray
    starts: str
    stops: str

    @property
    def length_mm(self) -> float:
        """Way along the stretch on the skin [mm]."""
        return float(self.along_mm[-1] - self.along_mm[0])


def in_picture(view: View, column: Number, row: Number) -> np.ndarray:
    """Return whether a place lies on a pixel of the picture.

    Examples
    --------
    >>> [bool(in_picture(View(), column, 100)) for column in (-0.6, -0.5, 639.5, 639.6)]
    [False, True, True, False]
    """
    column, row = np.asarray(column, float), np.asarray(row, float)
    inside = (column >= -0.5) & (column <= view.width_px - 0.5)
    return inside & (row >= -0.5) & (row <= view.height_px - 0.5)


def nearest_along_mm(vessel: Vessel, x_mm: float, y_mm: float) -> float:
    """Return the way along a vessel at which it passes nearest to a place [mm].

    Examples
    --------
    >>> line = Vessel("a", "vein", *np.array([[0, 0], [30, 0], [1, 1], [2, 2]], float))
    >>> nearest_along_mm(line, 5, 12)
    18.0
    """
    x, y = vessel.x_mm, vessel.y_mm
    dx, dy = np.diff(x), np.diff(y)
    steps = np.maximum(dx**2 + dy**2, np.finfo(float).tiny)  # two points may be one
    share = np.clip(((x_mm - x[:-1]) * dx + (y_mm - y[:-1]) * dy) / steps, 0, 1)
    away = np.hypot(x[:-1] + share * dx - x_mm, y[:-1] + share * dy - y_mm)
    at = int(np.argmin(away))
    return float(vessel.along_mm[at] + share[at] * np.hypot(dx[at], dy[at]))


def confluence_keys(scene: Scene) -> dict[int, str]:
    """Return the key of each confluence by its number in the anatomy."""
    return {at: f"bifurcation-{at + 1}" for at in range(len(scene.anatomy.confluences))}


def _cuts(scene: Scene, vessel: Vessel) -> list[tuple[float, str]]:
    """Return where a vessel is cut, and by what: its ends and the confluences on it."""
    keys = confluence_keys(scene)
    length, ways = vessel.length_mm, []
    for at, place in enumerate(scene.anatomy.confluences):
        way = nearest_along_mm(vessel, place.x_mm, place.y_mm)
        if place.joining == vessel.key:  # by one of its ends
            ways.append((0.0 if way < length / 2 else length, keys[at]))
        elif place.joined == vessel.key:
            ways.append((way, keys[at]))
    near = STEP_MM / 2  # a confluence this near to an end is at the end
    first = next((key for way, key in ways if way <= near), END)
    last = next((key for way, key in ways if way >= length - near), END)
    inner = sorted(cut for cut in ways if near < cut[0] < length - near)
    return [(0.0, first), *inner, (length, last)]


def _runs(inside: np.ndarray) -> list[tuple[int, int]]:
    """Return first and last index of each run of true values."""
    edges = np.diff(np.concatenate([[0], inside.astype(np.int8), [0]]))
    return list(zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1, strict=True))


def stretch_of(scene: Scene, vessel: Vessel, low: float, high: float, ends=(END, END)) -> Stretch:
    """Return a stretch of a vessel between two ways along it [mm]."""
    count = max(int(np.ceil((high - low) / STEP_MM)), 1) + 1
    along = np.linspace(low, high, count)
    at = vessel.along_mm
    x, y, depth, diameter = (
        np.interp(along, at, values)
        for values in (vessel.x_mm, vessel.y_mm, vessel.depth_mm, vessel.diameter_mm)
    )
    column, row = to_picture(scene.view, x, y)
    return Stretch(vessel.key, vessel.kind, along, x, y, depth, diameter, column, row, *ends)


def stretches(scene: Scene) -> tuple[Stretch, ...]:
    """Return the stretches of all vessels in the picture, in the order of the vessels."""
    found = []
    for vessel in scene.anatomy.vessels:
        cuts = _cuts(scene, vessel)
        for (low, starts), (high, stops) in pairwise(cuts):
            fine = np.linspace(low, high, max(int((high - low) / STEP_MM * FINE), 1) + 1)
            at = vessel.along_mm
            places = (np.interp(fine, at, values) for values in (vessel.x_mm, vessel.y_mm))
            inside = in_picture(scene.view, *to_picture(scene.view, *places))
            for first, last in _runs(inside):
                if last - first < FINE:  # shorter than a step: nothing to see or to mark
                    continue
                ends = (
                    starts if first == 0 else EDGE,
                    stops if last == len(fine) - 1 else EDGE,
                )
                found.append(stretch_of(scene, vessel, fine[first], fine[last], ends))
    return tuple(found)
