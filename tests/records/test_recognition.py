"""What a cohort recognises: counted by hand, told in words, and never part of a pass."""

from dataclasses import replace
from html import unescape

import pytest

from cubital import items
from cubital.calc import d_prime as d_prime_of
from cubital.handin.marks import item_result
from cubital.handin.released.questions import Question
from cubital.items.kinds.on_pictures.tally import Tally, read, written
from cubital.items.kinds.on_pictures.trials import NO, YES
from cubital.records.overview import Sheet, render
from cubital.records.recognition import FEWEST_ANSWERS, FEWEST_LEARNERS, NO_PASS, recognition

BANDS = ("clear", "middling", "faint")
ROLL, FORK = items.find("read-roll-trials"), items.find("read-fork-trials")
ARTERY = items.find("patient-artery-trials")
NAMES = tuple(f"name-{number}" for number in range(12))


def truth_of(item):
    """Twelve trials: two that show it in each band, then two that do not in each."""
    return {
        name: {
            "trial": {
                "what": item.looked_for if at < 6 else item.catches[0],
                "band": BANDS[at % 6 // 2],
                "seen": [item.looked_for] if at < 6 else [],
            },
            "changes": [],
        }
        for at, name in enumerate(NAMES)
    }


def tally_of(item, said):
    return item.judge(
        {"trials": NAMES, "turn": 0}, {"said": said, "way": None}, truth_of(item)
    ).tally


@pytest.fixture
def told(row, sheet):
    """Make a learner's result on one item with the same counts in each band."""

    def make(learner, hits, alarms, item=ROLL, *, of=2):
        each = Tally(hits, of - hits, alarms, of - alarms)
        counts = written(dict.fromkeys(BANDS, each))
        return sheet(learner, [replace(row(item.id, 1.0, "slip"), tally=counts)])

    return make


def test_answers_are_counted_by_band_and_one_left_open_is_no_answer():
    """Trials 1 and 2 show it and are clear, 7 and 8 do not; 5, 6 and 11, 12 are faint."""
    said = {"1": YES, "2": NO, "7": YES, "8": NO, "5": YES, "6": YES, "11": NO}
    assert read(tally_of(ROLL, said)) == {"clear": Tally(1, 1, 1, 1), "faint": Tally(2, 0, 0, 1)}


def test_all_right_is_counted_too():
    right = {str(number): YES if number <= 6 else NO for number in range(1, 13)}
    assert read(tally_of(ROLL, right)) == dict.fromkeys(BANDS, Tally(2, 0, 0, 2))


def test_an_artery_beside_veins_which_no_picture_tells_stays_out():
    said = dict.fromkeys(map(str, range(1, 5)), "feel")
    values = {"trials": NAMES[:4], "turn": 0}
    found = ARTERY.judge(values, {"said": said, "way": None}, truth_of(ARTERY))
    assert (found.outcome, found.tally) == ("right", "")


@pytest.mark.parametrize("text", ["[1]", '{"clear": [1, 2]}', '{"clear": [1, 2, 3, -1]}', "x", "1"])
def test_another_text_is_no_tally(text):
    with pytest.raises(ValueError, match=r"counts by band|Expecting"):
        read(text)
    assert read("") == read(written({})) == {}


def test_a_cohort_is_pooled_over_bands_and_by_band(told):
    """Twelve learners; by hand: 54 of 72 hits and 6 of 72 false alarms, a third in each band."""
    results = [told(f"l{n}", 1 if n < 6 else 2, 1 if n < 2 else 0) for n in range(12)]
    pooled, *bands = recognition(results).rows
    assert [row.what for row in bands] == ["Clear ones", "Middling ones", "Faint ones"]
    assert pooled.counts == Tally(54, 18, 6, 66)
    assert [row.counts for row in bands] == [Tally(18, 6, 2, 22)] * 3
    # the log-linear correction by hand; the values by `d_prime`, which has outside checks
    expected = d_prime_of(54.5 / 73, false_alarm_rate=6.5 / 73)
    assert pooled.d_prime.value == pytest.approx(expected)
    assert pooled.d_prime.low < expected < pooled.d_prime.high
    assert pooled.learners == 12


def test_several_questions_are_pooled_and_each_has_its_row(told):
    results = [
        told(f"l{n}", 2 if item is FORK else 1, 0, item) for n in range(10) for item in (ROLL, FORK)
    ]
    rows = {row.what: row for row in recognition(results).rows}
    assert rows["All trials"].learners == 10
    assert rows["All trials"].counts == Tally(90, 30, 0, 120)
    assert rows[ROLL.title].counts == Tally(30, 30, 0, 60)
    assert rows[FORK.title].d_prime.value > rows[ROLL.title].d_prime.value


def test_below_so_many_learners_or_answers_it_says_that_there_is_too_little(told):
    few = recognition(told(f"l{n}", 2, 0) for n in range(FEWEST_LEARNERS - 1)).rows[0]
    assert few.found is None
    assert few.says.startswith(f"Too little to tell: it takes {FEWEST_LEARNERS} learners")
    enough = recognition(told(f"l{n}", 2, 0) for n in range(FEWEST_LEARNERS)).rows
    assert [row.found is not None for row in enough] == [True] * 4, "20 answers in each band"
    short = recognition(told(f"l{n}", 1, 0, of=1) for n in range(FEWEST_LEARNERS)).rows
    assert [row.found is not None for row in short] == [True, False, False, False]
    assert f"{FEWEST_ANSWERS} answers" in short[1].says


@pytest.mark.parametrize(
    ("hits", "alarms", "tells", "leans"),
    [
        (2, 1, "would pick the right one of two", "They lean to yes"),
        (1, 0, "would pick the right one of two", "They lean to no"),
        (2, 0, "would pick the right one of two", "No lean to yes or to no"),
        (2, 2, "guessing may give such answers", "They lean to yes"),
        (1, 1, "guessing may give such answers", "No lean to yes or to no"),
        (0, 2, "the wrong way round", "No lean to yes or to no"),
    ],
)
def test_words_tell_how_well_and_which_way(told, hits, alarms, tells, leans):
    says = recognition(told(f"l{n}", hits, alarms) for n in range(20)).rows[0].says
    assert tells in says
    assert leans in says


def test_who_had_it_in_words_or_was_marked_before_is_not_counted_and_is_named(told, sheet, row):
    in_words = told("words", 0, 2)
    in_words = replace(in_words, items=(replace(in_words.items[0], described=True),))
    before = sheet("before", [row(ROLL.id, 1.0, "slip"), row(ARTERY.id, 1.0, "slip")])
    closing_alone = sheet("closing", [replace(row(ROLL.id, 1.0, "slip"), tally=written({}))])
    artery_only = sheet("artery", [row(ARTERY.id, 1.0, "slip")])
    others = [in_words, before, artery_only, closing_alone]
    found = recognition([*others, *(told(f"l{n}", 2, 0) for n in range(10))])
    assert found.rows[0].counts == Tally(60, 0, 0, 60)
    assert (found.uncounted, found.described) == (1, 1)
    assert not recognition([artery_only]).told


def test_the_report_has_the_section_where_trials_were_asked_alone(page, told, row, sheet):
    results = [told(f"l{n}", 2, 0) for n in range(FEWEST_LEARNERS)]
    text = unescape(page(results))
    assert '<h2 id="recognition">' in text
    assert '<a href="#recognition">' in text
    assert NO_PASS in text
    assert "60 of 60" in text
    assert "Hautus MJ" in text
    without = page([sheet("l1", [row("sizing-ratio")])])
    assert 'id="recognition"' not in without
    assert "Hautus" not in without


def test_the_overview_pools_over_worksheets(told, made_at):
    two = [
        Sheet(name, "spring", [told(f"l{n}", 2, 0, item) for n in range(10)])
        for name, item in (("reading-the-vein", ROLL), ("reaching-the-vein", FORK))
    ]
    text = render(two, names={}, made_at=made_at)
    assert "over all worksheets" in text
    assert "120 of 120" in text
    assert 'id="recognition"' not in render([], names={}, made_at=made_at)


def test_counts_reach_the_result_and_change_no_mark():
    values = {"trials": NAMES, "turn": 0}
    question = Question(form=ROLL.form(values), key=ROLL.key(values), values=values)
    judged = ROLL.judge(values, {"said": {"1": YES}, "way": None}, truth_of(ROLL))
    kept = item_result(question, judged, {"said": {"1": YES}, "way": None})
    assert read(kept.tally) == {"clear": Tally(hits=1)}
    assert kept.points == judged.points
