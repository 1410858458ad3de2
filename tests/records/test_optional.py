"""Who leaves an optional item open loses nothing by it but its points: no rule counts it."""

from dataclasses import replace

import pytest

from cubital import items, tables
from cubital.handin.objectives import SHOWN, knowledge_of, objectives_of
from cubital.handin.standard import standard_set
from cubital.items import WORKSHEETS
from cubital.records.cohort import gather
from cubital.records.overview import Sheet, cell
from cubital.records.statistics import item_statistics, mended_by

OPTIONAL = items.find("sizing-ratio-code")


@pytest.fixture
def opened(row, all_right):
    """All items right but the optional one, which is left open or answered with that outcome."""

    def make(outcome="blank", points=0.0):
        one = replace(row(OPTIONAL.id, points, outcome), optional=True)
        return all_right(sizing_ratio_code=one)

    return make


def test_an_optional_item_left_open_costs_no_objective_and_not_the_whole(sheet, opened):
    result = sheet("l1", opened())
    asked = objectives_of(tables.curriculum(), tuple(one.item for one in result.items))
    assert {one.state for one in knowledge_of(result, asked)} == {SHOWN}
    assert not any(OPTIONAL.id in one.items for one in asked)
    shown = cell(Sheet("catheter-sizing", "spring", [result], asked), result)
    assert (shown.kind, shown.words) == ("shown", "31 of 33")  # 14 items of 2 points, one of 3


def test_the_pass_mark_of_the_worksheet_is_that_of_what_counts(cohort, sheet, opened):
    # By hand, the sheet's means times points: 2 x (68.75 + 67.5 + 62.5 + 73.75 + 53.75 + 92.5 + 80
    # + 62.5 + 67.5 + 53.75 + 65 + 87.5 + 87.5 + 68.75) % + 3 x 68.75 % = 19.825 + 2.0625 points of
    # 31.
    found = cohort([sheet("l1", opened())]).standard
    assert (found.pass_mark, found.points) == (pytest.approx(21.8875), 31)
    assert standard_set(0.6, WORKSHEETS["catheter-sizing"]).pass_mark == pytest.approx(18.6)


def test_half_done_is_told_by_what_counts(cohort, sheet, row, opened):
    rows = [one for one in opened() if one.optional] + [row("a", 0.0, "blank"), row("b"), row("c")]
    assert not cohort([sheet("l1", rows)]).attention


def test_an_optional_item_is_judged_over_those_who_answered_it_and_ranks_nobody(sheet, row, opened):
    def answered(outcome, points, other):
        return [
            replace(row(OPTIONAL.id, points, outcome), optional=True),
            row("sizing-french", other),
            row("sizing-ratio", other),
        ]

    given = [("right", 2.0, 2.0), ("slip", 0.0, 0.0), ("right", 2.0, 2.0), ("slip", 0.0, 0.0)]
    left = [("blank", 0.0, 2.0)] * 4
    results = [sheet(f"l{n}", answered(*one)) for n, one in enumerate([*given, *left])]
    keys = (OPTIONAL.id, "sizing-french", "sizing-ratio")
    found, french, _ = item_statistics(results, keys)
    assert (found.n, found.difficulty.value) == (4, 0.5)
    all_answered = [sheet(f"l{n}", answered("right", 2.0 * (n % 2), n % 3)) for n in range(6)]
    for some, found in ((results, french), (all_answered, item_statistics(all_answered, keys)[1])):
        without = [replace(one, items=one.items[1:]) for one in some]
        assert found == item_statistics(without, keys[1:])[0]


def test_the_report_says_what_is_optional_and_where_it_is_taught(page, sheet, opened):
    words = " ".join(page([sheet("l1", opened())]).split())
    assert "An optional question gives evidence for no objective, and no pass mark" in words
    assert mended_by(OPTIONAL.id, tables.curriculum()) == (OPTIONAL.section, "40-catheter-sizing")
    plain = [one for one in opened() if not one.optional]
    told = gather([sheet("l1", plain)], worksheet="catheter-sizing")
    assert not told.has_optional
