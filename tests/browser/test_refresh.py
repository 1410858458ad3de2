"""A session to refresh in a real browser: the first answer counts when its button is pressed."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from cubital.handin.released.release import read_release
from cubital.refresh.reviews import read_reviews
from cubital.study import lab, refreshing

from .conftest import LEARNER, picture
from .test_layout import PATIENT_MS

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def session(tmp_path_factory):
    """A session so long that numbers are asked for too, ready to be opened."""
    workspace = tmp_path_factory.mktemp("refresh")
    opened = refreshing.lay_out_refresh(workspace, LEARNER, minutes=40)
    with lab.Lab(opened.folder, workspace / "lab") as server:
        yield opened, server.url(opened.notebook), read_release(opened.notebook.parent)


def reviews(opened):
    return [(one.item, one.rating) for one in read_reviews(opened.folder, LEARNER).reviews]


def skip(page, first, last):
    """Skip the questions from one number to another, both among them."""
    for number in range(first, last + 1):
        expect(page.get_by_text(f"Question {number} of")).to_be_visible(timeout=PATIENT_MS)
        page.get_by_role("button", name="Skip it: it is asked again").click()


def test_an_answer_counts_once_it_is_said_to_be_ones_own(session, open_page):
    opened, address, release = session
    listed = release.listed()
    place = next(n for n, one in enumerate(listed) if one.kind == "number")
    item, second = listed[place : place + 2]
    page = open_page(address)
    assert page.locator(".cubital-field:visible").count() == 1  # one question at a time
    skip(page, 1, place)
    form = page.locator(f'.cubital-field[data-item="{item.id}"]')
    form.scroll_into_view_if_needed(timeout=PATIENT_MS)
    status = form.locator(".cubital-status")
    right = item.answer(release.values(item, LEARNER))
    box = form.get_by_role("textbox")
    box.fill(f"{right!r} {item.unit}")
    box.press("Tab")
    expect(status).to_contain_text("Marked once you press “This is my answer”", timeout=PATIENT_MS)
    assert reviews(opened) == []
    form.get_by_label("How sure are you? (it helps to set the next date)").select_option("0.95")
    form.get_by_role("button", name="This is my answer").click()
    expect(status).to_contain_text("Right.", timeout=PATIENT_MS)
    assert reviews(opened) == [(item.id, "easy")]
    picture(page, "refresh-answered")
    box.fill(f"{2 * right!r} {item.unit}")
    form.get_by_role("button", name="This is my answer").click()
    expect(status).not_to_contain_text("Right.", timeout=PATIENT_MS)
    assert reviews(opened) == [(item.id, "easy")]
    page.get_by_role("button", name="Next question").click(timeout=PATIENT_MS)
    expect(form).to_be_hidden()
    expect(page.locator(f'.cubital-field[data-item="{second.id}"]')).to_be_visible()
    skip(page, place + 2, len(listed))
    expect(page.get_by_role("heading", name="That was it for today")).to_be_visible()
    expect(page.locator(".cubital-course")).to_contain_text("1 of 1 answered right")
    assert Axe().run(page).response["violations"] == []
    picture(page, "refresh-summary")
