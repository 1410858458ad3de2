"""The course's page as nbgrader's own ``generate_feedback`` asks for it: by an nbconvert exporter.

nbgrader decides whose pages are made and where they lie; what stands on them is `making`'s alone.
"""

from pathlib import Path
from typing import Any

from nbconvert.exporters import Exporter
from nbgrader.api import Gradebook
from traitlets import default

from cubital.marking.cohort.course import Course
from cubital.marking.feedback.making import Pages
from cubital.marking.marks.principles import principle_standings


class PageExporter(Exporter):
    """Makes the page of the learner whom nbgrader names, in the course's folder."""

    output_mimetype = "text/html"

    @default("file_extension")
    def _file_extension(self) -> str:
        return ".html"

    def from_notebook_node(  # type: ignore[override]  # a text, as nbconvert's own for HTML
        self, nb: Any, resources: Any | None = None, **kw: Any
    ) -> tuple[str, Any]:
        """Return the page, and what nbconvert keeps beside it."""
        _, resources = super().from_notebook_node(nb, resources, **kw)
        names = resources["nbgrader"]
        learner, worksheet = names["student"], names["assignment"]
        with Gradebook(names["db_url"]) as book:
            principles = principle_standings(Course(Path()), worksheet)
            pages = Pages(Path(), worksheet, book, learner, principles=principles)
        return pages.page(learner), resources
