"""Tables of veins: how they distend, what a tourniquet presses, how they move, their sizes."""

import functools
from typing import NamedTuple

from cubital.tables.files import csv_rows


class Distension(NamedTuple):
    """Cross-section of a vein under a cuff, over that at rest."""

    cuff_mmhg: float
    area_share: float
    area_low: float
    area_high: float
    kind: str
    source: str
    seen: str
    note: str


class Tension(NamedTuple):
    """What a tourniquet drawn with a tension presses with."""

    tension_kg: float
    cuff_mmhg: float
    kind: str
    source: str
    seen: str
    note: str


class Sideways(NamedTuple):
    """How far a vein gives way to a sideways push, by how the skin is held."""

    key: str
    words: str
    give_mm_per_n: float
    give_low: float
    give_high: float
    most_mm: float
    kind: str
    source: str
    seen: str
    note: str


class VeinSize(NamedTuple):
    """Usual diameter and depth of a vein."""

    key: str
    place: str
    age_group: str
    diameter_mm: float
    depth_mm: float | None
    kind: str
    source: str
    seen: str
    note: str


@functools.cache
def distension() -> tuple[Distension, ...]:
    """Return the cross-sections under a cuff, lowest pressure first."""
    return csv_rows("reading/distension.csv", Distension)


@functools.cache
def tensions() -> tuple[Tension, ...]:
    """Return the pressures of a tourniquet, lowest tension first."""
    return csv_rows("reading/tension.csv", Tension)


@functools.cache
def sideways() -> dict[str, Sideways]:
    """Return how veins give way, by how the skin is held."""
    return {row.key: row for row in csv_rows("reading/sideways.csv", Sideways)}


@functools.cache
def vein_sizes() -> dict[str, VeinSize]:
    """Return usual veins by key."""
    return {row.key: row for row in csv_rows("reading/vein-sizes.csv", VeinSize)}
