"""The fitted quick formulas of how veins show."""

import functools
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from cubital.tables.reading import asset


@functools.cache
def fitted() -> Mapping[str, Any]:
    """Return the fits of contrast and width, and what they were fitted for."""
    return MappingProxyType(asset("fitted/visibility.toml"))
