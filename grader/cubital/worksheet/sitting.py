"""Who answers what, where: read from the folder that a worksheet lies in."""

import os
from dataclasses import dataclass
from pathlib import Path

from cubital.handin.answers import Answers, AnswerStore, Entry, read_answers
from cubital.handin.cells import saved_code
from cubital.handin.ids import answers_as, canonical_id
from cubital.handin.released import pictures
from cubital.handin.released.papers import Papers, read_papers
from cubital.handin.released.pictures import Truths
from cubital.handin.released.questions import Question
from cubital.handin.released.release import AT_ONCE, Release, read_release
from cubital.handin.released.sealed import Sealed, read_sealed


@dataclass(frozen=True)
class Sitting:
    """A learner before a worksheet in a folder: a practice, or a paper of a release."""

    folder: Path
    release: Release
    learner: str
    papers: Papers | None = None

    @property
    def store(self) -> AnswerStore:
        """The learner's answers in this folder."""
        return AnswerStore(self.folder, self.release, self.learner, self.papers)

    def saved_code(self, item_id: str) -> str | None:
        """Return what stands in an item's code cell, as the page was saved; None if it has none."""
        return saved_code(self.folder / f"{self.release.worksheet}.ipynb", item_id)

    @property
    def truths(self) -> Truths:
        """The truths of this worksheet's pictures, where they are at hand."""
        return pictures.truths(self.folder)

    def listed(self) -> tuple[str, ...]:
        """Return the items that are asked, in their order."""
        return self.store.asked()


def sitting(folder: Path | None = None) -> Sitting:
    """Return the sitting of a worksheet's folder, by default the working folder.

    The learner is who is logged in at the course's hub, or else has the id that stands beside the
    worksheet, or the name of the folder that holds the worksheet's folder.

    Raises
    ------
    ValueError
        No release lies in the folder, its papers are missing or broken, or the learner's name is
        not an id.
    """
    folder = (folder or Path.cwd()).resolve()
    release, papers = read_release(folder), read_papers(folder)
    if papers is None and release.feedback != AT_ONCE:
        raise ValueError(
            f"the questions of release “{release.name}” are missing in {folder}: open the "
            "worksheet again, as your educator gave it out"
        )
    hub = os.environ.get("JUPYTERHUB_USER", "")
    learner = canonical_id(hub) if hub else answers_as(folder)
    return Sitting(folder, release, learner, papers)


@dataclass(frozen=True)
class Marking:
    """A hand-in in the folder where nbgrader's own command marks it, with what decides on it."""

    folder: Path
    learner: str
    sealed: Sealed
    answers: Answers | None
    truths: Truths

    def asked(self, item_id: str) -> tuple[Question, Entry | None]:
        """Return a question as this learner was asked it, and the answer that counts."""
        return self.sealed.asked(item_id, self.learner, self.answers)

    def saved_code(self, item_id: str) -> str | None:
        """Return what stands in an item's code cell of the notebook; None if it has none."""
        return saved_code(self.folder / f"{self.folder.name}.ipynb", item_id)


def marking(folder: Path | None = None) -> Marking:
    """Return the hand-in that nbgrader marks in ``autograded/<learner>/<worksheet>``.

    Raises
    ------
    ValueError
        What decides on the release is not in the workspace around it, or the answers are another
        learner's or broken.
    """
    folder = (folder or Path.cwd()).resolve()
    learner, workspace = canonical_id(folder.parent.name), folder.parents[2]
    answers, worksheet = read_answers(folder), folder.name
    if answers is not None and (answers.learner, answers.worksheet) != (learner, worksheet):
        raise ValueError(
            f"these are the answers of “{answers.learner}” to “{answers.worksheet}”, and they lie "
            f"in the folder of “{learner}” for “{worksheet}”"
        )
    release = answers.release if answers is not None else read_release(folder).name
    return Marking(
        folder=folder,
        learner=learner,
        sealed=read_sealed(workspace, worksheet, release),
        answers=answers,
        truths=pictures.sealed_truths(workspace, worksheet, release),
    )
