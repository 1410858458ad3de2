"""What is entered on a site stays: in the browser's store, and in one file for the learner."""

import io
import json
import zipfile

import pytest
from playwright.sync_api import expect

from cubital.study.learner import carrying

from ..conftest import READY_MS, expect_ready, picture

pytestmark = pytest.mark.browser
SHEET = "?course=ada/catheter-sizing/catheter-sizing.ipynb"
FIELD = ".cubital-field:has(input[type=text])"


def answer(page, words, told="Saved"):
    field = page.locator(FIELD).first
    box = field.locator("input[type=text]")
    box.fill(words)
    box.press("Tab")
    expect(field.locator(".cubital-status")).to_contain_text(told, timeout=READY_MS)
    return field


def first_answer(page):
    return page.locator(FIELD).first.locator("input[type=text]")


def leave(page):
    """Go away from a page that asks whether one means it."""
    page.on("dialog", lambda dialog: dialog.accept())


def saved_file(page, path):
    with page.expect_download(timeout=READY_MS) as download:
        page.get_by_role("button", name="Save my file").click()
    download.value.save_as(path)
    return path.read_bytes()


def test_an_answer_is_there_after_a_reload_and_in_the_file_that_another_computer_takes_over(
    site, browse, tmp_path
):
    page = browse(f"{site}{SHEET}")
    leave(page)
    answer(page, "2.5 mm")
    page.reload()
    expect_ready(page)
    expect(first_answer(page)).to_have_value("2.5 mm")
    data = saved_file(page, tmp_path / "mine.zip")
    expect(page.get_by_role("button", name="My file is saved")).to_be_visible()
    picture(page, "site-file-saved")
    who = carrying.take_over(tmp_path / "elsewhere", data)
    kept = json.loads((who.folder / "catheter-sizing" / "answers.json").read_text())
    assert "2.5 mm" in json.dumps(kept)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert "cubital-learner-file.json" in archive.namelist()


@pytest.mark.long
def test_a_second_window_is_told_and_may_go_on_with_what_the_first_has(site, browse, chromium):
    first = browse(f"{site}{SHEET}")
    leave(first)
    answer(first, "3 mm")
    second = first.context.new_page()
    leave(second)
    second.goto(f"{site}{SHEET}")
    told = second.locator(".cubital-aside")
    expect(told).to_contain_text("open in another window")
    picture(second, "site-second-window")
    told.get_by_role("button", name="Go on here").click()
    expect_ready(second)
    expect(first_answer(second)).to_have_value("3 mm", timeout=READY_MS)
    expect(first.locator(".cubital-aside")).to_contain_text("open in another window")


@pytest.mark.long
def test_a_browser_that_stores_nothing_is_told_of_and_the_file_has_all(site, chromium, tmp_path):
    context = chromium.new_context()
    context.add_init_script("delete window.indexedDB")
    page = context.new_page()
    leave(page)
    page.route("**/pyodide.asm.js", without_store)
    page.goto(f"{site}{SHEET}")
    expect_ready(page)
    expect(page.locator(".cubital-aside")).to_contain_text("stores nothing here")
    answer(page, "4 mm", told="Not saved: this browser has stored nothing")
    picture(page, "site-nothing-stored")
    who = carrying.take_over(tmp_path, saved_file(page, tmp_path / "mine.zip"))
    assert "4 mm" in (who.folder / "catheter-sizing" / "answers.json").read_text()
    context.close()


def without_store(route):
    """Give Python, but no store of the browser's to it."""
    reply = route.fetch()
    gone = "Object.defineProperty(self, 'indexedDB', { value: undefined });\n"
    route.fulfill(response=reply, body=gone + reply.text())
