"""Release a worksheet: make the file that learners get."""

from dataclasses import dataclass
from pathlib import Path

from cubital.educator.workspace import opened
from cubital.marking.cohort import releasing
from cubital.scene.files.pools import Progress


@dataclass(frozen=True)
class Released:
    """The file to give to learners."""

    handout: Path


def release(
    workspace: Path, worksheet: str, name: str, *, rendered: Progress | None = None
) -> Released:
    """Release a worksheet under a name.

    ``rendered`` is called with how many of its pictures are rendered, and of how many.

    Raises
    ------
    CourseError
        The worksheet or the name cannot be used, or something would leak: see `releasing.release`.
    """
    return Released(releasing.release(opened(workspace), worksheet, name, rendered=rendered))
