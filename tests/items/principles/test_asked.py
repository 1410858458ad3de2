"""How a worksheet asks for a principle: two vignettes with its trigger, one without."""

from collections import Counter
from dataclasses import replace

import pytest
from tests.items.principles.made_up import LAMP

from cubital.handin.released.sealed import drawn
from cubital.items.kinds import key_of, rules
from cubital.items.principles.asked import asked, asked_of

LEARNERS = tuple(f"learner-{number:04d}" for number in range(1000))
ASKED = asked(LAMP)


def values(item, learner):
    return item.values("autumn", learner, {}, for_papers=True)


def test_two_must_be_right_and_the_third_need_not_be():
    assert [(item.id, item.critical, item.points) for item in ASKED] == [
        ("red-lamp-first", True, 2),
        ("red-lamp-second", True, 2),
        ("red-lamp-other", False, 2),
    ]


def test_nobody_is_asked_one_vignette_twice_and_every_pair_is_asked():
    pairs = Counter(
        tuple(values(item, learner)["vignette"] for item in ASKED.critical) for learner in LEARNERS
    )
    assert all(first != second for first, second in pairs)
    assert len(pairs) == 6 * 5  # each of the six first, each of the others after it
    assert max(pairs.values()) < 3 * 1000 / 30


def test_the_trigger_is_there_in_the_two_and_not_in_the_third():
    for learner in LEARNERS[:100]:
        found = [item.vignette(values(item, learner)).present for item in ASKED]
        assert found == [True, True, False]


def test_all_ways_of_a_vignette_stand_together_in_an_order_of_the_learner():
    first, orders = ASKED.first, set()
    for learner in LEARNERS:
        v = values(first, learner)
        ways = {way.key for way in first.vignette(v).ways}
        form = first.form(v)
        assert {option.key for option in form.options} == ways
        assert v["vignette"] in form.question
        assert all(v["vignette"] in option.text for option in form.options)
        orders.add(tuple(option.key for option in form.options))
    assert len(orders) == 24  # of four options


@pytest.mark.parametrize("item", ASKED, ids=lambda item: item.id)
def test_the_feedback_names_what_is_believed_and_what_decides(item):
    v = values(item, "ada")
    told = item.vignette(v)
    for way in told.ways:
        found = item.judge(v, {"choice": way.key})
        assert found.points == (2 if way.right else 0)
        assert found.misconception == way.misconception
    assert item.key(v).route == told.because


@pytest.mark.parametrize("item", ASKED, ids=lambda item: item.id)
def test_it_keeps_the_rules_of_all_items(item):
    assert rules.faults(item, lambda learner: values(item, learner)) == []


def test_what_is_given_out_tells_neither_which_must_be_right_nor_the_ways_keys():
    given, _ = drawn(ASKED.first, values(ASKED.first, "ada"), "seed")
    other, sealed = drawn(ASKED.other, values(ASKED.other, "ada"), "seed")
    assert given.keys() == other.keys()
    assert [option["key"] for option in given["options"]] == ["k1", "k2", "k3", "k4"]
    assert key_of(sealed["key"]).critical is False


def test_one_with_faults_is_not_asked():
    with pytest.raises(ValueError, match=r"“red_lamp” cannot be asked: .*6 at least"):
        asked(replace(LAMP, vignettes=LAMP.vignettes[1:]))


def test_too_few_that_are_left_are_not_asked():
    with pytest.raises(ValueError, match="1 vignettes with the trigger and 3 without it left"):
        asked_of(LAMP, LAMP.present[:1], LAMP.absent)


def test_only_those_that_are_left_are_asked():
    left = asked_of(LAMP, LAMP.present[2:4], LAMP.absent[:1])
    for learner in LEARNERS[:100]:
        seen = [values(item, learner)["vignette"] for item in left]
        assert {*seen[:2]} == {"crossing-3", "crossing-4"}
        assert seen[2] == "bridge-1"
