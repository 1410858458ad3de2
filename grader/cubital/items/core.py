"""The core: the questions of a department that signs off in three hours."""

import functools

from cubital.items.kinds.base import Item
from cubital.tables.files import asset


@functools.cache
def core() -> frozenset[str]:
    """Return the questions of the core."""
    return frozenset(asset("core.toml")["questions"])


def is_asked(item: Item) -> bool:
    """Tell whether a worksheet has an item where the core alone is asked; the optional stay."""
    return item.optional or item.id in core()
