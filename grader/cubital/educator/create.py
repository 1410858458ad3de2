"""Lay out a folder for a cohort."""

from dataclasses import dataclass
from pathlib import Path

from cubital.marking.cohort import course, roster
from cubital.marking.cohort.switching import ask_core, check_core


@dataclass(frozen=True)
class Created:
    """A cohort's folder as it was laid out.

    ``note`` says that the roster's letters were guessed, and is empty if they were not.
    """

    workspace: Path
    roster_file: Path
    inbox: Path
    learners: int
    note: str


def create(
    workspace: Path,
    roster_file: Path | None = None,
    *,
    replace_roster: bool = False,
    core: bool = False,
) -> Created:
    """Lay out a workspace with a roster, or without one the workspace's own or an empty one.

    ``core`` asks the questions of the core alone there.

    Raises
    ------
    CourseError
        The folder or the roster cannot be used, another roster is there and is not to be
        replaced, or the folder asks something else than the core already; then nothing is changed.
    """
    workspace = workspace.expanduser()
    if core:
        check_core(workspace)
    made = course.create(workspace, roster_file, replace_roster=replace_roster)
    if core:
        ask_core(made.workspace)
    return Created(
        workspace=made.workspace,
        roster_file=made.roster_file,
        inbox=made.inbox,
        learners=len(made.roster()),
        note=roster.encoding_note(roster_file or made.roster_file),
    )
