"""Every page of a learner's: whole in every way of looking, and no word of the machine on it."""

from types import SimpleNamespace

import pytest

from ...plain import machine_words
from ..conftest import expect_ready, open_folds
from .conftest import PAGES
from .looking import faults, spaced_faults

pytestmark = pytest.mark.browser

FEW = {
    "lesson/40-catheter-sizing",
    "asking/40-catheter-sizing",
    "lesson/00-start-here",
    "practice/catheter-sizing",
}
EVERY_PAGE = [pytest.param(page, marks=() if page in FEW else pytest.mark.long) for page in PAGES]
# All that the page says: seen, folded away, as a choice in a list, or to a screen reader alone.
SAID = """
() => {
  const said = [document.title];
  for (const part of document.querySelectorAll("[data-cubital]")) {
    if (part === document.documentElement) continue;
    for (const node of [part, ...part.querySelectorAll("*")]) {
      if (["STYLE", "SCRIPT"].includes(node.tagName)) continue;
      const own = [...node.childNodes].filter(({ nodeType }) => nodeType === Node.TEXT_NODE);
      said.push(own.map(({ textContent }) => textContent).join(" "));
      for (const name of ["aria-label", "aria-valuetext", "alt", "title", "placeholder"])
        said.push(node.getAttribute(name) ?? "");
    }
  }
  return said.filter((words) => words.trim());
}
"""


@pytest.fixture(scope="module", params=EVERY_PAGE)
def shown(request, chromium, address):
    """A page that is open and ready, by its name, for all that is asked of it."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    errors = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(address(request.param))
    expect_ready(page)
    open_folds(page)
    yield SimpleNamespace(name=request.param, page=page)
    context.close()
    assert errors == []


def test_it_says_no_word_of_the_machine_beneath(shown):
    said = shown.page.evaluate(SAID)
    assert any("Help" in words for words in said)
    assert [found for words in said for found in machine_words(words)] == []


def test_it_shows_whole_in_every_way_and_axe_finds_nothing(shown):
    found = faults(shown.page, shown.name)
    assert not found, found


def test_it_shows_whole_with_its_text_spaced(shown):
    found = spaced_faults(shown.page)
    assert not found, found
