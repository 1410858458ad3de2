"""The structures of a picture that may be asked for, and the bands that lie near one.

Simulated, not clinically validated.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

STRUCTURES = ("vein", "valve", "bifurcation", "artery")
LIKE_BANDS = ("tendon",)  # what the skin shows that competes as a band does
LEAST_RATIO = 0.01  # of what cannot be seen at all: far below the scale's end


@dataclass(frozen=True)
class Structure:
    """A structure: its key, its contrast over the noise, its places, and the segments it is of."""

    key: str
    ratio: float
    x_mm: list[float]
    y_mm: list[float]
    contrast: float
    own: frozenset[str]


def _median_contrast(segments: list[Mapping[str, Any]]) -> float:
    return float(np.median([value for row in segments for value in row["seen_contrast"]]))


def _lines(told: Mapping[str, Any], kind: str) -> list[Structure]:
    return [
        Structure(
            row["key"],
            row["contrast_to_noise"],
            row["x_mm"],
            row["y_mm"],
            _median_contrast([row]),
            frozenset([row["key"]]),
        )
        for row in told["segments"]
        if row["kind"] == kind
    ]


def _valves(told: Mapping[str, Any]) -> list[Structure]:
    segments = {row["key"]: row for row in told["segments"]}
    return [
        Structure(
            row["key"],
            row["contrast_to_noise"],
            [row["x_mm"]],
            [row["y_mm"]],
            _median_contrast([segments[row["segment"]]]),
            frozenset([row["segment"]]),
        )
        for row in told["valves"]
        if row["segment"] in segments
    ]


def _forks(told: Mapping[str, Any]) -> list[Structure]:
    found = []
    for row in told["bifurcations"]:
        arms = [part for part in told["segments"] if row["key"] in (part["starts"], part["stops"])]
        ratios = sorted((part["contrast_to_noise"] for part in arms), reverse=True)
        if len(ratios) > 2:  # three arms make a fork, and the faintest of them decides
            keys = frozenset(part["key"] for part in arms)
            place = [row["x_mm"]], [row["y_mm"]]
            found.append(Structure(row["key"], ratios[2], *place, _median_contrast(arms), keys))
    return found


def structures(told: Mapping[str, Any], what: str) -> list[Structure]:
    """Return the structures of a kind that lie in the picture, seen or not.

    Examples
    --------
    >>> structures({"segments": []}, "vein")
    []
    """
    if what in ("vein", "artery"):
        return _lines(told, what)
    return _valves(told) if what == "valve" else _forks(told)


def bands_near(told: Mapping[str, Any], found: Structure, near_mm: float) -> float:
    """Return how many other bands lie near a structure, faint ones and short ways for less.

    A tendon lies in the way like a band as dark as its furrows.

    Examples
    --------
    >>> alone = Structure("segment-1", 9.0, [0.0], [0.0], 0.1, frozenset(["segment-1"]))
    >>> bands_near({"segments": []}, alone, near_mm=10)
    0.0
    """
    x, y = np.array(found.x_mm)[:, None], np.array(found.y_mm)[:, None]
    total = 0.0
    others = [
        (row, _median_contrast([row])) for row in told["segments"] if row["key"] not in found.own
    ]
    others += [(row, row["darker"]) for row in told.get("surface", ()) if row["kind"] in LIKE_BANDS]
    for row, dark in others:
        away = np.hypot(x - np.array(row["x_mm"]), y - np.array(row["y_mm"]))
        strength = dark / max(found.contrast, LEAST_RATIO)
        total += float((away.min(axis=1) <= near_mm).mean()) * min(max(strength, 0.0), 1.0)
    return total
