"""The map, the questions before the course, the end of a lesson: what is chosen is kept."""

import json

import pytest

from cubital import tables
from cubital.explore.course import CourseMap, FirstQuestions, LessonEnd, mixed
from cubital.handin.progress import FILE, read_progress
from cubital.tables import course

FIRST = "10-light-and-depth"
NOTEBOOKS = {path.stem for path in tables.course_folder("modules").glob("*.ipynb")}


def rows(form):
    (table,) = (block for block in form.blocks if block["kind"] == "table")
    return {row[0]["text"]: row for row in table["rows"]}


def press(form, name, value=True):
    form._handle_custom_msg({"name": name, "value": value}, [])


def test_every_notebook_is_on_the_map():
    names = [row.name for row in course.lessons()]
    assert names == sorted(names)
    assert {*names, "00-start-here", "90-educator-guide"} == NOTEBOOKS


def test_a_path_is_kept_and_says_what_is_not_on_it(tmp_path):
    form = CourseMap(tmp_path)
    assert rows(form)["Catheter sizing"][3]["text"] == "to do"
    press(form, "path", "venepuncture")
    assert rows(form)["Catheter sizing"][3]["text"].startswith("not on your path")
    again = CourseMap(tmp_path)
    assert again.blocks == form.blocks
    assert again.blocks[0]["value"] == "venepuncture"
    with pytest.raises(ValueError, match="'surgeon'"):
        again.take("path", "surgeon")


def test_every_path_and_question_names_lessons_that_are_there():
    names = [row.name for row in course.lessons()]
    for path in course.paths():
        assert list(path.lessons) == [name for name in names if name in path.lessons]
    for question in course.questions():
        assert question.lesson in names
        assert len(set(question.options)) == len(question.options) >= 3
    assert [q.lesson for q in course.questions()] == sorted([*names, *names])


def test_a_finished_lesson_is_noted_and_leads_to_the_next(tmp_path):
    end = LessonEnd(FIRST, tmp_path)
    assert "Next on your path: Focal geometry" in end.words()
    press(end, "finished")
    assert all(block["kind"] != "button" for block in end.blocks)
    assert rows(CourseMap(tmp_path))["Light and depth"][3]["text"].startswith("finished on 20")
    assert "1 of 8 lessons on your path finished. Next: Focal geometry." in str(
        CourseMap(tmp_path).blocks
    )


def test_the_next_lesson_leaves_out_what_is_not_on_the_path(tmp_path):
    press(CourseMap(tmp_path), "path", "venepuncture")
    assert "Next on your path: Complications" in LessonEnd("30-reading-the-vein", tmp_path).words()
    assert "Next on your path" not in LessonEnd("70-readiness", tmp_path).words().replace(
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
    assert said[3].startswith("Not answered. ")
    assert "3 of 16 right. You may skim: Light and depth." in form.spoken
    assert "skim" in rows(CourseMap(tmp_path))["Light and depth"][3]["text"]
    assert rows(CourseMap(tmp_path))["Focal geometry"][3]["text"] == "to do"
    answer(form, one, one.options[1])
    press(form, "show")
    assert form.blocks[0]["says"].startswith("Not so. ")
    assert rows(CourseMap(tmp_path))["Light and depth"][3]["text"] == "to do"


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
    with pytest.raises(ValueError, match=r"progress.json cannot be read .*: move it away"):
        CourseMap(tmp_path)
    assert (tmp_path / FILE).read_text() == '{"format": "cubital-pro'


def test_progress_is_plain_json_and_keeps_what_is_not_changed(tmp_path):
    press(CourseMap(tmp_path), "path", "paediatric")
    press(LessonEnd(FIRST, tmp_path), "finished")
    data = json.loads((tmp_path / FILE).read_text())
    assert data["path"] == "paediatric"
    assert list(data["finished"]) == [FIRST]
    assert read_progress(tmp_path).path == "paediatric"
