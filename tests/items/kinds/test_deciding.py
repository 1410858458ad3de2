"""A decision is worth nothing if it is another, half with another reason, all with its own."""

from dataclasses import replace
from itertools import product
from typing import Any

import pytest

from cubital.handin.released.release import AT_ONCE, new_release
from cubital.items import DecisionItem, Option, UnreadableAnswerError, form_of, key_of
from cubital.items.kinds.form import answer_with_keys
from cubital.items.kinds.rules import faults

WAYS = (
    Option("coat", "Take the coat."),
    Option("umbrella", "Take the umbrella.", "lets the wind have it"),
    Option("run", "Run", "gets wet all the same"),
)
REASONS = (
    Option("wind", "The wind."),
    Option("rain", "The rain.", "is true of the umbrella too"),
    Option("price", "The price.", "was paid already"),
)


def item(ways: Any = WAYS, reasons: Any = REASONS) -> DecisionItem:
    """A decision whose options stand in a learner's own order."""

    def ordered(options: Any, keys: Any) -> list[Option]:
        return [next(one for one in options if one.key == key) for key in keys]

    return DecisionItem(
        id="rain",
        title="Rain",
        points=3,
        section="Weather",
        draw_values=lambda draw: {
            "ways": draw.shuffled([way.key for way in ways]),
            "reasons": draw.shuffled([reason.key for reason in reasons]),
        },
        ask=lambda _v: "It rains and blows.",
        ways=lambda v: ordered(ways, v["ways"]),
        reasons=lambda v: ordered(reasons, v["reasons"]),
        because="A coat stays whole in the wind.",
    )


RAIN = item()
RELEASE = new_release("autumn", "weather", feedback=AT_ONCE, listed=(RAIN,))
VALUES = RELEASE.values(RAIN, "ada.alder")
NEITHER = "Neither the decision nor the reason is right."


@pytest.mark.parametrize(
    ("chosen", "points", "outcome", "slip", "words"),
    [
        (("coat", "wind"), 3, "right", None, "Right: the decision, and what decided it."),
        (
            ("coat", "rain"),
            1.5,
            "slip",
            "rain",
            "The decision is right, but the reason is not right. "
            "This reason is true of the umbrella too.",
        ),
        (
            ("run", "wind"),
            0,
            "slip",
            "run",
            "The decision is not right, but the reason is right. "
            "This decision gets wet all the same.",
        ),
        (
            ("umbrella", "price"),
            0,
            "slip",
            "umbrella",
            f"{NEITHER} This decision lets the wind have it. This reason was paid already.",
        ),
        (
            ("coat", None),
            1.5,
            "wrong",
            None,
            "The decision is right, but the reason was not chosen.",
        ),
        (
            ("run", None),
            0,
            "slip",
            "run",
            "The decision is not right, and the reason was not chosen. "
            "This decision gets wet all the same.",
        ),
        (
            (None, "wind"),
            0,
            "wrong",
            None,
            "The decision was not chosen, but the reason is right.",
        ),
        (
            (None, "rain"),
            0,
            "slip",
            "rain",
            "The decision was not chosen, and the reason is not right. "
            "This reason is true of the umbrella too.",
        ),
    ],
)
def test_feedback_says_which_of_the_two_was_not_right(
    chosen: tuple[str | None, str | None], points: float, outcome: str, slip: str, words: str
) -> None:
    given = {name: key for name, key in zip(("way", "reason"), chosen, strict=True) if key}
    judged = RAIN.judge(VALUES, RAIN.read(given, VALUES))
    assert (judged.points, judged.outcome, judged.slip) == (points, outcome, slip)
    assert judged.message == words


def test_another_decision_is_worth_nothing_whatever_its_reason() -> None:
    for way, reason in product(WAYS[1:], REASONS):
        judged = RAIN.judge(VALUES, {"decision": {"way": way.key, "reason": reason.key}})
        assert (judged.points, judged.misconception) == (0, way.misconception)


@pytest.mark.parametrize("answer", [{}, {"decision": "coat"}, {"choice": "coat"}, {"decision": {}}])
def test_an_answer_of_another_form_is_refused_without_points(answer: dict) -> None:
    judged = RAIN.judge(VALUES, answer)
    assert (judged.outcome, judged.points) == ("refused", 0)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("coat", "Choose what you do, and what decided it."),
        ({}, "Choose what you do, and what decided it."),
        ({"way": "wind"}, "Choose one of the options."),
        ({"reason": "coat"}, "Choose one of the options."),
        ({"way": ["coat"]}, "Choose one of the options."),
        ({"why": "wind"}, "Choose one of the options."),
    ],
)
def test_what_is_no_decision_is_not_taken(typed: Any, words: str) -> None:
    with pytest.raises(UnreadableAnswerError, match=words):
        RAIN.read(typed, VALUES)


@pytest.mark.parametrize(
    ("given", "words", "missing"),
    [
        ({"way": "run", "reason": "rain"}, "Run. Decided by: The rain.", ""),
        ({"way": "coat"}, "Take the coat.", "the reason"),
        ({"reason": "wind"}, "Decided by: The wind.", "the decision"),
    ],
)
def test_an_answer_is_said_in_words_and_what_is_missing_is_named(
    given: dict, words: str, missing: str
) -> None:
    form = RAIN.form(VALUES)
    answer = form.read(given)
    assert (form.in_words(answer), form.missing(answer)) == (words, missing)
    assert form.entered(answer) == given


def test_form_and_key_come_back_from_data_and_judge_the_same_under_other_keys() -> None:
    form, key = form_of(RAIN.form(VALUES).data()), key_of(RAIN.key(VALUES).data())
    assert (form, key) == (RAIN.form(VALUES), RAIN.key(VALUES))
    names = {own: f"k{number}" for number, own in enumerate(form.keys(), 1)}
    assert len(names) == 6
    blind, back = form.with_keys(names), {new: own for own, new in names.items()}
    right = {name: names[chosen] for name, chosen in RAIN.solution(VALUES).items()}
    assert blind.in_words(blind.read(right)) == key.right_in_words(form)
    assert key.judge(form, answer_with_keys(blind.read(right), back)).outcome == "right"


def test_each_slip_is_told_as_itself_and_the_bank_knows_all_four() -> None:
    found = RAIN.slip_answers(VALUES)
    assert {
        name: RAIN.judge(VALUES, RAIN.read(typed, VALUES)).slip for name, typed in found.items()
    } == {name: name for name in ("umbrella", "run", "rain", "price")}
    assert {mistake.key for mistake in RAIN.mistakes(VALUES)} == set(found)
    assert RAIN.route_to(VALUES) == "A coat stays whole in the wind."
    counted = RAIN.tallies(VALUES)
    assert (counted["Way that is right"], counted["Reason that is right"]) == (["coat"], ["wind"])
    assert counted["Place of the right way"] == [str(1 + VALUES["ways"].index("coat"))]


@pytest.mark.parametrize(
    ("ways", "reasons", "said"),
    [
        (WAYS, REASONS, ""),
        (WAYS[:2], REASONS, "there are 2 ways: 3 at least"),
        ((*WAYS[1:], Option("stay", "Stay.", "waits")), REASONS, "0 of the ways are right"),
        (WAYS, (*REASONS, Option("gust", "A gust.")), "2 of the reasons are right"),
        (WAYS, (*REASONS, Option("run", "Haste.", "x")), "two options have the key 'run'"),
        (WAYS, (*REASONS, Option("r", "The rain.", "x")), "two of the reasons say 'The rain.'"),
    ],
)
def test_an_authors_faults_are_named(ways: Any, reasons: Any, said: str) -> None:
    made = item(ways, reasons)
    found = faults(made, lambda learner: RELEASE.values(made, learner), learners=60)
    assert bool(found) == bool(said)
    if said:
        assert any(said in fault for fault in found)


def test_a_reason_that_always_stands_first_is_a_fault() -> None:
    made = replace(RAIN, reasons=lambda _v: REASONS)
    found = faults(made, lambda learner: RELEASE.values(made, learner), learners=60)
    assert any(
        "the right reason stands at the same place for 60 of 60 learners" in f for f in found
    )
