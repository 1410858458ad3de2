"""What could not be taken or looks wrong, kept in ``results/`` for marking and report."""

import string
from dataclasses import asdict, dataclass
from pathlib import Path

from cubital.handin.files import read_json, write_json
from cubital.handin.results import SYSTEM_ERROR
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.receiving import INBOX

FORMAT = "cubital-problems/1"
SUBMITTED = "submitted"
LOOK = "to be looked at"  # the state of what is taken, or passed over, and looks wrong
NO_HAND_IN = "no hand-in"  # the state of files that are nobody's
_PLAIN = {*string.ascii_letters, *string.digits, *"-_./\\:"}  # of a path
LIST_ANEW = "Move the file away, collect and mark again: both write it anew."


@dataclass(frozen=True)
class Problem:
    """A file or folder that could not be taken.

    ``learner`` is who on the roster has nothing but this, and whose result tells of it; None if
    that is nobody. ``anyones`` if it could not be read and whoever's hand-in may be in it.
    """

    file: str
    learner: str | None
    state: str
    reason: str
    action: str
    anyones: bool = False


def command(course: Course, *words: str) -> str:
    """Return a step of ``cubital cohort`` in this workspace, as it is pasted into any terminal."""
    where = str(course.workspace.resolve())
    if set(where) - _PLAIN:
        where = f'"{where}"'  # as each system's shell takes it
    return f"“cubital cohort {' '.join(words)} --workspace {where}”"


def read_problems(course: Course, worksheet: str) -> list[Problem]:
    """Return what could not be taken, from the inbox and among the submitted folders.

    A list that cannot be read is itself what is told.
    """
    try:
        return [row for rows in _stored(course, worksheet).values() for row in rows]
    except (OSError, ValueError) as error:
        path = _file(course, worksheet)
        reason = f"what was not taken cannot be read from it: {error}"
        file = path.relative_to(course.workspace).as_posix()
        return [Problem(file, None, SYSTEM_ERROR, reason, LIST_ANEW, anyones=True)]


def unread(course: Course, worksheet: str) -> list[str]:
    """Return what lies in the inbox and could not be read, so that it may be anybody's."""
    return [row.file for row in read_problems(course, worksheet) if row.anyones]


def write_problems(course: Course, worksheet: str, part: str, problems: list[Problem]) -> None:
    """Keep the problems of one part; those of the other stay, if they can be read."""
    try:
        stored = _stored(course, worksheet)
    except (OSError, ValueError):
        stored = {}
    rows = {key: list(map(asdict, kept)) for key, kept in (stored | {part: problems}).items()}
    write_json(_file(course, worksheet), {"format": FORMAT} | rows)


def _stored(course: Course, worksheet: str) -> dict[str, list[Problem]]:
    path = _file(course, worksheet)
    if not path.exists():
        return {}
    data = read_json(path)
    try:
        if data["format"] != FORMAT:
            raise ValueError(f"it is not a list of format {FORMAT!r}")
        return {part: [Problem(**row) for row in data.get(part, [])] for part in (INBOX, SUBMITTED)}
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError("it is not a list of what was not taken") from error


def _file(course: Course, worksheet: str) -> Path:
    return course.results_folder / f"{course.known(worksheet)}.problems.json"
