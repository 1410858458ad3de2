"""Read marks where they are kept: in nbgrader's gradebook."""

from collections.abc import Callable
from typing import Any

import pytest
from nbgrader.api import MissingEntry

WORKSHEET = "catheter-sizing"


def automatic_points(
    course: Any, learner: str, worksheet: str = WORKSHEET
) -> dict[str, float | None] | None:
    """The computed points of each item as the gradebook has them; None if it has no hand-in."""
    with course.gradebook() as book:
        try:
            notebook = book.find_submission_notebook(worksheet, worksheet, learner)
        except MissingEntry:
            return None
        return {grade.name: grade.auto_score for grade in notebook.grades}


@pytest.fixture(scope="session")
def in_gradebook() -> Callable[..., dict[str, float | None] | None]:
    """Read a learner's computed points from the gradebook."""
    return automatic_points
