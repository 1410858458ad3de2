"""The course in a browser alone: the same page, its figures live, nothing asked of others."""

import pytest
from playwright.sync_api import expect

from ..conftest import picture

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
