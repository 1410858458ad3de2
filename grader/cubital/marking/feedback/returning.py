"""Hand marks back: one page for each marked learner, where nbgrader's own step puts it too."""

import shutil
from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path

from cubital.handin.bundle import TIMESTAMP_FILE
from cubital.handin.files import own_folder, write_text
from cubital.handin.passing import Decision
from cubital.handin.principles.records import add_records
from cubital.handin.principles.standing import told_now
from cubital.handin.results import MARKED, SubmissionResult
from cubital.marking.cohort.course import Course, Progress
from cubital.marking.counting.told import note_told
from cubital.marking.errors import CourseError
from cubital.marking.feedback.making import Pages
from cubital.marking.marks.gradebook import results
from cubital.marking.marks.principles import ByLearner, principle_standings
from cubital.scene.files.atomic import put_in_place, write_atomically

BEFORE = "feedback-before"  # pages of who is not marked any more
# What nbgrader's exchange reads beside a page when it gives it to its learner.
_BESIDE = (TIMESTAMP_FILE, "submission_secret.txt")


# Gives what the course decides by learner, for the results of the worksheet that were read.
Decided = Callable[[Sequence[SubmissionResult]], Mapping[str, Decision]]


def feedback(
    course: Course,
    worksheet: str,
    progress: Progress | None = None,
    decided: Decided | None = None,
) -> list[Path]:
    """Write the feedback page of every learner whose hand-in is marked; return the pages.

    ``decided`` gives what the course decides by learner. Each page is written atomically. A page
    of somebody who is not marked any more is moved away, so that nobody gives it out. Who is given
    a page is recorded as told: what they hand in later to the same release does not count by
    itself, and passes no principle that they missed.

    Raises
    ------
    CourseError
        A page cannot be made; the text says whose and why.
    """
    with course.at_work(f"writing feedback on “{worksheet}”"):
        with course.gradebook() as book:
            found = results(course, worksheet)
            decisions = decided(found) if decided is not None else {}
            principles = principle_standings(course, worksheet, found)
            made = Pages(
                course.workspace, worksheet, book, decisions=decisions, principles=principles
            )
        for learner in (row.learner for row in found if row.state != MARKED):
            _put_aside(course, worksheet, learner)
        marked = [row.learner for row in found if row.state == MARKED]
        pages = []
        _note_told(course, principles, marked)
        given = [(row.release, row.learner) for row in found if row.state == MARKED]
        note_told(course.workspace, worksheet, given, datetime.now(UTC))
        for number, learner in enumerate(marked, 1):
            pages.append(_write(course, worksheet, learner, _page(made, learner)))
            if progress is not None:
                progress(number, len(marked), learner)
        return pages


def _note_told(course: Course, principles: ByLearner, marked: Collection[str]) -> None:
    """Record who is told now what is right about a principle that they missed.

    A page tells how its learner stands, at retakes too: so every attempt that was missed is told.
    """
    now = datetime.now(UTC).isoformat(timespec="seconds")
    rows = [one for who in marked for one in principles.get(who, ())]
    told = [
        told_now(one, attempt.number, by="feedback", at=now)
        for one in rows
        for attempt in one.attempts
    ]
    if found := [row for row in told if row is not None]:
        add_records(course.workspace, found)


def _page(made: Pages, learner: str) -> str:
    try:
        return made.page(learner)
    except Exception as error:
        raise CourseError(f"the feedback page of “{learner}” cannot be made: {error}") from error


def _write(course: Course, worksheet: str, learner: str, page: str) -> Path:
    """Write a page, and beside it what nbgrader's exchange gives it out by."""
    path = course.feedback(learner, worksheet)
    for folder in (path.parents[2], path.parents[1], path.parent):
        own_folder(folder)
    write_text(path, page)
    for name in _BESIDE:
        source = course.autograded(learner, worksheet) / name
        if source.is_file():
            write_atomically(path.with_name(name), source.read_bytes())
    return path


def _put_aside(course: Course, worksheet: str, learner: str) -> None:
    """Move the page of an earlier marking, with all beside it, in the place of one moved before."""
    folder = course.feedback(learner, worksheet).parent
    if folder.is_dir():
        kept = course.workspace / BEFORE / learner / worksheet
        for outer in (kept.parents[1], kept.parent):
            own_folder(outer)
        shutil.rmtree(kept, ignore_errors=True)
        put_in_place(folder, kept)
