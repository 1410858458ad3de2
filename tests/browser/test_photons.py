"""The button that follows photons: pressed by keyboard, its bar fills and its result is shown."""

import re

import pytest
from playwright.sync_api import expect

from .test_layout import EXPLORER, FAULTS, SCREENSHOTS, axe_faults, show_all

pytestmark = pytest.mark.browser

PATIENT_MS = 60_000  # a first run compiles
WATCH = """
(root) => {
  const bar = root.querySelector('progress');
  window.seen = [];
  new MutationObserver(() => window.seen.push(bar.hidden ? -1 : bar.value))
    .observe(bar, { attributes: true });
}
"""


@pytest.fixture
def page(lessons, open_page):
    return open_page(lessons("10-light-and-depth"))


@pytest.fixture
def photons(page):
    (found,) = (
        root
        for root in show_all(page, EXPLORER)
        if root.locator(".cubital-title").text_content() == "Photons, one by one"
    )
    found.scroll_into_view_if_needed()
    return found


def test_the_button_fills_the_bar_and_shows_contrasts_with_their_errors(page, photons):
    button = photons.get_by_role("button", name="Follow the photons")
    bar = photons.locator("progress")
    readings = photons.locator(".cubital-readings")
    expect(bar).to_be_hidden()
    expect(readings).not_to_contain_text("±")
    photons.evaluate(WATCH)
    button.press("Enter")
    button.press("Enter")  # a second press while it runs starts nothing
    expect(readings).to_contain_text("±", timeout=PATIENT_MS)
    expect(bar).to_be_hidden()
    expect(button).to_have_attribute("aria-disabled", "false")
    seen = page.evaluate("window.seen")
    filled = [value for value in seen if value >= 0]
    assert len(filled) > 10
    assert filled == sorted(filled)
    assert filled[-1] == 1
    expect(photons.get_by_role("img")).to_have_attribute("aria-label", re_of("photons say"))
    photons.screenshot(path=SCREENSHOTS / "photons-followed.png")
    assert page.evaluate(FAULTS, EXPLORER) == []
    assert axe_faults(page, EXPLORER) == []
    photons.get_by_role("combobox").select_option(index=1)
    expect(readings).to_contain_text("not run yet", timeout=PATIENT_MS)
    button.press("Enter")
    expect(readings).to_contain_text("±", timeout=PATIENT_MS)
    expect(photons.locator("svg text", has_text="Run 2, 8,000 photons")).to_be_attached()


def re_of(words):
    """A pattern that finds the words anywhere."""
    return re.compile(re.escape(words))
