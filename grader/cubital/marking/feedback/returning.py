"""Hand marks back: one page for each marked learner, made by nbgrader's own step."""

from pathlib import Path

from nbgrader.converters import GenerateFeedback

from cubital.handin.files import close_folder
from cubital.handin.results import MARKED
from cubital.marking.cohort.course import Course, Progress
from cubital.marking.feedback.converting import convert
from cubital.marking.marks.gradebook import results


def feedback(course: Course, worksheet: str, progress: Progress | None = None) -> list[Path]:
    """Write the feedback page of every learner whose hand-in is marked; return the pages."""
    with course.at_work(f"writing feedback on “{worksheet}”"):
        marked = [row.learner for row in results(course, worksheet) if row.state == MARKED]
        pages = []
        for number, learner in enumerate(marked, 1):
            convert(course, GenerateFeedback, worksheet, learner, force=True)
            close_folder(course.feedback(learner, worksheet).parents[1])
            pages.append(course.feedback(learner, worksheet))
            if progress is not None:
                progress(number, len(marked), learner)
        return pages
