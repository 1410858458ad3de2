"""A kernel that is restarted comes back to the same page, with figures that move again."""

import pytest
from playwright.sync_api import expect

from .test_layout import EXPLORER, PATIENT_MS

pytestmark = pytest.mark.browser

LESSON = "40-catheter-sizing"
WORDS = "roots => roots.map((root) => root.querySelector('[role=img]').getAttribute('aria-label'))"


def words(page):
    """What every figure on the page says to show, as soon as all are there."""
    expect(page.locator(f"{EXPLORER} .cubital-readings").last).to_be_visible(timeout=PATIENT_MS)
    return page.locator(EXPLORER).evaluate_all(WORDS)


def test_restarted_and_run_again_the_page_is_the_same(lessons, open_page):
    page = open_page(lessons(LESSON))
    page.locator(EXPLORER).last.scroll_into_view_if_needed(timeout=PATIENT_MS)
    before = words(page)
    page.get_by_role("menuitem", name="Kernel").click()
    page.get_by_role("menuitem", name="Restart Kernel and Run All Cells").click()
    page.get_by_role("button", name="Confirm Kernel Restart").click()
    expect(page.get_by_text("Python 3 (ipykernel) | Idle")).to_be_visible(timeout=PATIENT_MS)
    page.wait_for_function(
        "([root, count]) => { const readings = document.querySelectorAll(`${root} dl`);"
        " return readings.length === count && [...readings].every((e) => e.textContent); }",
        arg=[EXPLORER, len(before)],
        timeout=PATIENT_MS,
    )
    assert words(page) == before
    first = page.locator(EXPLORER).first
    slider = first.locator("input[type=range]").first
    slider.focus()
    slider.press("ArrowRight")
    expect(first.get_by_role("img")).not_to_have_attribute("aria-label", before[0])
