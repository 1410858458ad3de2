"""The standard-setting sheets: what judges expect of somebody who just passes, item by item."""

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from statistics import fmean
from types import MappingProxyType
from typing import Any, NamedTuple

from cubital.tables.files import asset, course_folder, read_toml

FILES = "standard-*.csv"
SETTING_FILE = "standard-setting.toml"
_SHIPPED = "judges"  # the folder of the course's own, in assets
_FIXED = ("item", "points")
_FEWEST_JUDGES = 2


class Expected(NamedTuple):
    """One item's row: its points, and the share that each judge expects of who just passes.

    ``invented`` tells that the estimates are no judge's.
    """

    item: str
    points: float
    estimates: tuple[float, ...]
    invented: bool = False

    @property
    def share(self) -> float:
        """The mean of the judges' estimates [-]."""
        return fmean(self.estimates)

    @property
    def range(self) -> float:
        """How far the judges lie apart [-]."""
        return max(self.estimates) - min(self.estimates)


def setting(folder: Path | None = None) -> Mapping[str, Any]:
    """Return how the standard was set: method, day, judges, and whether it is invented.

    A course folder's own file replaces single keys, for a panel of its own.
    """
    told = asset(f"{_SHIPPED}/{SETTING_FILE}")
    path = None if folder is None else Path(folder) / SETTING_FILE
    return MappingProxyType(told | (read_toml(path) if path and path.is_file() else {}))


def standard(folder: Path | None = None) -> Mapping[str, Expected]:
    """Return the judges' row of each item; sheets in a course folder replace the course's rows."""
    rows = dict(_shipped())
    if folder is not None:
        for path in sorted(Path(folder).glob(FILES)):
            rows |= _read(path)
    return MappingProxyType(rows)


@cache
def _shipped() -> Mapping[str, Expected]:
    rows: dict[str, Expected] = {}
    for path in sorted((course_folder("assets") / _SHIPPED).glob(FILES)):
        found = _read(path)
        twice = sorted(set(found) & set(rows))
        if twice:
            raise ValueError(f"{path}: {twice[0]!r} is in another sheet already")
        rows |= found
    invented = bool(setting()["invented"])
    return MappingProxyType({key: row._replace(invented=invented) for key, row in rows.items()})


def _read(path: Path) -> dict[str, Expected]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        reader = csv.reader(file, strict=True)
        header = next(reader, [])
        if tuple(header[:2]) != _FIXED or len(header) < len(_FIXED) + _FEWEST_JUDGES:
            raise ValueError(f"{path} must have the columns item, points and two judges or more")
        rows = {}
        for number, cells in enumerate(reader, 2):
            item, points, *given = cells
            try:
                shares = tuple(float(cell) / 100 for cell in given)
                rows[item] = Expected(item, float(points), shares)
            except ValueError as error:
                raise ValueError(f"{path}, line {number}: {error}") from error
            if len(cells) != len(header) or not all(0 <= share <= 1 for share in shares):
                raise ValueError(
                    f"{path}, line {number}: each judge gives a number from 0 to 100 per cent"
                )
        return rows


def pass_share(items: tuple[str, ...], rows: Mapping[str, Expected]) -> float:
    """Return the share of these items' points that who just passes is expected to have [-].

    Raises
    ------
    ValueError
        An item is in no sheet.
    """
    unknown = [item for item in items if item not in rows]
    if unknown:
        raise ValueError(f"the standard-setting sheets lack the item {unknown[0]!r}")
    expected = sum(rows[item].points * rows[item].share for item in items)
    return expected / sum(rows[item].points for item in items)
