"""What a page shows before Python is up: figures as they stand at first, questions as they stood
here last, both to be set and typed into; Python then takes that over."""

import pytest
from playwright.sync_api import expect

from cubital.tables import course

from ..conftest import READY_MS, expect_ready, open_folds
from .conftest import HeldPython, wait_until_kept

pytestmark = [pytest.mark.browser, pytest.mark.long]
LESSON = "?course=ada/lessons/20-focal-geometry.ipynb"
WORKSHEET = "?course=ada/focal-geometry/focal-geometry.ipynb"
KEPT = "ada/focal-geometry/focal-geometry.ipynb"
# Of each figure on the page: all that it shows, but for the names that each drawing makes anew.
SHOWN = """
(figures) => figures.map((figure) => {
  const canvas = figure.querySelector('canvas');
  const picture = canvas && !canvas.hidden ? canvas.toDataURL() : '';
  return [figure.innerHTML.replace(/(cubital-[a-z]+-)[a-z0-9]+/g, '$1'), picture];
})
"""
# Of each field its item, and the question with all that may be chosen.
ASKED = """
(fields) => fields.map((one) => [one.dataset.item, [...one.querySelectorAll('legend, label, p')]
  .filter((part) => !part.closest('.cubital-status'))
  .map((part) => part.textContent)
  .join('|')])
"""
EARLY = ".cubital-early .cubital-explorer"
LIVE = ".cubital-explorer"


def top_of(locator):
    return locator.evaluate("(one) => one.getBoundingClientRect().top")


def test_a_figure_is_drawn_at_once_and_a_slider_moved_meanwhile_is_taken_over(site, chromium):
    python = HeldPython(chromium)
    page = python.opened(f"{site}{LESSON}")
    figure = page.locator(EARLY).nth(1)
    slider = figure.locator("input[type=range]").first
    expect(figure.locator("svg").first).to_be_visible()
    first = slider.input_value()
    drawn = page.locator(f"{EARLY} .cubital-figure").nth(1).get_attribute("aria-label")
    slider.press("ArrowRight")
    moved = slider.input_value()
    assert moved != first
    expect(figure.locator(".cubital-late")).to_be_visible()  # no picture of another state
    expect(figure.locator(".cubital-readings")).to_be_hidden()
    expect(page.locator(".cubital-news")).to_contain_text("kept, and saved once it is up")
    before = top_of(figure)
    python.release()
    expect_ready(page)
    expect(page.locator(".cubital-early")).to_have_count(0)
    live = page.locator(LIVE).nth(1)
    slider = live.locator("input[type=range]").first
    expect(slider).to_have_value(moved)
    expect(slider).to_be_focused()
    expect(live.locator(".cubital-late")).to_be_hidden()
    expect(live.locator(".cubital-figure")).not_to_have_attribute("aria-label", drawn)
    assert top_of(live) == pytest.approx(before, abs=1)
    python.close()


def test_an_answer_typed_before_python_is_up_is_saved_by_it(site, chromium):
    python = HeldPython(chromium)
    python.release()
    page = python.opened(f"{site}{WORKSHEET}")
    expect_ready(page)
    wait_until_kept(page, lambda kept: KEPT in kept)
    page.close()

    python.hold()
    page = python.opened(f"{site}{WORKSHEET}")
    field = page.locator(".cubital-early .cubital-field:has(input[type=text])").first
    item = field.get_attribute("data-item")
    line = field.locator("input[type=text]")
    line.press_sequentially("3.2 m")
    expect(field.locator(".cubital-status")).to_contain_text("Not saved yet")
    expect(page.locator(".cubital-saved")).to_have_text("Not saved yet")
    before = top_of(line)
    python.release()
    expect_ready(page)
    expect(page.locator(".cubital-early")).to_have_count(0)
    field = page.locator(f".cubital-field[data-item='{item}']")
    line = field.locator("input[type=text]")
    expect(line).to_have_value("3.2 m")
    expect(line).to_be_focused()
    assert top_of(line) == pytest.approx(before, abs=1)
    line.press_sequentially("m")  # where the caret was left
    line.press("Tab")
    expect(line).to_have_value("3.2 mm")
    expect(field.locator(".cubital-status")).to_contain_text("Saved at", timeout=READY_MS)

    python.hold()
    # as the answer: a question's own words may have the same width
    wait_until_kept(page, lambda kept: '"entered":"3.2 mm"' in kept[KEPT])
    page.reload()
    early = page.locator(f".cubital-early .cubital-field[data-item='{item}']")
    expect(early.locator("input[type=text]")).to_have_value("3.2 mm")
    expect(early.locator(".cubital-status")).not_to_contain_text("Saved")
    python.release()
    expect_ready(page)
    expect(line).to_have_value("3.2 mm")
    expect(field.locator(".cubital-status")).to_contain_text("Saved at", timeout=READY_MS)
    python.close()


@pytest.mark.parametrize(
    ("sheet", "typed"), [("focal-geometry", "3.2 mm"), ("complications", "one")]
)
def test_a_first_opening_shows_questions_before_python_is_up_and_no_others_after(
    site, chromium, sheet, typed
):
    python = HeldPython(chromium)
    page = python.opened(f"{site}?course=ada/{sheet}/{sheet}.ipynb")
    fields = page.locator(".cubital-early .cubital-field")
    expect(fields.first).to_be_attached(timeout=READY_MS)
    early = fields.evaluate_all(ASKED)
    line = page.locator(".cubital-early .cubital-field input[type=text]").first
    line.press_sequentially(typed)
    python.release()
    expect_ready(page)
    expect(page.locator(".cubital-early")).to_have_count(0)
    live = dict(page.locator(".cubital-field").evaluate_all(ASKED))
    assert len(early) >= 15
    assert dict(early) == {item: live[item] for item, _words in early}
    line = page.locator(".cubital-field input[type=text]").first
    expect(line).to_have_value(typed)
    python.close()


@pytest.mark.parametrize(
    "name",
    [row.name for row in course.with_worksheets()],
)
def test_what_is_drawn_at_once_is_what_python_draws(site, chromium, name):
    python = HeldPython(chromium)
    page = python.opened(f"{site}?course=ada/lessons/{name}.ipynb")
    expect(page.locator(EARLY).first).to_be_attached()
    open_folds(page)
    early = page.locator(EARLY).evaluate_all(SHOWN)
    python.release()
    expect_ready(page)
    expect(page.locator(".cubital-early")).to_have_count(0)
    live = page.locator(LIVE).evaluate_all(SHOWN)
    assert len(early) == len(live) >= 2
    assert early == live
    python.close()


def test_nobody_sees_what_another_had_on_their_page(site, chromium):
    python = HeldPython(chromium)
    python.release()
    page = python.opened(f"{site}{WORKSHEET}")
    expect_ready(page)
    wait_until_kept(page, lambda kept: KEPT in kept)
    page.goto(f"{site}{LESSON.replace('ada', 'ben')}")
    expect_ready(page)
    wait_until_kept(page, lambda kept: not kept)
    python.close()
