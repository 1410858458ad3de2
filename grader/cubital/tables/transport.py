"""Tables of light transport: fits for a smooth surface seen from inside."""

import functools
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from cubital.tables.reading import asset


class SurfaceFit(NamedTuple):
    """A sum of powers of the refractive index: what it gives, and how well."""

    powers: tuple[int, ...]
    factors: tuple[float, ...]
    gives: str
    kind: str
    source: str
    seen: str

    def at(self, refractive_index):
        """Return the fit at a refractive index, or an array of them."""
        return sum(f * refractive_index**p for f, p in zip(self.factors, self.powers, strict=True))


@functools.cache
def surface_fits() -> Mapping[str, SurfaceFit]:
    """Return the fits by key."""
    rows = asset("diffusion.toml").items()
    lists = ("powers", "factors")
    return MappingProxyType(
        {key: SurfaceFit(**row | {name: tuple(row[name]) for name in lists}) for key, row in rows}
    )
