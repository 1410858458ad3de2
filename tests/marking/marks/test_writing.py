"""A fault in writing is its learner's alone; where nothing can be written, all are told."""

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import pytest

from cubital.marking.errors import CourseError
from cubital.marking.marks import writer

SOME = [SimpleNamespace(learner=who) for who in ("ann", "ben", "cem")]


def names(rows: Sequence[Any]) -> list[str]:
    return [row.learner for row in rows]


def test_a_step_that_fails_for_some_is_taken_for_each_alone() -> None:
    taken: list[list[str]] = []

    def step(rows: Sequence[Any]) -> None:
        if "ben" in names(rows):
            raise ZeroDivisionError
        taken.append(names(rows))

    failed = writer._tried(step, SOME)
    assert list(failed) == ["ben"]
    assert isinstance(failed["ben"], ZeroDivisionError)
    assert taken == [["ann"], ["cem"]]
    assert writer._tried(step, SOME[:1]) == {}


@pytest.mark.parametrize("rows", [SOME, []])
def test_a_gradebook_that_cannot_be_used_is_asked_once(rows: list[Any]) -> None:
    asked = 0

    def step(_rows: Sequence[Any]) -> None:
        nonlocal asked
        asked += 1
        raise CourseError("it is held")

    assert list(writer._tried(step, rows)) == names(rows)
    assert asked == 1
