"""What a learner sees of the truth afterwards: their picture with what is there and their marks."""

from dataclasses import dataclass
from pathlib import Path
from typing import Self

from cubital.handin.answers import Answers
from cubital.handin.released import pictures
from cubital.handin.released.release import Release
from cubital.handin.released.sealed import AllAsked, read_sealed
from cubital.items import OnPictures
from cubital.items.kinds.on_pictures.pictured import PictureKey


@dataclass(frozen=True)
class Asked:
    """What a learner was asked, in the order of the paper, and the answer to each that counts."""

    release: Release
    learner: str
    questions: AllAsked

    @classmethod
    def read(cls, workspace: Path, release: Release, learner: str, answers: Answers | None) -> Self:
        """Read it from the workspace that holds what decides on the release."""
        sealed = read_sealed(workspace, release.worksheet, release.name)
        return cls(release, learner, sealed.all_asked(learner, answers))


def shown(workspace: Path, asked: Asked) -> dict[str, pictures.Shown]:
    """Return the picture of each question on one, with the truth and the learner's marks.

    Raises
    ------
    ValueError
        A picture or its truth is missing in the workspace.
    """
    worksheet, release = asked.release.worksheet, asked.release.name
    truths = pictures.sealed_truths(workspace, worksheet, release)
    found = {}
    for item_id, (question, entry) in asked.questions.items():
        form, key = question.form, question.key
        if not isinstance(form, OnPictures) or not isinstance(key, PictureKey):
            continue
        pool = pictures.folder_of(workspace, worksheet, release, described=question.described)
        answer = entry.answer if entry else None
        try:
            found[item_id] = pictures.shown(form, key, answer, truths, pool)
        except (TypeError, KeyError, AttributeError):  # an answer of another form, refused
            found[item_id] = pictures.shown(form, key, None, truths, pool)
    return found
