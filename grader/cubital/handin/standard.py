"""A pass mark: what the judges expect of somebody who just passes, added up, and how sure it is."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import stdev

from cubital import tables
from cubital.calc.statistics.decisions import binomial_standard_error
from cubital.handin.released.bank import Bank, read_bank
from cubital.handin.released.release import Release
from cubital.items import Item
from cubital.items.levels import standing_apart
from cubital.tables import Expected

_FEWEST_FOR_SPREAD = 2


@dataclass(frozen=True)
class Standard:
    """The pass mark of a worksheet or of the course, in points.

    Attributes
    ----------
    pass_mark, points
        The points that pass, and those that can be had.
    judges
        How many judges it rests on; 0: on none.
    by_author
        How many items only their author said of what is expected.
    worth
        The points of each item.
    own
        The pass mark that each judge alone would set; none where they did not judge all items.
    invented
        Whether it rests on estimates that no judge made: nothing is decided by it.
    without_apart
        The same without the questions whose points do not decide on the course, see
        `items.levels.standing_apart`; None where there are none of those.
    """

    pass_mark: float
    points: float
    judges: int
    by_author: int = 0
    worth: tuple[float, ...] = ()
    own: tuple[float, ...] = ()
    invented: bool = False
    without_apart: "Standard | None" = None

    @property
    def deciding(self) -> "Standard":
        """What of it decides on the course."""
        return self if self.without_apart is None else self.without_apart

    @property
    def pass_share(self) -> float:
        """Share of the points that passes [-]."""
        return self.pass_mark / self.points

    @property
    def standard_error(self) -> float:
        """Standard error of measurement of a sum at the pass mark [points]."""
        return binomial_standard_error(self.worth, ability_share=self.pass_share)

    @property
    def panel_error(self) -> float | None:
        """Standard error of the pass mark over other panels like this one [points]."""
        if len(self.own) < _FEWEST_FOR_SPREAD:
            return None
        return float(stdev(self.own) / len(self.own) ** 0.5)


def standard_of(
    item_ids: Sequence[str], rows: Mapping[str, Expected], *, invented: bool = False
) -> Standard | None:
    """Add up the sheet over a worksheet's items; None where an item is in no sheet.

    The pass mark is the sum over items of points times the judges' mean estimate (Angoff).
    ``invented`` tells that the judges' sheets are; an author's own estimate is not.
    """
    found = [rows[item] for item in item_ids if item in rows]
    if not found or len(found) < len(item_ids):
        return None
    decides = [item for item in item_ids if item not in standing_apart()]
    is_apart = 0 < len(decides) < len(item_ids)
    judged = [row for row in found if len(row.estimates) > 1]
    numbers = {len(row.estimates) for row in judged}
    one_panel = len(judged) == len(found) and len(numbers) == 1
    return Standard(
        sum(row.points * row.share for row in found),
        sum(row.points for row in found),
        min(numbers, default=0),
        len(found) - len(judged),
        tuple(row.points for row in found),
        tuple(
            sum(row.points * row.estimates[judge] for row in found)
            for judge in range(max(numbers) if one_panel else 0)
        ),
        invented=bool(judged) and (invented or any(row.invented for row in judged)),
        without_apart=standard_of(decides, rows, invented=invented) if is_apart else None,
    )


def standard_set(share: float, asked: Sequence[Item]) -> Standard:
    """Return the pass mark of a worksheet whose share the educator set instead of judges."""
    counted = [item for item in asked if not item.optional]
    decides = [item for item in counted if item.id not in standing_apart()]
    rest = standard_set(share, decides) if 0 < len(decides) < len(counted) else None
    worth = tuple(item.points for item in counted)
    return Standard(share * sum(worth), sum(worth), 0, worth=worth, without_apart=rest)


def together(standards: Iterable[Standard]) -> Standard:
    """Return the pass mark of several worksheets as one."""
    rows = list(standards)
    one_panel = len({len(row.own) for row in rows}) == 1
    return Standard(
        sum(row.pass_mark for row in rows),
        sum(row.points for row in rows),
        min((row.judges for row in rows), default=0),
        sum(row.by_author for row in rows),
        tuple(points for row in rows for points in row.worth),
        tuple(map(sum, zip(*(row.own for row in rows), strict=True))) if one_panel else (),
        any(row.invented for row in rows),
    )


def pass_mark_of(workspace: Path, release: Release, bank: Bank | None = None) -> Standard | None:
    """Return the pass mark of a release as its workspace sets it today; None where it has none.

    ``bank`` is that of the workspace, if it was read already.

    Raises
    ------
    ValueError
        The workspace's own rule cannot be used; the text says what to mend.
    """
    bank = bank or read_bank(workspace, drafts=False)
    asked = release.known()
    share = bank.pass_share.get(release.worksheet)
    if share is not None:
        return standard_set(share, asked)
    counted = [item.id for item in asked if not item.optional]
    invented = bool(tables.setting(workspace)["invented"])
    return standard_of(counted, bank.standard(release), invented=invented)
