"""When learners were told what is right in a release: by their feedback, by the educator's clock.

``told.json`` in the workspace is only added to; the first time counts.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from cubital.handin.files import read_log, write_json
from cubital.marking.errors import CourseError

FILE = "told.json"
FORMAT = "cubital-told/1"


@dataclass(frozen=True)
class Told:
    """A learner who was given feedback on a release of a worksheet; ``at`` in ISO form."""

    worksheet: str
    release: str
    learner: str
    at: str


def note_told(
    workspace: Path, worksheet: str, given: Iterable[tuple[str, str]], now: datetime
) -> None:
    """Note that feedback is given to learners, each named after the release that they answered.

    Raises
    ------
    CourseError
        The file cannot be read, or holds something else.
    """
    rows = _read(workspace)
    known = {(row.release, row.learner) for row in rows if row.worksheet == worksheet}
    at = now.astimezone(UTC).isoformat()
    new = [Told(worksheet, *one, at) for one in dict.fromkeys(given) if one not in known]
    if new:
        kept = [asdict(row) for row in (*rows, *new)]
        write_json(workspace / FILE, {"format": FORMAT, "told": kept})


def times_told(workspace: Path, worksheet: str) -> Mapping[str, Mapping[str, datetime]]:
    """Return by learner and release when learners were first given feedback on a worksheet.

    Raises
    ------
    CourseError
        The file cannot be read, or holds something else.
    """
    found: defaultdict[str, dict[str, datetime]] = defaultdict(dict)
    for row in _read(workspace):
        if row.worksheet == worksheet:
            found[row.learner].setdefault(row.release, datetime.fromisoformat(row.at))
    return found


def _read(workspace: Path) -> list[Told]:
    try:
        return read_log(
            workspace / FILE,
            "told",
            _checked,
            form=FORMAT,
            lost="a hand-in that came after the feedback counts like any other",
        )
    except ValueError as error:
        raise CourseError(str(error)) from error


def _checked(row: Any) -> Told:
    told = Told(**row)
    if any(type(part) is not str for part in asdict(told).values()):
        raise ValueError("a row in it is not in words")
    if datetime.fromisoformat(told.at).tzinfo is None:
        raise ValueError(f"{told.at!r:.40} has no time zone")
    return told
