"""A private window: what is entered is there while it is open, and gone once it is closed; the page
says so before anything is entered."""

import pytest
from playwright.sync_api import expect

from ..conftest import CHROMIUM, FIREFOX, FLAGS, READY_MS, expect_ready, program
from .test_keeping import answer, first_answer

pytestmark = [pytest.mark.browser, pytest.mark.long]
SHEET = "?course=catheter-sizing/catheter-sizing.ipynb"
# Which notes of the check are marked there: no page can tell a private window of Chromium.
MARKED = {"chromium": [], "firefox": ["Private windows"]}


@pytest.fixture
def window(driver, tmp_path):
    """Open a browser of this name with a profile that stays, its windows private or not."""
    opened = []

    def open_window(name, *, private):
        if name == "chromium":
            also = ["--incognito"] if private else []
            how = {"executable_path": program(*CHROMIUM), "args": [*FLAGS, *also]}
        else:
            prefs = {"browser.privatebrowsing.autostart": private}
            path = program(*FIREFOX)
            how = {"executable_path": path, "channel": "moz-firefox", "firefox_user_prefs": prefs}
        context = getattr(driver, name).launch_persistent_context(tmp_path / "profile", **how)
        opened.append(context)
        page = context.pages[0]  # the browser's own; Chromium has no other in the private window
        page.asked = []
        page.on("dialog", lambda dialog: (page.asked.append(dialog.type), dialog.accept()))
        return page

    yield open_window
    for context in opened:
        context.close()


@pytest.mark.parametrize("name", MARKED)
def test_a_private_window_keeps_all_until_it_is_closed_and_says_so_before(site, window, name):
    page = window(name, private=True)
    page.goto(f"{site}check.html")
    expect(page.locator("#verdict:not(.waiting)")).to_be_visible(timeout=READY_MS)
    notes = page.locator(".card", has=page.get_by_role("heading", name="Private windows"))
    expect(notes).to_contain_text("gone when it is closed: press “Save my file”")
    assert page.locator(".card.care h3").all_inner_texts() == MARKED[name]
    page.goto(site)
    expect_ready(page)
    expect(page.get_by_role("main")).to_contain_text("private or incognito window forgets all")
    page.get_by_label("What is your name?").fill("Ada Alder")
    page.get_by_role("button", name="Begin", exact=True).click()
    expect(page.locator("h1")).to_have_text("Start here", timeout=READY_MS)
    expect_ready(page)
    page.goto(f"{site}{SHEET}")
    expect_ready(page)
    answer(page, "2.5 mm")
    expect(page.get_by_role("button", name="Save my file")).to_have_attribute("data-due", "true")
    page.asked.clear()
    page.reload()
    assert page.asked == ["beforeunload"]
    expect_ready(page)
    expect(first_answer(page)).to_have_value("2.5 mm")
    page.context.close()
    page = window(name, private=False)
    page.goto(site)
    expect_ready(page)
    expect(page.get_by_label("What is your name?")).to_be_visible()
    expect(page.get_by_role("button", name="Ada Alder")).to_have_count(0)
