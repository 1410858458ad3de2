"""Room light, and the ways of holding a device over the arm."""

import functools
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from cubital.tables.files import csv_rows


class RoomLight(NamedTuple):
    """The room light at a kind of place."""

    key: str
    words: str
    illuminance_lx: float
    low_lx: float
    high_lx: float
    kind: str
    source: str
    seen: str
    note: str


class Holding(NamedTuple):
    """A way of holding the device: how well its distance is set, and how it then moves."""

    key: str
    words: str
    setting_error_mm: float
    drift_sd_mm: float
    drift_time_s: float
    tremor_amplitude_mm: float
    tremor_hz: float
    kind: str
    source: str
    seen: str
    note: str


@functools.cache
def room_light() -> Mapping[str, RoomLight]:
    """Return the kinds of room light by key, darkest first."""
    return MappingProxyType({row.key: row for row in csv_rows("focus/room-light.csv", RoomLight)})


@functools.cache
def holdings() -> Mapping[str, Holding]:
    """Return the ways of holding the device by key, least steady first."""
    return MappingProxyType({row.key: row for row in csv_rows("focus/holding.csv", Holding)})
