"""The course on a phone, as far as Chromium plays one: small, by touch, upright and on its side."""

import pytest
from playwright.sync_api import expect

from ..conftest import READY_MS, expect_ready, picture
from ..everywhere.looking import MEASURE
from .test_keeping import FIELD, leave

pytestmark = [pytest.mark.browser, pytest.mark.long]
SIZES = {"small": (320, 640), "usual": (360, 740), "on its side": (740, 360)}
KEYBOARD = 240  # CSS pixels of the height that a keyboard on the screen takes
FINGER = 44  # CSS pixels, WCAG 2.2, 2.5.5
# What is pressed for itself: a box to tick and a link of a sentence are reached by more.
PRESSED = "button, select, summary, .cubital-tool, input[type=range], input[type=text]"
SMALL = """(nodes, least) => nodes.filter((one) => one.checkVisibility())
  .map((one) => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
  .filter(([, { width, height }]) => width > 1 && height < least - 0.5)
  .map(([words, { height }]) => `${Math.round(height)}: ${words}`)"""
# Whether the middle of what has the focus is seen, and neither the bar nor anything lies over it.
SEEN = """() => {
  const one = document.activeElement;
  const { left, top, width, height } = one.getBoundingClientRect();
  return one.contains(document.elementFromPoint(left + width / 2, top + height / 2));
}"""


@pytest.fixture(params=SIZES)
def phone(chromium, request):
    width, height = SIZES[request.param]
    context = chromium.new_context(
        viewport={"width": width, "height": height},
        is_mobile=True,
        has_touch=True,
        device_scale_factor=2,
    )
    page = context.new_page()
    page.named = f"site-phone-{width}"
    leave(page)
    yield page
    context.close()


def looks_right(page, name):
    """Nothing is cut off, over anything else, wider than the phone or too small for a finger."""
    picture(page, f"{page.named}-{name}")
    page.evaluate("scrollTo(0, 0)")  # further down all that is read passes under the bar
    assert page.evaluate(MEASURE) == []
    assert page.locator(PRESSED).evaluate_all(SMALL, FINGER) == []


def drag(page, control, by):
    """Move a finger over a slider, by a share of its width."""
    box = control.bounding_box()
    across, down = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    touch = page.context.new_cdp_session(page)
    steps = [across + box["width"] * by * part / 4 for part in range(5)]
    for kind, points in [("touchStart", steps[:1]), *(("touchMove", [one]) for one in steps[1:])]:
        told = {"type": kind, "touchPoints": [{"x": x, "y": down} for x in points]}
        touch.send("Input.dispatchTouchEvent", told)
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    touch.detach()


def test_a_lesson_is_begun_and_its_figure_moved_by_a_finger(site, phone):
    phone.goto(site)
    expect_ready(phone)
    looks_right(phone, "welcome")
    phone.get_by_label("What is your name?").tap()
    phone.keyboard.type("Ada Alder")
    phone.get_by_role("button", name="Begin", exact=True).tap()
    expect(phone.locator("h1")).to_have_text("Start here", timeout=READY_MS)
    expect_ready(phone)
    looks_right(phone, "start")
    phone.get_by_role("link", name="Focal geometry").first.tap()
    expect(phone.locator("h1")).to_have_text("Focal geometry", timeout=READY_MS)
    expect_ready(phone)
    slider = phone.locator("input[type=range]:visible").first
    slider.scroll_into_view_if_needed()
    figure = phone.locator(".cubital-code svg:visible").first
    before, value = figure.inner_html(), slider.input_value()
    drag(phone, slider, 0.3)
    assert slider.input_value() != value
    expect(figure).not_to_have_js_property("innerHTML", before)
    looks_right(phone, "lesson")


def test_a_worksheet_is_answered_by_finger_above_the_keyboard(site, phone):
    phone.goto(f"{site}?course=ada/catheter-sizing/catheter-sizing.ipynb")
    expect_ready(phone)
    looks_right(phone, "worksheet")
    whole = phone.viewport_size
    typed = phone.locator(FIELD).first
    typed.locator("input[type=text]").tap()
    phone.set_viewport_size({**whole, "height": whole["height"] - KEYBOARD})
    phone.keyboard.type("2.5 mm")
    assert phone.evaluate(SEEN)
    phone.set_viewport_size(whole)
    phone.keyboard.press("Tab")
    expect(typed.locator(".cubital-status")).to_contain_text("Saved", timeout=READY_MS)
    assert phone.evaluate(SEEN)
    chosen = phone.locator(".cubital-field:has(input[type=radio])").first
    chosen.locator("label").nth(1).tap()
    expect(chosen.locator("input[type=radio]").nth(1)).to_be_checked()
    expect(chosen.locator(".cubital-status")).to_contain_text("Saved", timeout=READY_MS)
    looks_right(phone, "answered")
    save = phone.get_by_role("button", name="Save my file")
    if not save.is_visible():
        phone.get_by_role("button", name="More").tap()
    looks_right(phone, "bar")
    with phone.expect_download(timeout=READY_MS) as given:
        save.tap()
    assert given.value.suggested_filename == "cubital-ada.zip"


def test_a_session_to_refresh_is_gone_through_and_finished_by_finger(site, phone):
    phone.goto(f"{site}?course=ada/lessons/00-start-here.ipynb")
    expect_ready(phone)
    phone.get_by_role("button", name="5 minutes", exact=True).tap()
    expect(phone.locator("main h1")).to_have_text("Refresh", timeout=READY_MS)
    expect_ready(phone)
    for number in range(1, 6):
        expect(phone.get_by_text(f"Question {number} of 5")).to_be_visible(timeout=READY_MS)
        expect(phone.locator(".cubital-field:visible")).to_have_count(1)
        looks_right(phone, f"refresh-{number}")
        phone.get_by_role("button", name="Skip it: it is asked again").tap()
    expect(phone.get_by_text("That was it for today")).to_be_visible(timeout=READY_MS)
    looks_right(phone, "summary")
    finish = phone.get_by_role("link", name="Finish here")
    if not finish.is_visible():
        phone.get_by_role("button", name="More").tap()
    finish.tap()
    expect(phone.locator("main h1")).to_have_text("Finish here", timeout=READY_MS)
    expect_ready(phone)
    phone.get_by_role("button", name="Make my file").tap()
    with phone.expect_download(timeout=READY_MS) as given:
        phone.locator("main").get_by_role("link", name="Save my file").tap()
    assert given.value.suggested_filename == "cubital-ada.zip"
    looks_right(phone, "finish")
