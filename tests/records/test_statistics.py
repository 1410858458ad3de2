"""Item statistics against numbers worked by hand and by other libraries."""

import numpy as np
import pytest
from statsmodels.stats.proportion import proportion_confint

from cubital import tables
from cubital.records.statistics import item_order, item_statistics, slip_counts

KEYS = ("g1", "g2", "g3", "g4", "g5")


@pytest.fixture
def staircase(row, sheet):
    """Six learners with 5, 4, 3, 2, 1 and 0 of five items right, easiest first."""
    return [
        sheet(f"l{total}", [row(key, 2.0 if n < total else 0.0) for n, key in enumerate(KEYS)])
        for total in (5, 4, 3, 2, 1, 0)
    ]


def test_staircase_worked_by_hand(staircase):
    # Item 1 is right for five of six: 5/6. Against the rest 4, 3, 2, 1, 0, 0 (in items):
    # sum xy - n mean mean = 10 - 6 (5/6)(10/6) = 5/3; Sxx = 5/6; Syy = 30 - 100/6 = 40/3;
    # r = (5/3) / sqrt(5/6 x 40/3) = (5/3) / (10/3) = 0.5.
    # Fisher: atanh 0.5 = 0.549306, 1.959964 / sqrt 3 = 1.131586,
    # tanh(-0.582280) = -0.52432, tanh(1.680892) = 0.93298.
    found = item_statistics(staircase, KEYS)
    shares = [one.difficulty.value for one in found]
    assert shares == pytest.approx([5 / 6, 4 / 6, 3 / 6, 2 / 6, 1 / 6])
    first = found[0].discrimination
    assert first.value == pytest.approx(0.5, abs=1e-12)
    assert (first.low, first.high) == pytest.approx((-0.52432, 0.93298), abs=2e-5)
    # The others by the same sums: 0.7016, 0.7746, 0.7016, 0.5.
    others = [one.discrimination.value for one in found[1:]]
    assert others == pytest.approx([0.7016, 0.7746, 0.7016, 0.5], abs=5e-5)


def test_difficulty_interval_is_wilsons_by_another_library(staircase):
    for right, one in zip((5, 4, 3, 2, 1), item_statistics(staircase, KEYS), strict=True):
        expected = proportion_confint(right, 6, method="wilson")
        assert (one.difficulty.low, one.difficulty.high) == pytest.approx(expected)


def test_discrimination_is_the_correlation_with_the_rest(row, sheet):
    rng = np.random.default_rng(7)
    points = rng.integers(0, 4, size=(30, 5)).astype(float)
    results = [
        sheet(f"l{n}", [row(key, p, full=3.0) for key, p in zip(KEYS, one, strict=True)])
        for n, one in enumerate(points)
    ]
    for column, one in enumerate(item_statistics(results, KEYS)):
        rest = np.delete(points, column, axis=1).sum(axis=1)
        expected = np.corrcoef(points[:, column], rest)[0, 1]
        assert one.discrimination.value == pytest.approx(expected)
        assert one.difficulty.value == pytest.approx(points[:, column].mean() / 3)


def test_open_hand_mark_gives_words_and_lowers_no_rest(staircase, row, sheet):
    # Half of the learners wait on a text; a sum with it would mix marked and unmarked.
    with_text = [
        sheet(r.learner, [*r.items, row("text", None if n % 2 else 3.0, full=3.0)])
        for n, r in enumerate(staircase)
    ]
    found = item_statistics(with_text, (*KEYS, "text"))
    assert found[-1].difficulty.value is None
    assert found[-1].difficulty.words == "hand-marking open for 3 of 6"
    assert found[-1].discrimination.words == "hand-marking open for 3 of 6"
    assert [one.discrimination for one in found[:-1]] == [
        one.discrimination for one in item_statistics(staircase, KEYS)
    ]


def test_no_variance_is_said_in_words(row, sheet):
    results = [sheet(f"l{n}", [row("a"), row("b", float(n % 3))]) for n in range(6)]
    alike, rest_alike = item_statistics(results, ("a", "b"))
    assert alike.difficulty.value == 1
    assert alike.discrimination.value is None
    assert alike.discrimination.words == "no variance: all scored alike on it"
    assert rest_alike.discrimination.words == "no variance: all scored alike on the rest"


def test_perfect_correlation_has_no_interval(row, sheet):
    results = [sheet(f"l{n}", [row("a", float(n % 3)), row("b", float(n % 3))]) for n in range(6)]
    found = item_statistics(results, ("a", "b"))[0].discrimination
    assert found.value == pytest.approx(1)
    assert (found.low, found.high) == (None, None)
    assert "no interval" in found.words


@pytest.mark.parametrize("n", [1, 2, 3])
def test_too_few_learners_are_said_in_words(staircase, n):
    found = item_statistics(staircase[:n], KEYS)[0]
    assert found.discrimination.value is None
    assert found.discrimination.words.startswith(f"too few learners: {n}")
    assert found.difficulty.low is not None


def test_nobody_marked_gives_words_only(unmarked):
    found = item_statistics([unmarked("l1", "missing")], ("a",))[0]
    assert (found.n, found.difficulty.value, found.discrimination.value) == (0, None, None)
    assert found.difficulty.words == "no learner was marked on it"


def test_who_is_not_marked_does_not_count(staircase, unmarked):
    more = [*staircase, unmarked("x1", "unreadable"), unmarked("x2", "held")]
    assert item_statistics(more, KEYS) == item_statistics(staircase, KEYS)


def test_extra_points_by_hand_do_not_break_the_share(row, sheet):
    found = item_statistics([sheet("l1", [row("a", 2.5, "right", manual=True)])], ("a",))
    assert found[0].difficulty.value == 1


def test_slips_are_counted_commonest_first_with_what_mends_them(row, sheet):
    why = "the vein is divided by the catheter"
    upside = row("sizing-ratio", 0.0, "slip", slip="ratio-upside-down", misconception=why)
    area = row("sizing-ratio", 0.0, "slip", slip="area-for-diameter")
    results = [
        sheet("l1", [area]),
        sheet("l2", [upside]),
        sheet("l3", [upside]),
        sheet("l4", [row("sizing-ratio")]),
        sheet("l5", [row("sizing-ratio", 0.0)]),
        sheet("l6", [row("sizing-ratio", 2.0, "slip", slip="ratio-upside-down", manual=True)]),
        sheet("l7", [row("sizing-ratio", 2.0, "right", slip="ratio-upside-down")]),
    ]
    first, second = slip_counts(results, tables.curriculum())
    assert (first.slip, first.count, first.n) == ("ratio-upside-down", 2, 7)
    assert first.misconception == "The vein is divided by the catheter."
    assert first.section == "Catheter and vein: the ratio"
    assert first.lesson == "40-catheter-sizing"
    assert (second.slip, second.count) == ("area-for-diameter", 1)


def test_item_that_the_course_no_longer_has_keeps_its_slip(row, sheet):
    gone = row("old-item", 0.0, "slip", slip="s", message="A mistake of old.")
    (found,) = slip_counts([sheet("l1", [gone])], tables.curriculum())
    assert (found.title, found.misconception) == ("old-item", "A mistake of old.")
    assert (found.section, found.lesson) == ("", "")


def test_items_stand_in_the_worksheets_order(row, sheet):
    results = [sheet("l1", [row("old-item"), row("sizing-french"), row("sizing-upper-diameter")])]
    order = item_order(results, "catheter-sizing")
    assert order == ("sizing-upper-diameter", "sizing-french", "old-item")
