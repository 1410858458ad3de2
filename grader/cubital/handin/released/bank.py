"""The item bank of a course folder: the course's items as its educator changed them, and own ones.

``bank.toml`` switches items off, changes their points and sets pass shares; ``items/<name>.py``
adds an item; ``standard-*.csv`` holds the judges' estimates. Without a course folder the bank is
the course's own.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import isfinite
from pathlib import Path
from typing import Any

from cubital import items, tables
from cubital.handin.released.own import (
    PREFIX,
    OwnItem,
    OwnItemError,
    read_own_items,
    released_share,
)
from cubital.handin.released.release import Release
from cubital.items import Item
from cubital.tables.files import read_toml
from cubital.tables.standard import Expected

FILE = "bank.toml"
MOST_POINTS = 100
_KEYS = ("points", "off", "critical_off")
_SECTIONS = ("items", "pass_share")


@dataclass(frozen=True)
class Bank:
    """Items by worksheet with their points here, own ones last; those that are off stay listed.

    ``off`` maps an item to the educator's reason, which only a critical one needs; ``points`` are
    those that differ from the course's; ``pass_share`` is by worksheet or objective.
    """

    worksheets: Mapping[str, tuple[Item, ...]]
    folder: Path | None = None
    off: Mapping[str, str] = field(default_factory=dict)
    points: Mapping[str, float] = field(default_factory=dict)
    pass_share: Mapping[str, float] = field(default_factory=dict)
    own: Mapping[str, OwnItem] = field(default_factory=dict)

    @property
    def file(self) -> str:
        """The file that changes are made in, for messages."""
        return str((self.folder or Path()) / FILE)

    def asked(self, worksheet: str) -> tuple[Item, ...]:
        """Return the items of a worksheet that are not off."""
        return tuple(item for item in self.worksheets[worksheet] if item.id not in self.off)

    def own_of(self, worksheet: str) -> tuple[OwnItem, ...]:
        """Return the own items of a worksheet that are not off."""
        return tuple(
            row
            for row in self.own.values()
            if row.worksheet == worksheet and row.item.id not in self.off
        )

    def worksheet_of(self, item_id: str) -> str:
        """Return the worksheet that has an item; an unknown one raises with those there are."""
        for worksheet, listed in self.worksheets.items():
            if item_id in (item.id for item in listed):
                return worksheet
        raise ValueError(f"there is no item “{item_id}”; there are: {', '.join(self.by_id())}")

    def by_id(self) -> dict[str, Item]:
        """Return all items by id."""
        return {item.id: item for listed in self.worksheets.values() for item in listed}

    def standard(self, release: Release) -> dict[str, Expected]:
        """Return the judges' rows, of those asked with the points that they were released with."""
        rows = dict(tables.standard(self.folder))
        for key, own in release.own.items():
            share = released_share(own, release.sources)
            if key not in rows and share is not None:
                rows[key] = Expected(key, release.items[key].points, (share,))
        for key, asked in release.items.items():
            if key in rows:
                rows[key] = rows[key]._replace(points=asked.points)
        return rows

    def curriculum(self, release: Release) -> tables.Curriculum:
        """Return the objectives with a release's items and points, and today's pass shares.

        Raises
        ------
        ValueError
            An own item has no estimate, and its objective no pass share; the text says what to add.
        """
        rows = self.standard(release)
        return tables.Curriculum(
            tuple(
                self._objective(row, release, rows)
                for row in tables.curriculum(folder=self.folder).objectives
            )
        )

    def _objective(
        self, row: tables.Objective, release: Release, rows: Mapping[str, Expected]
    ) -> tables.Objective:
        more = tuple(
            key
            for key, own in release.own.items()
            if own.objective == row.key and not release.item(key).optional
        )
        listed = row.items + more
        critical = (*row.critical, *(key for key in more if release.item(key).critical))
        off = tuple(key for key in listed if key in release.off)
        row = row._replace(
            items=listed,
            critical=tuple(key for key in critical if key not in off),
            off=off,
            off_reason="; ".join(filter(None, (self.off.get(key) for key in off))),
        )
        share = self.pass_share.get(row.key, self.pass_share.get(self.worksheet_of(listed[0])))
        if share is None and row.left and self._changed(row, more, rows):
            self._check_estimates(row, rows)
            share = tables.pass_share(row.left, rows)
        return row if share is None else row._replace(pass_share=share)

    def _changed(
        self, row: tables.Objective, more: tuple[str, ...], rows: Mapping[str, Expected]
    ) -> bool:
        sheet = tables.standard(self.folder)
        return bool(row.off or more) or any(
            key in sheet and rows[key].points != sheet[key].points for key in row.left
        )

    def _check_estimates(self, row: tables.Objective, rows: Mapping[str, Expected]) -> None:
        lacking = [key for key in row.left if key not in rows]
        if lacking:
            raise OwnItemError(
                f"nothing says how many who just pass get “{lacking[0]}” right. Add one of these: "
                f"PASS_SHARE = 0.65 in its file; a row for it in a sheet standard-own.csv in "
                f"{self.folder}, with the columns item, points and two judges or more; or "
                f"{row.key} = 0.65 under [pass_share] in {self.file}"
            )


def read_bank(folder: Path | None = None, *, drafts: bool = True) -> Bank:
    """Return the bank of a course folder, or the course's own.

    Without ``drafts`` the files of own items are left alone: a release holds its own, and one that
    is still being written must not keep a report from being made.

    Raises
    ------
    ValueError
        ``bank.toml`` or an own item cannot be used; the text names file and key, and what is
        allowed.
    """
    shipped = dict(items.WORKSHEETS)
    if folder is None:
        return Bank(shipped)
    own = _own_items(folder, shipped) if drafts else {}
    listed = {
        name: rows + tuple(row.item for row in own.values() if row.worksheet == name)
        for name, rows in shipped.items()
    }
    path = folder / FILE
    told = read_toml(path) if path.is_file() else {}
    _only(told, _SECTIONS, f"{path}", "a section")
    known = {item.id: item for rows in listed.values() for item in rows}
    changes = told.get("items", {})
    if not isinstance(changes, dict):
        raise ValueError(f"{path}: items must be sections such as [items.{next(iter(known))}]")
    critical = _critical(known)
    off: dict[str, str] = {}
    points: dict[str, float] = {}
    for key, change in changes.items():
        where = f"{path}: [items.{key}]"
        if key.startswith(PREFIX) and not drafts:
            continue
        if key not in known:
            raise ValueError(f"{where}: there is no item “{key}”; there are: {', '.join(known)}")
        if not isinstance(change, dict):
            raise ValueError(f"{where} must be a section with {', '.join(_KEYS)}")
        _only(change, _KEYS, where, "a key")
        if "points" in change:
            points[key] = _points(change["points"], where)
        reason = _reason(change, where, key in critical)
        if reason is not None:
            off[key] = reason
    for name, rows in listed.items():
        listed[name] = tuple(
            replace(item, points=points[item.id]) if item.id in points else item for item in rows
        )
        if rows and all(item.id in off for item in rows):
            raise ValueError(f"{path}: every item of “{name}” is off; leave one at least")
    changed = {key: value for key, value in points.items() if known[key].points != value}
    shares = _pass_shares(told.get("pass_share", {}), path, listed)
    return Bank(listed, folder, off, changed, shares, own)


def _own_items(folder: Path, shipped: Mapping[str, Any]) -> dict[str, OwnItem]:
    objectives = {row.key: row for row in tables.curriculum().objectives}
    found: dict[str, OwnItem] = {}
    for row in read_own_items(folder):
        if row.worksheet not in shipped:
            raise OwnItemError(
                f"{row.path}: WORKSHEET is “{row.worksheet}”; there are: {', '.join(shipped)}"
            )
        asked = {item.id for item in shipped[row.worksheet]}
        allowed = [key for key, one in objectives.items() if asked & set(one.items)]
        if row.objective not in allowed:
            raise OwnItemError(
                f"{row.path}: OBJECTIVE is “{row.objective}”; those of {row.worksheet} are: "
                f"{', '.join(allowed)}"
            )
        if row.item.id in found:
            raise OwnItemError(
                f"{row.path} and {found[row.item.id].path.name} both have the id “{row.item.id}”"
            )
        found[row.item.id] = row
    return found


def _critical(known: Mapping[str, Item]) -> set[str]:
    named = {key for row in tables.curriculum().objectives for key in row.critical}
    return named | {key for key, item in known.items() if item.critical}


def _only(table: Mapping[str, Any], allowed: tuple[str, ...], where: str, what: str) -> None:
    for key in table:
        if key not in allowed:
            raise ValueError(f"{where}: {key!r} is not {what}; allowed are: {', '.join(allowed)}")


def _points(value: Any, where: str) -> float:
    if not _is_number(value) or not 0 < value <= MOST_POINTS:
        raise ValueError(
            f"{where}: points is {value!r}: it must be a number above 0 and at most {MOST_POINTS}; "
            "to leave the item out, write off = true"
        )
    points: float = value
    return points


def _reason(change: Mapping[str, Any], where: str, critical: bool) -> str | None:
    """Return why an item is off, empty if it needs no reason, or None if it is not off."""
    off, reason = change.get("off", False), change.get("critical_off", "")
    if not isinstance(off, bool):
        raise ValueError(f"{where}: off is {off!r}: it must be true or false")
    if not isinstance(reason, str) or ("critical_off" in change and not reason.strip()):
        raise ValueError(f"{where}: critical_off is {reason!r}: it must give a reason in words")
    if reason and not (off and critical):
        raise ValueError(
            f"{where}: critical_off gives the reason for switching off an item that must be right "
            "to pass; " + ("add off = true" if critical else "this one need not be")
        )
    if off and critical and not reason:
        raise ValueError(
            f"{where}: this item must be right to pass, so that off = true needs the reason beside "
            'it: critical_off = "where else it is taught and checked"'
        )
    return reason if off else None


def _pass_shares(told: Any, path: Path, listed: Mapping[str, Any]) -> dict[str, float]:
    objectives = [row.key for row in tables.curriculum().objectives]
    if not isinstance(told, dict):
        raise ValueError(f"{path}: pass_share must be a section, [pass_share]")
    for key, value in told.items():
        where = f"{path}: [pass_share] {key}"
        if key not in listed and key not in objectives:
            raise ValueError(
                f"{where}: there is no such worksheet or objective; worksheets: "
                f"{', '.join(listed)}; objectives: {', '.join(objectives)}"
            )
        if not _is_number(value) or not 0 < value <= 1:
            hint = f"; for {value:g} % write {value / 100:g}" if _percent(value) else ""
            raise ValueError(f"{where} is {value!r}: it must be above 0 and at most 1{hint}")
    return dict(told)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value)


def _percent(value: Any) -> bool:
    return _is_number(value) and 1 < value <= 100  # per cent
