"""Every page states the minutes that it takes, by the rule in `minutes`."""

import re

import pytest

from cubital.items import WORKSHEETS
from cubital.tables import course

from . import minutes
from .stated import words_of

MOST_WORDS = 1900  # about 1,800
CUT = (  # the lessons that were cut to that length
    "10-light-and-depth",
    "20-focal-geometry",
    "30-reading-the-vein",
    "40-catheter-sizing",
    "50-reaching-the-vein",
    "60-complications",
    "70-readiness",
    "80-one-patient",
)


def is_nearly(stated, rule):
    return stated % 5 == 0 and abs(stated - rule) <= minutes.NEAR


@pytest.mark.parametrize("row", course.lessons(), ids=lambda row: row.name)
def test_a_lesson_states_the_minutes_of_the_rule(lessons, row):
    assert is_nearly(row.minutes, minutes.of_lesson(lessons[row.name]))


@pytest.mark.parametrize("name", CUT)
def test_the_main_way_of_a_lesson_has_about_1800_words_at_most(lessons, name):
    assert minutes.words_on_main_way(lessons[name]) <= MOST_WORDS


def test_the_first_questions_state_the_minutes_of_the_rule(lessons):
    words = words_of(lessons["00-start-here"])["what-you-know"]
    (stated,) = re.findall(r"about (\d+) minutes", words)
    assert is_nearly(int(stated), minutes.of_first_questions())


@pytest.mark.parametrize("name", WORKSHEETS)
def test_a_worksheet_states_the_minutes_of_the_rule(name):
    (stated,) = re.findall(r"questions, about (\d+) minutes", minutes.page(name))
    assert is_nearly(int(stated), minutes.of_worksheet(name))
    told = {row.worksheet: row.worksheet_minutes for row in course.with_worksheets()}
    assert (told | {course.closing().name: course.closing().minutes})[name] == int(stated)


@pytest.mark.parametrize("name", WORKSHEETS)
def test_the_core_of_a_worksheet_states_the_minutes_of_the_rule(name):
    told = {row.worksheet: row.core_minutes for row in course.with_worksheets()}
    stated = (told | {course.closing().name: course.closing().core_minutes})[name]
    assert is_nearly(stated, minutes.of_worksheet(name, core_alone=True))


def test_the_core_of_all_worksheets_takes_at_most_three_hours():
    assert sum(minutes.of_worksheet(name, core_alone=True) for name in WORKSHEETS) <= 180


@pytest.mark.parametrize("path", course.paths(), ids=lambda path: path.key)
def test_lessons_and_core_of_every_path_take_at_most_three_hours_each(path):
    rows = {row.name: row for row in course.lessons()}
    own = [rows[name] for name in path.lessons]
    lessons, sheets, core = (
        sum(getattr(row, part) for row in own)
        for part in ("minutes", "worksheet_minutes", "core_minutes")
    )
    last = course.closing()
    assert lessons <= 180
    assert core + last.core_minutes <= 180
    assert course.minutes_of(path) == (lessons, sheets + last.minutes, core + last.core_minutes)
