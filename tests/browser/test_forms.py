"""Each kind of question answered by mouse and again by keyboard alone; after a reload it is there.

One worksheet holds all kinds but the line of Python.
"""

import io
import re

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import expect

from cubital import items
from cubital.handin.released.release import read_release
from cubital.study import folders, lab

from .conftest import LEARNER, WIDTHS, picture, sampled
from .everywhere.looking import COLOURS
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
    one.press("ArrowDown", "Enter")
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
    slider = one.root.get_by_role("slider", name="Frame")
    canvas = one.root.locator("canvas")
    pixels = "e => e.getContext('2d').getImageData(0, 0, 320, 240).data.reduce((a, b) => a + b, 0)"
    before = canvas.evaluate(pixels)
    one.root.get_by_role("radio").nth(0).click()
    one.is_saved()
    one.root.locator(".cubital-stage").click(position={"x": 40, "y": 40})
    expect(one.root.locator("li")).to_have_count(1)
    slider.focus()
    one.press(*["ArrowRight"] * 9)
    expect(slider).to_have_attribute("aria-valuetext", "9 of 39")
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


SKIN = 162  # the middle grey of skin, which stays as it is at every contrast
PICTURED = ("place", "series", "trials")


def zoom_in(one):
    """To twice the size, by keys."""
    one.root.get_by_role("slider", name="Zoom").focus()
    one.press("ArrowRight", "ArrowRight")
    expect(one.root.locator(".cubital-looks output").nth(1)).to_have_text("200 %")


def skin(one):
    """Some greys of lit skin as the screen shows them, from dark to bright."""
    shot = one.root.locator(".cubital-view").screenshot()
    grey = np.asarray(Image.open(io.BytesIO(shot)).convert("L"))[4:-4, 4:-4]
    return np.percentile(grey, [60, 70, 80, 90])


@pytest.mark.parametrize("kind", PICTURED)
def test_contrast_is_the_readers_own_about_the_grey_of_skin_and_changes_no_answer(form, kind):
    one = form(kind)
    expect(one.root.get_by_text("Simulated, not clinically validated.").first).to_be_visible()
    expect(one.root.locator("canvas")).to_be_visible()
    if kind == "trials":
        expect(one.root.locator("canvas")).to_have_attribute("data-drawn", "1/0")
    said = one.root.locator(".cubital-status").text_content()
    before = skin(one)
    one.root.get_by_role("slider", name="Contrast").focus()
    one.press(*["ArrowRight"] * 2)
    assert skin(one) == pytest.approx(SKIN + 1.5 * (before - SKIN), abs=4)
    one.press(*["ArrowLeft"] * 4)
    assert skin(one) == pytest.approx(SKIN + 0.5 * (before - SKIN), abs=4)
    one.root.get_by_role("button", name="As recorded").click()
    assert np.array_equal(skin(one), before)
    assert one.root.locator(".cubital-status").text_content() == said


@pytest.mark.parametrize("kind", PICTURED)
def test_a_zoomed_picture_is_moved_without_dragging_and_printed_as_it_was(form, kind):
    one = form(kind)
    window, sheet = (one.root.locator(f".cubital-{part}") for part in ("view", "sheet"))
    usual = sheet.bounding_box()
    expect(one.root.get_by_role("button", name="Left")).to_be_hidden()
    zoom_in(one)
    before = sheet.bounding_box()
    one.root.get_by_role("button", name="Left").click()
    one.root.get_by_role("button", name="Up").click()
    after = sheet.bounding_box()
    assert after["x"] - before["x"] == pytest.approx(before["width"] / 4, abs=12)
    assert after["y"] - before["y"] == pytest.approx(before["height"] / 4, abs=12)
    one.page.emulate_media(media="print")
    seen = sheet.bounding_box(), window.bounding_box()
    assert [seen[0][side] for side in ("width", "height")] == pytest.approx(
        [usual["width"], usual["height"]], abs=1
    )
    assert seen[0]["x"] == pytest.approx(seen[1]["x"] + 1, abs=1)
    assert seen[0]["y"] == pytest.approx(seen[1]["y"] + 1, abs=1)
    assert one.root.locator("canvas").evaluate("e => getComputedStyle(e).filter") == "none"
    picture(one.page, f"form-{kind}-print")
    one.page.emulate_media(media="screen")


def mark_at(one, number):
    """Where a mark's middle lies on the screen, as shares of the picture; and how large it is."""
    sheet = one.root.locator(".cubital-sheet").bounding_box()
    mark = one.root.locator(".cubital-mark path").nth(2 * number).bounding_box()
    middle = [mark[way] + mark[size] / 2 for way, size in (("x", "width"), ("y", "height"))]
    shares = (middle[0] - sheet["x"]) / sheet["width"], (middle[1] - sheet["y"]) / sheet["height"]
    return pytest.approx(shares, abs=0.003), mark["width"]


def place_at(one, column, row):
    one.root.get_by_role("textbox", name="Column").fill(str(column))
    one.root.get_by_role("textbox", name="Row").fill(str(row))
    one.root.get_by_role("button", name="Place a mark there").click()


def is_in_the_window(one, part):
    box = one.root.locator(".cubital-view").bounding_box()
    seen = part.bounding_box()
    return (
        box["x"] <= seen["x"]
        and box["y"] <= seen["y"]
        and seen["x"] + seen["width"] <= box["x"] + box["width"]
        and seen["y"] + seen["height"] <= box["y"] + box["height"]
    )


def in_the_middle(one):
    """Scroll the page so that the whole window on the picture is seen."""
    one.root.locator(".cubital-view").evaluate("e => e.scrollIntoView({ block: 'center' })")


@pytest.fixture(params=[1280, 320])
def zoomed(request, practice, open_page):
    """The question on forks with one mark, at column 160 and row 120, zoomed in to twice its size.

    Beside it stands how large the mark was on the screen before.
    """
    page = open_page(practice[0])
    page.set_viewport_size({"width": request.param, "height": 900})
    one = Form(page, SHEET["place"])
    none = one.root.get_by_role("checkbox")
    none.check()
    one.is_saved("there is none")
    place_at(one, 160, 120)
    one.is_saved("1 mark")
    where, large = mark_at(one, 0)
    assert where == (160.5 / 640, 120.5 / 480)
    zoom_in(one)
    in_the_middle(one)
    yield one, large
    one.root.get_by_role("checkbox").check()  # as the next test expects it
    one.is_saved("there is none")


def test_a_zoomed_picture_takes_marks_by_mouse_where_it_is_pressed(zoomed):
    one, large = zoomed
    where, as_large = mark_at(one, 0)
    assert where == (160.5 / 640, 120.5 / 480)
    assert as_large == pytest.approx(large, abs=0.5)
    assert is_in_the_window(one, one.root.locator(".cubital-mark").first)
    sheet = one.root.locator(".cubital-sheet").bounding_box()
    pixel = sheet["width"] / 640  # on the screen
    beside = round(160 + 8 / pixel)  # 8 on the screen: no press on the mark that is there
    column, row = (sheet[way] + (at + 0.5) * pixel for way, at in (("x", beside), ("y", 120)))
    one.page.mouse.click(column, row)
    one.is_saved("2 marks")
    assert abs(int(re.search(r"column (\d+)", marks(one)[1])[1]) - beside) <= 1
    one.page.mouse.click(column, row)
    one.is_saved("1 mark")
    one.page.mouse.move(column, row + 30)  # a drag moves the picture and places nothing
    one.page.mouse.down()
    one.page.mouse.move(column + 40, row + 30)
    one.page.mouse.up()
    moved = one.root.locator(".cubital-sheet").bounding_box()
    assert moved["x"] == pytest.approx(sheet["x"] + 40, abs=1)
    assert len(marks(one)) == 1
    again = one.again()
    again.is_saved("1 mark")
    assert mark_at(again, 0)[0] == (160.5 / 640, 120.5 / 480)


def test_a_zoomed_picture_takes_marks_by_keys_and_axe_finds_nothing(zoomed):
    one, _ = zoomed
    one.root.locator(".cubital-stage").focus()
    one.press(*["Shift+ArrowRight"] * 60, *["Shift+ArrowDown"] * 50, "Enter")
    one.is_saved("2 marks")
    assert marks(one)[1] == "Mark 2: column 639, row 479"
    assert mark_at(one, 1)[0] == (639.5 / 640, 479.5 / 480)
    box, sheet = (one.root.locator(f".cubital-{part}").bounding_box() for part in ("view", "sheet"))
    for way, size in (("x", "width"), ("y", "height")):
        assert sheet[way] + sheet[size] == pytest.approx(box[way] + box[size], abs=20)
    one.root.get_by_role("button", name="Take mark 1 away").focus()
    assert is_in_the_window(one, one.root.locator(".cubital-mark").first)
    in_the_middle(one)
    picture(one.page, f"form-marks-zoomed-{one.page.viewport_size['width']}")
    wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    assert one.page.evaluate(wide) == 0
    where = f'.cubital-field[data-item="{one.item.id}"]'
    for told in COLOURS.values():
        one.page.emulate_media(**told)
        found = Axe().run(one.page, context={"include": [[where]]})
        assert [(v["id"], v["nodes"][0]["html"]) for v in found.response["violations"]] == []
    one.page.emulate_media(**COLOURS["light"])


def test_trials_by_mouse_and_keys_with_ones_own_zoom(form):
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
    zoom_in(one)
    assert canvas.bounding_box()["width"] == pytest.approx(2 * width, rel=0.03)
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
