"""Which release a hand-in answers, by what is in it, as marking goes by."""

from collections.abc import Callable

from cubital.handin.answers import FILE as ANSWERS_FILE
from cubital.handin.files import loads_json
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.marking.cohort.course import Course


def release_answered(read: Callable[[str], bytes], otherwise: str) -> str:
    """Return the release that the answers name, else the release file, else the one given.

    A note that says something else than the answers moves no due date.

    Parameters
    ----------
    read
        Gives a file of the hand-in by its name; empty if there is none.
    """
    for file, part in ((ANSWERS_FILE, "release"), (RELEASE_FILE, "name")):
        if data := read(file):
            try:
                name = loads_json(data, file)[part]
            except (ValueError, KeyError, TypeError, IndexError):
                continue
            if isinstance(name, str):
                return name
    return otherwise


def given_out(course: Course, worksheet: str) -> str:
    """Return the name of the release that learners have; empty before there is one."""
    released = (course.source(worksheet) / RELEASE_FILE).is_file()
    return course.release(worksheet).name if released else ""
