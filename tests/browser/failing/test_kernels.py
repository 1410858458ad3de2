"""A page whose kernel dies, is restarted or stands still, or whose connection is cut.

Whatever happens, three statements hold: no number stands on the page that is not the figure's, no
“Saved” that the file does not hold, and all is healed by itself, with what was set and typed.
"""

import io
import json
import re
import zipfile

import pytest
from playwright.sync_api import expect

from . import faults
from .seen import HEALED_MS, ITEM, Answer, Figure

pytestmark = pytest.mark.browser

ENDINGS = {"killed": faults.kill, "restarted": faults.restart, "ended": faults.end}
PAUSES = {"paused": faults.paused, "offline": faults.offline}
BROWSERS = ("chromium", "firefox")
NO_SWITCH = {("offline", "firefox")}  # its automation has none: there the proxy is cut alone
IN_BOTH = pytest.mark.parametrize("browser", BROWSERS)
LINKED = """
async (link) => [...new Uint8Array(await (await fetch(link.href)).arrayBuffer())]
"""


def in_browsers(faults, *few):
    """Each fault in each browser that can have it; all but the few are left to the long tier."""
    return pytest.mark.parametrize(
        ("how", "browser"),
        [
            pytest.param(how, browser, marks=() if (how, browser) in few else pytest.mark.long)
            for how in faults
            for browser in BROWSERS
            if (how, browser) not in NO_SWITCH
        ],
    )


@in_browsers(ENDINGS, ("restarted", "chromium"))
def test_a_figure_whose_kernel_ends_is_healed_as_it_was(study, opened, how):
    figure = Figure(opened(study.lab.url(study.lesson)))
    figure.move(3)
    figure.shows(3)
    ENDINGS[how](study.lab, figure.page)
    figure.move(4.2)
    figure.shows(4.2)
    figure.move(2)
    figure.shows(2)
    figure.witness.testify()


@in_browsers(ENDINGS, ("killed", "chromium"))
def test_an_answer_to_a_kernel_that_ended_is_saved(study, opened, how):
    answer = Answer(opened(study.lab.url(study.worksheet)), study.worksheet.parent)
    answer.type("21 %")
    answer.is_saved("21 %")
    ENDINGS[how](study.lab, answer.page)
    answer.type("34 %")
    answer.is_saved("34 %")
    answer.witness.testify()


@in_browsers(PAUSES)
def test_a_figure_that_gets_no_answer_for_a_while_goes_on(study, opened, how):
    figure = Figure(opened(study.lab.url(study.lesson)))
    news = figure.page.locator(".cubital-news")
    before = figure.page.evaluate(faults.KEPT)
    with PAUSES[how](study.lab, figure.page):
        figure.move(4.2)
        expect(news).not_to_be_empty(timeout=HEALED_MS)
        expect(figure.root.locator(".cubital-readings")).to_be_hidden()
    figure.shows(4.2)
    assert figure.page.evaluate(faults.KEPT) == before
    figure.witness.testify()


@in_browsers(PAUSES, ("paused", "chromium"))
def test_an_answer_that_gets_no_reply_for_a_while_is_saved(study, opened, how):
    answer = Answer(opened(study.lab.url(study.worksheet)), study.worksheet.parent)
    answer.type("22 %")
    answer.is_saved("22 %")
    with PAUSES[how](study.lab, answer.page):
        answer.type("35 %")
        expect(answer.status).to_have_text("Not saved yet, trying again.", timeout=HEALED_MS)
        expect(answer.bar).to_have_text("Not saved yet")
        expect(answer.page.locator(".cubital-news")).not_to_be_empty(timeout=HEALED_MS)
    answer.is_saved("35 %")
    answer.witness.testify()


@pytest.mark.long
def test_a_process_that_stands_still_for_a_minute_is_busy_and_not_dead(study, opened):
    answer = Answer(opened(study.lab.url(study.worksheet)), study.worksheet.parent)
    figure = Figure(opened(study.lab.url(study.lesson)))
    kernels = [faults.kernel_of(one.page) for one in (answer, figure)]
    with faults.paused(study.lab, answer.page), faults.paused(study.lab, figure.page):
        answer.type("41 %")
        figure.move(5.1)
        until = figure.page.evaluate("performance.now() + 60_000")
        figure.page.wait_for_function("until => performance.now() > until", arg=until, timeout=0)
        expect(figure.page.locator(".cubital-news")).to_contain_text("Still at work.")
        expect(answer.status).to_have_text("Not saved yet, trying again.")
    answer.is_saved("41 %")
    figure.shows(5.1)
    assert [faults.kernel_of(one.page) for one in (answer, figure)] == kernels
    for one in (answer, figure):
        one.witness.testify()


@pytest.fixture
def proxy(study):
    proxy = faults.Proxy(study.lab.port)
    yield proxy
    proxy.close()


def through(proxy, study, notebook):
    return study.lab.url(notebook).replace(f":{study.lab.port}/", f":{proxy.port}/")


@pytest.mark.long
@IN_BOTH
def test_a_connection_that_is_closed_on_the_way_is_made_again(study, opened, proxy, browser):
    answer = Answer(opened(through(proxy, study, study.worksheet)), study.worksheet.parent)
    answer.type("28 %")
    answer.is_saved("28 %")
    proxy.cut()
    answer.type("42 %")
    expect(answer.page.locator(".cubital-news")).to_contain_text("no connection", timeout=HEALED_MS)
    expect(answer.status).to_have_text("Not saved yet, trying again.")
    proxy.mend()
    answer.is_saved("42 %")
    answer.witness.testify()


@pytest.mark.long
@IN_BOTH
def test_a_figure_goes_on_after_a_connection_was_closed_on_the_way(study, opened, proxy, browser):
    figure = Figure(opened(through(proxy, study, study.lesson)))
    proxy.cut()
    figure.move(4.4)
    expect(figure.page.locator(".cubital-news")).to_contain_text("no connection", timeout=HEALED_MS)
    expect(figure.root.locator(".cubital-readings")).to_be_hidden()
    proxy.mend()
    figure.shows(4.4)
    figure.witness.testify()


@pytest.mark.long
def test_a_kernel_that_has_no_memory_left_is_started_anew(study, opened):
    answer = Answer(opened(study.lab.url(study.worksheet)), study.worksheet.parent)
    answer.type("29 %")
    answer.is_saved("29 %")
    faults.starve(study.lab, answer.page)
    answer.type("43 %")
    answer.is_saved("43 %")
    answer.witness.testify()


@in_browsers(ENDINGS)
def test_the_file_to_hand_in_is_made_by_one_press_whatever_ended(study, opened, how, browser):
    answer = Answer(opened(study.lab.url(study.worksheet)), study.worksheet.parent)
    typed = f"{50 + 10 * BROWSERS.index(browser) + [*ENDINGS].index(how)} %"
    answer.type(typed)
    answer.is_saved(typed)
    ENDINGS[how](study.lab, answer.page)
    answer.page.get_by_role("button", name=re.compile("Make the file")).click()
    made = answer.page.get_by_text("✓ Made on")
    expect(made).to_be_visible(timeout=HEALED_MS)
    link = answer.page.get_by_role("link", name=re.compile("Save the file"))
    if browser == "firefox":  # its automation tells of no download: what the link leads to is read
        saved = io.BytesIO(bytes(link.evaluate(LINKED)))
    else:
        with answer.page.expect_download() as download:
            link.click()
        saved = io.BytesIO(download.value.path().read_bytes())
    with zipfile.ZipFile(saved) as file:
        held = json.loads(file.read("answers.json"))
    assert held["items"][ITEM.id][-1]["answer"]["typed"] == typed
