"""The line of Python in its box: read and tried at once, by mouse and keyboard, and kept."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from cubital.handin.answers import read_answers
from cubital.study import folders, lab

from .conftest import LEARNER, picture
from .test_layout import PATIENT_MS

pytestmark = pytest.mark.browser

LINE = "sizing-ratio-code"
RIGHT = "outer_diameter_mm / vein_diameter_mm"


@pytest.fixture(scope="module")
def practice(tmp_path_factory):
    """The address of a practice of the worksheet, and its folder."""
    workspace = tmp_path_factory.mktemp("line")
    opened = folders.lay_out(workspace, LEARNER, "catheter-sizing")
    with lab.Lab(opened.folder, workspace / "lab") as server:
        yield server.url(opened.notebook), opened.notebook.parent


def box(page):
    """The question's box and its status."""
    root = page.locator(f'.cubital-field[data-item="{LINE}"]')
    root.scroll_into_view_if_needed(timeout=PATIENT_MS)
    return root.get_by_role("textbox"), root.locator(".cubital-status")


def test_the_line_is_typed_told_and_kept(practice, open_page, width):
    address, folder = practice
    page = open_page(address, width)
    text = page.locator("main").inner_text()
    assert "raise NotImplementedError" not in text
    assert "def ratio" not in text
    typed, status = box(page)
    typed.click()
    typed.fill("(outer_diameter_mm / vein_diameter_mm")
    page.keyboard.press("Enter")
    expect(status).to_contain_text("The parenthesis that opens before “outer_diameter_mm / vein")
    expect(typed).to_have_attribute("aria-invalid", "true")
    expect(typed).not_to_have_value("\n")
    page.keyboard.press("Control+a")
    page.keyboard.type(RIGHT)
    page.keyboard.press("Tab")
    expect(status).to_contain_text("Right, on your values and on others.")
    expect(status).to_contain_text("On your values it gives 0.")
    assert read_answers(folder).last(LINE).answer == {"typed": RIGHT, "expression": RIGHT}
    root = f'.cubital-field[data-item="{LINE}"]'
    picture(page, f"python-line-{width}")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    found = Axe().run(page, context=root).response["violations"]
    assert [(v["id"], [n["html"][:150] for n in v["nodes"]]) for v in found] == []
    page.reload()
    expect(box(page)[0]).to_have_value(RIGHT, timeout=PATIENT_MS)
