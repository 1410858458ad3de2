"""An educator's worksheet on a site: opened there, answered, and its file marked like any other."""

import io
import re
import zipfile

import pytest
from playwright.sync_api import expect

from cubital.educator import collect, mark
from cubital.handin.bundle import hand_in
from cubital.marking.cohort import course, releasing
from cubital.site import building, serving
from cubital.study import folders
from cubital.worksheet.sitting import sitting

from ..conftest import READY_MS, expect_ready, picture

pytestmark = [pytest.mark.browser, pytest.mark.long]
SHEET = "catheter-sizing"
FIELD = ".cubital-field:has(input[type=text])"
WELCOME = "?course=_welcome/lessons/00-start-here.ipynb"
# What a page gives as files, which its policy lets no script fetch again.
NOTED = """
  const made = URL.createObjectURL;
  window.given = {};
  URL.createObjectURL = (blob) => {
    const url = made.call(URL, blob);
    window.given[url] = blob;
    return url;
  };
"""
LINKED = "async (link) => [...new Uint8Array(await window.given[link.href].arrayBuffer())]"


@pytest.fixture(scope="module")
def cohort(tmp_path_factory):
    folder = tmp_path_factory.mktemp("cohort")
    return course.create(folder / "cohort", [course.Learner("n-17", "Ada", "Alder")])


@pytest.fixture(scope="module")
def handout(cohort):
    return releasing.release(cohort, SHEET, "spring")


@pytest.fixture(scope="module")
def offering(handout, tmp_path_factory):
    """The address of a site that offers one released worksheet."""
    folder = tmp_path_factory.mktemp("offering") / "site"
    building.build(folder, released=[handout])
    with serving.served(folder) as address:
        yield address


def file_made_in(page):
    """Open the worksheet that a site offers, answer a question and make the file to hand in."""
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_label("What is your name?").fill("Ada Alder")
    page.get_by_role("button", name="Begin", exact=True).click()
    expect(page.get_by_role("heading", name="From your educator", exact=True)).to_be_visible(
        timeout=READY_MS
    )
    expect_ready(page)
    picture(page, "site-offered")
    page.get_by_role("button", name="Catheter sizing").click()
    page.get_by_label("Your id on your educator's roster").fill("n-17")
    page.get_by_role("button", name="Open the worksheet").click()
    expect(page.locator("h1")).to_contain_text("catheter sizing", timeout=READY_MS)
    expect_ready(page)
    expect(page.locator("main")).not_to_contain_text("This is practice")
    field = page.locator(FIELD).first
    field.locator("input[type=text]").fill("1.5 mm")
    field.locator("input[type=text]").press("Tab")
    expect(field.locator(".cubital-status")).to_contain_text("Saved", timeout=READY_MS)
    page.get_by_role("button", name="Make the file to hand in").click()
    link = page.get_by_role("link", name=re.compile("^Save the file"))
    expect(link).to_be_visible(timeout=READY_MS)
    return link


def test_a_worksheet_is_opened_answered_and_its_file_marked(
    offering, browse, cohort, handout, tmp_path
):
    page = browse(f"{offering}{WELCOME}")
    link = file_made_in(page)
    with page.expect_download(timeout=READY_MS) as download:
        link.click()
    there = marked_from(cohort, download.value.path().read_bytes())
    assert there == marked_from(cohort, entered_here(tmp_path, handout).read_bytes())


def test_what_firefox_gives_to_hand_in_is_whole_and_marked_alike(
    offering, firefox, cohort, handout, tmp_path
):
    context = firefox.new_context()
    context.add_init_script(NOTED)  # its automation tells of no download
    page = context.new_page()
    page.goto(f"{offering}{WELCOME}")
    expect_ready(page)
    link = file_made_in(page)
    assert link.get_attribute("download").endswith(".zip")
    data = bytes(link.evaluate(LINKED))
    context.close()
    with zipfile.ZipFile(io.BytesIO(data)) as file:
        assert file.testzip() is None
        assert "1.5 mm" in file.read("answers.json").decode()
    there = marked_from(cohort, data)
    assert there == marked_from(cohort, entered_here(tmp_path, handout).read_bytes())


def marked_from(cohort, data):
    """Hand in a file, mark it, and return each item's outcome."""
    (cohort.inbox / f"{len([*cohort.inbox.iterdir()])}.zip").write_bytes(data)
    collected = collect.collect(cohort.workspace, SHEET)
    assert (collected.handed_in, collected.left) == (("n-17",), ())
    (result,) = mark.mark(cohort.workspace, SHEET).results
    return result.items


def entered_here(folder, handout):
    """Make the same hand-in with the installed course, without a browser."""
    learner = folders.learner_folder(folder, "ada-alder")
    notebook = folders.open_released(learner, handout, "n-17")
    here = sitting(notebook.parent)
    here.store.save("sizing-upper-diameter", "1.5 mm")
    return hand_in(notebook.parent, "n-17", folder)
