"""When the hand-ins to a release are due, and for whom later: the workspace's ``due.toml``.

A date stands there with its distance from UTC, so that nobody need know a time zone to read it.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from cubital.handin.files import write_text
from cubital.marking.errors import CourseError
from cubital.tables.files import read_toml

FILE = "due.toml"
_PARTS = {"due", "extensions"}
_HEAD = """\
# When the hand-ins to a release are due, each date with its distance from UTC. A hand-in dated up
# to that second is in time. “cubital cohort due” changes this file and keeps no other comments.
"""


@dataclass(frozen=True)
class Due:
    """When the hand-ins to one release are due, and the dates of those who have an extension."""

    at: datetime
    extensions: Mapping[str, datetime] = field(default_factory=dict)

    def of(self, learner: str) -> datetime:
        """Return the date that holds for a learner."""
        return self.extensions.get(learner, self.at)


Dates = Mapping[str, Due]  # of one worksheet, by the name of the release


def read_dates(workspace: Path, worksheet: str) -> Dates:
    """Return the due dates of a worksheet's releases; empty where none is set.

    Raises
    ------
    CourseError
        ``due.toml`` holds something else; the text says what and where.
    """
    return _read(workspace).get(worksheet, {})


def _read(workspace: Path) -> dict[str, dict[str, Due]]:
    path = workspace / FILE
    if not path.is_file():
        return {}
    try:
        data = read_toml(path)
        return {
            worksheet: {
                release: _due(row, f"{worksheet}, {release}")
                for release, row in _table(releases, worksheet).items()
            }
            for worksheet, releases in data.items()
        }
    except (OSError, ValueError) as error:
        raise CourseError(f"{path} cannot be used: {error}") from error


def _table(data: Any, where: str) -> dict[str, Any]:
    if not isinstance(data, dict):
        raise ValueError(f'{where}: write ["{where}"."NAME OF THE RELEASE"] and below it “due = …”')
    return data


def _due(row: Any, where: str) -> Due:
    table = _table(row, where)
    if other := table.keys() - _PARTS:
        raise ValueError(f"{where}: “{min(other)}” is unknown; write {' or '.join(sorted(_PARTS))}")
    if "due" not in table:
        raise ValueError(f"{where}: it has no “due”")
    extensions = table.get("extensions", {})
    if not isinstance(extensions, dict):
        raise ValueError(f"{where}: “extensions” is not a table of learners and dates")
    return Due(
        _moment(table["due"], where),
        {learner: _moment(at, f"{where}, {learner}") for learner, at in extensions.items()},
    )


def _moment(at: Any, where: str) -> datetime:
    if not isinstance(at, datetime):
        raise ValueError(f"{where}: {at!s:.60} is no date with an hour: {_EXAMPLE}")
    if at.tzinfo is None:
        raise ValueError(f"{where}: {at} does not say how far from UTC it is: {_EXAMPLE}")
    return at


_EXAMPLE = "write it as 2027-03-05T17:00:00+01:00"


def write_due(workspace: Path, worksheet: str, release: str, due: Due | None) -> None:
    """Write the due date of a release with its extensions, or take both away; others stay."""
    dates = _read(workspace)
    of_sheet = {key: row for key, row in dates.get(worksheet, {}).items() if key != release}
    dates[worksheet] = of_sheet if due is None else of_sheet | {release: due}
    lines = [_HEAD]
    for sheet, releases in sorted(dates.items()):
        for name, row in sorted(releases.items()):
            table = f"{_quoted(sheet)}.{_quoted(name)}"
            lines.append(f"[{table}]\ndue = {row.at.isoformat()}\n")
            if row.extensions:
                rows = [
                    f"{_quoted(who)} = {at.isoformat()}\n"
                    for who, at in sorted(row.extensions.items())
                ]
                lines.append(f"[{table}.extensions]\n{''.join(rows)}")
    write_text(workspace / FILE, "\n".join(lines))


def _quoted(name: str) -> str:
    return json.dumps(name)


def read_local(text: str, zone: str = "") -> datetime:
    """Read a date with an hour: of the time zone that it names, of ``zone``, or of this computer.

    Raises
    ------
    ValueError
        It is no date with an hour, there is no such time zone, or its clocks leave that hour out.
    """
    written = text.strip()
    try:
        moment = datetime.fromisoformat(written)
    except ValueError as error:
        raise ValueError(f"{written!r:.60} is no date: write it as “2027-03-05 17:00”") from error
    if ":" not in written:
        raise ValueError(f"{written!r:.60} has no hour: write it as “2027-03-05 17:00”")
    if moment.tzinfo is not None:
        return moment
    try:
        found = moment.replace(tzinfo=ZoneInfo(zone)) if zone else moment.astimezone()
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise ValueError(f"no time zone is called {zone!r:.60}: write Europe/Berlin") from error
    there = found.astimezone(UTC).astimezone(found.tzinfo if zone else None)
    if there.replace(tzinfo=None) != moment:
        raise ValueError(f"there is no {written} there: the clocks are put forward over it")
    return found.astimezone(timezone(found.utcoffset() or timedelta()))


def in_words(moment: datetime) -> str:
    """Say a moment to the minute, with its distance from UTC."""
    offset = moment.strftime("%z")
    zone = "UTC" if not moment.utcoffset() else f"{offset[:3]}:{offset[3:5]}"
    return f"{moment:%Y-%m-%d %H:%M} {zone}"
