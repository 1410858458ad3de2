"""What nbgrader runs on a notebook for this course: put it in order, and make the page."""

import base64
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import nbformat
from nbgrader.api import Gradebook
from nbgrader.preprocessors import NbGraderPreprocessor

from cubital.handin.bundle import TIMESTAMP_FILE
from cubital.handin.cells import with_answers
from cubital.handin.files import read_json
from cubital.handin.objectives import rule_of
from cubital.handin.released.release import read_release
from cubital.handin.released.sealed import answered, read_made, release_answered
from cubital.items import knowing
from cubital.marking import notebooks
from cubital.marking.feedback import kept
from cubital.marking.feedback.page import Days, page
from cubital.marking.feedback.showing import Asked, shown
from cubital.marking.marks.hand_marks import hands
from cubital.tables.files import style

Resources = Any


class Mend(NbGraderPreprocessor):
    """Put a submission in order before nbgrader looks at it; see `notebooks.mend`."""

    def preprocess(self, nb: Any, resources: Resources) -> tuple[Any, Resources]:
        """Return the notebook in the release's order with the saved answers in their cells."""
        names = resources["nbgrader"]
        worksheet, learner = names["assignment"], names["student"]
        path = Path("release") / worksheet / f"{names['notebook']}.ipynb"
        for cell in nb.cells:
            kept.forget(cell)
        if not path.is_file():  # nbgrader runs its steps in the course's folder
            return nb, resources
        mended = notebooks.mend(nb, read_json(path))
        folder = Path("submitted") / learner / worksheet
        answers = kept.own_answers(folder, learner)
        if answers is not None:
            release = release_answered(Path(), read_release(folder), answers)
            asked = Asked.read(Path(), release, learner, answers)
            mended = with_answers(mended, answered(asked.questions))
        return nbformat.from_dict(mended), resources


class Page(NbGraderPreprocessor):
    """Gather what the feedback page shows into the resources of its template."""

    def preprocess(self, nb: Any, resources: Resources) -> tuple[Any, Resources]:
        """Put the page's contents under ``resources["cubital"]``."""
        names = resources["nbgrader"]
        learner, worksheet = names["student"], names["assignment"]
        with Gradebook(names["db_url"]) as book:
            given = hands(book, worksheet, learner).get(learner, {})
        folder = Path("autograded") / learner / worksheet
        answers = kept.own_answers(folder, learner)
        release = release_answered(Path(), read_release(folder), answers)
        asked = Asked.read(Path(), release, learner, answers)
        made = read_made(Path(), worksheet, release.name)
        with knowing(made.known()):
            resources["cubital"] = page(
                nb,
                asked,
                objectives=rule_of(Path(), made),
                days=_days(folder, names["notebook"]),
                computed=kept.results(nb, asked, given, Path()),
                hands=given,
                pictures=_pictures(asked),
            )
        resources["cubital_style"] = style("sheet.css")
        return nb, resources


def _days(folder: Path, notebook: str) -> Days:
    """Return when a marked hand-in says that it was handed in, and when it was marked."""
    marked = (folder / f"{notebook}.ipynb").stat().st_mtime
    try:
        said = (folder / TIMESTAMP_FILE).read_text(encoding="utf-8")
        handed_in = datetime.fromisoformat(said.split()[0]).date()
    except (OSError, ValueError, IndexError):  # it says none, or no day
        handed_in = None
    return Days(handed_in, datetime.fromtimestamp(marked, UTC).date())


def _pictures(asked: Asked) -> dict[str, tuple[str, str]]:
    """Draw the pictures of the page, in base 64 and in words; none where the truth is gone."""
    try:
        found = shown(Path(), asked)
    except ValueError:
        return {}
    return {item: (base64.b64encode(one.jpeg).decode(), one.words) for item, one in found.items()}
