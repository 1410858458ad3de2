"""A kernel that is restarted comes back to the same page, with figures that move again."""

import pytest
from playwright.sync_api import expect

from cubital.study import folders, lab, running

from .conftest import LEARNER
from .test_layout import EXPLORER, PATIENT_MS

pytestmark = pytest.mark.browser

LESSON = "40-catheter-sizing"
WORDS = "roots => roots.map((root) => root.querySelector('[role=img]').getAttribute('aria-label'))"


@pytest.fixture
def address(tmp_path):
    """A lesson in a kernel of its own: restarting that of all lessons would empty the others."""
    opened = folders.lay_out(tmp_path, LEARNER, LESSON)
    with lab.Lab(opened.folder, tmp_path / "lab") as server:
        assert running.run_notebook(server, opened.notebook) == 0
        yield server.url(opened.notebook)


def words(page):
    """What every figure on the page says to show, as soon as all are there."""
    expect(page.locator(f"{EXPLORER} .cubital-readings").last).to_be_visible(timeout=PATIENT_MS)
    return page.locator(EXPLORER).evaluate_all(WORDS)


def test_restarted_and_run_again_the_page_is_the_same(address, open_page):
    page = open_page(address)
    page.locator(EXPLORER).last.scroll_into_view_if_needed(timeout=PATIENT_MS)
    before = words(page)
    first = page.locator(EXPLORER).first
    press(first, "ArrowRight")
    expect(first.get_by_role("img")).not_to_have_attribute("aria-label", before[0])
    restart(page)
    assert words(page) == before
    press(first, "ArrowRight")
    expect(first.get_by_role("img")).not_to_have_attribute("aria-label", before[0])


def press(explorer, key):
    """Press a key on an explorer's first slider."""
    slider = explorer.locator("input[type=range]").first
    slider.focus()
    slider.press(key)


def restart(page):
    """Restart the kernel and run all cells, by the page's own menu, and wait until all is there."""
    count = page.locator(EXPLORER).count()
    page.evaluate(MARK_OLD, EXPLORER)
    page.get_by_role("menuitem", name="Kernel").click()
    page.get_by_role("menuitem", name="Restart Kernel and Run All Cells").click()
    page.get_by_role("button", name="Confirm Kernel Restart").click()
    page.wait_for_function(ALL_NEW, arg=[EXPLORER, count], timeout=PATIENT_MS)


# Figures of before the restart are marked, so that nobody waits for what is there already.
MARK_OLD = "root => document.querySelectorAll(root).forEach((e) => { e.dataset.old = 'yes'; })"
ALL_NEW = """
([root, count]) => {
  const found = [...document.querySelectorAll(root)];
  const whole = found.every((e) => !e.dataset.old && e.querySelector('dl')?.textContent);
  return found.length === count && whole;
}
"""
