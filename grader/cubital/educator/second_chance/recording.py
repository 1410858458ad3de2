"""Record a talk, observed practice or a decision about a principle that a learner missed."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from cubital.educator.choose import account
from cubital.educator.workspace import opened
from cubital.handin.principles.records import (
    DECISION,
    NOT_PASSED,
    OBSERVED,
    PASSED,
    REASONS,
    TALK,
    Record,
    add_records,
)
from cubital.handin.principles.retakes import home_of
from cubital.handin.principles.standing import (
    MISSED,
    MISSED_AGAIN,
    TALKED,
    TO_DECIDE,
    WATCHED,
    Standing,
    told_now,
)
from cubital.items.principles.course import PRINCIPLES
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.parallel import first_of
from cubital.marking.cohort.retaking import has_left
from cubital.marking.errors import CourseError
from cubital.marking.marks.principles import principle_standings

__all__ = ["PASSED", "REASONS", "Recorded", "decide", "observe", "talk"]


@dataclass(frozen=True)
class Recorded:
    """What was recorded, and how the learner stands by it."""

    record: Record
    standing: Standing


def talk(
    workspace: Path,
    principle: str,
    learner: str,
    *,
    reason: str,
    by: str = "",
    on: date | None = None,
) -> Recorded:
    """Record that somebody talked with a learner about a principle that they missed.

    Parameters
    ----------
    reason
        Why it was missed, one of `REASONS`.
    by
        Who talked; the account that this runs under if not given.
    on
        The day, if it was not today.

    Raises
    ------
    CourseError
        No talk is due, or the reason is none of the list.
    """
    if reason not in REASONS:
        raise CourseError(f"“{reason}” is no reason: choose one of {', '.join(REASONS)}")
    return _recorded(workspace, principle, learner, TALK, {MISSED}, by=by, on=on, code=reason)


def observe(
    workspace: Path, principle: str, learner: str, *, by: str = "", on: date | None = None
) -> Recorded:
    """Record that somebody watched a learner in practice after the retake was missed as well.

    Raises
    ------
    CourseError
        It is not due.
    """
    return _recorded(workspace, principle, learner, OBSERVED, {MISSED_AGAIN}, by=by, on=on)


def decide(
    workspace: Path,
    principle: str,
    learner: str,
    *,
    passed: bool,
    by: str = "",
    on: date | None = None,
) -> Recorded:
    """Record an educator's decision on a principle that was missed at every attempt.

    It can also be taken where a retake is due and too few cases are left that the learner was
    never asked.

    Raises
    ------
    CourseError
        It is not due.
    """
    code = PASSED if passed else NOT_PASSED
    course = opened(workspace)
    due = {TO_DECIDE}
    if standing_of(course, principle, learner).may_retake and not has_left(
        course, principle, learner
    ):
        due = {TO_DECIDE, TALKED, WATCHED}
    return _recorded(workspace, principle, learner, DECISION, due, by=by, on=on, code=code)


def standing_of(course: Course, principle: str, learner: str) -> Standing:
    """Return how a learner stands on a principle; an unknown one of either raises CourseError."""
    if principle not in PRINCIPLES:
        raise CourseError(
            f"there is no principle “{principle}”; there are: {', '.join(PRINCIPLES)}"
        )
    if learner not in course.roster():
        raise CourseError(f"“{learner}” is not on the roster: write the id as it stands there")
    if first_of(course) is not course:
        raise CourseError(
            "here is a parallel form, where principles give points alone: name the first folder, "
            f"{first_of(course).workspace}"
        )
    worksheet = home_of(principle)
    for found in principle_standings(course, worksheet)[learner]:
        if found.principle == principle:
            return found
    raise CourseError(f"“{worksheet}”, which asks for “{principle}”, is not released yet")


def _recorded(  # the parts of a record
    workspace: Path,
    principle: str,
    learner: str,
    kind: str,
    due: set[str],
    *,
    by: str,
    on: date | None,
    code: str = "",
) -> Recorded:
    course = opened(workspace)
    with course.at_work(f"recording on “{principle}”"):
        before = standing_of(course, principle, learner)
        if before.state not in due:
            raise CourseError(
                f"“{learner}” stands thus on “{principle}”: {before.in_words}. "
                + (before.to_do or "Nothing is to be recorded.")
            )
        _check_day(before, on)
        record = Record(
            kind,
            principle,
            learner,
            before.attempt,
            by.strip() or account(),
            moment(on),
            code,
        )
        told = (
            told_now(before, before.attempt, by=record.by, at=moment())
            if kind != DECISION
            else None
        )
        add_records(course.workspace, [record] if told is None else [told, record])
        return Recorded(record, standing_of(course, principle, learner))


def _check_day(before: Standing, on: date | None) -> None:
    """Hold that a day is not before the attempt that it comes after."""
    at = next((one.at for one in before.attempts if one.number == before.attempt), "")
    if on is not None and at and on < (made := datetime.fromisoformat(at).astimezone().date()):
        raise CourseError(
            f"{on} is before attempt {before.attempt} was handed in, on {made}: what comes after "
            "it is recorded"
        )


def moment(on: date | None = None) -> str:
    """Return a day, or the present moment, as a record has it; a day to come raises CourseError."""
    if on is not None:
        if on > datetime.now().astimezone().date():
            raise CourseError(f"{on} is still to come: record it when it was done")
        return on.isoformat()
    return datetime.now(UTC).isoformat(timespec="seconds")
