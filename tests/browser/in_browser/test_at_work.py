"""Python that is at work for long is waited for: it is in the page, and cannot be cut off."""

import re

import pytest
from playwright.sync_api import expect

from ..conftest import READY_MS, expect_ready
from .test_keeping import SHEET, first_answer, leave
from .test_windows import AT_WORK

pytestmark = [pytest.mark.browser, pytest.mark.long]
LONG_MS = 30_000  # a server's kernel that says it is idle is taken for cut off after 10 s


def put_to_work(route):
    route.fulfill(body=AT_WORK + route.fetch().text(), content_type="text/javascript")


def test_nothing_is_connected_anew_while_python_is_at_work(site, chromium):
    context = chromium.new_context()
    page = context.new_page()
    said, held = [], []

    def hold(route):
        held.append(route)

    page.on("console", lambda one: said.append((one.type, one.text)))
    leave(page)
    page.clock.install()
    page.route("**/python/pyodide.js", put_to_work)
    page.route("**/held", hold)
    page.goto(f"{site}{SHEET}")
    expect_ready(page)
    with page.expect_request("**/held"):
        page.evaluate("new BroadcastChannel('work').postMessage('')")
    first_answer(page).fill("3 mm")
    first_answer(page).press("Tab")
    expect(page.locator(".cubital-saved")).to_have_text("Not saved yet")
    page.clock.run_for(LONG_MS)
    expect(page.locator(".cubital-news")).to_have_text(re.compile("Still at work"))
    for route in held:
        route.fulfill(body="")
    expect(page.locator(".cubital-saved")).to_have_text("Saved", timeout=READY_MS)
    assert [one for one in said if one[0] in {"error", "warning"}] == []
    context.close()
