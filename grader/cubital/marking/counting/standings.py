"""All hand-ins to a worksheet with the one that counts, as the workspace has them now."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime

from cubital.marking.cohort.course import Course
from cubital.marking.counting.answered import given_out
from cubital.marking.counting.choices import in_force
from cubital.marking.counting.collectings import collectings
from cubital.marking.counting.due import FILE, Dates, read_dates
from cubital.marking.counting.kept import Kept
from cubital.marking.counting.made import times_made
from cubital.marking.counting.rule import Basis, Seen, Standing, standing
from cubital.marking.counting.told import times_told
from cubital.marking.errors import CourseError
from cubital.marking.marks.store import Store


def dates_of(course: Course, worksheet: str) -> Dates:
    """Return the due dates of a worksheet's releases.

    Raises
    ------
    CourseError
        ``due.toml`` cannot be used, or names a release that was not made in this workspace.
    """
    dates, releases = read_dates(course.workspace, worksheet), course.releases(worksheet)
    if strange := sorted(dates.keys() - releases.keys()):
        raise CourseError(
            f"{course.workspace / FILE} has a due date for release “{strange[0]}” of "
            f"“{worksheet}”, which was not made here; there are: {', '.join(releases) or 'none'}"
        )
    return dates


def dates_for(course: Course, worksheet: str, answered: Iterable[str]) -> Dates:
    """Return the due dates for all releases that hand-ins say to answer.

    One that was not made here is due with the one given out: no name escapes the date.
    """
    dates = dates_of(course, worksheet)
    strange = {*answered} - course.releases(worksheet).keys()
    due = dates.get(given_out(course, worksheet)) if strange and dates else None
    return dates if due is None else {**dates, **dict.fromkeys(strange, due)}


def standings(course: Course, worksheet: str, kept: Kept | None = None) -> dict[str, Standing]:
    """Return what each learner handed in, and which of it counts; who is left out has nothing.

    Raises
    ------
    CourseError
        The store of results, the due dates, the choices or the times of collecting or of feedback
        cannot be used.
    """
    kept = kept or Kept(course.workspace, worksheet)
    rows: defaultdict[str, list[Seen]] = defaultdict(list)
    for seen in Store(course.workspace).seen(worksheet):
        rows[seen.attempt.learner].append(replace(seen, kept=kept.has(seen.attempt)))
    answered = {row.attempt.release for seen in rows.values() for row in seen}
    dates, choices = dates_for(course, worksheet, answered), in_force(course.workspace, worksheet)
    releases, told = course.releases(worksheet), times_told(course.workspace, worksheet)
    made = times_made(course.workspace, worksheet, releases)
    arrived = {row.arrived for seen in rows.values() for row in seen}
    times = sorted(arrived.union(collectings(course, worksheet)))
    found: Mapping[str, Standing] = {
        learner: standing(
            learner,
            seen,
            Basis(
                dates,
                choices.get(learner),
                made,
                times,
                _for_strange(told.get(learner, {}), answered - releases.keys()),
            ),
        )
        for learner, seen in rows.items()
    }
    return dict(sorted(found.items()))


def _for_strange(told: Mapping[str, datetime], strange: Iterable[str]) -> Mapping[str, datetime]:
    """Return when a learner was told, for releases too that were not made here: no name escapes."""
    return {**dict.fromkeys(strange, min(told.values())), **told} if told else told
