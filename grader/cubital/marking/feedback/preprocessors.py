"""What nbgrader runs on a notebook for this course before it marks it: put it in order."""

from pathlib import Path
from typing import Any

import nbformat
from nbgrader.preprocessors import NbGraderPreprocessor

from cubital.handin.cells import with_answers
from cubital.handin.files import read_json
from cubital.handin.released.release import read_release
from cubital.handin.released.sealed import answered, release_answered
from cubital.marking import notebooks
from cubital.marking.feedback import kept
from cubital.marking.feedback.showing import Asked

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
