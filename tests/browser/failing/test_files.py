"""What a page says of its files: they are changed elsewhere, cannot be written, or not yet."""

import json

import pytest
from playwright.sync_api import expect

from cubital.handin.answers import AnswerStore, read_answers
from cubital.worksheet.sitting import sitting

from ..conftest import expect_ready
from . import faults
from .seen import HEALED_MS, Answer, Figure

pytestmark = pytest.mark.browser

WIDTH = "sizing-smallest-vein"


def listed(page):
    """What stands at the end of the worksheet about questions that are open."""
    return page.locator(".cubital-course").last


def test_two_windows_show_what_either_saved_and_what_is_open(study, opened):
    folder = study.worksheet.parent
    one, other = (Answer(opened(study.lab.url(study.worksheet)), folder) for _ in range(2))
    one.type("23 %")
    one.is_saved("23 %")
    other.is_saved("23 %")
    other.box.focus()  # and with the box in hand
    one.type("24 %")
    other.is_saved("24 %")
    one.witness.testify()
    other.witness.testify()


def test_an_answer_saved_elsewhere_is_taken_off_the_list_of_open_questions(study, opened):
    folder = study.worksheet.parent
    page = opened(study.lab.url(study.worksheet))
    open_questions = listed(page).locator(".cubital-open").first
    here = sitting(folder)
    assert here.store.read().last(WIDTH) is None
    expect(open_questions).to_contain_text(here.store.form(WIDTH).title, timeout=HEALED_MS)
    store = AnswerStore(folder, here.release, here.learner, here.papers)
    store.save(WIDTH, "2.5 mm")
    expect(open_questions).not_to_contain_text(here.store.form(WIDTH).title, timeout=HEALED_MS)
    field = page.locator(f'.cubital-field[data-item="{WIDTH}"]')
    expect(field.get_by_role("textbox")).to_have_value("2.5 mm")


def test_what_was_typed_and_not_saved_is_there_after_a_reload_and_saved_then(study, opened):
    answer = Answer(opened(study.lab.url(study.worksheet)), study.worksheet.parent)
    answer.type("25 %")
    answer.is_saved("25 %")
    with faults.paused(study.lab, answer.page):
        answer.type("37 %")
        expect(answer.bar).to_have_text("Not saved yet")
        answer.page.reload(wait_until="commit")
    expect_ready(answer.page)
    answer.is_saved("37 %")


def test_what_finds_no_room_on_the_disk_is_saved_once_there_is_some(study, opened):
    answer = Answer(opened(study.lab.url(study.worksheet)), study.worksheet.parent)
    answer.type("26 %")
    answer.is_saved("26 %")
    with faults.full_disk(study.lab, answer.page):
        answer.type("38 %")
        expect(answer.status).to_contain_text("Not saved yet, trying again", timeout=HEALED_MS)
        expect(answer.bar).to_have_text("Not saved yet")
        assert answer.witness.held() == "26 %"
    answer.is_saved("38 %")
    answer.witness.testify()


def edited(notebook):
    """Somebody opened the file and changed a cell."""
    notebook["cells"][0]["source"] = ["# Mine\n"]


def of_another_edition(notebook):
    """An earlier edition had a cell less, and another stamp."""
    notebook["metadata"]["cubital"] = {"edition": "of before"}
    del notebook["cells"][-2]


@pytest.mark.parametrize(
    "change", [edited, pytest.param(of_another_edition, marks=pytest.mark.long)]
)
def test_a_page_that_was_changed_on_the_disk_is_put_back_when_it_is_healed(study, opened, change):
    figure = Figure(opened(study.lab.url(study.lesson)))
    title = figure.page.locator("main h1").inner_text()
    blocks = figure.page.locator("main section[data-block]").count()
    figure.move(3.1)
    figure.shows(3.1)
    notebook = json.loads(study.lesson.read_text(encoding="utf-8"))
    change(notebook)
    study.lesson.write_text(json.dumps(notebook), encoding="utf-8")
    faults.restart(study.lab, figure.page)
    figure.move(3.3)
    figure.shows(3.3)
    expect(figure.page.locator("main h1")).to_have_text(title)
    expect(figure.page.locator("main section[data-block]")).to_have_count(blocks)
    again = json.loads(study.lesson.read_text(encoding="utf-8"))
    assert len(again["cells"]) == blocks
    figure.witness.testify()


def test_answers_put_back_from_a_copy_stand_on_the_page(study, opened):
    answer = Answer(opened(study.lab.url(study.worksheet)), study.worksheet.parent)
    answer.type("27 %")
    answer.is_saved("27 %")
    file = study.worksheet.parent / "answers.json"
    copy = file.read_bytes()
    answer.type("39 %")
    answer.is_saved("39 %")
    file.write_bytes(copy)
    answer.is_saved("27 %")
    assert read_answers(study.worksheet.parent).last("sizing-area-share").answer["typed"] == "27 %"
    answer.witness.testify()
