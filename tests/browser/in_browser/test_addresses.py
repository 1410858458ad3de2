"""A site at a plain http address of another host, as on an intranet: browsers trust it less, and it
runs all the same."""

import urllib.parse

import pytest
from playwright.sync_api import expect

from ..conftest import CHROMIUM, FIREFOX, FLAGS, READY_MS, expect_ready, program
from .test_keeping import SHEET, answer, first_answer, leave

pytestmark = [pytest.mark.browser, pytest.mark.long]
HOST = "intranet.example"


@pytest.fixture(params=["chromium", "firefox"])
def browser(driver, request):
    """A browser for which the host of an intranet is this computer."""
    if request.param == "chromium":
        args = [*FLAGS, f"--host-resolver-rules=MAP {HOST} 127.0.0.1"]
        opened = driver.chromium.launch(executable_path=program(*CHROMIUM), args=args)
    else:
        opened = driver.firefox.launch(
            executable_path=program(*FIREFOX),
            channel="moz-firefox",
            firefox_user_prefs={"network.dns.localDomains": HOST},
        )
    yield opened
    opened.close()


def test_the_course_runs_over_plain_http_and_the_check_says_what_is_missing(site, browser):
    there = f"http://{HOST}:{urllib.parse.urlsplit(site).port}/"
    context = browser.new_context()
    page = context.new_page()
    leave(page)
    page.goto(f"{there}check.html")
    expect(page.locator("#verdict:not(.waiting)")).to_be_visible(timeout=READY_MS)
    assert page.evaluate("[isSecureContext, 'locks' in navigator]") == [False, False]
    expect(page.locator("#outcome")).to_contain_text("The course can run in this browser.")
    assert page.locator(".card.care h3").all_inner_texts() == ["The address"]
    page.goto(f"{there}{SHEET}")
    expect_ready(page)
    answer(page, "2.5 mm")
    page.reload()
    expect_ready(page)
    expect(first_answer(page)).to_have_value("2.5 mm")
    second = context.new_page()
    leave(second)
    second.goto(f"{there}{SHEET}")
    told = second.locator(".cubital-aside")
    expect(told).to_contain_text("open in another window", timeout=READY_MS)
    told.get_by_role("button", name="Go on here").click()
    expect_ready(second)
    expect(first_answer(second)).to_have_value("2.5 mm", timeout=READY_MS)
    context.close()
