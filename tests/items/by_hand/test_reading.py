"""Reading the vein: what the draws may not do, by a second way, and what the items may not."""

import re
from math import erfc, log, sqrt

import pytest

from cubital import items
from cubital.handin.released.release import new_release
from cubital.items import Option
from cubital.items.principles.course import PRINCIPLES
from cubital.scene.files.planning import kinds, trial_kinds

from ..worked.reading import WORKED

RELEASE = new_release("autumn", "reading-the-vein")
LISTED = items.WORKSHEETS["reading-the-vein"]


@pytest.mark.parametrize("item_id", WORKED)
def test_the_route_ends_in_the_answer(item_id, drawn):
    item = items.find(item_id)
    for values in drawn(item.id)[:200]:
        end = re.findall(r"-?\d+(?:\.\d+)?", item.route_to(values))[-1]
        digits = len(end.partition(".")[2])
        assert float(end) == pytest.approx(item.answer(values), abs=0.5001 * 10**-digits)


@pytest.mark.parametrize("item_id", WORKED)
def test_an_answer_rounded_as_asked_for_is_right(item_id, drawn):
    item = items.find(item_id)
    for values in drawn(item.id):
        right = item.answer(values)
        ask = item.ask(values)
        digits = 2 if "two decimals" in ask else 1 if "one decimal" in ask else 0
        assert abs(round(right, digits) - right) <= item.tolerance(values)


def test_a_front_runs_no_faster_than_a_watcher_can_follow(drawn):
    item = items.find("read-front-speed")
    for values in drawn(item.id):
        assert values["last_frame"] <= 80
        assert 5 <= item.answer(values) <= 40


def test_the_kept_share_is_that_of_two_blurred_bands(drawn):
    """A normal band blurred once, less the same blurred three times as much, over the largest."""
    widths = [10 ** (step / 400) for step in range(-800, 801)]  # in spreads of the inner blur
    kept = [w / sqrt(w * w + 1) - w / sqrt(w * w + 9) for w in widths]
    largest = max(kept)
    best = widths[kept.index(largest)]
    item = items.find("read-gain")
    for values in drawn(item.id)[:200]:
        w = best * values["band_mm"] / values["filter_mm"]
        share = (w / sqrt(w * w + 1) - w / sqrt(w * w + 9)) / largest
        assert values["kept_percent"] == pytest.approx(100 * share, abs=0.6)
        assert values["band_mm"] <= 12


def test_chances_are_those_of_a_normal_curve(drawn):
    item, seen = items.find("read-false-bands"), set()
    for values in drawn(item.id)[:200]:
        chance = 100 * erfc(values["threshold_times"] / sqrt(2)) / 2
        assert abs(log(values["chance_percent"] / chance)) < 0.05
        assert item.answer(values) >= 1
        seen.add(values["threshold_times"])
    assert len(seen) == 3


def test_each_rule_of_the_order_can_be_broken_alone():
    item = items.find("read-order")
    values = RELEASE.values(item, "ada")
    right = item.solution(values)
    alone = set()
    for at in range(len(right) - 1):
        swapped = [*right[:at], right[at + 1], right[at], *right[at + 2 :]]
        broken = item.broken(swapped)
        assert len(broken) == 1
        alone.add(broken[0].key)
    assert alone == {rule.key for rule in item.rules} - {"feel-before-cleaning"}


CHOOSING = ["limb", "picture", "pulse", "fills"]


def test_letting_go_of_the_tourniquet_before_cleaning_is_right_and_cleaning_under_it_is_not():
    """hlthps009 (read): palpate and let go, then clean; sasaki-2012 (abstract): 30 to 60 s."""
    item = items.find("read-order")
    values = RELEASE.values(item, "ada")
    right = [*CHOOSING, "release", "clean", "again"]
    under = [*CHOOSING, "clean", "release", "again"]
    while_it_dries = [*CHOOSING, "release", "again", "clean"]
    assert item.judge(values, {"order": right}).outcome == "right"
    share = item.points / len(item.rules)
    for order, key in ((under, "tourniquet-left-on"), (while_it_dries, "on-while-it-dries")):
        judged = item.judge(values, {"order": order})
        assert (judged.outcome, judged.slip) == ("slip", key)
        assert judged.points == pytest.approx(item.points - share, abs=0.005)


def test_no_restriction_for_removed_nodes_is_claimed_but_by_local_policy():
    """ferguson-2016 (abstract): no link between punctures and a larger arm was found."""
    for vignette in PRINCIPLES["barred-limb"].vignettes:
        assert ("ymph nodes" in vignette.story) <= ("policy" in vignette.story)
        told = " ".join(f"{way.text} {way.misconception}" for way in vignette.ways)
        assert "harm them" not in told


def test_nobody_puts_a_needle_in_at_the_wrist(drawn):
    """vialle-2001, kim-2014 (abstracts): nerves cross the veins there."""
    for item_id in ("light-artery", "comp-artery"):
        item = items.find(item_id)
        for values in drawn(item_id)[:300]:
            shown = " ".join([item.ask(values), *(o.text for o in item.options(values))])
            assert "wrist" not in shown, (item_id, shown)


def test_tables_differ_and_hold_at_least_two_kinds_of_vessel(drawn):
    item = items.find("read-finger")
    assert len({tuple(sorted(values["rows"])) for values in drawn(item.id)}) > 100
    for values in drawn(item.id):
        rows, columns = item.rows(values), {column.key for column in item.columns(values)}
        assert len({row.right for row in rows}) >= 2
        for row in rows:
            assert set(row.misconceptions) == columns - {row.right}


def test_items_on_pictures_ask_for_kinds_that_a_pool_may_hold():
    pictured = [item for item in LISTED if item.needs == "truth"]
    trials = [item for item in pictured if item.kind == "trials"]
    assert [item.id for item in pictured if item not in trials] == ["read-forks", "read-series"]
    for item in trials:
        assert set(item.cells) <= set(trial_kinds())
        values = item.values("autumn", "ada", {}, ("one", "two", "three"))
        assert sorted(values["trials"]) == ["one", "three", "two"]
    for item in pictured[:2]:
        assert set(item.pool) <= set(kinds())
        assert all(number >= 2 for number in item.pool.values())
        values = item.values("autumn", "ada", {}, ("one", "two", "three"))
        assert values["picture"] in {"one", "two", "three"}


def test_the_series_has_an_option_and_a_reason_for_whatever_happens():
    item = items.find("read-series")
    offered: list[Option] = list(item.options({}))
    keys = [option.key for option in offered]
    assert item.unseen in keys
    assert set(item.happened.values()) | {item.unseen} == set(keys) == set(item.misconceptions)
    unseen = next(option for option in offered if option.key == item.unseen)
    assert "rules nothing out" in unseen.text
