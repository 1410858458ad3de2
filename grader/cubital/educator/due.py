"""Set when the hand-ins to a release are due, and give extensions."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cubital.educator.workspace import opened
from cubital.marking.cohort.course import Course
from cubital.marking.counting.due import FILE, Due, in_words, read_local, write_due
from cubital.marking.counting.standings import dates_of
from cubital.marking.errors import CourseError

__all__ = ["DueDates", "due_dates", "in_words", "read_local", "set_due", "take_back_due"]


@dataclass(frozen=True)
class DueDates:
    """The due date of one release and who has until later; None if no date is set."""

    worksheet: str
    release: str
    due: Due | None
    file: Path


def due_dates(workspace: Path, worksheet: str, release: str = "") -> DueDates:
    """Return the due date of a release; of the one that learners have, if none is named.

    Raises
    ------
    CourseError
        There is no such release, or ``due.toml`` cannot be used.
    """
    course = opened(workspace)
    release = _known(course, worksheet, release)
    due = dates_of(course, worksheet).get(release)
    return DueDates(worksheet, release, due, course.workspace / FILE)


def set_due(
    workspace: Path, worksheet: str, at: datetime, *, release: str = "", learner: str = ""
) -> DueDates:
    """Set the due date of a release, or of one learner of it.

    What it changes of which hand-in counts comes with the next marking.

    Raises
    ------
    CourseError
        There is no such release or learner, or somebody has an extension before there is a date.
    """
    course = opened(workspace)
    with course.at_work(f"setting when “{worksheet}” is due"):
        release = _known(course, worksheet, release)
        before = dates_of(course, worksheet).get(release)
        if learner:
            _check_learner(course, learner)
            if before is None:
                raise CourseError(
                    f"release “{release}” of “{worksheet}” has no due date, so that nobody needs "
                    "an extension: set its date first"
                )
            due = Due(before.at, {**before.extensions, learner: at})
        else:
            due = Due(at, before.extensions if before else {})
        write_due(course.workspace, worksheet, release, due)
    return due_dates(workspace, worksheet, release)


def take_back_due(
    workspace: Path, worksheet: str, *, release: str = "", learner: str = ""
) -> DueDates:
    """Take back the due date of a release with all extensions, or one learner's extension."""
    course = opened(workspace)
    with course.at_work(f"setting when “{worksheet}” is due"):
        release = _known(course, worksheet, release)
        before = dates_of(course, worksheet).get(release)
        due = None
        if learner and before is not None:
            rest = {who: at for who, at in before.extensions.items() if who != learner}
            due = Due(before.at, rest)
        write_due(course.workspace, worksheet, release, due)
    return due_dates(workspace, worksheet, release)


def _known(course: Course, worksheet: str, release: str) -> str:
    name = release or course.release(worksheet).name
    releases = course.releases(course.known(worksheet))
    if name not in releases:
        raise CourseError(
            f"there is no release “{name}” of “{worksheet}” in {course.workspace}; there are: "
            f"{', '.join(releases) or 'none'}"
        )
    return name


def _check_learner(course: Course, learner: str) -> None:
    if learner not in course.roster():
        raise CourseError(f"“{learner}” is not on the roster: write the id as it stands there")
