"""Give the points of an item by hand, as nbgrader's form grader does."""

from dataclasses import dataclass
from pathlib import Path

from cubital.educator.workspace import opened
from cubital.marking.marks import gradebook


@dataclass(frozen=True)
class Given:
    """The points that an item has now, and the comment that goes back with them."""

    learner: str
    item: str
    points: float
    comment: str


def give_points(
    workspace: Path, worksheet: str, learner: str, item: str, *, points: float, comment: str = ""
) -> Given:
    """Give a learner's item its points.

    Raises
    ------
    CourseError
        The hand-in is not marked, the points are not from 0 to the item's, or no cell of the item
        takes a comment.
    """
    gradebook.set_manual(opened(workspace), worksheet, learner, item, points, comment)
    return Given(learner, item, points, comment)
