"""The course folder that an educator names."""

from pathlib import Path

from cubital.handin.files import own_folder
from cubital.marking.cohort.course import Course


def opened(workspace: Path) -> Course:
    """Return the course in a folder, which is closed to other users of the computer.

    Raises
    ------
    CourseError
        The folder is not a cohort's workspace.
    """
    course = Course(workspace.expanduser())
    own_folder(course.workspace)
    return course


def course_folder(workspace: Path) -> Path:
    """Return the whole path of a folder whose changes are looked at; it need not be laid out.

    Raises
    ------
    ValueError
        There is no such folder.
    """
    folder = workspace.expanduser().resolve()
    if not folder.is_dir():
        raise ValueError(f"there is no course folder {folder}")
    return folder
