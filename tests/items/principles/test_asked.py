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


def test_the_two_are_one_of_the_fixed_pairs_each_as_often_and_in_either_order():
    asked_pairs = Counter(
        tuple(values(item, learner)["vignette"] for item in ASKED.critical) for learner in LEARNERS
    )
    both_ways = [(*pair,) for pair in LAMP.pairs] + [pair[::-1] for pair in LAMP.pairs]
    assert sorted(asked_pairs) == sorted(both_ways)
    assert all(120 < count < 220 for count in asked_pairs.values())  # of 1,000, a sixth each


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


def test_pairs_that_leave_a_vignette_out_or_name_one_twice_are_not_asked():
    (one, two), *more = LAMP.pairs
    for pairs, amiss in (
        (tuple(more), f"{one}, {two}"),
        (((one, one), *more), two),
        (((one, two), (one, two), *more), f"{one}, {two}"),
        (((one, "bridge-1"), *more), f"bridge-1, {two}"),
    ):
        with pytest.raises(ValueError, match=f"stands in one pair, not so {amiss}"):
            asked(replace(LAMP, pairs=pairs))


def seen_of(left):
    """What learners are asked with these left: both with the trigger, and the one without."""
    return [[values(item, learner)["vignette"] for item in left] for learner in LEARNERS[:100]]


def test_only_those_that_are_left_are_asked():
    left = asked_of(LAMP, [LAMP.present[2], LAMP.present[4]], LAMP.absent[:1])
    for seen in seen_of(left):
        assert {*seen[:2]} == {"crossing-3", "crossing-5"}
        assert seen[2] == "bridge-1"


def test_a_retake_asks_a_whole_pair_where_one_is_left():
    """A paper of an earlier edition asked one each of two pairs: the third is whole."""
    left = [one for one in LAMP.present if one.key not in {"crossing-1", "crossing-2"}]
    assert {frozenset(seen[:2]) for seen in seen_of(asked_of(LAMP, left, LAMP.absent))} == {
        frozenset({"crossing-3", "crossing-5"})
    }


def test_where_no_pair_is_whole_any_two_that_are_left_are_asked():
    left = [one for one in LAMP.present if one.key in {"crossing-4", "crossing-5", "crossing-6"}]
    pairs = {frozenset(seen[:2]) for seen in seen_of(asked_of(LAMP, left, LAMP.absent))}
    assert pairs == {
        frozenset({"crossing-4", "crossing-5"}),
        frozenset({"crossing-4", "crossing-6"}),
        frozenset({"crossing-5", "crossing-6"}),
    }
