"""When hand-ins to a worksheet were collected: ``results/<worksheet>.collectings.json``.

Only a collecting that found a hand-in to the worksheet in the inbox is noted, whether it was new or
had been collected before: in an empty inbox nobody's hand-in was missed.
"""

from datetime import UTC, datetime
from pathlib import Path

from cubital.handin.files import read_json, write_json
from cubital.marking.cohort.course import Course
from cubital.marking.errors import CourseError

FORMAT = "cubital-collectings/1"


def note_collecting(course: Course, worksheet: str, now: datetime) -> None:
    """Note that hand-ins to a worksheet were collected; those that came by it arrived just then."""
    times = sorted({*collectings(course, worksheet), now.astimezone(UTC)})
    rows = {"format": FORMAT, "at": [at.isoformat(timespec="microseconds") for at in times]}
    write_json(_file(course, worksheet), rows)


def collectings(course: Course, worksheet: str) -> list[datetime]:
    """Return when hand-ins to a worksheet were collected.

    Raises
    ------
    CourseError
        The file cannot be read, or holds something else.
    """
    path = _file(course, worksheet)
    if not path.is_file():
        return []
    try:
        data = read_json(path)
        if data["format"] != FORMAT:
            raise ValueError(f"its format is {data['format']!r:.60}, not {FORMAT!r}")
        times = [datetime.fromisoformat(at) for at in data["at"]]
        if any(at.tzinfo is None for at in times):
            raise ValueError("a time in it does not say how far from UTC it is")
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise CourseError(
            f"{path} cannot be used: {error}. Put a copy back in its place, or delete it; without "
            "it a hand-in that is dated back may not be named"
        ) from error
    return times


def _file(course: Course, worksheet: str) -> Path:
    return course.results_folder / f"{course.known(worksheet)}.collectings.json"
