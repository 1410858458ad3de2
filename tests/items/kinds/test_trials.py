"""Trials: hits count as far as they go beyond false alarms, and nothing is had by always yes or no.

The points are worked out here by counting, from what the truth of each trial says is seen.
"""

from itertools import product

import pytest

from cubital import items
from cubital.items import TrialsItem, UnreadableAnswerError
from cubital.items.kinds.on_pictures import trials
from cubital.items.kinds.on_pictures.trials import NO, YES

TRIALS = [
    item for listed in items.WORKSHEETS.values() for item in listed if isinstance(item, TrialsItem)
]
DETECTED = [item for item in TRIALS if not item.always]
NAMES = [f"name-{number:02d}" for number in range(12)]
LEAK = items.find("comp-leak-trials")


def told(item, shows=6):
    """The truths of twelve trials, of which the first so many show it."""
    return {
        name: {
            "trial": {
                "what": item.looked_for if at < shows else item.catches[at % len(item.catches)],
                "band": "clear",
                "seen": [item.looked_for] if at < shows else [],
            },
            "changes": [],
        }
        for at, name in enumerate(NAMES)
    }


def judged(item, said, way=None):
    values = {"trials": NAMES, "turn": 0}
    return item.judge(values, {"said": said, "way": way}, told(item))


def right_way(item):
    return next((way.key for way in item.ways if not way.misconception), None)


def saying(yes):
    return {str(at + 1): YES if at in yes else NO for at in range(12)}


@pytest.mark.parametrize("item", DETECTED, ids=lambda item: item.id)
@pytest.mark.parametrize("yes", [range(12), ()])
def test_who_always_says_the_same_has_less_than_a_third_of_the_points(item, yes):
    found = judged(item, saying(yes), right_way(item))
    assert found.points < item.points / 3
    assert judged(item, saying(yes)).points == 0


@pytest.mark.parametrize("item", DETECTED, ids=lambda item: item.id)
def test_points_are_hits_less_false_alarms_counted_by_hand(item):
    rest = 0.25 if item.closing else 0.0
    for hits, false in product(range(7), repeat=2):
        yes = {*range(hits), *range(6, 6 + false)}
        found = judged(item, saying(yes), right_way(item))
        beyond = max(hits - false, 0) / 6
        assert found.points == pytest.approx(item.points * ((1 - rest) * beyond + rest), abs=0.006)
        assert (found.outcome == "right") == (hits == 6 and not false)


def test_a_guesser_has_less_than_a_third_on_average():
    """Of the points by trials; 4,096 ways to answer twelve trials, each as likely as the next."""
    item = items.find("read-roll-trials")
    truth, values = told(item), {"trials": NAMES, "turn": 0}
    form, key = item.form(values), item.key(values)
    shares = [
        key.count(
            form, {"said": saying({at for at in range(12) if number >> at & 1})}, truth
        ).beyond
        for number in range(2**12)
    ]
    assert 0.1 < sum(shares) / len(shares) < 0.15


@pytest.mark.parametrize("item", TRIALS, ids=lambda item: item.id)
def test_what_is_left_open_counts_as_wrong(item):
    values = {"trials": NAMES, "turn": 0}
    right = item.solution(values, told(item))
    part = {number: one for number, one in right["said"].items() if int(number) > 3}
    found = judged(item, part, right["way"])
    assert found.points < item.points
    assert "3 of the trials are left open" in found.message


@pytest.mark.parametrize("item", TRIALS, ids=lambda item: item.id)
def test_right_is_right_and_each_slip_is_named(item):
    values, truth = {"trials": NAMES, "turn": 0}, told(item)
    form = item.form(values)
    right = item.judge(values, form.read(item.solution(values, truth)), truth)
    assert (right.outcome, right.points) == ("right", item.points)
    made = item.slip_answers(values, truth)
    assert set(made) == item.slip_keys([values])
    for key, answer in made.items():
        found = item.judge(values, form.read(answer), truth)
        assert (found.outcome, found.slip) == ("slip", key)
        assert found.misconception in found.message
        assert found.points < item.points


def test_intervals_are_exact():
    """5 of 6: 35.9 to 99.6 %, and 1 of 6: 0.4 to 64.1 %, from a table of exact limits."""
    found = judged(items.find("read-roll-trials"), saying({0, 1, 2, 3, 4, 6}))
    assert "Hits: 5 of 6 (95 % interval 36 to 100 %)" in found.message
    assert "False alarms: 1 of 6 (95 % interval 0 to 64 %)" in found.message
    assert trials.NOT_VALIDATED in found.message


def test_a_leak_that_cannot_be_seen_is_told_afterwards():
    found = judged(LEAK, saying(range(6)), right_way(LEAK))
    unseen = [at + 1 for at in range(6, 12) if LEAK.catches[at % 3] == "infiltration-unseen"]
    assert f"(trial {', '.join(map(str, unseen))})" in found.message
    assert found.outcome == "right"


def test_a_leak_ends_in_touch_line_and_patient():
    way = next(way for way in LEAK.ways if not way.misconception)
    assert way.text.startswith("With the drip stopped, touch, line and patient")


def test_of_an_artery_beside_veins_the_answer_is_always_that_no_picture_tells():
    item = items.find("patient-artery-trials")
    for shows in (0, 2, 4):
        values = {"trials": NAMES[:4], "turn": 0}
        truth = told(item, shows)
        assert set(item.solution(values, truth)["said"].values()) == {"feel"}
        form = item.form(values)
        assert "cannot be told from the picture: feel" in dict(form.options)["feel"]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (None, "at least one trial"),
        ({"said": {}, "way": None}, "at least one trial"),
        ({"said": {"13": YES}}, "no such trial"),
        ({"said": {"1": "perhaps"}}, "one of the answers"),
        ({"said": {"1": YES}, "way": "other"}, "one of the ways"),
    ],
)
def test_what_is_no_answer_is_refused(typed, words):
    form = LEAK.form({"trials": NAMES, "turn": 0})
    with pytest.raises(UnreadableAnswerError, match=words):
        form.read(typed)


def test_what_is_saved_says_what_is_left():
    form = LEAK.form({"trials": NAMES, "turn": 0})
    answer = form.read({"said": {"2": YES, "1": NO}})
    assert list(answer["said"]) == ["1", "2"]
    assert form.missing(answer) == "10 trials and the question below the trials"
    assert form.saved_as(answer) == ", 2 of 12 trials answered"
    assert "It shows fluid that gathers: trial 2" in form.in_words(answer)
