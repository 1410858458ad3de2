"""Limits of exposure to infrared light that differ by guideline, and the invented sources."""

import functools
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from cubital.tables.reading import asset, csv_rows


class RetinaLimit(NamedTuple):
    """The coefficient of a guideline's limit for the retina, and the time from which it holds."""

    key: str
    words: str
    coefficient_w_per_m2_sr_rad: float
    from_s: float
    kind: str
    source: str
    seen: str


class LightSource(NamedTuple):
    """A source of infrared light, invented for teaching."""

    key: str
    words: str
    notice: str
    wavelength_nm: float
    radiant_intensity_w_per_sr: float
    source_diameter_mm: float
    source_distance_mm: float
    kind: str
    source: str
    seen: str


@functools.cache
def retina_limits() -> Mapping[str, RetinaLimit]:
    """Return the limits for the retina by guideline, the latest first."""
    return MappingProxyType({r.key: r for r in csv_rows("exposure-retina.csv", RetinaLimit)})


@functools.cache
def light_sources() -> Mapping[str, LightSource]:
    """Return the invented sources of light by key."""
    rows = asset("exposure-source.toml")
    return MappingProxyType({key: LightSource(key=key, **row) for key, row in rows.items()})
