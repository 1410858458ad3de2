"""Two windows of a site: only one has Python, and no other writes over what it has stored."""

import pytest
from playwright.sync_api import expect

from ..conftest import READY_MS, expect_ready, picture
from .conftest import HeldPython
from .test_keeping import SHEET, answer, first_answer, leave

pytestmark = [pytest.mark.browser, pytest.mark.long]
ELSEWHERE = "open in another window"
GIVEN_MS = 40_000  # a window that does not give Python up loses it after 15 s


def go_on_here(window):
    told = window.locator(".cubital-aside")
    expect(told).to_contain_text(ELSEWHERE, timeout=READY_MS)
    told.get_by_role("button", name="Go on here").click()


def test_a_window_that_is_still_starting_gives_python_up_for_good(site, chromium):
    python = HeldPython(chromium)
    first = python.opened(f"{site}{SHEET}")
    expect(first.locator("h1")).to_be_visible(timeout=READY_MS)
    second = python.opened(f"{site}{SHEET}")
    go_on_here(second)
    expect(second.locator(".cubital-aside")).to_have_count(0)
    python.release()
    expect(first.locator(".cubital-aside")).to_contain_text(ELSEWHERE, timeout=READY_MS)
    expect_ready(second)
    answer(second, "3 mm")
    second.reload()
    expect_ready(second)
    expect(first_answer(second)).to_have_value("3 mm")
    python.close()


def test_of_two_windows_that_open_at_once_over_plain_http_one_has_python(site, chromium):
    context = chromium.new_context()
    context.add_init_script(
        "Object.defineProperty(Navigator.prototype, 'locks', { value: undefined })"
    )
    windows = [context.new_page() for _ in range(2)]
    for window in windows:
        leave(window)
        window.goto(f"{site}{SHEET}", wait_until="commit")
    told = [window.locator(".cubital-aside, .cubital-code .cubital-field") for window in windows]
    for one in told:
        expect(one.first).to_be_attached(timeout=READY_MS)
    waits = [window.locator(".cubital-aside").count() for window in windows]
    assert sorted(waits) == [0, 1]
    first, second = (windows[waits.index(count)] for count in (0, 1))
    expect_ready(first)
    answer(first, "3 mm")
    go_on_here(second)
    expect_ready(second)
    expect(first_answer(second)).to_have_value("3 mm")
    context.close()


def test_a_window_with_something_that_is_not_stored_is_not_taken_over_without_a_word(site, filling):
    first, fill = filling
    first.goto(f"{site}{SHEET}")
    expect_ready(first)
    answer(first, "2.5 mm")
    fill(True)
    answer(first, "3.5 mm", told="this browser has stored nothing")
    second = first.context.new_page()
    leave(second)
    second.goto(f"{site}{SHEET}")
    go_on_here(second)
    told = second.locator(".cubital-aside")
    expect(told).to_contain_text("has not stored", timeout=GIVEN_MS)
    picture(second, "site-not-taken-over")
    expect(first.locator(".cubital-aside")).to_contain_text("has not stored")
    fill(False)
    expect(first.locator(".cubital-saved")).to_have_text("Saved", timeout=READY_MS)
    told.get_by_role("button", name="Go on here all the same").click()
    expect_ready(second)
    expect(first_answer(second)).to_have_value("3.5 mm")


# Python at work, for as long as a file that it asks for is not given out.
AT_WORK = """
new BroadcastChannel("work").onmessage = () => {
  const request = new XMLHttpRequest();
  request.open("GET", "held", false);
  request.send();
};
"""


def test_a_window_that_is_at_work_when_python_is_taken_from_it_stores_nothing_more(site, chromium):
    context = chromium.new_context()
    held = []

    def put_to_work(route):
        reply = route.fetch()
        route.fulfill(response=reply, body=AT_WORK + reply.text())

    def hold(route):
        held.append(route)

    context.route("**/held", hold)
    first, second = context.new_page(), context.new_page()
    first.route("**/python/pyodide.js", put_to_work)
    for window in (first, second):
        leave(window)
    first.goto(f"{site}{SHEET}")
    expect_ready(first)
    answer(first, "3 mm")
    with first.expect_request("**/held"):
        first.evaluate("new BroadcastChannel('work').postMessage('')")
    first_answer(first).fill("5 mm")
    first_answer(first).press("Tab")
    second.goto(f"{site}{SHEET}")
    go_on_here(second)
    expect(first_answer(second)).to_have_value("3 mm", timeout=GIVEN_MS)
    expect_ready(second)
    answer(second, "4 mm")
    for route in held:
        route.fulfill(body="")
    expect(first.locator(".cubital-aside")).to_contain_text(ELSEWHERE, timeout=READY_MS)
    first.close()
    second.reload()
    expect_ready(second)
    expect(first_answer(second)).to_have_value("4 mm")
    context.close()
