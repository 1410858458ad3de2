"""The line of Python, in the notebook's own cell: by mouse, by keyboard, and after a reload."""

import pytest
from playwright.sync_api import expect

from cubital.study import folders, lab, running

from .conftest import LEARNER, picture
from .test_layout import PATIENT_MS

pytestmark = pytest.mark.browser


@pytest.fixture
def address(tmp_path):
    """A practice of the worksheet, run and open in JupyterLab."""
    opened = folders.lay_out(tmp_path, LEARNER, "catheter-sizing")
    with lab.Lab(opened.folder, tmp_path / "lab") as server:
        assert running.run_notebook(server, opened.notebook) == 0
        yield server.url(opened.notebook)


def cell(page):
    """The cell that holds the function to complete."""
    found = page.locator(".jp-CodeCell").filter(has_text="def ratio(").first
    found.scroll_into_view_if_needed(timeout=PATIENT_MS)
    return found


def write(page, line):
    """Replace the line at the cursor, run the cell and the one that asks, and save the page."""
    page.keyboard.press("Control+End")
    page.keyboard.press("Shift+Home")
    page.keyboard.type(line)
    page.keyboard.press("Shift+Enter")
    page.keyboard.press("Shift+Enter")
    status = page.get_by_text("On your values it gives")
    expect(status).to_be_visible(timeout=PATIENT_MS)
    with page.expect_response(is_saved, timeout=PATIENT_MS):
        page.keyboard.press("Control+s")


def is_saved(response):
    """Whether the server has answered that the notebook is in its file."""
    return response.request.method == "PUT" and "/api/contents/" in response.url and response.ok


def test_the_line_is_written_run_saved_and_found_again(address, open_page):
    page = open_page(address)
    cell(page).locator(".cm-line").last.click()
    write(page, "return vein_diameter_mm / outer_diameter_mm")
    picture(page, "python-line")
    page.reload()
    expect(cell(page)).to_contain_text(
        "return vein_diameter_mm / outer_diameter_mm", timeout=PATIENT_MS
    )
    cell(page).locator(".cm-content").focus()
    write(page, "return outer_diameter_mm / vein_diameter_mm")
    page.reload()
    expect(cell(page)).to_contain_text(
        "return outer_diameter_mm / vein_diameter_mm", timeout=PATIENT_MS
    )
