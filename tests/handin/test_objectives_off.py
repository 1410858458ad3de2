"""An objective is judged on the items that are left; with none left there is no evidence."""

import pytest

from cubital.handin.objectives import knowledge, objectives_of
from cubital.handin.results import MARKED, ItemResult, SubmissionResult
from cubital.tables import Curriculum, Objective


def objective(key, *items, off=(), critical=(), reason=""):
    return Objective(key, key, "topic", "l", "s", items, critical, 0.75, "Watches.", off, reason)


def sheet(**points):
    rows = (ItemResult(key, "right", value, 2.0, "") for key, value in points.items())
    return SubmissionResult("l1", "catheter-sizing", "spring", MARKED, items=tuple(rows))


def test_the_share_is_of_the_items_that_are_left():
    rule = objective("one", "a", "b", "c", off=("c",))
    assert knowledge(sheet(a=2.0, b=1.0), rule).state == "shown"  # 3 of 4, not of 6
    assert knowledge(sheet(a=2.0, b=0.9), rule).state == "to work on"
    assert "switched off in this release: c" in knowledge(sheet(a=2.0, b=2.0), rule).reason


def test_an_item_that_is_off_gives_no_points_even_where_it_was_marked():
    rule = objective("one", "a", "b", off=("b",))
    found = knowledge(sheet(a=1.0, b=2.0), rule)
    assert (found.state, found.points, found.max_points) == ("to work on", 1.0, 2.0)


def test_a_missing_item_that_is_not_off_is_still_missed():
    found = knowledge(sheet(a=2.0), objective("one", "a", "b", "c", off=("c",)))
    assert (found.state, found.reason) == ("no evidence", "not among the items marked: b")


@pytest.mark.parametrize(("reason", "end"), [("", "a, b"), ("at the bedside", "(at the bedside)")])
def test_with_no_item_left_there_is_no_evidence_and_the_reason(reason, end):
    rule = objective("one", "a", "b", off=("a", "b"), reason=reason)
    found = knowledge(sheet(d=2.0), rule)
    assert found.state == "no evidence"
    assert found.reason.startswith("switched off in this release: a, b")
    assert found.reason.endswith(end)


def test_an_objective_with_no_item_left_stays_among_those_of_its_worksheet():
    ratio, french, share = "sizing-ratio", "sizing-french", "sizing-area-share"
    gone = objective("gone", ratio, off=(ratio,))
    other = objective("other", "reach-track", off=("reach-track",))
    curriculum = Curriculum((objective("one", french), gone, other, objective("two", share)))
    assert [row.key for row in objectives_of(curriculum, (french,))] == ["one", "gone"]
