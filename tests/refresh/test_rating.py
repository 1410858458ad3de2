"""What an answer counts as: a lucky one waits less, and easy takes two different questions."""

from datetime import UTC, datetime, timedelta

import pytest

from cubital.handin.answers import LEVELS
from cubital.refresh.rating import as_counted, rating, sure_items
from cubital.refresh.reviews import Review
from cubital.refresh.schedule import reviewed, standings
from cubital.tables import Objective

START = datetime(2027, 3, 1, 9, 0, tzinfo=UTC)
DAY = timedelta(days=1)
FLOW = Objective("flow", "Flow", "t", "40-t", "s", ("x", "y"), (), 0.7, "watched")


def log(*answers):
    """Reviews of one objective, a day apart, each ``item:rating``."""
    pairs = [answer.split(":") for answer in answers]
    return [
        Review(n, START + n * DAY, f"s{n}/{item}", "flow", item, "right", rated)
        for n, (item, rated) in enumerate(pairs, 1)
    ]


def counted(reviews):
    """What each review of one objective counts as."""
    sure = frozenset()
    for one in reviews:
        sure = sure_items(sure, one.item, one.rating)
        yield as_counted(sure, one.rating)


@pytest.mark.parametrize(
    ("outcome", "confidence", "wanted"),
    [
        ("right", None, "good"),
        ("right", 0.05, "hard"),
        ("right", 0.5, "hard"),
        ("right", 0.51, "good"),
        ("right", 0.89, "good"),
        ("right", 0.9, "easy"),
        ("slip", 1.0, "again"),
        ("wrong", None, "again"),
        ("partly", 0.95, "again"),
        ("refused", 0.95, "again"),
    ],
)
def test_the_rating_of_an_answer(outcome, confidence, wanted):
    assert rating(outcome, confidence) == wanted


def test_the_levels_that_a_learner_chooses_from_give_these_ratings():
    given = {words: rating("right", share) for share, words in LEVELS}
    assert given == {"a guess": "hard", "half sure": "hard", "fairly sure": "good", "sure": "easy"}


@pytest.mark.parametrize(
    ("answers", "wanted"),
    [
        ("x:easy", "good"),
        ("x:easy x:easy x:easy", "good good good"),  # one question, known by heart
        ("x:easy y:easy x:easy", "good easy easy"),
        ("x:easy y:good y:easy", "good good easy"),
        ("x:easy y:hard x:easy", "good hard good"),
        ("x:easy y:again y:easy", "good again good"),  # what was sure did not hold
        ("x:easy y:again y:easy x:easy", "good again good easy"),
        ("x:hard y:again", "hard again"),
    ],
)
def test_easy_counts_after_two_different_questions_right_and_sure(answers, wanted):
    assert list(counted(log(*answers.split()))) == wanted.split()


def test_a_guess_that_was_right_leaves_less_to_build_on_than_a_right_answer_and_waits_less():
    """Weight 1 of the library is the stability after a first hard answer: 1.2931 days (read)."""
    days = []
    for confidence in (0.25, 0.75):
        card = reviewed(None, rating("right", confidence), START)
        second = reviewed(card, "good", START + 4 * DAY)
        days.append((second.due - START) / DAY)
    assert reviewed(None, "hard", START).stability == 1.2931
    assert days[0] < days[1]


def test_the_same_question_sure_each_time_is_due_as_if_good_and_two_questions_later():
    """The second way: the library's cards, reviewed by hand."""

    def due(*answers):
        return standings((FLOW,), log(*answers), START + 4 * DAY)[0].due

    by_hand = None
    for n, rated in enumerate(("good", "good"), 1):
        by_hand = reviewed(by_hand, rated, START + n * DAY)
    assert due("x:easy", "x:easy") == by_hand.due
    easy = reviewed(reviewed(None, "good", START + DAY), "easy", START + 2 * DAY)
    assert due("x:easy", "y:easy") == easy.due > by_hand.due


def test_what_was_right_and_sure_is_told_by_the_times_and_not_by_the_order_in_the_file():
    found = log("x:easy", "x:again", "y:easy", "x:good")
    now = START + 9 * DAY
    assert standings((FLOW,), found[::-1], now) == standings((FLOW,), found, now)
