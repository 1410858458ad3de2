"""JupyterLab's workbench, for who asks for it: a restart, links and Back."""

import pytest
from playwright.sync_api import expect

from cubital.study import folders, lab, ways
from cubital.study.workbench import running

from .conftest import LEARNER
from .test_layout import EXPLORER, PATIENT_MS

pytestmark = pytest.mark.browser

LESSON = "40-catheter-sizing"
WORDS = "roots => roots.map((root) => root.querySelector('[role=img]').getAttribute('aria-label'))"


@pytest.fixture
def address(tmp_path, request):
    """A lesson or worksheet, run and open in the workbench, with what it links to."""
    opened = folders.lay_out(tmp_path, LEARNER, request.param)
    with lab.Lab(opened.folder, tmp_path / "lab", way=ways.WORKBENCH) as server:
        assert running.run_notebook(server, opened.notebook) == 0
        yield server.url(opened.notebook)


def opened_first(what):
    """Have the fixture open this."""
    return pytest.mark.parametrize("address", [what], indirect=True)


def words(page):
    """What every figure on the page says to show, as soon as all are there."""
    expect(page.locator(f"{EXPLORER} .cubital-readings").last).to_be_visible(timeout=PATIENT_MS)
    return page.locator(EXPLORER).evaluate_all(WORDS)


@opened_first(LESSON)
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


@opened_first("catheter-sizing")
def test_a_link_is_a_step_in_the_browser_and_back_leads_back(address, open_page):
    page = open_page(address)
    link = page.get_by_role("link", name="Catheter sizing", exact=True)
    link.scroll_into_view_if_needed(timeout=PATIENT_MS)
    link.click()
    heading = page.locator(".jp-NotebookPanel:visible h1")
    expect(heading).to_contain_text("Catheter sizing", timeout=PATIENT_MS)
    page.go_back()
    expect(heading).to_contain_text("Worksheet: catheter sizing", timeout=PATIENT_MS)
