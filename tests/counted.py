"""How many points the worksheets give: counted once here, from the questions that they list."""

from cubital import items
from cubital.items import Item


def _listed(worksheet: str, *, optional: bool) -> list[Item]:
    return [item for item in items.WORKSHEETS[worksheet] if optional or not item.optional]


def all_points(worksheet: str, *, optional: bool = True) -> float:
    """Return all points of a worksheet."""
    return sum(item.points for item in _listed(worksheet, optional=optional))


def computed_points(worksheet: str, *, optional: bool = True) -> float:
    """Return the points of what is marked without a person."""
    return sum(
        item.points for item in _listed(worksheet, optional=optional) if item.needs != "person"
    )
