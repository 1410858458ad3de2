"""Reliability, error and spread of the sums by a second library, and what was not reached."""

import numpy as np
import pandas as pd
import pingouin
import pytest

from cubital import calc
from cubital.handin.standard import Standard
from cubital.records.marks_table import marks_csv
from cubital.records.statistics import item_statistics
from cubital.records.sums import NO_ANSWER, Band, not_reached, options_of, sums_of

KEYS = tuple(f"q{n}" for n in range(12))
STANDARD = Standard(16, 24, 4, worth=(2.0,) * 12)


@pytest.fixture
def table():
    """Sixty learners of unlike ability, right or wrong in twelve items of two points."""
    rng = np.random.default_rng(11)
    ability = rng.normal(0.5, 1.2, size=(60, 1))
    chance = 1 / (1 + np.exp(-(ability - rng.normal(0, 0.8, size=(1, 12)))))
    return 2.0 * (rng.random((60, 12)) < chance)


@pytest.fixture
def results(table, row, sheet):
    return [
        sheet(f"l{n}", [row(key, points) for key, points in zip(KEYS, one, strict=True)])
        for n, one in enumerate(table)
    ]


def test_reliability_is_alpha_by_another_library_and_the_error_what_it_lacks(results, table):
    found = sums_of(results, STANDARD, KEYS)
    alpha, (low, high) = pingouin.cronbach_alpha(pd.DataFrame(table))
    assert found.reliability.value == pytest.approx(alpha)
    assert (found.reliability.low, found.reliability.high) == pytest.approx((low, high), abs=6e-4)
    totals = table.sum(axis=1)
    assert (found.n, found.of) == (60, 24)
    assert (found.mean, found.spread) == pytest.approx((totals.mean(), totals.std(ddof=1)))
    assert found.error == pytest.approx(totals.std(ddof=1) * (1 - alpha) ** 0.5)


def test_two_forms_decide_alike_as_often_as_two_forms_of_a_simulation(results, table):
    found = sums_of(results, STANDARD, KEYS)
    totals = table.sum(axis=1)
    tried = calc.simulated_consistency(
        [2.0] * 12,
        cut_share=16 / 24,
        ability_mean=totals.mean() / 24,
        ability_sd=found.reliability.value**0.5 * totals.std(ddof=1) / 24,
    )
    assert found.alike == pytest.approx(tried, abs=0.01)


def test_every_sum_is_in_one_band_and_the_best_in_the_last(results, table):
    bands = sums_of(results, STANDARD, KEYS).bands
    totals = table.sum(axis=1)
    assert sum(band.n for band in bands) == 60
    assert (bands[0].low, bands[-1].high) == (0, 24)
    for band in bands[:-1]:
        assert band.n == ((totals >= band.low) & (totals < band.high)).sum()
    assert bands[-1].n == (totals >= bands[-1].low).sum()


def test_few_learners_and_a_cohort_all_alike_have_no_reliability(row, sheet):
    alike = [sheet(f"l{n}", [row(key) for key in KEYS]) for n in range(12)]
    found = sums_of(alike, STANDARD, KEYS)
    assert (found.reliability.value, found.error, found.alike) == (None, None, None)
    assert "no variance" in found.reliability.words
    assert found.bands[-1] == Band(21, 24, 12)
    assert "too few learners: 9" in sums_of(alike[:9], STANDARD, KEYS).reliability.words
    nobody = sums_of([], None, KEYS)
    assert (nobody.n, nobody.mean, nobody.bands) == (0, None, ())


def test_what_comes_after_the_last_answer_was_not_reached_and_a_gap_was(row, sheet):
    def answered(*outcomes):
        rows = [row(key, 0.0, one) for key, one in zip(KEYS, outcomes, strict=False)]
        return sheet("l1", rows)

    assert not_reached(answered("wrong", "blank", "slip", "blank", "blank")) == {"q3", "q4"}
    assert not_reached(answered("wrong", "blank", "right")) == frozenset()
    assert not_reached(answered("blank", "blank")) == {"q0", "q1"}
    assert not_reached(sheet("l1", [row("q0"), row("q1", None)])) == frozenset()


def test_who_stopped_half_way_changes_no_rest_and_is_not_wrong_where_they_did_not_come(
    results, row, sheet
):
    stopped = [
        sheet(f"s{n}", [row(key, 2.0 if i < 4 else 0.0, "right" if i < 4 else "blank")
                        for i, key in enumerate(KEYS)])
        for n in range(5)
    ]  # fmt: skip
    whole, mixed = item_statistics(results, KEYS), item_statistics([*results, *stopped], KEYS)
    for n, (one, other) in enumerate(zip(whole, mixed, strict=True)):
        assert one.discrimination == other.discrimination
        assert other.not_reached == (0 if n < 4 else 5)
        assert (other.n, one.difficulty == other.difficulty) == ((65, False), (60, True))[n >= 4]
    assert sums_of([*results, *stopped], STANDARD, KEYS) == sums_of(results, STANDARD, KEYS)


def test_options_are_counted_with_what_they_rest_on(cohort, sheet, row, all_right):
    key = "sizing-picture-width"
    slip = row(key, 0.0, "slip", slip="zoom-in", misconception="a zoom measures")
    rows = [slip, slip, row(key), row(key, 0.0, "blank")]
    results = [sheet(f"l{n}", all_right(sizing_picture_width=one)) for n, one in enumerate(rows)]
    found = next(one for one in cohort(results).options if one.item == key)
    assert found.n == 4
    assert found.chosen == (
        ("right", "", 1), ("zoom-in", "a zoom measures", 2), (NO_ANSWER, "", 1)
    )  # fmt: skip
    assert options_of(results, [None]) == ()


def test_the_report_shows_what_the_sums_are_worth(page, results, sheet, all_right):
    text = " ".join(page(results).split())
    for words in ("Reliability (alpha)", "Standard error of measurement", "How the sums lie"):
        assert words in text
    assert "too few learners: 2" in page([sheet(who, all_right()) for who in ("l1", "l2")])


@pytest.mark.parametrize(("confidence", "kind"), [
    (0.95, "sure and wrong on a critical item"),
    (0.75, "sure and wrong on a critical item"),
    (0.5, "critical item wrong"),
    (None, "critical item wrong"),
])  # fmt: skip
def test_who_is_sure_and_wrong_where_it_can_harm_comes_first(  # noqa: PLR0917
    cohort, sheet, row, all_right, confidence, kind
):
    key = "cannot-size-first"
    unsure = sheet("l0", all_right(cannot_size_first=row(key, 0.0, "slip", slip="a")))
    wrong = row(key, 0.0, "slip", slip="a", message="Why.", confidence=confidence)
    found = cohort([unsure, sheet("l1", all_right(cannot_size_first=wrong))]).attention
    mine = next(one for one in found if "l1" in [learner.id for learner in one.learners])
    assert mine.kind == kind
    if kind.startswith("sure"):
        assert found[0] is mine


def test_the_marks_table_and_the_picture_tell_not_reached_from_wrong(cohort, page, sheet, row):
    rows = [row("sizing-french"), row("sizing-ratio", 0.0), row("sizing-drip-rate", 0.0, "blank")]
    header, line = marks_csv(cohort([sheet("l1", rows)])).splitlines()
    told = dict(zip(header.split('","'), line.split('","'), strict=True))
    assert told["sizing-ratio state"] == "wrong"
    assert told["sizing-drip-rate state"] == "not reached"
    assert '<td class="not-reached">' in page([sheet("l1", rows)])
