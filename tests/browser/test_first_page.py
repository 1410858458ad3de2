"""From a name to the first page, an educator's file opened there, finishing, and on elsewhere."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from cubital.marking.cohort import course, releasing
from cubital.study import lab
from cubital.study.learner import pages

from .conftest import expect_ready, picture
from .test_page import FORBIDDEN

pytestmark = pytest.mark.browser

PATIENT_MS = 180_000  # all worksheets are laid out, and the computer may be busy


@pytest.fixture(scope="module")
def shared(tmp_path_factory):
    """A workspace in which nobody has begun, as on a computer that many use."""
    workspace = tmp_path_factory.mktemp("shared")
    pages.lay_out_welcome(workspace)
    with lab.Lab(workspace, tmp_path_factory.mktemp("lab")) as server:
        yield server


@pytest.fixture
def begun(shared, open_page):
    """Open the page that asks for a name, and give one."""

    def begin(name, width=1280):
        page = open_page(shared.url(pages.welcome_path(shared.root)), width)
        page.get_by_label("What is your name?").fill(name)
        page.get_by_role("button", name="Begin", exact=True).click()
        expect(page.locator("main h1")).to_have_text("Start here", timeout=PATIENT_MS)
        expect_ready(page)
        return page

    return begin


def faults(page):
    found = Axe().run(page).response["violations"]
    return [(one["id"], [node["html"][:150] for node in one["nodes"]]) for one in found]


def test_a_name_leads_to_the_first_page_with_one_filled_button(shared, begun, width):
    page = begun(f"Maria Schmidt {width}", width)
    expect(page.locator(".cubital-who")).to_have_text(f"Maria Schmidt {width}")
    first = page.locator(".cubital-course").first
    expect(first.locator(".cubital-button")).to_have_text(["Begin"])
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        picture(page, f"first-page-{width}-{scheme}")
        assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert FORBIDDEN.findall(page.locator("body").inner_text()) == []
    first.get_by_role("link", name="Begin").click()
    expect(page.locator("main h1")).to_have_text("Light and depth", timeout=PATIENT_MS)
    expect_ready(page)
    page.get_by_role("link", name="Cubital").click()
    expect(page.locator(".cubital-course").first).to_contain_text(
        "Go on where you stopped", timeout=PATIENT_MS
    )


def test_an_educators_file_is_opened_on_the_page_under_the_rosters_id(shared, begun, tmp_path):
    cohort = course.create(tmp_path / "spring", [course.Learner("ms42", "Maria", "Schmidt")])
    handout = releasing.release(cohort, "catheter-sizing", "spring")
    page = begun("Maria")
    page.get_by_label("Drop the file here, or choose it.").set_input_files(str(handout))
    roster = page.get_by_label("Your id on your educator's roster")
    roster.fill("ms42", timeout=PATIENT_MS)
    page.get_by_role("button", name="Open the worksheet").click()
    expect(page.locator("main h1")).to_contain_text("catheter sizing", timeout=PATIENT_MS)
    expect_ready(page)
    end = page.locator(".cubital-course")
    expect(end.get_by_role("button", name="Make the file to hand in")).to_be_visible()
    assert (shared.root / "maria" / "catheter-sizing" / "roster-id.txt").read_text() == "ms42\n"


def test_finishing_gives_a_file_clears_the_computer_and_the_file_goes_on(shared, begun, tmp_path):
    page = begun("Jo Fox")
    page.get_by_role("link", name="Finish here").click()
    page.get_by_role("button", name="Make my file").click(timeout=PATIENT_MS)
    with page.expect_download() as loaded:
        page.get_by_role("link", name="Save my file").click()
    own = tmp_path / loaded.value.suggested_filename
    loaded.value.save_as(own)
    page.get_by_role("button", name="Clear this computer").click()
    picture(page, "finish")
    assert faults(page) == []
    page.get_by_role("button", name="Yes, it is saved").click()
    expect(page.get_by_label("What is your name?")).to_be_visible(timeout=PATIENT_MS)
    expect(page.locator(".cubital-good")).to_contain_text("Nothing of Jo Fox is left")
    expect(page.locator(".cubital-who")).to_have_text("")
    expect(page.get_by_role("link", name="Finish here")).to_be_hidden()
    assert not (shared.root / "jo-fox").exists()
    picture(page, "welcome")
    assert faults(page) == []
    page.get_by_label("Drop your file here, or choose it.").set_input_files(str(own))
    expect(page.locator(".cubital-who")).to_have_text("Jo Fox", timeout=PATIENT_MS)
    assert (shared.root / "jo-fox" / "lessons").is_dir()
