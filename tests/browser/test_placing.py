"""Marks on a picture in a real browser: by mouse, by keyboard alone, typed; the same marks."""

import nbformat
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from cubital.study import lab, running

from .conftest import picture
from .test_layout import FAULTS, PATIENT_MS

pytestmark = pytest.mark.browser

ROOT = ".cubital-marks"
CELL = """
from cubital.scene import anatomy, picture
from cubital.scene.vessels import Scene
from cubital.worksheet.placing import PlaceMarks
frame = picture.frame(Scene(anatomy.anatomy("back-of-hand", seed=2)))
PlaceMarks(frame, title="Mark each place where two bands join", alt="Dark bands on grey")
"""


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    folder = tmp_path_factory.mktemp("placing")
    path = folder / "page" / "marks.ipynb"
    path.parent.mkdir()
    cells = [nbformat.v4.new_code_cell(CELL, id="marks")]
    nbformat.write(nbformat.v4.new_notebook(cells=cells), path)
    with lab.Lab(path.parent, folder / "lab") as server:
        assert running.run_notebook(server, path) == 0
        yield server.url(path)


@pytest.fixture
def page(address, open_page, width):
    page = open_page(address, width)
    page.locator(ROOT).scroll_into_view_if_needed(timeout=PATIENT_MS)
    return page


def marks(page):
    return page.locator(".cubital-mark-list li").all_text_contents()


def test_a_mark_by_mouse_lies_where_it_was_pressed_and_a_second_press_takes_it_away(page):
    box = page.locator("canvas.cubital-frame").bounding_box()
    where = box["x"] + 0.25 * box["width"], box["y"] + 0.5 * box["height"]
    page.mouse.click(*where)
    expect(page.get_by_role("status")).to_contain_text("Mark 1 placed at column")
    (mark,) = marks(page)
    column, row = (
        int(words.split()[-1]) for words in mark.split(":")[1].split(" Take")[0].split(",")
    )
    assert abs(column - 160) <= 1
    assert abs(row - 240) <= 1
    picture(page, "marks-mouse")
    page.mouse.click(*where)
    expect(page.locator(".cubital-mark-list li")).to_have_count(0)


def test_a_mark_by_keyboard_alone(page):
    page.locator(".cubital-stage").focus()
    for key in ("Shift+ArrowLeft", "ArrowLeft", "Shift+ArrowDown", "ArrowUp", "Enter"):
        page.keyboard.press(key)
    expect(page.get_by_role("status")).to_contain_text("Mark 1 placed at column 309, row 249")
    picture(page, "marks-keyboard")
    cells = page.locator(".jp-Cell").count()
    page.keyboard.press("Delete")
    expect(page.locator(".cubital-mark-list li")).to_have_count(0)
    expect(page.locator(".jp-Cell")).to_have_count(cells)


def test_a_typed_mark_and_one_outside(page):
    page.get_by_role("textbox", name="Column").fill("12")
    page.get_by_role("textbox", name="Row").fill("34")
    page.get_by_role("button", name="Place a mark there").click()
    expect(page.get_by_role("status")).to_contain_text("Mark 1 placed at column 12, row 34")
    page.get_by_role("textbox", name="Column").fill("640")
    page.get_by_role("button", name="Place a mark there").click()
    expect(page.get_by_role("status")).to_contain_text("a whole number from 0 to 639")
    page.get_by_role("button", name="Take mark 1 away").click()
    expect(page.locator(".cubital-mark-list li")).to_have_count(0)


def test_shows_whole_and_axe_finds_nothing(page):
    page.locator(".cubital-stage").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".cubital-mark-list li")).to_have_count(1)
    assert page.evaluate(FAULTS, ROOT) == []
    found = Axe().run(page, context={"include": [[ROOT]]})
    assert [(v["id"], v["nodes"][0]["html"]) for v in found.response["violations"]] == []
    page.keyboard.press("Delete")
    expect(page.locator(".cubital-mark-list li")).to_have_count(0)
