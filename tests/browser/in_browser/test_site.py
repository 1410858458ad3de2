"""The course in a browser alone: the same page, its figures live, nothing asked of others."""

import pytest
from playwright.sync_api import expect

from ..conftest import READY_MS, expect_ready, picture

pytestmark = pytest.mark.browser
LESSON = "?course=ada/lessons/20-focal-geometry.ipynb"


def test_a_lesson_is_there_and_its_figures_answer_to_a_key(site, browse):
    page = browse(f"{site}{LESSON}")
    expect(page.locator("h1")).to_have_text("Focal geometry")
    figure = page.locator(".cubital-code svg").first
    expect(figure).to_be_visible()
    before = figure.inner_html()
    slider = page.locator("input[type=range]").first
    slider.press("ArrowRight")
    expect(figure).not_to_have_js_property("innerHTML", before)
    picture(page, "site-lesson")


@pytest.mark.long
def test_no_address_that_the_server_is_asked_for_says_who_learns(site, browse):
    page = browse(f"{site}?course=_welcome/lessons/00-start-here.ipynb")
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_label("What is your name?").fill("Wanda Willow")
    page.get_by_role("button", name="Begin", exact=True).click()
    expect(page.locator("h1")).to_have_text("Start here", timeout=READY_MS)
    expect_ready(page)
    page.get_by_role("link", name="Focal geometry").first.click()
    expect(page.locator("h1")).to_have_text("Focal geometry", timeout=READY_MS)
    expect_ready(page)
    page.reload()
    expect_ready(page)
    expect(page.locator(".cubital-who")).to_have_text("Wanda Willow")
    expect(page.locator("h1")).to_have_text("Focal geometry")
    page.go_back()
    expect(page.locator("h1")).to_have_text("Start here", timeout=READY_MS)
    expect_ready(page)
    expect(page.locator(".cubital-who")).to_have_text("Wanda Willow")
    assert [one for one in page.asked if "willow" in one.lower()] == []
