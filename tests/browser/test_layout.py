"""Nothing overlaps or is cut off, at 1280 pixels and at 200 %; axe finds nothing of ours."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from cubital.tables import course

from .conftest import SCREENSHOTS, WIDTHS, open_folds, sampled

pytestmark = pytest.mark.browser

EXPLORER, FIELD = ".cubital-explorer", ".cubital-field"
PATIENT_MS = 30_000

# Boxes of text and controls inside each root: cut off, outside the root, or over a neighbour.
FAULTS = """
(selector) => {
  const faults = [];
  const name = (e) => `${e.tagName.toLowerCase()}.${e.className.baseVal ?? e.className} ` +
    `“${(e.textContent || e.value || '').trim().slice(0, 40)}”`;
  for (const root of document.querySelectorAll(selector)) {
    const outer = root.getBoundingClientRect();
    const shown = [...root.querySelectorAll('*')].filter((e) => {
      const box = e.getBoundingClientRect();
      const folded = e.closest('details:not([open]) > :not(summary)');
      return box.width > 1 && box.height > 1 && !folded && !e.closest('.cubital-spoken');
    });
    for (const e of shown) {
      const box = e.getBoundingClientRect();
      const out = box.left < outer.left - 1 || box.right > outer.right + 1;
      if (out) faults.push('outside: ' + name(e));
      const control = ['INPUT', 'SELECT', 'TEXTAREA'].includes(e.tagName);
      const html = !(e instanceof SVGElement) && !control;
      if (html && (e.scrollWidth > e.clientWidth + 1) && getComputedStyle(e).display !== 'inline')
        faults.push('cut off: ' + name(e));
    }
    const leaves = shown.filter((e) => {
      const text = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
      return text || ['INPUT', 'SELECT', 'TEXTAREA'].includes(e.tagName);
    });
    leaves.forEach((a, i) => leaves.slice(i + 1).forEach((b) => {
      if (a.contains(b) || b.contains(a)) return;
      const p = a.getBoundingClientRect(), q = b.getBoundingClientRect();
      const across = Math.min(p.right, q.right) - Math.max(p.left, q.left);
      const down = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
      if (across > 1 && down > 2) faults.push(`over each other: ${name(a)} and ${name(b)}`);
    }));
  }
  return faults;
}
"""


# The short lessons and the pages about the course hold no explorers; `everywhere` looks at them.
LESSONS = [row.name for row in course.with_worksheets()]
FEW = {
    ("1280 px", "10-light-and-depth"),
    ("1280 px", "60-complications"),
    ("200 %", "80-one-patient"),
}


def show_all(page, selector):
    """Scroll to each of our parts, so that all are drawn; return them."""
    expect(page.locator(selector).first).to_be_attached(timeout=PATIENT_MS)
    open_folds(page)
    for root in page.locator(selector).all():
        root.scroll_into_view_if_needed(timeout=PATIENT_MS)
    return page.locator(selector).all()


def look(page, width, selector, name):
    """Take a picture of each part; return what overlaps or is cut off."""
    page.set_viewport_size({"width": width, "height": 1600})  # so that each shows as a whole
    SCREENSHOTS.mkdir(exist_ok=True)
    for number, root in enumerate(show_all(page, selector), 1):
        root.screenshot(path=SCREENSHOTS / f"{name}-{width}-{number:02d}.png")
    return page.evaluate(FAULTS, selector)


def axe_faults(page, selector):
    """Return what axe finds in our parts."""
    found = Axe().run(page, context={"include": [[selector]]})
    return [(v["id"], [n["html"][:120] for n in v["nodes"]]) for v in found.response["violations"]]


def test_a_worksheet_shows_whole_and_axe_finds_nothing(study, open_page, width):
    page = open_page(study.lab.url(study.worksheet), width)
    assert look(page, width, FIELD, "worksheet") == []
    assert axe_faults(page, FIELD) == []


@pytest.mark.parametrize(("width", "name"), sampled(WIDTHS, LESSONS, FEW), indirect=["width"])
def test_a_lesson_shows_whole_and_axe_finds_nothing(lessons, open_page, width, name):
    page = open_page(lessons(name), width)
    assert look(page, width, EXPLORER, f"lesson-{name}") == []
    assert axe_faults(page, EXPLORER) == []
