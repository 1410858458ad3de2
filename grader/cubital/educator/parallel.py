"""Lay out a parallel form for whose points lie too near the pass mark."""

from dataclasses import dataclass
from pathlib import Path

from cubital.educator.report import course_decisions
from cubital.educator.workspace import opened
from cubital.handin import passing
from cubital.marking.cohort.parallel import make_form, worksheets_of_form
from cubital.marking.errors import CourseError


@dataclass(frozen=True)
class Laid:
    """The folder of a parallel form, its learners, and the worksheets to release there."""

    workspace: Path
    learners: tuple[str, ...]
    worksheets: tuple[str, ...]


def parallel(workspace: Path, folder: Path) -> Laid:
    """Lay out the folder of the parallel form, or add to it who lies too near now.

    Raises
    ------
    CourseError
        Nobody lies too near, or the folder cannot be used.
    """
    course = opened(workspace)
    with course.at_work("laying out a parallel form"):
        decided = course_decisions(course)
        near = [who for who, one in decided.items() if one.state == passing.TOO_NEAR]
        if not near:
            raise CourseError(
                "nobody's points lie within one standard error of the pass mark with all "
                "worksheets marked: no parallel form is due"
            )
        form = make_form(course, folder.expanduser(), near)
    return Laid(form.workspace, tuple(form.roster()), worksheets_of_form(course))
