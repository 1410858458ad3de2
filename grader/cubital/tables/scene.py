"""Tables of superficial vessels: their sizes, limbs, and how often a pattern is found."""

import functools
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from cubital.tables.files import csv_rows


class VesselSize(NamedTuple):
    """Diameter and depth of the main vessels of a site: mean and spread over persons [mm]."""

    site: str
    age_group: str
    vessel: str
    diameter_mm: float
    diameter_sd_mm: float
    diameter_low_mm: float
    diameter_high_mm: float
    diameter_kind: str
    diameter_source: str
    diameter_seen: str
    depth_mm: float
    depth_sd_mm: float
    depth_low_mm: float
    depth_high_mm: float
    depth_kind: str
    depth_source: str
    depth_seen: str
    note: str


class LimbSize(NamedTuple):
    """A site's limb, how much of it is simulated, and how near two vessels may lie [mm]."""

    site: str
    age_group: str
    half_width_mm: float
    taper: float
    sag_mm: float
    half_length_mm: float
    gap_mm: float
    kind: str
    source: str
    seen: str
    note: str


class Pattern(NamedTuple):
    """How often a pattern is found at a site."""

    site: str
    pattern: str
    share: float
    kind: str
    source: str
    seen: str
    note: str


@functools.cache
def vessel_sizes() -> Mapping[tuple[str, str, str], VesselSize]:
    """Return the sizes by site, age group and kind of vessel."""
    rows = csv_rows("scene/sizes.csv", VesselSize)
    return MappingProxyType({(row.site, row.age_group, row.vessel): row for row in rows})


@functools.cache
def limb_sizes() -> Mapping[tuple[str, str], LimbSize]:
    """Return the limbs by site and age group."""
    rows = csv_rows("scene/limbs.csv", LimbSize)
    return MappingProxyType({(row.site, row.age_group): row for row in rows})


@functools.cache
def patterns(site: str) -> tuple[Pattern, ...]:
    """Return the patterns of a site with their shares."""
    return tuple(row for row in csv_rows("scene/patterns.csv", Pattern) if row.site == site)
