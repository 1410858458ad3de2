"""Forms of the lessons in a real browser: first questions, and how all of them show."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from .conftest import picture
from .test_layout import FAULTS, PATIENT_MS

pytestmark = pytest.mark.browser

FORM = ".cubital-course"


def form(page, title):
    return page.locator(FORM).filter(has=page.get_by_text(title, exact=True))


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


def test_forms_show_whole_and_axe_finds_nothing(lessons, open_page, width):
    page = open_page(lessons("00-start-here"), width)
    expect(page.locator(FORM).first).to_be_attached(timeout=PATIENT_MS)
    for number, root in enumerate(page.locator(FORM).all(), 1):
        root.scroll_into_view_if_needed()
        picture(page, f"course-{width}-{number}")
    assert page.evaluate(FAULTS, FORM) == []
    found = Axe().run(page, context={"include": [[FORM]]})
    assert [(v["id"], v["nodes"][0]["html"]) for v in found.response["violations"]] == []
