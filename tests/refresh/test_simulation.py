"""The simulation of refreshing forgets by the laws that it names, and asks as many every way."""

import importlib
from math import exp
from pathlib import Path

import pytest

from cubital import tables
from cubital.refresh.choosing import can_be_refreshed, items_of
from cubital.tables.files import asset

CHECKOUT = Path(__file__).resolve().parents[2]
COURSE = {
    "days": 60,
    "objectives": 5,
    "critical": 2,
    "items_each": 2,
    "minutes_an_item": 2,
    "minutes_a_session": 4,
    "guess": 0.1,
    "mishap": 0.05,
    "says_known": [0.5, 0.3],
    "says_forgotten": [0.1, 0.3],
}


@pytest.fixture
def simulation(monkeypatch):
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")
    return importlib.import_module("refresh_simulation")


@pytest.fixture
def learners(simulation):
    return importlib.import_module("refresh_learners")


@pytest.mark.parametrize(("days", "savings"), [(1, 30.4), (2, 28.1), (6, 24.9), (31, 21.2)])
def test_the_logarithmic_law_gives_the_savings_that_ebbinghaus_computed(learners, days, savings):
    """Per cent by his formula with his k = 1.84 (ebbinghaus-1913; from memory)."""
    law = learners.logarithmic({"power": 1.25})
    assert 100 * law.retention(1.84, days) == pytest.approx(savings, abs=0.05)


def test_the_exponential_law_halves_again_in_each_half_life(learners):
    law = learners.exponential({})
    for lives in (1, 2, 5):
        assert law.retention(10 / 0.6931471805599453, 10 * lives) == pytest.approx(0.5**lives)
    assert law.retention(7, 7) == pytest.approx(exp(-1))


@pytest.mark.parametrize("name", ["exponential", "logarithmic"])
def test_what_had_nearly_been_forgotten_gains_most_and_right_more_than_not_right(learners, name):
    law = learners.LAWS[name]({"growth": 3, "relapse": 0.5, "power": 1.25})
    for strength, start in ((20.0, 20.0), (50.0, 20.0)):

        def after(known, right, strength=strength, start=start):
            return law.after(strength, start, known, right)

        assert after(0.3, True) > after(0.9, True) > strength
        assert after(0.5, True) > after(0.5, False) >= start


def asked_of(learner):
    """Note what a learner is asked, as objective, item and day."""
    asked = []
    answer = learner.answer
    learner.answer = lambda *what: asked.append(what) or answer(*what)
    return asked


@pytest.mark.parametrize("every", [1, 7, 28])
@pytest.mark.parametrize("rule", ["WorstFirst", "ByTheCourse"])
def test_every_way_asks_the_same_number_of_items_of_the_same_learner(
    simulation, learners, rule, every
):
    learner, twin, third = (learners.Learner("exponential", 2, 1, COURSE) for _ in range(3))
    assert (learner.strength == twin.strength).all()
    asked, in_turn, spread = map(asked_of, (learner, twin, third))
    one = simulation.played(getattr(simulation, rule)(learner), every)
    assert len(one.retention) == 60
    assert len(simulation.in_turn(twin, every, one.sizes)) == 60
    simulation.in_turn(third, every, simulation.evenly(one.sizes))
    assert sum(one.sizes) == len(asked) == len(in_turn) == len(spread) > 0
    assert [day for _, _, day in in_turn] == [day for _, _, day in asked]
    assert [place for place, _, _ in in_turn] == [n % 5 for n in range(len(asked))]
    assert [item for _, item, _ in in_turn] == [n // 5 % 2 for n in range(len(asked))]
    by_session = [sum(day == one for _, _, day in spread) for one in range(every, 61, every)]
    assert max(by_session) - min(by_session) <= 1


def test_as_many_in_each_session_as_in_the_next(simulation):
    assert simulation.evenly([8, 0, 0, 1]) == [2, 2, 2, 3]
    assert simulation.evenly([3, 3]) == [3, 3]


def test_the_same_learner_plays_the_same_way_again(simulation, learners):
    def play(number):
        learner = learners.Learner("logarithmic", 1, number, COURSE)
        return simulation.played(simulation.ByTheCourse(learner), 7)

    assert play(3) == play(3)
    assert play(4) != play(3)


def test_items_share_one_memory_or_have_their_own(learners):
    shared, own = (learners.Learner("exponential", n, 1, COURSE) for n in (1, 2))
    for learner in (shared, own):
        learner.answer(3, 1, 40)
    assert shared.seen.tolist() == [[0], [0], [0], [40], [0]]
    assert own.seen.tolist() == [[0, 0], [0, 0], [0, 0], [0, 40], [0, 0]]


def test_right_and_sure_are_as_frequent_as_assumed(learners):
    """By the numbers: known at once, 0.95 right and half of all sure; forgotten, 0.1 and 0.1."""
    learner = learners.Learner("exponential", 1, 1, COURSE)
    for day, right, sure in ((0, 0.95, 0.5), (10_000_000, 0.1, 0.1)):
        found = []
        for _ in range(4000):
            learner.seen[:] = 0
            found.append(learner.answer(0, 0, day))
        assert sum(one for one, _ in found) / 4000 == pytest.approx(right, abs=0.02)
        assert sum(said == 0.95 for _, said in found) / 4000 == pytest.approx(sure, abs=0.03)


def test_a_session_by_the_course_asks_what_must_be_right_first(simulation, learners):
    sessions = simulation.ByTheCourse(learners.Learner("exponential", 1, 1, COURSE))
    assert [name.split("-")[:2] for name in sessions.chosen(7)] == [["must", "0"], ["must", "1"]]


def test_the_course_never_lets_what_must_be_right_wait_longer_than_its_rule(simulation, learners):
    course = COURSE | {"days": 730, "minutes_a_session": 10}
    learner = learners.Learner("logarithmic", 1, 2, course)
    learner.start *= 1000  # a memory so good that the model alone would wait for a year
    learner.strength = learner.start.copy()
    played = simulation.played(simulation.ByTheCourse(learner), 1)
    assert 90 < played.longest_wait <= 180


def test_it_plays_as_many_objectives_as_the_course_refreshes():
    able = can_be_refreshed(tables.curriculum().objectives)
    must = [one for one in able if any(item.critical for item in items_of(one))]
    told = asset("refresh/simulation.toml")["course"]
    assert (told["objectives"], told["critical"]) == (len(able), len(must))


def test_an_interval_holds_the_mean_and_a_verdict_needs_it_to_leave_out_zero(simulation):
    values = simulation.np.array([0.1, -0.1] * 50)
    mean, low, high = simulation.interval(values)
    assert low < mean < high
    assert high - low == pytest.approx(2 * 1.96 * 0.1 / 100**0.5, rel=0.1)  # normal theory
    assert simulation.verdict(values, "a", "b") == "no difference shown"
    assert simulation.verdict(values + 0.2, "a", "b") == "a"
    assert simulation.verdict(values - 0.2, "a", "b") == "b"


def test_the_page_says_which_way_won_and_the_course_goes_by_it(simulation):
    """As often as the table's last column says; were it otherwise, no page would be written."""
    page = simulation.PAGE.read_text(encoding="utf-8")
    table = page.partition("## Which objective comes")[2].partition("## The course")[0]
    last = [line.split("|")[-2].strip() for line in table.splitlines() if line.startswith("| ")]
    assert len(last[1:]) == len(list(simulation.cases(simulation.asset("refresh/simulation.toml"))))
    turns, worst = last.count("in turn"), last.count("worst first")
    assert turns > worst
    assert f"in turn in {turns}" in table
    assert f"worst first in {worst}" in table
