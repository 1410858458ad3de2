"""What was handed in and left: not taken, not marked, or to be looked at."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from cubital.handin.results import LATE, MARKED, MISSING, NOT_RUN, SubmissionResult
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.problems import LOOK, NO_HAND_IN, Problem, read_problems
from cubital.marking.counting.looking import odd


@dataclass(frozen=True)
class Left:
    """A learner or a file that was left: its state, why, and what to do."""

    who: str
    state: str
    reason: str
    action: str

    @property
    def to_look_at(self) -> bool:
        """Whether it was taken or passed over, and looks wrong."""
        return self.state == LOOK

    @property
    def late(self) -> bool:
        """Whether it was taken, came late, and so does not count."""
        return self.state == LATE


def left_files(problems: Iterable[Problem]) -> tuple[Left, ...]:
    """Return the hand-ins that could not be taken, or look wrong."""
    return tuple(_of(row) for row in problems if row.state != NO_HAND_IN)


def passed_over(problems: Iterable[Problem]) -> tuple[Left, ...]:
    """Return what lay in the inbox and is nobody's hand-in."""
    return tuple(_of(row) for row in problems if row.state == NO_HAND_IN)


def unmarked(
    course: Course,
    worksheet: str,
    results: Iterable[SubmissionResult],
    found_odd: Iterable[Problem] | None = None,
) -> tuple[Left, ...]:
    """Return who handed in and is not marked, whose code was not run, and what was not taken.

    What was not taken is told here where it has nobody's result, and so is whose result is not of
    the hand-in that counts now. ``found_odd`` is what `looking.odd` found, if it was asked already.
    """
    results = [*results]
    learners = (
        Left(row.learner, row.state, row.reason, row.action)
        for row in results
        if row.state not in {MARKED, MISSING}
    )
    nobodys = (row for row in read_problems(course, worksheet) if row.learner is None)
    looks_odd = odd(course, worksheet) if found_odd is None else found_odd
    return (*learners, *_not_run(results), *left_files((*nobodys, *looks_odd)))


def _not_run(results: Iterable[SubmissionResult]) -> tuple[Left, ...]:
    """Return the items whose code was not run, with how many hand-ins that is."""
    open_rows = (row for result in results for row in result.items if row.points is None)
    rows = [row for row in open_rows if row.outcome == NOT_RUN]
    counts = Counter((row.item, row.message.rstrip("."), row.action) for row in rows)
    return tuple(
        Left(f"“{item}” of {count} hand-ins", NOT_RUN, message, action)
        for (item, message, action), count in counts.items()
    )


def _of(problem: Problem) -> Left:
    return Left(problem.file, problem.state, problem.reason, problem.action)
