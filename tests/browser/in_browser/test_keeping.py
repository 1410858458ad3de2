"""What is entered on a site stays: in the browser's store, and in one file for the learner."""

import io
import json
import zipfile

import pytest
from playwright.sync_api import expect

from cubital.handin.answers import read_answers
from cubital.handin.progress import read_progress
from cubital.study import folders
from cubital.study.learner import carrying, people
from cubital.worksheet.sitting import sitting

from ..conftest import READY_MS, expect_ready, picture

pytestmark = [pytest.mark.browser, pytest.mark.long]
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


# Something is typed into the second box while Python is asked to store, which will fail.
ENTERED_WHILE_STORING = """
async (boxes) => {
  const box = document.querySelectorAll(boxes)[1];
  window.cubitalStored().catch(() => {});
  await new Promise((resolve) => setTimeout(resolve));
  box.focus();
  box.value = "5 Fr";
  box.dispatchEvent(new Event("input", { bubbles: true }));
  box.dispatchEvent(new Event("change", { bubbles: true }));
  box.blur();
}
"""


def test_a_browser_that_stores_nothing_is_told_of_and_the_file_has_all(site, chromium, tmp_path):
    context = chromium.new_context()
    context.add_init_script("delete window.indexedDB")
    page = context.new_page()
    leave(page)
    page.route("**/python/pyodide.js", without_store)
    page.goto(f"{site}{SHEET}")
    expect_ready(page)
    expect(page.locator(".cubital-aside")).to_contain_text("stores nothing here")
    answer(page, "4 mm", told="Not saved: this browser has stored nothing")
    told = page.locator(FIELD).nth(1).locator(".cubital-status")
    page.evaluate(ENTERED_WHILE_STORING, f"{FIELD} input[type=text]")
    expect(told).to_contain_text("Not saved: this browser has stored nothing", timeout=READY_MS)
    picture(page, "site-nothing-stored")
    who = carrying.take_over(tmp_path, saved_file(page, tmp_path / "mine.zip"))
    expect(page.get_by_role("button", name="My file is saved")).to_be_visible()
    expect(page.locator(".cubital-aside")).to_contain_text("stores nothing here")
    kept = (who.folder / "catheter-sizing" / "answers.json").read_text()
    assert "4 mm" in kept
    assert "5 Fr" in kept
    context.close()


def without_store(route):
    """Give Python, but no store of the browser's to it."""
    reply = route.fetch()
    gone = "Object.defineProperty(self, 'indexedDB', { value: undefined });\n"
    route.fulfill(response=reply, body=gone + reply.text())


SIZING = "catheter-sizing"
NAME, LEARNER = "Ada Alder", "ada-alder"
ITEMS = ("sizing-upper-diameter", "sizing-french", "sizing-ratio")
WORDS = ("1.5 mm", "4 Fr", "34 %")


def enter_in_study(folder, data, n):
    """Take a file over with the installed course, answer a question; the file that is made."""
    if data is None:
        own = people.begin(folder, NAME).folder
        folders.lay_out_course(own)
    else:
        own = carrying.take_over(folder, data).folder
    if n is not None:
        sitting(own / SIZING).store.save(ITEMS[n], WORDS[n])
    return carrying.packed(own)


def enter_on_site(browse, site, folder, data, n):
    """Do the same in a browser that has stored nothing before."""
    page = browse(f"{site}?course=_welcome/lessons/00-start-here.ipynb")
    leave(page)
    if data is None:
        page.get_by_label("What is your name?").fill(NAME)
        page.get_by_role("button", name="Begin", exact=True).click()
    else:
        mine = {"name": "cubital-ada.zip", "mimeType": "application/zip", "buffer": data}
        page.locator("input[type=file]").set_input_files(mine)
    expect(page.locator("h1")).to_have_text("Start here", timeout=READY_MS)
    expect_ready(page)
    page.goto(f"{site}?course={LEARNER}/{SIZING}/{SIZING}.ipynb")
    expect_ready(page)
    field = page.locator(f'.cubital-field[data-item="{ITEMS[n]}"]')
    field.locator("input[type=text]").fill(WORDS[n])
    field.locator("input[type=text]").press("Tab")
    expect(field.locator(".cubital-status")).to_contain_text("Saved", timeout=READY_MS)
    folder.mkdir()
    data = saved_file(page, folder / "mine.zip")
    page.context.close()
    return data


def entered(folder, data):
    """Return how many answers a file holds, by item."""
    rows = read_answers(carrying.take_over(folder, data).folder / SIZING).items
    return {item: len(some) for item, some in rows.items()}


@pytest.mark.parametrize("order", ["study, site, study", "site, study, site", "apart, together"])
def test_a_file_goes_to_and_fro_and_nothing_is_lost_or_doubled(site, browse, tmp_path, order):
    if order == "study, site, study":
        data = enter_in_study(tmp_path / "1", None, 0)
        data = enter_on_site(browse, site, tmp_path / "2", data, 1)
        data = enter_in_study(tmp_path / "1", data, 2)
    elif order == "site, study, site":
        data = enter_on_site(browse, site, tmp_path / "1", None, 0)
        data = enter_in_study(tmp_path / "2", data, 1)
        data = enter_on_site(browse, site, tmp_path / "3", data, 2)
    else:
        begun = enter_in_study(tmp_path / "1", None, 0)
        there = enter_on_site(browse, site, tmp_path / "2", begun, 1)
        enter_in_study(tmp_path / "1", begun, 2)
        data = enter_in_study(tmp_path / "1", there, None)
        data = enter_in_study(tmp_path / "1", there, None)
    assert entered(tmp_path / "last", data) == dict.fromkeys(ITEMS, 1)


def test_a_full_store_is_told_and_saved_to_once_it_has_room(site, filling):
    page, fill = filling
    page.goto(f"{site}{SHEET}")
    expect_ready(page)
    field = answer(page, "2.5 mm")
    fill(True)
    answer(page, "3.5 mm", told="this browser has stored nothing")
    expect(page.locator(".cubital-saved")).to_have_text("Not saved yet")
    fill(False)
    expect(field.locator(".cubital-status")).to_contain_text("Saved", timeout=READY_MS)


def test_what_is_chosen_in_a_form_while_the_store_is_full_is_told_until_it_has_room(
    site, filling, tmp_path
):
    page, fill = filling
    page.goto(f"{site}?course=_welcome/lessons/00-start-here.ipynb")
    page.get_by_label("What is your name?").fill(NAME)
    page.get_by_role("button", name="Begin", exact=True).click()
    expect(page.locator("h1")).to_have_text("Start here", timeout=READY_MS)
    expect_ready(page)
    fill(True)
    page.get_by_label("Paediatric care").check()
    told = page.locator(".cubital-aside")
    expect(told).to_contain_text("has not stored what you entered or chose", timeout=READY_MS)
    expect(page.locator(".cubital-saved")).to_have_text("Not saved yet")
    picture(page, "site-choice-not-stored")
    data = saved_file(page, tmp_path / "mine.zip")
    expect(page.get_by_role("button", name="My file is saved")).to_be_visible()
    expect(told).to_contain_text("has not stored what you entered or chose")
    who = carrying.take_over(tmp_path, data)
    assert read_progress(who.folder / folders.LESSONS).path == "paediatric"
    fill(False)
    expect(told).to_have_count(0, timeout=READY_MS)
    expect(page.locator(".cubital-saved")).not_to_have_text("Not saved yet")
    page.reload()
    expect_ready(page)
    expect(page.get_by_label("Paediatric care")).to_be_checked()


def test_how_sure_one_is_before_anything_is_answered_is_no_answer(site, browse):
    page = browse(f"{site}{SHEET}")
    leave(page)
    field = page.locator(FIELD).first
    with page.expect_event("console", timeout=READY_MS) as told:
        field.get_by_label("How sure are you?").select_option(index=2)
        page.evaluate("cubitalStored().then(() => console.info('stored'))")
    assert told.value.text == "stored"
    expect(field.locator(".cubital-status")).not_to_contain_text("Not saved")
    answer(page, "2.5 mm")
    assert field.get_by_label("How sure are you?").input_value() != ""


def test_a_window_that_is_closed_while_something_is_only_in_it_asks(site, browse):
    page = browse(f"{site}{SHEET}")
    first_answer(page).press_sequentially("2.5")
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))
    page.close(run_before_unload=True)
    page.wait_for_timeout(1)
    expect(page.locator("h1")).to_be_visible()
    assert asked == ["beforeunload"]
