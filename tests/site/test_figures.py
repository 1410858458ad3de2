"""A figure's numbers, words and drawing in the browser's Python are those of the installed one."""

import pytest

from . import there
from .measured import figures

WITHIN = 1e-12  # of a number that nobody rounded: sines and powers come from two libraries
SAMPLE = {"00-start-here", "20-focal-geometry", "40-catheter-sizing", "80-one-patient"}

every_lesson = pytest.mark.parametrize(
    "lesson",
    [
        pytest.param(name, marks=() if name in SAMPLE else pytest.mark.long)
        for name in figures.lessons()
    ],
)


@every_lesson
def test_all_that_a_lesson_shows_is_the_same(python_of, tmp_path, lesson):
    """Each figure as its cell sets it, each control at either end or choice, and all together."""
    here = there.here(figures.shown, lesson, str(tmp_path))
    found = python_of(lesson)(figures.shown, lesson, "/learners")
    assert [*there.differences(here, found, within=WITHIN)] == []
