"""Make the described hand-out of a release, for learners who have this adjustment."""

from dataclasses import dataclass
from pathlib import Path

from cubital.educator.workspace import opened
from cubital.marking.cohort import releasing
from cubital.scene.files.pools import Progress


@dataclass(frozen=True)
class Described:
    """The file with pictures of its own, all in words."""

    handout: Path


def describe(workspace: Path, worksheet: str, *, rendered: Progress | None = None) -> Described:
    """Make the described version of a worksheet that is released.

    ``rendered`` is called with how many of its pictures are rendered, and of how many.

    Raises
    ------
    CourseError
        The worksheet asks about no picture, or its pictures cannot be rendered.
    """
    return Described(releasing.described_handout(opened(workspace), worksheet, rendered=rendered))
