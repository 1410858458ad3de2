"""Hand marks back: one page for each marked learner, made by nbgrader's own step."""

import shutil
from pathlib import Path

from nbgrader.converters import GenerateFeedback

from cubital.handin.files import close_folder, own_folder
from cubital.handin.results import MARKED
from cubital.marking.cohort.course import Course, Progress
from cubital.marking.feedback.converting import convert
from cubital.marking.marks.gradebook import results
from cubital.scene.files.atomic import put_in_place

BEFORE = "feedback-before"  # pages of who is not marked any more


def feedback(course: Course, worksheet: str, progress: Progress | None = None) -> list[Path]:
    """Write the feedback page of every learner whose hand-in is marked; return the pages.

    A page of somebody who is not marked any more is moved away, so that nobody gives it out.
    """
    with course.at_work(f"writing feedback on “{worksheet}”"):
        found = results(course, worksheet)
        for learner in (row.learner for row in found if row.state != MARKED):
            _put_aside(course, worksheet, learner)
        marked = [row.learner for row in found if row.state == MARKED]
        pages = []
        for number, learner in enumerate(marked, 1):
            convert(course, GenerateFeedback, worksheet, learner, force=True)
            close_folder(course.feedback(learner, worksheet).parents[1])
            pages.append(course.feedback(learner, worksheet))
            if progress is not None:
                progress(number, len(marked), learner)
        return pages


def _put_aside(course: Course, worksheet: str, learner: str) -> None:
    """Move the page of an earlier marking, with all beside it, in the place of one moved before."""
    folder = course.feedback(learner, worksheet).parent
    if folder.is_dir():
        kept = course.workspace / BEFORE / learner / worksheet
        for outer in (kept.parents[1], kept.parent):
            own_folder(outer)
        shutil.rmtree(kept, ignore_errors=True)
        put_in_place(folder, kept)
