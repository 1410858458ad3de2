"""A worksheet's pass mark: what the judges expect of somebody who just passes, added up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cubital.items import Item
from cubital.tables import Expected


@dataclass(frozen=True)
class Standard:
    """The pass mark of a worksheet, in points, and how many judges it rests on; 0: on none.

    ``by_author`` counts the items of which their author alone said what is expected.
    """

    pass_mark: float
    points: float
    judges: int
    by_author: int = 0

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
    judged = [len(row.estimates) for row in found if len(row.estimates) > 1]
    return Standard(
        sum(row.points * row.share for row in found),
        sum(row.points for row in found),
        min(judged, default=0),
        len(found) - len(judged),
    )


def standard_set(share: float, asked: Sequence[Item]) -> Standard:
    """Return the pass mark of a worksheet whose share the educator set instead of judges."""
    points = sum(item.points for item in asked if not item.optional)
    return Standard(share * points, points, 0)
