"""What a learner sees of the truth afterwards: their picture with what is there and their marks."""

from cubital.handin import pictures
from cubital.handin.release import Release
from cubital.items import PictureItem
from cubital.marking.course import Course
from cubital.marking.inspecting import Submission


def shown(course: Course, release: Release, submission: Submission) -> dict[str, pictures.Shown]:
    """Return the picture of each item on pictures, with the truth and the learner's marks."""
    found = {}
    for item in release.listed():
        if isinstance(item, PictureItem):
            name = release.values(item, submission.learner)["picture"]
            entry = submission.answers.last(item.id) if submission.answers else None
            told = course.truths(release)(name)
            pixels = pictures.frames(course.pool(release), item, name)
            try:
                found[item.id] = pictures.shown(item, entry and entry.answer, told, pixels)
            except (TypeError, KeyError, AttributeError):  # an answer of another form, refused
                found[item.id] = pictures.shown(item, None, told, pixels)
    return found
