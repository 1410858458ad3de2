"""Each kind of question answered by mouse and again by keyboard alone; after a reload it is there.

One worksheet holds all kinds but the line of Python.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from cubital import items
from cubital.handin.released.release import read_release
from cubital.study import folders, lab

from .conftest import LEARNER, WIDTHS, picture, sampled
from .test_layout import FAULTS, PATIENT_MS

pytestmark = pytest.mark.browser

WORKSHEET = "reading-the-vein"
FEW = {("1280 px", "number"), ("200 %", "table"), ("200 %", "place")}
SHEET = {item.kind: item for item in items.WORKSHEETS[WORKSHEET]}


@pytest.fixture(scope="module")
def practice(tmp_path_factory):
    """The address of a practice of the worksheet, and its release."""
    workspace = tmp_path_factory.mktemp("forms")
    opened = folders.lay_out(workspace, LEARNER, WORKSHEET)
    with lab.Lab(opened.folder, workspace / "lab") as server:
        yield server.url(opened.notebook), read_release(opened.notebook.parent)


class Form:
    """One question on the page, found again after a reload."""

    def __init__(self, page, item):
        self.page, self.item = page, item
        self.root = page.locator(f'.cubital-field[data-item="{item.id}"]')
        self.root.scroll_into_view_if_needed(timeout=PATIENT_MS)

    def is_saved(self, words="Saved at"):
        expect(self.root.locator(".cubital-status")).to_contain_text(words, timeout=PATIENT_MS)

    def again(self):
        self.page.reload()
        return Form(self.page, self.item)

    def press(self, *keys):
        for key in keys:
            self.page.keyboard.press(key)


@pytest.fixture
def form(practice, open_page):
    address, _ = practice
    return lambda kind: Form(open_page(address), SHEET[kind])


def test_a_number(form):
    one = form("number")
    box = one.root.get_by_role("textbox")
    example = one.item.example
    box.click()
    box.fill(example)
    box.blur()
    one.is_saved()
    one = one.again()
    box = one.root.get_by_role("textbox")
    expect(box).to_have_value(example, timeout=PATIENT_MS)
    box.focus()
    typed = f"7 {one.item.unit}".strip()
    one.press("Control+a", *typed, "Tab")
    one.is_saved(f"as {typed}")
    expect(one.again().root.get_by_role("textbox")).to_have_value(typed, timeout=PATIENT_MS)


def test_a_choice(form):
    one = form("choice")
    one.root.get_by_role("radio").nth(1).click()
    one.is_saved()
    one = one.again()
    expect(one.root.get_by_role("radio").nth(1)).to_be_checked(timeout=PATIENT_MS)
    one.root.get_by_role("radio").nth(1).focus()
    one.press("ArrowDown")
    expect(one.root.get_by_role("radio").nth(2)).to_be_checked()
    one.is_saved()
    expect(one.again().root.get_by_role("radio").nth(2)).to_be_checked(timeout=PATIENT_MS)


def test_a_decision(form):
    one = form("decision")
    groups = one.root.locator("fieldset")
    expect(groups).to_have_count(2)
    way, reason = groups.nth(0).get_by_role("radio"), groups.nth(1).get_by_role("radio")
    way.nth(1).click()
    one.is_saved("but the reason is missing")
    reason.nth(2).click()
    one.is_saved("decision")
    expect(one.root.locator(".cubital-status")).not_to_contain_text("missing")
    picture(one.page, "form-decision")
    one = one.again()
    groups = one.root.locator("fieldset")
    way, reason = groups.nth(0).get_by_role("radio"), groups.nth(1).get_by_role("radio")
    expect(way.nth(1)).to_be_checked(timeout=PATIENT_MS)
    expect(reason.nth(2)).to_be_checked()
    way.nth(1).focus()
    one.press("ArrowDown", "Tab")
    expect(way.nth(2)).to_be_checked()
    expect(reason.nth(2)).to_be_focused()
    one.press("ArrowUp")
    expect(reason.nth(1)).to_be_checked()
    one.is_saved("decision")
    groups = one.again().root.locator("fieldset")
    expect(groups.nth(0).get_by_role("radio").nth(2)).to_be_checked(timeout=PATIENT_MS)
    expect(groups.nth(1).get_by_role("radio").nth(1)).to_be_checked()


def steps(one):
    return one.root.locator(".cubital-step-text").all_text_contents()


def test_an_order(form):
    one = form("order")
    first, second, *rest = steps(one)
    one.root.get_by_role("button", name=f"Later: {first}").click()
    one.is_saved()
    assert steps(one) == [second, first, *rest]
    picture(one.page, "form-order")
    one = one.again()
    one.is_saved()
    assert steps(one) == [second, first, *rest]
    one.root.get_by_role("button", name=f"Earlier: {first}").focus()
    one.press("Enter")
    one.is_saved()
    assert steps(one) == [first, second, *rest]
    one = one.again()
    one.is_saved()
    assert steps(one) == [first, second, *rest]


def test_a_table(form):
    one = form("table")
    rows = one.root.locator("tbody tr")
    rows.nth(0).get_by_role("radio").nth(0).click()
    one.is_saved("1 of")
    rows.nth(1).get_by_role("radio").nth(1).click()
    one.is_saved("2 of")
    picture(one.page, "form-table")
    one = one.again()
    rows = one.root.locator("tbody tr")
    expect(rows.nth(0).get_by_role("radio").nth(0)).to_be_checked(timeout=PATIENT_MS)
    rows.nth(0).get_by_role("radio").nth(0).focus()
    one.press("ArrowRight")
    expect(rows.nth(0).get_by_role("radio").nth(1)).to_be_checked()
    one.is_saved("2 of")
    rows = one.again().root.locator("tbody tr")
    expect(rows.nth(0).get_by_role("radio").nth(1)).to_be_checked(timeout=PATIENT_MS)
    expect(rows.nth(1).get_by_role("radio").nth(1)).to_be_checked()


def marks(one):
    return [text.split(" Take")[0] for text in one.root.locator("li").all_text_contents()]


def test_marks_on_a_picture(form):
    one = form("place")
    box = one.root.locator("canvas").bounding_box()
    where = box["x"] + 0.25 * box["width"], box["y"] + 0.5 * box["height"]
    one.page.mouse.click(*where)
    one.is_saved("1 mark")
    (mark,) = marks(one)
    column, row = (int(words.split()[-1]) for words in mark.split(":")[1].split(","))
    assert abs(column - 160) <= 1
    assert abs(row - 240) <= 1
    one = one.again()
    one.is_saved("1 mark")
    assert marks(one) == [mark.strip()]
    one.root.locator(".cubital-stage").focus()
    one.press("Shift+ArrowLeft", "ArrowLeft", "Shift+ArrowDown", "ArrowUp", "Enter")
    one.is_saved("2 marks")
    assert marks(one)[1] == "Mark 2: column 309, row 249"
    picture(one.page, "form-marks")
    one = one.again()
    one.is_saved("2 marks")
    assert marks(one)[1] == "Mark 2: column 309, row 249"
    one.root.get_by_role("textbox", name="Column").fill("640")
    one.root.get_by_role("button", name="Place a mark there").click()
    expect(one.root.get_by_text("a whole number from 0 to 639")).to_be_visible()
    one.root.get_by_role("textbox", name="Column").fill("12")
    one.root.get_by_role("textbox", name="Row").fill("34")
    one.root.get_by_role("button", name="Place a mark there").click()
    one.is_saved("3 marks")
    one.root.get_by_role("button", name="Show what is there, in squares").click()
    expect(
        one.root.get_by_text("There: column").or_(one.root.get_by_text("nothing to mark"))
    ).to_be_visible()
    picture(one.page, "form-marks-truth")
    one.root.get_by_role("checkbox").check()
    one.is_saved("there is none")


def test_marks_that_a_tick_took_away_can_be_put_back(form):
    one = form("place")
    stage, none = one.root.locator(".cubital-stage"), one.root.get_by_role("checkbox")
    if none.is_checked():
        none.uncheck()
    for column, row in (("30", "40"), ("50", "60"), ("70", "80")):
        one.root.get_by_role("textbox", name="Column").fill(column)
        one.root.get_by_role("textbox", name="Row").fill(row)
        one.root.get_by_role("button", name="Place a mark there").click()
    expect(one.root.locator("li").filter(has_text="column 70, row 80")).to_be_visible()
    before = marks(one)
    none.check()
    one.is_saved("there is none")
    assert marks(one) == []
    stage.focus()
    one.press("Enter")
    one.is_saved("1 mark")
    one.root.get_by_role("button", name=f"Put the {len(before)} marks back").click()
    one.is_saved(f"{len(before) + 1} marks")
    places = [mark.split(": ")[1] for mark in marks(one)]
    assert places[: len(before)] == [mark.split(": ")[1] for mark in before]
    none.check()
    one.is_saved("there is none")
    none.uncheck()
    one.is_saved(f"{len(before) + 1} marks")


def test_the_last_mark_taken_away_leaves_no_saved_behind(form):
    one = form("place")
    one.root.get_by_role("checkbox").check()
    one.is_saved("there is none")
    one.root.get_by_role("textbox", name="Column").fill("110")
    one.root.get_by_role("textbox", name="Row").fill("112")
    one.root.get_by_role("button", name="Place a mark there").click()
    one.is_saved("1 mark")
    one.root.get_by_role("button", name="Take mark 1 away").click()
    one.is_saved("Not saved. Place marks on the picture, or say that there is none.")
    expect(one.root.locator(".cubital-status")).to_contain_text("Your earlier answer stays: 1")
    expect(one.page.locator(".cubital-saved")).to_have_text("1 answer not taken")


def test_a_series_names_what_is_missing_and_gives_back_what_does_not_count(form):
    one = form("series")
    options = one.root.locator("label.cubital-choice")
    unseen = options.filter(has_text="No change shows").get_by_role("radio")
    first = options.filter(has_not_text="No change shows").get_by_role("radio").first
    frame = one.root.get_by_label("From which frame on")
    unseen.check()
    one.is_saved()
    first.check()
    one.is_saved("the frame and the mark are missing")
    one.root.locator(".cubital-stage").focus()
    one.press("Enter")
    one.is_saved("the frame is missing")
    frame.fill("7")
    frame.blur()
    expect(one.root.locator(".cubital-status")).not_to_contain_text("missing")
    one.is_saved()
    mark = marks(one)
    unseen.check()
    one.is_saved()
    expect(frame).to_have_value("")
    assert marks(one) == []
    expect(one.root.get_by_text("Choose another, and yours are back.")).to_be_visible()
    first.check()
    one.is_saved()
    expect(frame).to_have_value("7")
    assert marks(one) == mark
    again = one.again()
    expect(again.root.get_by_label("From which frame on")).to_have_value("7", timeout=PATIENT_MS)
    assert marks(again) == mark


def test_a_series(form):
    one = form("series")
    slider = one.root.get_by_role("slider")
    canvas = one.root.locator("canvas")
    pixels = "e => e.getContext('2d').getImageData(0, 0, 320, 240).data.reduce((a, b) => a + b, 0)"
    before = canvas.evaluate(pixels)
    one.root.get_by_role("radio").nth(0).click()
    one.is_saved()
    one.root.locator(".cubital-stage").click(position={"x": 40, "y": 40})
    expect(one.root.locator("li")).to_have_count(1)
    slider.focus()
    one.press(*["ArrowRight"] * 9)
    expect(slider).to_have_attribute("aria-valuetext", "frame 9 of 39")
    assert canvas.evaluate(pixels) != before
    one.root.get_by_role("button", name="Take the frame shown").click()
    one.is_saved()
    picture(one.page, "form-series")
    one = one.again()
    expect(one.root.get_by_label("From which frame on")).to_have_value("9", timeout=PATIENT_MS)
    expect(one.root.get_by_role("radio").nth(0)).to_be_checked()
    assert len(marks(one)) == 1
    one.root.get_by_role("radio").nth(0).focus()
    one.press("ArrowDown")
    one.root.get_by_label("From which frame on").focus()
    one.press("Control+a", "1", "1", "Tab")
    one.root.locator(".cubital-stage").focus()
    one.press("ArrowRight", "Enter")
    one.is_saved()
    one = one.again()
    expect(one.root.get_by_label("From which frame on")).to_have_value("11", timeout=PATIENT_MS)
    expect(one.root.get_by_role("radio").nth(1)).to_be_checked()
    assert marks(one) == ["Mark 1: column 161, row 120"]


def test_trials_by_mouse_and_keys_with_ones_own_contrast_and_zoom(form):
    one = form("trials")
    canvas = one.root.locator("canvas")
    expect(canvas).to_have_attribute("data-drawn", "1/0", timeout=PATIENT_MS)
    pixels = "e => e.getContext('2d').getImageData(0, 0, 240, 180).data.reduce((a, b) => a + b, 0)"
    before = canvas.evaluate(pixels)
    one.root.get_by_role("radio").nth(0).click()
    one.is_saved("1 of 6 trials answered")
    expect(one.root.locator(".cubital-status")).not_to_contain_text("Hits")
    one.root.get_by_role("button", name="Next trial").click()
    expect(canvas).to_have_attribute("data-drawn", "2/0")
    one.root.get_by_role("slider", name="Frame").focus()
    one.press("ArrowRight", "ArrowRight", "ArrowRight")
    expect(canvas).to_have_attribute("data-drawn", "2/3")
    assert canvas.evaluate(pixels) != before
    width = canvas.bounding_box()["width"]
    one.root.get_by_label("Zoom").focus()
    one.press("ArrowRight", "ArrowRight")
    assert canvas.bounding_box()["width"] == pytest.approx(2 * width, rel=0.02)
    one.root.get_by_label("Contrast").focus()
    one.press("ArrowRight")
    assert canvas.evaluate("e => e.style.filter") == "contrast(125%)"
    picture(one.page, "form-trials-zoomed")
    one.root.get_by_role("button", name="As recorded").click()
    assert canvas.bounding_box()["width"] == pytest.approx(width, rel=0.02)
    one.root.get_by_role("radio").nth(0).focus()
    one.press("Space")
    one.is_saved("2 of 6 trials answered")
    picture(one.page, "form-trials")
    one = one.again()
    second = one.root.get_by_role("button", name="Trial 2, answered")
    expect(second).to_be_visible(timeout=PATIENT_MS)
    second.focus()
    one.press("Enter")
    expect(one.root.get_by_role("radio").nth(0)).to_be_checked()
    for number in range(3, 7):
        one.root.get_by_role("button", name=f"Trial {number}, not answered").click()
        one.root.get_by_role("radio").nth(1).click()
        one.is_saved(f"{number} of 6 trials answered")
    one.is_saved("Hits: ")


def test_a_text(form):
    one = form("text")
    box = one.root.get_by_role("textbox")
    box.click()
    box.fill("A shadow.")
    box.blur()
    one.is_saved()
    one = one.again()
    expect(one.root.get_by_role("textbox")).to_have_value("A shadow.", timeout=PATIENT_MS)
    one.root.get_by_role("textbox").focus()
    one.press("Control+End", *" Dim it.", "Tab")
    one.is_saved()
    expect(one.again().root.get_by_role("textbox")).to_have_value(
        "A shadow. Dim it.", timeout=PATIENT_MS
    )


def test_how_sure_one_is_goes_along_and_comes_back(form):
    one = form("choice")
    one.root.get_by_role("radio").nth(0).click()
    one.is_saved()
    sure = one.root.get_by_label("How sure are you? (never counts)")
    sure.select_option("0.75")
    one.is_saved()
    again = one.again().root.get_by_label("How sure are you? (never counts)")
    expect(again).to_have_value("0.75", timeout=PATIENT_MS)


@pytest.mark.parametrize(("width", "kind"), sampled(WIDTHS, SHEET, FEW), indirect=["width"])
def test_shows_whole_and_axe_finds_nothing(practice, open_page, width, kind):
    address, _ = practice
    page = open_page(address, width)
    one = Form(page, SHEET[kind])
    picture(page, f"form-{kind}-{width}")
    where = f'.cubital-field[data-item="{one.item.id}"]'
    assert page.evaluate(FAULTS, where) == []
    found = Axe().run(page, context={"include": [[where]]})
    assert [(v["id"], v["nodes"][0]["html"]) for v in found.response["violations"]] == []
