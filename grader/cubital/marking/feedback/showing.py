"""What a learner sees of the truth afterwards: their picture with what is there and their marks."""

from pathlib import Path

from cubital.handin import pictures
from cubital.handin.answers import Answers
from cubital.handin.release import Release
from cubital.items import PictureItem
from cubital.marking.cohort.course import Course
from cubital.marking.marks.inspecting import Submission


def shown(course: Course, release: Release, submission: Submission) -> dict[str, pictures.Shown]:
    """Return the picture of each item on pictures, with the truth and the learner's marks."""
    return shown_from(course.workspace, release, submission.learner, submission.answers)


def shown_from(
    workspace: Path, release: Release, learner: str, answers: Answers | None
) -> dict[str, pictures.Shown]:
    """Return the same from the workspace that holds the release's pictures and their truth."""
    found = {}
    asked = pictures.asked(workspace, release, answers)
    truths = pictures.sealed_truths(workspace, release)
    for item in asked.listed():
        if not isinstance(item, PictureItem):
            continue
        form, key = item.form(values := asked.values(item, learner)), item.key(values)
        entry = answers.last(item.id) if answers else None
        told = truths(form.picture)
        pixels = pictures.frames(pictures.folder_of(workspace, asked, item.id), form)
        try:
            given = entry.answer if entry else None
            found[item.id] = pictures.shown(form, key, given, told, pixels)
        except (TypeError, KeyError, AttributeError):  # an answer of another form, refused
            found[item.id] = pictures.shown(form, key, None, told, pixels)
    return found
