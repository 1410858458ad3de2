"""An educator's worksheet on a site: opened there, answered, and its file marked like any other."""

import pytest
from playwright.sync_api import expect

from cubital.educator import collect, mark
from cubital.marking.cohort import course, releasing
from cubital.site import building, serving

from ..conftest import READY_MS, expect_ready, picture

pytestmark = [pytest.mark.browser, pytest.mark.long]
FIELD = ".cubital-field:has(input[type=text])"


@pytest.fixture(scope="module")
def cohort(tmp_path_factory):
    folder = tmp_path_factory.mktemp("cohort")
    return course.create(folder / "cohort", [course.Learner("n-17", "Ada", "Alder")])


@pytest.fixture(scope="module")
def offering(cohort, tmp_path_factory):
    """The address of a site that offers one released worksheet."""
    handout = releasing.release(cohort, "catheter-sizing", "spring")
    folder = tmp_path_factory.mktemp("offering") / "site"
    building.build(folder, released=[handout])
    with serving.served(folder) as address:
        yield address


def test_a_worksheet_is_opened_answered_and_its_file_marked(offering, browse, cohort, tmp_path):
    page = browse(f"{offering}?course=_welcome/lessons/00-start-here.ipynb")
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_label("What is your name?").fill("Ada Alder")
    page.get_by_role("button", name="Begin", exact=True).click()
    expect(page.get_by_role("heading", name="From your educator")).to_be_visible(timeout=READY_MS)
    expect_ready(page)
    picture(page, "site-offered")
    page.get_by_role("button", name="Catheter sizing").click()
    page.get_by_label("Your id on your educator's roster").fill("n-17")
    page.get_by_role("button", name="Open the worksheet").click()
    expect(page.locator("h1")).to_contain_text("catheter sizing", timeout=READY_MS)
    expect_ready(page)
    expect(page.locator("main")).not_to_contain_text("This is practice")
    field = page.locator(FIELD).first
    field.locator("input[type=text]").fill("1.651 mm")
    field.locator("input[type=text]").press("Tab")
    expect(field.locator(".cubital-status")).to_contain_text("Saved", timeout=READY_MS)
    page.get_by_role("button", name="Make the file to hand in").click()
    with page.expect_download(timeout=READY_MS) as download:
        page.get_by_role("link", name="Save").or_(
            page.get_by_role("button", name="Save the")
        ).click()
    made = tmp_path / download.value.suggested_filename
    download.value.save_as(made)
    (cohort.inbox / made.name).write_bytes(made.read_bytes())
    collected = collect.collect(cohort.root, "catheter-sizing")
    marked = mark.mark(cohort.root, "catheter-sizing")
    print(collected, marked)
    assert False
