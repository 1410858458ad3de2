"""The first page: what it says of the evidence is what the table says."""

import pytest

from cubital.explore.course.navigation import FirstQuestions
from cubital.items import WORKSHEETS
from cubital.tables import course

from .stated import assert_written, pairs, unchecked, words_of

NAME = "00-start-here"
FOUND = course.evidence()
ALL, HARD, FEWER, ADULTS = (
    FOUND[key]
    for key in (
        "first-attempt-all",
        "first-attempt-difficult",
        "attempts-saved",
        "first-attempt-adults",
    )
)
DIFFICULT = [FOUND[f"difficult-{way}"] for way in ("ultrasound", "standard", "infrared")]
MINUTES = [row.minutes for row in course.with_worksheets()]
SHORT = [row for row in course.lessons() if not row.worksheet]

STATED = {
    "how-to-use-the-course": {
        "some 15 to 25 minutes, by an estimate": (min(MINUTES), max(MINUTES)),
        "two short ones take about 10": (SHORT[0].minutes,),
    },
    "units-axes-signs": {"at 0 % there is no band, at 100 % it is black": (0, 100)},
    "what-the-evidence-says": {
        "five trials with 690 patients": (690,),
        "1.08 times as many first attempts succeeded. But anything from 0.69 to 1.70": (
            ADULTS.value,
            ADULTS.low,
            ADULTS.high,
        ),
        "Over 11 trials": (11,),
        "was 1.03 times the risk without it (0.89 to 1.20": (
            ALL.value,
            ALL.low,
            ALL.high,
        ),
        "0.81 times, but 0.64 to 1.01": (HARD.value, HARD.low, HARD.high),
        "18 trials again found no more success at the first attempt, but 0.47 fewer": (
            18,
            -FEWER.value,
        ),
        "one trial, with 270 of them": (270,),
        "in 78.9 % with ultrasound, in 62.2 % by the usual way and in 58.9 %": tuple(
            100 * row.value for row in DIFFICULT
        ),
    },
}


@pytest.fixture(scope="module")
def words(lessons):
    return words_of(lessons[NAME])


@pytest.mark.parametrize(("cell", "stated"), pairs(STATED))
def test_stated_numbers_are_the_tables(words, cell, stated):
    assert_written(words[cell], stated, STATED[cell][stated])


def test_no_number_in_the_prose_goes_unchecked(lessons):
    assert unchecked(lessons[NAME], STATED) == {}


def test_lessons_take_what_the_page_says():
    assert min(MINUTES) >= 15
    assert max(MINUTES) <= 25
    assert {row.minutes for row in SHORT} == {10}
    assert len(SHORT) == 2


def test_numbers_of_trials_are_in_the_findings_words():
    assert "11 trials" in ALL.words
    assert "18 trials" in FEWER.words
    assert "270 patients" in DIFFICULT[0].words
    assert "690 adults of 5 trials" in ADULTS.words


def test_the_adult_path_says_how_many_of_its_questions_are_about_a_child(words):
    about = [item for listed in WORKSHEETS.values() for item in listed if "child" in item.title]
    assert len(about) == 3
    assert "Up to three of the questions that count are about a child, though" in words["the-map"]
    assert "light near a child's eyes" in words["the-map"]


def test_the_page_names_the_paths_and_what_nobody_reviewed(words):
    said = words["the-map"]
    assert len(course.paths()) == 3
    assert "three paths" in said
    assert all(f"*{row.title}*" in said for row in SHORT)
    assert "no clinician has reviewed them yet" in said


def test_the_page_shows_the_way_and_questions(ran):
    shown = {c.id: c.outputs[0].data for c in ran(NAME).cells if c.get("outputs")}
    assert all(row.title in shown["first-page"]["text/plain"] for row in course.lessons())
    assert FirstQuestions().title in shown["first-questions"]["text/plain"]


def test_a_whole_interval_from_the_review_still_includes_no_effect():
    """The page says that even where failing is frequent the interval includes no help."""
    assert HARD.low < 1 < HARD.high
    assert ADULTS.low < 1 < ADULTS.high


def test_of_the_time_no_number_is_given_since_the_abstract_contradicts_itself(words):
    said = words["what-the-evidence-says"]
    assert "both that the procedure was shorter and that it was not, so we give no time" in said
    assert not any(row.unit == "s" for row in FOUND.values())
