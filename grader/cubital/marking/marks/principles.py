"""How learners stand on the course's principles, from the marks and what is recorded."""

from collections.abc import Iterable, Mapping

from cubital.handin.principles.records import Record, of_learner, read_records
from cubital.handin.principles.retakes import (
    MOST_ATTEMPTS,
    critical_ids,
    home_of,
    principle_of,
    worksheet_name,
)
from cubital.handin.principles.standing import Attempt, Standing, attempt_at, standing
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.handin.results import MISSING, SubmissionResult
from cubital.items.principles.course import PRINCIPLES
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.parallel import first_of
from cubital.marking.errors import CourseError
from cubital.marking.marks import gradebook

ByLearner = Mapping[str, tuple[Standing, ...]]


def principle_standings(
    course: Course, worksheet: str, results: Iterable[SubmissionResult] | None = None
) -> ByLearner:
    """Return, by learner of the roster, how they stand on each principle that a worksheet asks.

    A retake asks for one of those of its worksheet, a parallel form for none: there they give
    points alone.

    Parameters
    ----------
    results
        Those of the worksheet, if they are read already.

    Raises
    ------
    CourseError
        What is recorded cannot be read.
    """
    again = principle_of(worksheet)
    if again is not None:
        home = principle_standings(course, home_of(again))
        return {
            who: tuple(one for one in rows if one.principle == again) for who, rows in home.items()
        }
    asked = _asked(course, worksheet)
    if not asked or first_of(course) is not course:
        return dict.fromkeys(course.roster(), ())
    found = results if results is not None else gradebook.results(course, worksheet)
    first = {row.learner: row for row in found}
    records = recorded(course)
    later = {key: _retakes(course, key) for key in asked}
    return {
        learner: tuple(
            _standing(key, learner, first.get(learner), later[key], records) for key in asked
        )
        for learner in course.roster()
    }


def recorded(course: Course) -> list[Record]:
    """Return what is recorded in a workspace; what cannot be read raises CourseError."""
    try:
        return read_records(course.workspace)
    except ValueError as error:
        raise CourseError(str(error)) from error


def _asked(course: Course, worksheet: str) -> list[str]:
    if worksheet not in course.worksheets():
        return []
    if not (course.source(worksheet) / RELEASE_FILE).is_file():
        return []
    asked = course.release(worksheet).items
    return [key for key in PRINCIPLES if set(critical_ids(key)) <= set(asked)]


def _retakes(course: Course, principle: str) -> dict[int, dict[str, SubmissionResult]]:
    """Return the results of the retakes of a principle, by attempt and learner."""
    there = set(course.worksheets())
    found = {}
    for attempt in range(2, MOST_ATTEMPTS + 1):
        name = worksheet_name(principle, attempt)
        if name in there:
            found[attempt] = {row.learner: row for row in gradebook.results(course, name)}
    return found


def _standing(
    principle: str,
    learner: str,
    first: SubmissionResult | None,
    later: Mapping[int, Mapping[str, SubmissionResult]],
    records: list[Record],
) -> Standing:
    attempts: list[Attempt] = []
    if first is not None and first.state != MISSING:
        attempts.append(attempt_at(first, principle, 1))
    for number, rows in later.items():
        row = rows.get(learner)
        # A file made for somebody else asks cases that this learner may have had.
        if row is not None and row.state != MISSING and row.release == learner:
            attempts.append(attempt_at(row, principle, number))
    return standing(principle, learner, attempts, of_learner(records, principle, learner))
