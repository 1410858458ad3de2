"""Begin an item of the department's own in a course folder."""

from dataclasses import dataclass
from pathlib import Path

from cubital.educator.workspace import course_folder
from cubital.handin.released.own import PREFIX, write_template
from cubital.marking.cohort.course import at_work


@dataclass(frozen=True)
class Begun:
    """The file to change, the id of the item in it, and the course folder's whole path."""

    path: Path
    item: str
    workspace: Path


def begin_item(workspace: Path, name: str) -> Begun:
    """Write a commented example of an own item under a name.

    Raises
    ------
    ValueError
        There is no such course folder, the name cannot be used, or there is such a file already.
    CourseError
        Somebody is at work there.
    """
    folder = course_folder(workspace)
    with at_work(folder, f"beginning the question “{name}”"):
        path = write_template(folder, name)
    return Begun(path, f"{PREFIX}{name.replace('_', '-')}", folder)
