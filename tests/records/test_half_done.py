"""Whoever left half of the items blank or more is named, and nobody who left fewer."""

import pytest


@pytest.mark.parametrize(
    "case",
    [(0, 4, False), (1, 4, False), (2, 4, True), (4, 4, True), (2, 5, False), (3, 5, True)],
)
def test_half_of_the_items_blank_is_half_done(cohort, sheet, all_right, row, case):
    blank, of, named = case
    rows = all_right()[:of]
    rows[:blank] = [row(one.item, 0.0, "blank", full=one.max_points) for one in rows[:blank]]
    told = [one for one in cohort([sheet("l1", rows)]).attention if one.kind == "half done"]
    assert len(told) == named
    assert all(f"{blank} of {of} items are blank" in one.reason for one in told)
