"""Mark a worksheet: inspect each hand-in, run its code elsewhere, check it, write the marks."""

from collections.abc import Iterable
from datetime import UTC, datetime

from cubital.handin.results import SubmissionResult
from cubital.marking.cells import surviving
from cubital.marking.cells.running import TIMEOUT_S
from cubital.marking.cohort.course import Course, Progress
from cubital.marking.counting.settling import settle
from cubital.marking.errors import CourseError
from cubital.marking.marks import decisions, gradebook, submissions, writer
from cubital.marking.marks.inspecting import Releases


def mark(
    course: Course,
    worksheet: str,
    progress: Progress | None = None,
    *,
    ran: Progress | None = None,
    timeout_s: float = TIMEOUT_S,
    workers: int = 2,
    unprotected: bool = False,
    now: datetime | None = None,
) -> list[SubmissionResult]:
    """Mark the hand-in of each learner that counts, and return a result for each on the roster.

    Parameters
    ----------
    progress
        Called after each hand-in that is marked with how many are, of how many, and whose it was.
    ran
        Called in the same way before, when its code cells have run.
    timeout_s
        How long one hand-in's code cells may run [s].
    workers
        How many hand-ins' code cells run at the same time.
    unprotected
        Whether cells run without a sandbox, with the rights of whoever marks.
    now
        When what was put among the submitted folders by hand arrived, if it was not seen before.

    What cannot be marked is held or unreadable with the reason, and the others are marked. No mark
    is written before all cells have run.

    Raises
    ------
    CourseError
        Somebody else is at work in this workspace, or a file of it changed while cells ran
        unprotected.
    """
    with course.at_work(f"marking “{worksheet}”"):
        left = surviving.clear(course)
        release = course.release(worksheet)
        releases, bases = Releases(release, course.releases(worksheet)), decisions.Bases(course)
        if release.name not in releases.known:
            raise CourseError(
                f"what decides on release “{release.name}” is not in "
                f"{course.workspace}/sealed/papers: restore it from a copy, or mark with the "
                "edition of the course that made the release"
            )
        left = [*left, *settle(course, worksheet, now=now or datetime.now(UTC))]
        found = submissions.inspect_all(course, releases, left)
        ready = [seen.submission for seen in found.values() if seen.submission is not None]
        parts: Iterable[list[decisions.Decided]]
        if decisions.runs_cells(bases, ready):
            parts = [
                decisions.decide_all(
                    course,
                    bases,
                    ready,
                    timeout_s=timeout_s,
                    workers=workers,
                    ran=ran,
                    unprotected=unprotected,
                )
            ]
        else:
            parts = decisions.decide_in_parts(bases, ready, ran=ran)
        with course.gradebook():  # opened once for all that is written and read back
            writer.write_unmarked(course, release, found)
            writing = writer.Writer(course, release, found, progress)
            for part in parts:
                writing.write(part)
            return gradebook.results(course, worksheet)
