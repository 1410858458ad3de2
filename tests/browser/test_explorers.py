"""Every explorer of every lesson, moved by keyboard and by mouse: figure and numbers follow."""

import pytest
from playwright.sync_api import expect

from cubital.explore.kit.catalogue import every_explorer

from .conftest import sampled
from .test_layout import EXPLORER, LESSONS, show_all

pytestmark = pytest.mark.browser

HOW = ("keyboard", "mouse")
EACH_ONE_WAY = {(name, HOW[at % 2]) for at, name in enumerate(LESSONS)}
BY_TITLE = {explorer().title: explorer for explorer in every_explorer()}

# What the eye gets: the canvas's pixels, the drawing, the words beside.
SEEN = """
(root) => {
  const canvas = root.querySelector('canvas');
  const pixels = canvas && !canvas.hidden
    ? canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data : [];
  let sum = 0;
  for (let i = 0; i < pixels.length; i += 4) sum = (sum * 31 + pixels[i]) % 4294967291;
  const readings = root.querySelector('.cubital-readings').textContent;
  return [sum, root.querySelector('.cubital-figure svg')?.outerHTML ?? '', readings].join('|');
}
"""
CHANGED = f"([root, before]) => ({SEEN})(root) !== before"


def state_of(root, explorer):
    """The state that the controls in the page stand at."""
    state = {}
    inputs = root.locator("input[type=range], select").all()
    for name, control in zip(explorer.inputs, inputs, strict=True):
        value = control.input_value()
        trait = explorer().traits()[name]
        if control.get_attribute("type") == "range":
            state[name] = trait.validate(None, float(value))
        else:
            key = control.evaluate("e => JSON.parse(e.value)")
            state[name] = trait.validate(None, key)
    return state


def seen(root):
    return root.evaluate(SEEN)


def wait_for_change(page, root, before):
    page.wait_for_function(CHANGED, arg=[root.element_handle(), before])


def move(page, root, control, how):
    """Move one control by the keyboard or by the mouse."""
    if control.evaluate("e => e.tagName") == "SELECT":
        options = control.locator("option").count()
        here = control.evaluate("e => e.selectedIndex")
        control.select_option(index=(here + 1) % options)
        return
    if how == "keyboard":
        at_end = control.evaluate("e => Number(e.value) >= Number(e.max)")
        control.press("Home" if at_end else "End")
        return
    box = control.bounding_box()
    at_start = control.evaluate("e => (e.value - e.min) < 0.5 * (e.max - e.min)")
    share = 0.8 if at_start else 0.2
    page.mouse.click(box["x"] + share * box["width"], box["y"] + box["height"] / 2)


@pytest.mark.parametrize(("name", "how"), sampled(LESSONS, HOW, EACH_ONE_WAY))
def test_figure_and_numbers_follow_every_control(lessons, open_page, name, how):
    page = open_page(lessons(name))
    roots = show_all(page, EXPLORER)
    assert roots
    for root in roots:
        explorer = BY_TITLE[root.locator(".cubital-title").text_content()]
        root.scroll_into_view_if_needed()
        for control in root.locator("input[type=range], select").all():
            before = seen(root)
            control.scroll_into_view_if_needed()
            move(page, root, control, how)
            wait_for_change(page, root, before)
        wanted = explorer(**state_of(root, explorer)).show()
        readings = root.locator(".cubital-readings")
        for reading in wanted.readings:
            expect(readings).to_contain_text(reading.label)
            expect(readings).to_contain_text(reading.value)
        expect(root.get_by_role("img")).to_have_attribute("aria-label", wanted.alt)
