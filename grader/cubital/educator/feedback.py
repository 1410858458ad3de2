"""Write a page of marks and reasons for each learner."""

from dataclasses import dataclass
from pathlib import Path

from cubital.educator.left import Left, unmarked
from cubital.educator.report import course_decisions
from cubital.educator.workspace import opened
from cubital.marking.cohort.course import Progress
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook


@dataclass(frozen=True)
class Returned:
    """The pages, the folder that holds one for each learner, and who has none and why."""

    folder: Path
    pages: tuple[Path, ...]
    left: tuple[Left, ...]


def write_feedback(
    workspace: Path, worksheet: str, *, progress: Progress | None = None
) -> Returned:
    """Write the page of every learner whose hand-in is marked.

    ``progress`` is called after each page with how many are written, of how many, and whose.

    Raises
    ------
    CourseError
        The worksheet is not released, or somebody is at work there.
    """
    course = opened(workspace)
    pages = returning.feedback(
        course,
        worksheet,
        progress=progress,
        decided=lambda found: course_decisions(course, found={worksheet: found}),
    )
    results = gradebook.results(course, worksheet)
    return Returned(
        course.workspace / "feedback", tuple(pages), unmarked(course, worksheet, results)
    )
