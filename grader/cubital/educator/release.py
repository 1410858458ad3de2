"""Release a worksheet: make the file that learners get."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cubital.educator.due import DueDates, set_due
from cubital.educator.workspace import opened
from cubital.marking.cohort import releasing
from cubital.scene.files.pools import Progress


@dataclass(frozen=True)
class Released:
    """The file to give to learners, and when hand-ins are due if that was set."""

    handout: Path
    due: DueDates | None = None


def release(
    workspace: Path,
    worksheet: str,
    name: str,
    *,
    due: datetime | None = None,
    rendered: Progress | None = None,
) -> Released:
    """Release a worksheet under a name, and set when its hand-ins are due if ``due`` is given.

    ``rendered`` is called with how many of its pictures are rendered, and of how many.

    Raises
    ------
    CourseError
        The worksheet or the name cannot be used, or something would leak: see `releasing.release`.
    """
    handout = releasing.release(opened(workspace), worksheet, name, rendered=rendered)
    dates = None if due is None else set_due(workspace, worksheet, due)
    return Released(handout, dates)
