"""Tables of infusates and of the limits that circulate for a peripheral vein."""

import functools
from typing import NamedTuple

from cubital.tables.reading import csv_rows


class Infusate(NamedTuple):
    """A fluid or a drug as it is given, with osmolarity and pH."""

    key: str
    words: str
    osmolarity_mosm_per_l: float
    osmolarity_low: float
    osmolarity_high: float
    ph: float
    ph_low: float
    ph_high: float
    kind: str
    source: str
    seen: str
    note: str


class InfusateLimit(NamedTuple):
    """One of the limits in circulation; ``at_limit`` says what the very figure means."""

    key: str
    words: str
    osmolarity_mosm_per_l: float
    at_limit: str
    ph_low: float | None
    ph_high: float | None
    kind: str
    source: str
    seen: str
    note: str


@functools.cache
def infusates() -> dict[str, Infusate]:
    """Return the infusates by key."""
    return {row.key: row for row in csv_rows("infusates.csv", Infusate)}


@functools.cache
def infusate_limits() -> tuple[InfusateLimit, ...]:
    """Return the limits in circulation, strictest osmolarity first."""
    return csv_rows("infusate-limits.csv", InfusateLimit)
