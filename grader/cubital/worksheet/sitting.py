"""Who answers what, where: read from the folder that a worksheet lies in."""

import os
from dataclasses import dataclass
from pathlib import Path

from cubital.handin.answers import AnswerStore, BrokenAnswersError, read_answers
from cubital.handin.cells import saved_code
from cubital.handin.ids import canonical_id
from cubital.handin.pictures import Truths, asked, truths_beside
from cubital.handin.release import Release, read_release


@dataclass(frozen=True)
class Sitting:
    """A learner before a released worksheet in a folder."""

    folder: Path
    release: Release
    learner: str

    @property
    def store(self) -> AnswerStore:
        """The learner's answers in this folder."""
        return AnswerStore(self.folder, self.release, self.learner)

    def saved_code(self, item_id: str) -> str | None:
        """Return what stands in an item's code cell, as the page was saved; None if it has none."""
        return saved_code(self.folder / f"{self.release.worksheet}.ipynb", item_id)

    @property
    def truths(self) -> Truths:
        """The truths of this worksheet's pictures, where they are at hand."""
        return truths_beside(self.folder, self.release.worksheet, self.release.name)


def sitting(folder: Path | None = None) -> Sitting:
    """Return the sitting of a worksheet's folder, by default the working folder.

    The learner is who is logged in at the course's hub, or else has the name of the folder that
    holds the worksheet's folder, here and under nbgrader alike.

    Raises
    ------
    ValueError
        No release lies in the folder, or the learner's name is not an id.
    """
    folder = (folder or Path.cwd()).resolve()
    marking = os.environ.get("NBGRADER_EXECUTION") == "autograde"
    name = "" if marking else os.environ.get("JUPYTERHUB_USER", "")
    release = read_release(folder)
    if marking:
        release = _as_asked(folder, release)
    return Sitting(folder, release, canonical_id(name or folder.parent.name))


def _as_asked(folder: Path, release: Release) -> Release:
    """Return the release as a hand-in was asked, in a workspace where nbgrader marks it."""
    try:
        answers = read_answers(folder)
    except BrokenAnswersError:  # which is told where they are marked
        return release
    return asked(folder.parents[2], release, answers)
