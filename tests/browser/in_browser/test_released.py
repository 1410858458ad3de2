"""An educator's worksheet on a site: opened there, answered, and its file marked like any other."""

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


def test_a_worksheet_is_opened_answered_and_its_file_marked(
    offering, browse, cohort, handout, tmp_path
):
    page = browse(f"{offering}?course=_welcome/lessons/00-start-here.ipynb")
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
    with page.expect_download(timeout=READY_MS) as download:
        page.get_by_role("link", name="Save").or_(
            page.get_by_role("button", name="Save the")
        ).click()
    made = tmp_path / download.value.suggested_filename
    download.value.save_as(made)
    there = marked_from(cohort, made.read_bytes())
    print([(row.item, row.outcome) for row in there])
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
