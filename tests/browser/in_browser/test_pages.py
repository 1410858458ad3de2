"""Every page of a site: drawn without a word in the console, and whole in every way of looking;
what its first opening moves."""

import pytest
from playwright.sync_api import expect

from cubital.study import folders

from ..conftest import READY_MS, expect_ready, open_folds
from ..everywhere.looking import faults

pytestmark = [pytest.mark.browser, pytest.mark.long]

MOST_MB = 40  # of a first opening, as it is promised
START = folders.lesson_names()[0]
PAGES = {
    **{name: f"ada/lessons/{name}.ipynb" for name in folders.lesson_names()},
    **{name: f"ada/{name}/{name}.ipynb" for name in folders.worksheet_names()},
    "finish": "ada/finish/finish.ipynb",
    "welcome": f"_welcome/lessons/{START}.ipynb",
}


@pytest.mark.parametrize("name", PAGES)
def test_a_page_moves_no_more_than_is_said_says_nothing_and_shows_whole(site, browse, name):
    page = browse(f"{site}?course={PAGES[name]}")
    assert len(page.sizes) > 50
    assert sum(page.sizes) / 1e6 <= MOST_MB
    expect(page.locator("main h1")).to_have_count(1)
    open_folds(page)
    found = faults(page, f"site/{name}")
    assert not found, found


def test_a_session_to_refresh_says_nothing_in_the_console_and_shows_whole(site, browse):
    page = browse(f"{site}?course={PAGES[START]}")
    page.get_by_role("button", name="15 minutes").click()
    expect(page.locator("main h1")).to_have_text("Refresh", timeout=READY_MS)
    expect_ready(page)
    found = faults(page, "site/refresh")
    assert not found, found
