"""The dark bands that a picture shows, by a truth, without a word of what they are."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

GAP_MM = 6.0  # a band that is not seen for longer than this is two bands
LEAST_MM = 3.0  # shorter is no band
BEND_PX = 12.0  # a band's way is told by places that keep it within this of the truth
NARROW_SHARE = 0.75  # of the width around it: narrower than this is a narrowing
AROUND_MM = 8.0  # how far around a place the band's usual width is taken
FORK_MM = 6.0  # nearer to a fork than this a width means nothing
COLUMNS = ("column", "row", "along_mm", "seen_width_mm", "seen_contrast")


@dataclass(frozen=True, eq=False)
class Band:
    """A dark band, from its upper end (or its left one) to the other; `stops` tell how it ends."""

    vessel: str
    segments: tuple[str, ...]
    column: np.ndarray
    row: np.ndarray
    along_mm: np.ndarray
    width_mm: np.ndarray
    contrast: np.ndarray
    starts: str
    stops: str

    @property
    def length_mm(self) -> float:
        """Length on the skin [mm]."""
        return float(abs(self.along_mm[-1] - self.along_mm[0]))


def _pieces(segments: Sequence[Mapping[str, Any]]) -> list[list[tuple[Mapping[str, Any], int]]]:
    """Return the runs of seen points of one vessel's segments, in the order of its flow."""
    points = [
        (segment, at)
        for segment in segments
        if segment["visible"]
        for at, seen in enumerate(segment["seen"])
        if seen
    ]
    runs: list[list[tuple[Mapping[str, Any], int]]] = []
    for point in points:
        along = point[0]["along_mm"][point[1]]
        before = runs[-1][-1] if runs else None
        if before is None or along - before[0]["along_mm"][before[1]] > GAP_MM:
            runs.append([])
        runs[-1].append(point)
    return runs


def _ends(run: Sequence[tuple[Mapping[str, Any], int]]) -> tuple[str, str]:
    """Return how a run begins and stops: at a segment's own end, or because it fades."""
    first, last = run[0], run[-1]
    starts = first[0]["starts"] if first[1] == 0 else "fades"
    stops = last[0]["stops"] if last[1] == len(last[0]["seen"]) - 1 else "fades"
    return starts, stops


def _band(run: Sequence[tuple[Mapping[str, Any], int]]) -> Band:
    values = [np.array([segment[name][at] for segment, at in run]) for name in COLUMNS]
    starts, stops = _ends(run)
    if (values[1][0], values[0][0]) > (values[1][-1], values[0][-1]):  # from above downwards
        values, starts, stops = [column[::-1] for column in values], stops, starts
    keys = tuple(dict.fromkeys(segment["key"] for segment, _ in run))
    return Band(run[0][0]["vessel"], keys, *values, starts, stops)


def bands(truth: Mapping[str, Any]) -> tuple[Band, ...]:
    """Return the bands that are seen, from left to right by their upper ends."""
    found = []
    by_vessel: dict[str, list[Mapping[str, Any]]] = {}
    for segment in truth["segments"]:
        by_vessel.setdefault(segment["vessel"], []).append(segment)
    for segments in by_vessel.values():
        found += [_band(run) for run in _pieces(segments) if len(run) > 1]
    kept = [band for band in found if band.length_mm >= LEAST_MM]
    return tuple(sorted(kept, key=lambda band: (band.column[0], band.row[0], band.segments)))


def waypoints(column: np.ndarray, row: np.ndarray, within_px: float = BEND_PX) -> list[int]:
    """Return the fewest points, by halving at the farthest, whose lines stay near to the way.

    Examples
    --------
    >>> waypoints(np.array([0.0, 50, 100]), np.array([0.0, 40, 0]))
    [0, 1, 2]
    >>> waypoints(np.array([0.0, 50, 100]), np.array([0.0, 4, 0]))
    [0, 2]
    """
    kept, open_ends = {0, len(column) - 1}, [(0, len(column) - 1)]
    while open_ends:
        first, last = open_ends.pop()
        if last - first < 2:
            continue
        dx, dy = column[last] - column[first], row[last] - row[first]
        u, v = column[first : last + 1] - column[first], row[first : last + 1] - row[first]
        share = np.clip((u * dx + v * dy) / max(dx**2 + dy**2, 1e-9), 0, 1)
        away = np.hypot(u - share * dx, v - share * dy)
        at = first + int(np.argmax(away))
        if away.max() > within_px:
            kept.add(at)
            open_ends += [(first, at), (at, last)]
    return sorted(kept)


def narrowings(band: Band, away_from: Sequence[tuple[float, float]], scale: float) -> list[int]:
    """Return the points at which a band is clearly narrower than around them, but for places given.

    `away_from` are forks, crossings and knots as (column, row); `scale` is in [mm/px].
    """
    if len(band.width_mm) < 3:
        return []
    around = np.array(
        [
            np.median(band.width_mm[np.abs(band.along_mm - along) <= AROUND_MM])
            for along in band.along_mm
        ]
    )
    narrow = band.width_mm < NARROW_SHARE * around
    for column, row in away_from:
        narrow &= np.hypot(band.column - column, band.row - row) * scale > FORK_MM
    found = []
    edges = np.flatnonzero(np.diff(np.concatenate([[0], narrow.astype(int), [0]])))
    for first, last in pairwise(edges):
        if narrow[first]:
            found.append(int(first + np.argmin(band.width_mm[first:last])))
    return found
