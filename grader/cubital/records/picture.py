"""The learner-by-item picture: one cell an answer, said by symbol, word and shade."""

from typing import NamedTuple

from cubital.handin.objectives import is_right
from cubital.handin.results import ItemResult


class Cell(NamedTuple):
    """One cell: its kind names the shade, the word says it, the letter stands where it is tight."""

    kind: str
    symbol: str
    word: str
    letter: str


RIGHT = Cell("right", "✓", "right", "R")
SLIP = Cell("slip", "≠", "slip", "S")
WRONG = Cell("wrong", "✕", "wrong", "W")
BLANK = Cell("blank", "–", "blank", "B")
NOT_REACHED = Cell("not-reached", "⋯", "not reached", "E")
WAITING = Cell("waiting", "…", "waiting", "H")
REFUSED = Cell("refused", "⊘", "refused", "X")
PART = Cell("part", "◐", "part", "P")
ABSENT = Cell("absent", "·", "not asked", "N")

LEGEND = (
    (RIGHT, "all points"),
    (SLIP, "a mistake that the item knows: see the commonest slips"),
    (WRONG, "another mistake"),
    (PART, "some of the points, given by hand"),
    (BLANK, "not answered"),
    (NOT_REACHED, "not answered, nor anything after it"),
    (WAITING, "waits to be marked by hand, for the first time or again"),
    (REFUSED, "saved, and refused: the answer is to other values, or not in the item's form"),
    (ABSENT, "not part of what this learner handed in"),
)

_COMPUTED = {cell.kind: cell for cell in (RIGHT, SLIP, WRONG, BLANK, REFUSED)}


def cell(row: ItemResult | None, *, reached: bool = True) -> Cell:
    """Choose the cell of an item; a mark given by hand is shown by its points."""
    if row is None:
        return ABSENT
    if not reached and not row.manual:
        return NOT_REACHED
    if not row.manual and (row.outcome == REFUSED.kind or row.points is not None):
        return _COMPUTED.get(row.outcome) or _by_points(row)
    return WAITING if row.points is None else _by_points(row)


def _by_points(row: ItemResult) -> Cell:
    if is_right(row):
        return RIGHT
    if (row.points or 0.0) > 0:
        return PART
    return BLANK if row.outcome == "blank" else WRONG
