"""A worksheet's pass mark: what the judges expect of somebody who just passes, added up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cubital.items import Item
from cubital.tables import Expected


@dataclass(frozen=True)
class Standard:
    """The pass mark of a worksheet, in points, and how many judges it rests on; 0: on none."""

    pass_mark: float
    points: float
    judges: int

    @property
    def pass_share(self) -> float:
        """Share of the points that passes [-]."""
        return self.pass_mark / self.points


def standard_of(item_ids: Sequence[str], rows: Mapping[str, Expected]) -> Standard | None:
    """Add up the sheet over a worksheet's items; None where an item is in no sheet.

    The pass mark is the sum over items of points times the judges' mean estimate (Angoff).
    """
    found = [rows[item] for item in item_ids if item in rows]
    if not found or len(found) < len(item_ids):
        return None
    return Standard(
        sum(row.points * row.share for row in found),
        sum(row.points for row in found),
        min(len(row.estimates) for row in found),
    )


def standard_set(share: float, asked: Sequence[Item]) -> Standard:
    """Return the pass mark of a worksheet whose share the educator set instead of judges."""
    points = sum(item.points for item in asked)
    return Standard(share * points, points, 0)
