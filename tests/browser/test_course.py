"""The way through the course in a real browser: path, first questions, links, the end."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from .conftest import picture
from .test_layout import FAULTS, PATIENT_MS

pytestmark = pytest.mark.browser

FORM = ".cubital-course"


def form(page, title):
    return page.locator(FORM).filter(has=page.get_by_text(title, exact=True))


def test_the_map_names_what_is_not_ready_and_offers_no_choice_of_it(lessons, open_page):
    page = open_page(lessons("00-start-here"))
    the_map = form(page, "The map of the course")
    the_map.scroll_into_view_if_needed(timeout=PATIENT_MS)
    expect(the_map).to_contain_text("Your path is “Adult care: catheters in adults”")
    expect(the_map).to_contain_text("Not ready: Paediatric care")
    expect(the_map).to_contain_text("Not ready: Venepuncture")
    expect(the_map.get_by_role("radio")).to_have_count(0)
    picture(page, "course-map")


def test_questions_are_judged_only_when_asked_for(lessons, open_page):
    page = open_page(lessons("00-start-here"))
    asked = form(page, "What do you know already?")
    asked.scroll_into_view_if_needed(timeout=PATIENT_MS)
    asked.get_by_role("radio", name="Nothing certain").check()
    asked.get_by_role("radio", name="Feel it for a pulse").check()
    expect(asked).not_to_contain_text("Right.")
    asked.get_by_role("button", name="Show how I did").click()
    expect(asked).to_contain_text("2 of 16 right. You may skim: Light and depth.")
    picture(page, "first-questions")


def test_a_lesson_opens_from_the_map_with_its_figures(lessons, open_page):
    page = open_page(lessons("00-start-here"))
    the_map = form(page, "The map of the course")
    the_map.scroll_into_view_if_needed(timeout=PATIENT_MS)
    the_map.get_by_role("link", name="Catheter sizing", exact=True).click()
    expect(page.locator(".cubital-explorer").first).to_be_attached(timeout=PATIENT_MS)


def test_forms_show_whole_and_axe_finds_nothing(lessons, open_page, width):
    page = open_page(lessons("00-start-here"), width)
    expect(page.locator(FORM).first).to_be_attached(timeout=PATIENT_MS)
    for number, root in enumerate(page.locator(FORM).all(), 1):
        root.scroll_into_view_if_needed()
        picture(page, f"course-{width}-{number}")
    assert page.evaluate(FAULTS, FORM) == []
    found = Axe().run(page, context={"include": [[FORM]]})
    assert [(v["id"], v["nodes"][0]["html"]) for v in found.response["violations"]] == []
