"""A session to refresh on a site: a question is answered there, and the answer counts."""

import pytest
from playwright.sync_api import expect

from ..conftest import READY_MS, expect_ready

pytestmark = [pytest.mark.browser, pytest.mark.long]
START = "?course=ada/lessons/00-start-here.ipynb"
OPTIONS = "input[type=radio]"
SKIP = "Skip it: it is asked again"


@pytest.mark.parametrize("name", ["chromium", "firefox"])
def test_a_question_is_answered_and_the_next_one_offered(site, request, name):
    context = request.getfixturevalue(name).new_context()
    page = context.new_page()
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(f"{site}{START}")
    expect_ready(page)
    page.get_by_role("button", name="15 minutes").click()
    expect(page.locator("main h1")).to_have_text("Refresh", timeout=READY_MS)
    expect_ready(page)
    field = asked_with_options(page)
    item = field.get_attribute("data-item")
    field.locator(OPTIONS).first.check()
    field.get_by_role("button", name="This is my answer").click()
    field = page.locator(f".cubital-field[data-item='{item}']")
    expect(field).to_have_attribute("data-state", "saved", timeout=READY_MS)
    expect(field.locator(".cubital-status")).not_to_contain_text("Marked once you press")
    page.get_by_role("button", name="Next question").click(timeout=READY_MS)
    expect(field).to_be_hidden()
    context.close()


def asked_with_options(page):
    """Skip to the first question that offers options to choose from, and return it."""
    for number in range(1, 30):
        expect(page.get_by_text(f"Question {number} of")).to_be_visible(timeout=READY_MS)
        field = page.locator(".cubital-field:visible")
        expect(field).to_have_count(1)
        if field.locator(OPTIONS).count():
            return field
        page.get_by_role("button", name=SKIP).click()
    raise AssertionError("no question offers options")
