"""Questions that must be right to pass are due after 180 days, whatever the memory model says."""

import os
from datetime import UTC, date, datetime, timedelta

import pytest

from cubital import items, tables
from cubital.handin.released.release import (
    AFTER_MARKING,
    AT_ONCE,
    new_release,
    read_release,
    write_release,
)
from cubital.refresh.choosing import can_be_refreshed, items_of
from cubital.refresh.critical import CriticalRule, LocalDays, critical_rule, local_days
from cubital.refresh.due import note, standings_of
from cubital.refresh.reviews import Review, ReviewLog
from cubital.refresh.schedule import standings
from cubital.tables import Objective

DAY = timedelta(days=1)
START = datetime(2027, 3, 1, 9, 0, tzinfo=UTC)
NERVE = Objective("nerve", "n", "t", "40-t", "s", ("stop", "angle"), ("stop",), 0.7, "watched")
FLOW = Objective("flow", "f", "t", "40-t", "s", ("bore",), (), 0.7, "watched")
RULE = CriticalRule(frozenset({"stop"}), 180, 30)


def log(*answers):
    """Reviews, each ``day item rating``, of the objective that has the item."""
    found = []
    for number, answer in enumerate(answers, 1):
        day, item, rated = answer.split()
        key = "flow" if item == "bore" else "nerve"
        at = START + int(day) * DAY
        found.append(Review(number, at, f"s{number}/{item}", key, item, "right", rated))
    return found


def nerve(*answers, day=0):
    now = START + day * DAY
    return standings((NERVE, FLOW), log(*answers), now, rule=RULE)[0]


STRONG = [f"{day} {item} good" for day in (0, 2, 10, 40, 150, 300) for item in ("stop", "angle")]


def test_without_the_rule_the_memory_model_would_wait_longer():
    (free, _) = standings((NERVE, FLOW), log(*STRONG), START + 300 * DAY)
    assert free.due > START + (300 + 200) * DAY
    assert nerve(*STRONG, day=300).due == START + (300 + 180) * DAY


def test_the_days_run_from_the_question_that_must_be_right_and_not_from_another():
    later = [*STRONG, "400 angle good"]
    assert nerve(*later, day=400).critical.due == START + 480 * DAY
    assert nerve(*later, "401 stop good", day=401).critical.due == START + 581 * DAY


def test_until_it_was_asked_the_days_run_from_the_objectives_first_review():
    assert nerve("3 angle good", "90 angle good", day=90).critical.due == START + 183 * DAY


def test_one_that_was_not_right_is_due_the_next_day_and_wanted_until_it_is_right():
    missed = nerve("0 stop good", "9 stop again", day=9)
    assert missed.due == START + 10 * DAY
    assert missed.wants_critical(START + 9 * DAY)
    assert nerve("9 stop again", "10 angle good", day=10).critical.missed
    assert not nerve("9 stop again", "10 stop good", day=10).wants_critical(START + 10 * DAY)


@pytest.mark.parametrize(("day", "wanted", "late"), [
    (179, False, False), (180, True, False), (209, True, False), (210, True, True),
])  # fmt: skip
def test_it_is_due_on_the_last_day_and_late_after_the_grace(day, wanted, late):
    found = nerve("0 stop good", day=day)
    now = START + day * DAY
    assert (found.wants_critical(now), found.is_late(now)) == (wanted, late)
    assert found.is_due(now) or not wanted


def test_what_is_not_begun_wants_it_and_what_has_none_never_does():
    fresh, other = standings((NERVE, FLOW), [], START, rule=RULE)
    assert (fresh.wants_critical(START), other.wants_critical(START)) == (True, False)
    old = standings((NERVE, FLOW), log("0 bore again"), START + 900 * DAY, rule=RULE)[1]
    assert (old.wants_critical(START + 900 * DAY), old.is_late(START + 900 * DAY)) == (False, False)


def test_the_rule_takes_the_items_word_for_what_is_critical_and_the_profile_s_for_the_days():
    asked = [item for row in tables.curriculum().objectives for item in items_of(row)]
    rule = critical_rule(asked)
    assert rule.items == {item.id for item in asked if item.critical} != set()
    assert (rule.due_days, rule.grace_days) == (180, 30)
    assert critical_rule([items.find("sizing-ratio")]).items == frozenset()


DAYS = """
[refreshing]
critical_due_days = 90
critical_grace_days = 14
critical_due_rests_on = "Ours."
critical_due_approved_by = "Nora Alder"
critical_due_approved_on = "2027-02-01"
"""


def given(folder, name, *, days="", feedback=AFTER_MARKING, came=0):
    """Put a release into a learner's folder, with the days of a department's profile."""
    where = folder / name
    where.mkdir(parents=True)
    (where / "local-profile.toml").write_text(days, encoding="utf-8")
    profile = tables.profile(where)
    listed = [items.find("sizing-ratio")]
    made = new_release(name, "catheter-sizing", profile=profile, listed=listed, feedback=feedback)
    write_release(where, made)
    os.utime(where / "release.json", (came, came))
    return where


def test_the_days_are_those_of_the_educators_release_that_came_last(tmp_path):
    assert local_days(tmp_path) == local_days()
    given(tmp_path, "before", came=1)
    given(tmp_path, "last", days=DAYS, came=2)
    given(tmp_path, "practice", feedback=AT_ONCE, came=3)
    broken = given(tmp_path, "broken", came=4)
    (broken / "release.json").write_text("{", encoding="utf-8")
    found = local_days(tmp_path)
    assert found == LocalDays(90, 14, "Nora Alder", "2027-02-01")
    rule = critical_rule([], found)
    assert (rule.due_days, rule.grace_days) == (90, 14)
    said = note(found)
    assert "due after 90 days at the latest, and late 14 days after that" in said
    assert "approved by: Nora Alder, 1 February 2027" in said


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        (("90", "6"), "critical_due_days is 6: .* must be from 7 to 365 d"),
        (('"Nora Alder"', '" "'), "critical_due_approved_by is missing"),
        (('critical_due_rests_on = "Ours."', ""), "critical_due_rests_on is missing"),
        (("2027-02-01", "in May"), "write the day as 2026-05-04"),
    ],
)
def test_who_sets_the_days_says_on_what_they_rest_and_who_approved_them(tmp_path, changed, said):
    (tmp_path / "local-profile.toml").write_text(DAYS.replace(*changed), encoding="utf-8")
    with pytest.raises(ValueError, match=said):
        tables.profile(tmp_path)


def test_a_release_tells_the_days_and_is_the_same_release_with_others(tmp_path):
    one, other = (
        read_release(given(tmp_path / n, "r", days=d)) for n, d in (("a", DAYS), ("b", ""))
    )
    assert one == other
    assert (one.refreshing["critical_due_days"], other.refreshing["critical_due_days"]) == (90, 180)


def test_the_local_default_says_who_approved_it_and_when_and_that_it_is_of_knowledge():
    profile = tables.profile()
    assert date.fromisoformat(profile.critical_due_approved_on) <= date(2026, 12, 31)
    assert "(invented)" in profile.critical_due_approved_by
    assert "no source" in profile.critical_due_rests_on
    assert "never for competence" in profile.critical_due_rests_on


def test_a_year_after_everything_was_right_each_such_objective_of_the_course_is_due_and_late():
    able = can_be_refreshed(tables.curriculum().objectives)
    reviews = tuple(
        Review(n, START, f"s1/{item.id}", one.key, item.id, "right", "good")
        for n, (one, item) in enumerate(((one, i) for one in able for i in items_of(one)), 1)
    )
    now = START + 365 * DAY
    found = standings_of(ReviewLog("ada.alder", reviews), now)
    wanted = {one.key for one in able if any(item.critical for item in items_of(one))}
    assert {one.objective.key for one in found if one.wants_critical(now)} == wanted
    assert {one.objective.key for one in found if one.is_late(now)} == wanted
