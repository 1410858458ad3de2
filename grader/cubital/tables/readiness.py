"""The pre-use check."""

import functools
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from cubital.tables.files import asset, csv_rows


class CheckStep(NamedTuple):
    """One question of the pre-use check, and what to do when the answer is no."""

    key: str
    ask: str
    why: str
    if_not: str
    stops: bool
    kind: str
    source: str
    seen: str


@functools.cache
def pre_use_check() -> tuple[CheckStep, ...]:
    """Return the questions of the pre-use check, in order."""
    table = asset("readiness/pre-use-check.toml")
    return tuple(CheckStep(key=key, **row) for key, row in table.items())


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
    return MappingProxyType(
        {r.key: r for r in csv_rows("readiness/exposure-retina.csv", RetinaLimit)}
    )


@functools.cache
def light_sources() -> Mapping[str, LightSource]:
    """Return the invented sources of light by key."""
    rows = asset("readiness/exposure-source.toml")
    return MappingProxyType({key: LightSource(key=key, **row) for key, row in rows.items()})
