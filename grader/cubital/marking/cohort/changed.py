"""What a course folder's files want otherwise than a release that learners have."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from cubital.handin.principles.retakes import is_retake
from cubital.handin.released.release import Release, new_release
from cubital.marking.cohort.collecting import waiting
from cubital.marking.cohort.course import Course
from cubital.marking.errors import CourseError


@dataclass(frozen=True)
class Changes:
    """What was changed in a workspace since a release, and how it comes into force.

    Nothing of it has come into force: a release keeps the questions, points and figures that it was
    made with. ``fault`` says why the changes cannot be told, where ``bank.toml`` or an own item is
    a draft that cannot be used.
    """

    workspace: Path
    release: str
    found: tuple[str, ...] = ()
    next_step: str = ""
    fault: str = ""

    def in_words(self) -> str:
        """Say what was changed and when it comes into force; empty if nothing was changed."""
        if self.fault:
            return f"What was changed since the release cannot be told: {self.fault}"
        if not self.found:
            return ""
        return (
            f"Changed in {self.workspace} since release “{self.release}”, which stays as it was "
            f"made: {'; '.join(self.found)}. {self.next_step}"
        )


def changes_since(course: Course, worksheet: str) -> Changes:
    """Compare the course folder's files with the release that learners have.

    Pass shares are no part of this, since the report reads them when it is made.
    """
    release = course.release(worksheet)
    if is_retake(worksheet):  # what is asked follows from the learner's earlier papers
        return Changes(course.workspace, release.name)
    try:
        bank, profile = course.bank(worksheet), course.profile()
    except CourseError as error:  # a draft keeps nobody from marking by the release
        return Changes(course.workspace, release.name, fault=str(error))
    wanted = new_release("", worksheet, profile=profile, listed=bank.asked(worksheet))
    own = {row.item.id: row.released for row in bank.own_of(worksheet)}
    found = tuple(differences(release, replace(wanted, own=own)))
    step = _next_step(course, worksheet, release.name) if found else ""
    return Changes(course.workspace, release.name, found, step)


def differences(earlier: Release, wanted: Release) -> list[str]:
    """Say in which items, points and figures a release differs from an earlier one."""
    before, now = earlier.items, wanted.items
    found = [f"“{key}” is off or gone" for key in before if key not in now]
    found += [f"“{key}” is asked" for key in now if key not in before]
    for key in before.keys() & now.keys():
        if before[key].points != now[key].points:
            found.append(f"“{key}” has {now[key].points:g} points, not {before[key].points:g}")
        if before[key].version != now[key].version or earlier.own.get(key) != wanted.own.get(key):
            found.append(f"“{key}” was changed")
    for name, value in wanted.policy.items():
        if earlier.policy[name] != value:
            found.append(f"{name} is {_plain(value)}, not {_plain(earlier.policy[name])}")
    return found


def _plain(value: Any) -> str:
    return ", ".join(value) if isinstance(value, tuple) else str(value)


def collected(course: Course, worksheet: str) -> set[str]:
    """Return whose hand-in of a worksheet was collected."""
    return {path.parent.name for path in course.workspace.glob(f"submitted/*/{worksheet}")}


def _next_step(course: Course, worksheet: str, release: str) -> str:
    if not (collected(course, worksheet) or waiting(course, worksheet, release)):
        return "To have it asked so, release it again under another name."
    return (
        "Hand-ins are there already, so this release is marked to its end as it is. To ask it so "
        "the next time, make a new workspace, copy these files into it, and release there."
    )
