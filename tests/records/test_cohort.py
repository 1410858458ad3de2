"""Who needs attention: nobody is left out, and like cases stand together."""

import pytest

from cubital.records.cohort import Problem


def kinds(found):
    return [(row.kind, [learner.id for learner in row.learners]) for row in found.attention]


def test_states_come_first_with_their_own_reason_and_action(cohort, unmarked):
    found = cohort(
        [
            unmarked("l1", "held", "another release", "use the old course"),
            unmarked("l2", "unreadable", "truncated", "hand in again"),
            unmarked("l3", "system_error", "no memory", "mark again"),
            unmarked("l5", "late", "late: it was due", "give an extension"),
        ],
        names={"l1": "A", "l2": "B", "l3": "C", "l4": "D", "l5": "E"},
        problems=[
            Problem("", "a stray file"),
            Problem("x.zip", "not a zip", "ask who sent it"),
        ],
    )
    assert kinds(found) == [
        ("problem", []),
        ("problem", []),
        ("system_error", ["l3"]),
        ("unreadable", ["l2"]),
        ("held", ["l1"]),
        ("late", ["l5"]),
        ("missing", ["l4"]),
    ]
    assert (found.attention[1].what, found.attention[1].action) == ("x.zip", "ask who sent it")
    assert (found.attention[4].reason, found.attention[4].action) == (
        "another release",
        "use the old course",
    )
    assert all(row.reason and row.action for row in found.attention)
    assert found.counts == {
        "marked": 0,
        "held": 1,
        "unreadable": 1,
        "system_error": 1,
        "late": 1,
        "missing": 1,
    }


def test_critical_item_wrong_is_named_though_the_total_is_high(cohort, sheet, row, all_right):
    wrong = row(
        "cannot-size-first",
        0.0,
        "slip",
        slip="zoom-in",
        misconception="expects a larger picture to measure better",
    )
    found = cohort([sheet("l1", all_right(cannot_size_first=wrong)), sheet("l2", all_right())])
    assert kinds(found) == [("critical item wrong", ["l1"])]
    assert "Expects a larger picture" in found.attention[0].reason
    assert "Measure the vein, do not read it off the picture" in found.attention[0].action


def test_same_reason_stands_in_one_row(cohort, sheet, row, all_right):
    rows = all_right(sizing_reasons=row("sizing-reasons", None, full=3.0))
    found = cohort([sheet(f"l{n}", rows) for n in range(5)])
    assert kinds(found) == [("hand-marking open", ["l0", "l1", "l2", "l3", "l4"])]
    assert "Tell a colleague why" in found.attention[0].reason


def test_refused_and_half_done_are_named(cohort, sheet, row, all_right):
    refused = row("sizing-french", 0.0, "refused", message="Given to other values.")
    rows = all_right(sizing_french=refused)
    half = [
        one
        if one.item.startswith("cannot-size") or number < 6
        else row(one.item, 0.0, "blank", full=one.max_points)
        for number, one in enumerate(all_right())
    ]
    found = cohort([sheet("l1", rows), sheet("l2", half)])
    assert kinds(found) == [("answers refused", ["l1"]), ("half done", ["l2"])]
    assert "8 of 16" in found.attention[1].reason


def test_learner_off_the_roster_is_kept_and_named(cohort, sheet, all_right):
    found = cohort([sheet("stranger", all_right())], names={"l1": "One"})
    assert [learner.id for learner in found.learners] == ["l1", "stranger"]
    assert ("not on the roster", ["stranger"]) in kinds(found)


def test_empty_roster_is_a_roster(cohort, sheet, all_right):
    assert cohort([], names={}).learners == ()
    assert kinds(cohort([sheet("l1", all_right())], names={})) == [("not on the roster", ["l1"])]


def test_another_worksheet_or_a_second_result_is_refused(cohort, sheet, all_right):
    one = sheet("l1", all_right())
    with pytest.raises(ValueError, match="“l1” has two results"):
        cohort([one, one])
    other = type(one)("l2", "another-sheet", "spring", "missing")
    with pytest.raises(ValueError, match="another-sheet"):
        cohort([one, other])
