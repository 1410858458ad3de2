"""The simulation of refreshing forgets by the laws that it names, and asks as many both ways."""

import importlib
from math import exp
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
COURSE = {
    "days": 60,
    "objectives": 5,
    "items_each": 2,
    "minutes_an_item": 2,
    "minutes_a_session": 4,
    "guess": 0.1,
    "mishap": 0.05,
}


@pytest.fixture
def simulation(monkeypatch):
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")
    return importlib.import_module("refresh_simulation")


@pytest.mark.parametrize(("days", "savings"), [(1, 30.4), (2, 28.1), (6, 24.9), (31, 21.2)])
def test_the_logarithmic_law_gives_the_savings_that_ebbinghaus_computed(simulation, days, savings):
    """Per cent by his formula with his k = 1.84 (ebbinghaus-1913; from memory)."""
    law = simulation.logarithmic({"power": 1.25})
    assert 100 * law.retention(1.84, days) == pytest.approx(savings, abs=0.05)


def test_the_exponential_law_halves_again_in_each_half_life(simulation):
    law = simulation.exponential({})
    for lives in (1, 2, 5):
        assert law.retention(10 / 0.6931471805599453, 10 * lives) == pytest.approx(0.5**lives)
    assert law.retention(7, 7) == pytest.approx(exp(-1))


@pytest.mark.parametrize("name", ["exponential", "logarithmic"])
def test_what_had_nearly_been_forgotten_gains_most_and_right_more_than_not_right(simulation, name):
    law = simulation.LAWS[name]({"growth": 3, "relapse": 0.5, "power": 1.25})
    trace = simulation.Trace(20.0, 20.0)
    assert law.after(trace, 0.3, True) > law.after(trace, 0.9, True) > trace.strength
    assert law.after(trace, 0.5, True) > law.after(trace, 0.5, False) >= trace.strength


@pytest.mark.parametrize("every", [1, 7, 28])
def test_both_ways_ask_the_same_number_of_items_of_the_same_learner(simulation, every):
    learner = simulation.Learner("exponential", 1, COURSE)
    twin = simulation.Learner("exponential", 1, COURSE)
    asked = []
    twin.answer = lambda place, day: asked.append((place, day)) or True
    assert [one.strength for one in learner.traces] == [one.strength for one in twin.traces]
    retention, number, _ = simulation.scheduled(learner, every)
    assert len(simulation.spread_evenly(twin, every, number)) == len(retention) == 60
    assert len(asked) == number > 0
    assert [place for place, _ in asked] == [n % 5 for n in range(number)]
    by_session = [sum(day == one for _, day in asked) for one in range(every, 61, every)]
    assert sum(by_session) == number
    assert max(by_session) - min(by_session) <= 1


def test_the_same_learner_plays_the_same_way_again(simulation):
    plays = [
        simulation.scheduled(simulation.Learner("logarithmic", 3, COURSE), 7) for _ in range(2)
    ]
    assert plays[0] == plays[1]
    other = simulation.scheduled(simulation.Learner("logarithmic", 4, COURSE), 7)
    assert other != plays[0]


def test_an_interval_holds_the_mean_and_a_verdict_needs_it_to_leave_out_zero(simulation):
    values = simulation.np.array([0.1, -0.1] * 50)
    mean, low, high = simulation.interval(values)
    assert low < mean < high
    assert high - low == pytest.approx(2 * 1.96 * 0.1 / 100**0.5, rel=0.1)  # normal theory
    assert simulation.verdict(values) == "no difference shown"
    assert simulation.verdict(values + 0.2) == simulation.SCHEDULED
    assert simulation.verdict(values - 0.2) == simulation.EVEN
