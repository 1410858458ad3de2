"""How likely somebody is to pass the principles: worked out, simulated by the rule, and told."""

import importlib
import random
from dataclasses import replace
from itertools import permutations, product
from pathlib import Path

import pytest

from cubital.items.principles.course import PRINCIPLES

CHECKOUT = Path(__file__).resolve().parents[2]


@pytest.fixture
def chances(monkeypatch):
    """The script of the checkout."""
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")
    return importlib.import_module("second_chances")


def test_the_page_is_of_the_cases_that_ship(chances):
    is_current = chances.PAGE.read_text(encoding="utf-8") == chances.page()
    assert is_current, f"{chances.PAGE.name} is stale: run {chances.COMMAND}"


def by_counting(per_case, sittings):
    """Add up all orders of three pairs of cases, and all answers to them, that pass in time."""
    told = 0.0
    orders = list(permutations([(0, 1), (2, 3), (4, 5)]))
    for order in orders:
        asked = [case for pair in order[:sittings] for case in pair]
        for answers in product((True, False), repeat=len(asked)):
            if any(answers[at] and answers[at + 1] for at in range(0, len(asked), 2)):
                share = 1.0
                for case, is_right in zip(asked, answers, strict=True):
                    share *= per_case[case] if is_right else 1 - per_case[case]
                told += share
    return told / len(orders)


@pytest.mark.parametrize("sittings", [1, 2, 3])
def test_the_exact_chance_is_what_counting_all_orders_and_answers_gives(chances, sittings):
    uneven = [0.03, 0.97, 0.25, 0.6, 0.97, 0.9]
    pairs = [uneven[at] * uneven[at + 1] for at in (0, 2, 4)]
    assert chances.exactly(pairs, sittings) == pytest.approx(by_counting(uneven, sittings))


@pytest.mark.parametrize("share", [0.0, 0.25, 0.6, 0.95, 1.0])
def test_for_one_chance_on_all_cases_it_is_the_formula(chances, share):
    assert chances.exactly([share**2] * 3, 2) == pytest.approx(1 - (1 - share**2) ** 2)


def test_simulated_learners_pass_as_often_as_worked_out_on_principles_of_every_kind(chances):
    people = [*chances.misled(), *(row.person for row in chances.believers()[::8])]
    assert len(people) >= 7
    for person in people:
        for retakes in (0, 1, 2):
            told = chances.exact(person, 1 + retakes)
            tried = chances.simulated(person, retakes, learners=800)
            most = 4 * (max(told * (1 - told), 0.002) / 800) ** 0.5
            assert abs(tried - told) <= most, (person.who, retakes)


def test_somebody_who_is_never_right_has_the_attempts_that_the_rule_gives_and_no_case_twice(
    chances, monkeypatch
):
    asked = []
    whole = chances.asked_of
    monkeypatch.setattr(
        chances,
        "asked_of",
        lambda principle, present, absent: (
            asked.append(present) or whole(principle, present, absent)
        ),
    )
    never = chances.Person("never right", chances.right(0.0), ("nerve",))
    found = chances.sat(never, "nerve", "ann", random.Random(1), 2)
    assert [one.passed for one in found.attempts] == [False, False, False]
    assert found.state == "to decide"
    assert [row.kind for row in found.records] == ["talk", "retake", "observed", "retake"]
    assert [len(cases) for cases in asked] == [6, 4, 2]


def test_needless_stopping_in_every_case_without_the_trigger_fails_nobody(chances):
    always = chances.Person("always right", chances.right(1.0))
    assert chances.simulated(always, retakes=0, learners=20) == 1.0  # their third cases are wrong


def test_who_is_right_on_most_passes_and_who_is_not_does_not(chances):
    for person in (*chances.averages(), *chances.misled()):
        assert person.aim, person.who
        assert person.short_by(chances.exact(person)) == 0, person.who


@pytest.mark.parametrize("key", PRINCIPLES)
def test_who_knows_only_that_one_stops_fails_each_principle(chances, key):
    """By hand: pairs of 1/4 x 1/4, 1/4 x 1/3 and 1/4 x 1/3 pass at two of three with 0.147."""
    only_stops = chances.misled()[2]
    assert only_stops.who.startswith("knows only that one stops")
    one = replace(only_stops, principles=(key,))
    low, high = 1 - 15 / 16, 1 - 11 / 12
    by_hand = 1 - (2 * (1 - low) * (1 - high) + (1 - high) ** 2) / 3
    assert chances.exact(one) == pytest.approx(by_hand)
    assert by_hand < chances.MOST_MISLED == 0.15


def test_each_belief_is_met_in_every_pair_and_its_holder_fails(chances):
    short = {
        f"{row.principle}: {row.belief}": (row.pairs, round(chances.exact(row.person), 3))
        for row in chances.believers()
        if row.pairs < 3 or row.person.short_by(chances.exact(row.person))
    }
    assert short == {}, "pair the cases otherwise, or have a further case offer the way"


def test_each_belief_has_ways_of_two_cases_or_more_and_a_name_of_its_own(chances):
    assert set(chances.beliefs()) == set(PRINCIPLES)
    rows = chances.believers()
    assert len({(row.principle, row.belief) for row in rows}) == len(rows)
    assert min(row.cases for row in rows) >= 2


def test_a_way_that_the_bank_does_not_have_is_told(chances, monkeypatch, tmp_path):
    file = tmp_path / "misconceptions.toml"
    monkeypatch.setattr(chances, "MISCONCEPTIONS", file)
    for way in ("weak-hand/gone", "weak-hand/doctor-now-right-arm"):  # none, and the right one
        file.write_text(f'[nerve]\n"a belief" = ["{way}"]\n', encoding="utf-8")
        with pytest.raises(ValueError, match=f"nerve, “a belief”: {way}"):
            chances.beliefs()
