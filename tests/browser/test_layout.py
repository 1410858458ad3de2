"""Nothing overlaps or is cut off, at 1280 pixels and at 200 %; axe finds nothing of ours."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from .conftest import SCREENSHOTS

pytestmark = pytest.mark.browser

OURS = {"lesson": ".cubital-explorer", "worksheet": ".cubital-field"}
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
      return box.width > 1 && box.height > 1 && !e.closest('.cubital-spoken');
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


@pytest.mark.parametrize("part", ["lesson", "worksheet"])
def test_nothing_overlaps_or_is_cut_off(study, open_page, width, part):
    page = open_page(study.lab.url(getattr(study, part)), width)
    page.set_viewport_size({"width": width, "height": 1600})  # so that each shows as a whole
    expect(page.locator(OURS[part]).last).to_be_attached(timeout=PATIENT_MS)
    page.locator(OURS[part]).last.scroll_into_view_if_needed()
    for number, root in enumerate(page.locator(OURS[part]).all(), 1):
        root.scroll_into_view_if_needed()
        SCREENSHOTS.mkdir(exist_ok=True)
        root.screenshot(path=SCREENSHOTS / f"{part}-{width}-{number:02d}.png")
    assert page.evaluate(FAULTS, OURS[part]) == []


@pytest.mark.parametrize("part", ["lesson", "worksheet"])
def test_axe_finds_nothing_in_what_we_draw(study, open_page, part):
    page = open_page(study.lab.url(getattr(study, part)))
    expect(page.locator(OURS[part]).last).to_be_attached(timeout=PATIENT_MS)
    page.locator(OURS[part]).last.scroll_into_view_if_needed()
    found = Axe().run(page, context={"include": [[OURS[part]]]})
    faults = [
        (v["id"], [n["html"][:120] for n in v["nodes"]]) for v in found.response["violations"]
    ]
    assert faults == []
