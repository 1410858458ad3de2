"""The lessons' interactive figures and their tables."""

from cubital.explore.kit.table import sources

__all__ = ["sources"]
