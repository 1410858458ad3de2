"""The map, the questions before the course, the end of a lesson: what is chosen is kept."""

import json
import re

import pytest

from cubital import items, tables
from cubital.explore.course.navigation import (
    FirstQuestions,
    LessonEnd,
    may_skim,
    mixed,
)
from cubital.handin.progress import FILE, keep_progress, read_progress
from cubital.tables import course

FIRST = "10-light-and-depth"
POLICY = {"attempt_limit": 2.0, "ratio_limit": 0.45}
NOTEBOOKS = {path.stem for path in tables.course_folder("modules").glob("*.ipynb")}


def rows(form):
    (table,) = (block for block in form.blocks if block["kind"] == "table")
    return {row[0]["text"]: row for row in table["rows"]}


def press(form, name, value=True):
    form._handle_custom_msg({"name": name, "value": value}, [])


SHORT = course.Path("short", "A path of three lessons", (FIRST, "20-focal-geometry"), "Short.")


@pytest.fixture
def two_paths(monkeypatch):
    """A course with a second path that can be chosen."""
    both = (*course.paths(), SHORT)
    monkeypatch.setattr(course, "paths", lambda: both)


def test_every_path_and_question_names_lessons_that_are_there():
    names = [row.name for row in course.lessons()]
    for path in course.paths():
        assert list(path.lessons) == [name for name in names if name in path.lessons]
    for question in course.questions():
        assert question.lesson in names
        assert len(set(question.options)) == len(question.options) >= 3
    asked = [row.name for row in course.with_worksheets()]
    assert [q.lesson for q in course.questions()] == sorted([*asked, *asked])


def test_each_short_lesson_is_on_the_path_that_it_is_for_and_on_no_other():
    on = {path.key: path.lessons for path in course.paths()}
    assert list(on) == ["adult", "paediatric", "venepuncture"]
    whole = {row.name for row in course.with_worksheets()}
    assert {*on["adult"]} == whole
    assert {*on["paediatric"]} == whole | {"86-children"}
    assert {*on["venepuncture"]} == whole - {"40-catheter-sizing"} | {"84-blood-sampling"}


@pytest.mark.parametrize(
    ("path", "last"),
    [("paediatric", "Children"), ("venepuncture", "Blood sampling")],
)
def test_a_path_leads_from_one_patient_to_its_own_short_lesson(tmp_path, path, last):
    keep_progress(tmp_path, path=path)
    assert f"Next on your path: {last}" in LessonEnd("80-one-patient", tmp_path).words()


def test_a_finished_lesson_is_noted_and_leads_to_the_next(tmp_path):
    end = LessonEnd(FIRST, tmp_path)
    assert "Next on your path: Focal geometry" in end.words()
    press(end, "finished")
    assert all(block["kind"] != "button" for block in end.blocks)
    assert read_progress(tmp_path).finished[FIRST].startswith("20")


def test_the_next_lesson_leaves_out_what_is_not_on_the_path(tmp_path, two_paths):
    keep_progress(tmp_path, path="short")
    assert "Next on your path: Focal geometry" in LessonEnd(FIRST, tmp_path).words()
    assert "Next on your path" not in LessonEnd("20-focal-geometry", tmp_path).words().replace(
        "Next on your path: Light and depth", ""
    )


def test_an_unknown_lesson_is_refused(tmp_path):
    with pytest.raises(ValueError, match="the lesson is 'light': it must be one of 10-light"):
        LessonEnd("light", tmp_path)


def answer(form, question, option):
    press(form, str(course.questions().index(question)), option)


def test_both_questions_right_let_a_lesson_be_skimmed_one_does_not(tmp_path):
    form = FirstQuestions(tmp_path)
    one, two, three, *_ = course.questions()
    for question, option in ((one, 0), (two, 0), (three, 0)):
        answer(form, question, question.options[option])
    press(form, "show")
    said = [block.get("says", "") for block in form.blocks]
    assert said[0].startswith("Right. ")
    assert said[3].startswith("Not answered. The right answer is “Nothing: only the direction of ")
    assert "3 of 16 right. You may skim: Light and depth." in form.spoken
    skimmed = [lesson for lesson in NOTEBOOKS if may_skim(read_progress(tmp_path), lesson)]
    assert skimmed == [FIRST]
    answer(form, one, one.options[1])
    press(form, "show")
    assert form.blocks[0]["says"] == (
        "Not so. The right answer is “Nothing certain: wide and deep can look like narrow and "
        "shallow”. Depth, diameter and skin all change the band; the picture alone cannot tell "
        "them apart."
    )
    assert not may_skim(read_progress(tmp_path), FIRST)


def test_nothing_is_judged_before_it_is_asked_for(tmp_path):
    form = FirstQuestions(tmp_path)
    answer(form, course.questions()[0], course.questions()[0].options[0])
    assert not any("says" in block for block in form.blocks)
    assert not (tmp_path / FILE).exists()


def test_the_right_option_is_not_always_in_the_same_place():
    places = {mixed(question).index(question.options[0]) for question in course.questions()}
    assert places == {0, 1, 2}


def test_a_broken_file_says_what_to_do_and_is_not_written_over(tmp_path):
    (tmp_path / FILE).write_text('{"format": "cubital-pro')
    assert re.search(
        r"progress.json cannot be read .*: move it away", LessonEnd(FIRST, tmp_path).words()
    )
    assert (tmp_path / FILE).read_text() == '{"format": "cubital-pro'


def test_progress_is_plain_json_and_keeps_what_is_not_changed(tmp_path):
    keep_progress(tmp_path, path="adult")
    press(LessonEnd(FIRST, tmp_path), "finished")
    data = json.loads((tmp_path / FILE).read_text())
    assert data["path"] == "adult"
    assert list(data["finished"]) == [FIRST]
    assert read_progress(tmp_path).path == "adult"


def test_the_first_questions_take_for_right_what_the_worksheet_takes_for_right():
    """As in the lesson and in reach-blood-proves: the needle's opening has met blood."""
    (question,) = (q for q in course.questions() if "Blood shows in the chamber" in q.asks)
    assert "has met blood" in question.options[0]
    item = items.find("reach-blood-proves")
    (right,) = (o for o in item.options(item.values("autumn", "ada", POLICY)) if o.right)
    assert "has met blood" in right.text
    assert "vessel" not in question.options[0]


def worksheet_text(href):
    name = href.removeprefix("../")
    path = tables.course_folder("exercises") / "source" / name
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return "\n".join("".join(cell["source"]) for cell in cells)
