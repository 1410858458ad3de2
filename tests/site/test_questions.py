"""What learners are asked in the browser's Python, and how they are judged, is as installed."""

import pytest

from . import there
from .measured import questions

WITHIN = 1e-12  # of a key's number that nobody rounded: sines and powers come from two libraries
SAMPLE = {"catheter-sizing", "one-patient"}
LEARNERS = [("autumn", "ada"), ("spring", "ben")]
MORE = [(f"release-{number}", f"learner-{number}") for number in range(10)]

every_worksheet = pytest.mark.parametrize(
    "worksheet",
    [
        pytest.param(name, marks=() if name in SAMPLE else pytest.mark.long)
        for name in questions.worksheets()
    ],
)


def same(call, worksheet, seed, learner):
    """Compare all items of a worksheet; what is drawn, asked and said is equal to the digit."""
    here = there.here(questions.asked, worksheet, seed, learner)
    found = call(questions.asked, worksheet, seed, learner)
    assert [*there.differences(here, found, within=WITHIN)] == []
    assert [*there.differences(to_the_digit(here), to_the_digit(found))] == []


def to_the_digit(told):
    """What a learner meets of each item: the values drawn, the question, each judgement."""
    return {
        item: [parts["values"], parts["form"], parts.get("judged")] for item, parts in told.items()
    }


@every_worksheet
@pytest.mark.parametrize(("seed", "learner"), LEARNERS)
def test_every_question_and_judgement_is_the_same(python_of, worksheet, seed, learner):
    same(python_of(worksheet), worksheet, seed, learner)


@pytest.mark.long
@pytest.mark.parametrize("worksheet", questions.worksheets())
@pytest.mark.parametrize(("seed", "learner"), MORE)
def test_they_are_the_same_for_many(python_of, worksheet, seed, learner):
    same(python_of(worksheet), worksheet, seed, learner)
