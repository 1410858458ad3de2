"""Predict, then see: what a prediction hides until it is said, and how it is kept."""

import json

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from cubital.handin.progress import FILE, read_progress
from cubital.study import folders, lab
from cubital.study.learner import people

from .conftest import expect_ready, picture

pytestmark = pytest.mark.browser

PATIENT_MS = 30_000
LIGHT, FOCAL = "10-light-and-depth", "20-focal-geometry"
SIZING, REACHING = "40-catheter-sizing", "50-reaching-the-vein"


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    """A workspace in which learners begin, and the server of all of them."""
    workspace = tmp_path_factory.mktemp("predict")
    with lab.Lab(workspace, tmp_path_factory.mktemp("lab")) as server:
        yield server


@pytest.fixture
def learner(course, request):
    """The folder of a learner who has said nothing yet."""
    name = f"Ada {request.node.name}"
    folder = people.begin(course.root, name).folder
    for lesson in folders.lesson_names():
        folders.lay_out_lesson(folder, lesson)
    return folder


@pytest.fixture
def opened(course, learner, open_page):
    """Open a lesson of the learner's."""
    return lambda lesson, width=1280: open_page(
        course.url(learner / folders.LESSONS / f"{lesson}.ipynb"), width
    )


def block(page, cell):
    return page.locator(f'section[data-block="{cell}"]')


def form(page, cell):
    return block(page, cell).locator("form")


def said(learner):
    kept = read_progress(learner / folders.LESSONS).predicted
    return {place: one.words for place, one in kept.items()}


def expect_unfolded(page, cell, words, *hosts):
    """Whatever belongs to a prediction is there, with what was said in both places."""
    expect(form(page, cell)).to_be_hidden()
    expect(block(page, cell)).to_contain_text(words)
    for host in hosts:
        expect(block(page, host)).to_be_visible()
    expect(block(page, hosts[-1]).locator(".cubital-beside")).to_have_text(words)


def test_a_number_said_by_mouse_unfolds_the_reading_and_is_there_after_a_reload(learner, opened):
    page = opened(FOCAL)
    asks, reading = form(page, "registration"), block(page, "read-the-shift")
    expect(reading).to_be_hidden()
    expect(block(page, "shown-and-true")).to_be_visible()  # it does not tell as it stands
    expect(page.get_by_text("Then move the first slider to 18.")).to_be_hidden()
    commit = asks.get_by_role("button", name="This is my prediction")
    commit.click()
    expect(asks.get_by_role("alert")).to_have_text("Write a number, or press “Show me”.")
    box = asks.get_by_label("The shift of the line, in mm")
    expect(box).to_be_focused()
    box.fill("about 1")
    commit.click()
    expect(reading).to_be_hidden()
    box.fill("0,5")
    commit.click()
    expect_unfolded(page, "registration", "You said: 0,5 mm", "shown-and-true", "read-the-shift")
    expect(page.get_by_text("Then move the first slider to 18.")).to_be_visible()
    expect(reading).to_be_focused()
    expect(reading).to_be_in_viewport()
    expect(page.locator(".cubital-saved")).to_have_text("Saved", timeout=PATIENT_MS)
    assert said(learner) == {f"{FOCAL}/registration": "0,5 mm"}
    expect(block(page, "read-the-distance")).to_be_hidden()
    page.reload()
    expect_ready(page)
    expect_unfolded(page, "registration", "You said: 0,5 mm", "read-the-shift")
    expect(reading).not_to_be_focused()
    expect(block(page, "read-the-distance")).to_be_hidden()


def test_a_choice_is_said_by_keyboard_alone_and_the_focus_follows(learner, opened):
    page = opened(SIZING)
    figure, reading = block(page, "gauges-end-on"), block(page, "gauge-runs-backwards")
    expect(figure).to_be_hidden()  # it would tell
    first, second, *_ = form(page, "gauge-french-millimetres").get_by_role("radio").all()
    first.focus()
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    expect(second).to_be_checked()
    expect(reading).to_be_hidden()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    words = "You said: The 18 gauge catheter"
    expect_unfolded(
        page, "gauge-french-millimetres", words, "gauges-end-on", "gauge-runs-backwards"
    )
    expect(reading).to_be_focused()
    expect(reading).to_have_accessible_name("Reading of prediction 1")
    expect(reading).to_have_accessible_description(words)
    expect(page.locator(".cubital-saved")).to_have_text("Saved", timeout=PATIENT_MS)
    assert [*said(learner).values()] == ["The 18 gauge catheter"]


def test_a_place_is_none_until_it_is_put_and_can_be_put_by_keys_or_one_press(learner, opened):
    page = opened(REACHING)
    asks = form(page, "share-in-the-vein")
    mark = asks.get_by_role("slider")
    expect(mark).to_have_attribute("aria-valuetext", "Not put anywhere yet")
    mark.focus()
    page.keyboard.press("Enter")
    expect(asks.get_by_role("alert")).to_contain_text("Put the mark where you expect it")
    for _ in range(7):
        page.keyboard.press("ArrowRight")
    expect(mark).to_have_attribute("aria-valuetext", "3.5 mm")
    mark.click()  # in its middle
    expect(mark).to_have_attribute("aria-valuetext", "5.0 mm")
    asks.get_by_role("button", name="This is my prediction").click()
    expect_unfolded(
        page, "share-in-the-vein", "You said: 5.0 mm", "share-and-depth", "read-the-share"
    )
    expect(page.locator(".cubital-saved")).to_have_text("Saved", timeout=PATIENT_MS)
    assert said(learner) == {f"{REACHING}/share-in-the-vein": "5.0 mm"}


def test_who_asks_is_shown_and_may_still_predict_again(learner, opened):
    page = opened(SIZING)
    asks, reading = form(page, "drip-rate"), block(page, "read-the-drip")
    asks.get_by_role("button", name="Show me").click()
    expect_unfolded(page, "drip-rate", "You asked to be shown.", "read-the-drip")
    expect(reading).to_be_focused()
    expect(page.locator(".cubital-saved")).to_have_text("Saved", timeout=PATIENT_MS)
    assert said(learner) == {f"{SIZING}/drip-rate": ""}
    page.get_by_role("button", name="Predict again").click()
    expect(reading).to_be_hidden()
    box = asks.get_by_role("textbox")
    expect(box).to_be_focused()
    box.fill("100 drops/min")
    box.press("Enter")
    expect_unfolded(page, "drip-rate", "You said: 100 drops/min", "read-the-drip")
    expect(page.locator(".cubital-saved")).to_have_text("Saved", timeout=PATIENT_MS)
    assert said(learner) == {f"{SIZING}/drip-rate": "100 drops/min"}


def test_what_could_not_be_kept_is_not_called_saved_and_is_tried_again(learner, opened):
    page = opened(SIZING)
    progress = learner / folders.LESSONS / FILE
    whole = progress.read_text(encoding="utf-8")
    progress.write_text("{", encoding="utf-8")
    form(page, "smallest-adequate").get_by_label("22 gauge").check()
    form(page, "smallest-adequate").get_by_role("button", name="This is my prediction").click()
    expect(block(page, "read-the-choice")).to_be_focused()
    with page.expect_event("console", lambda message: "progress.json" in message.text):
        pass
    expect(page.locator(".cubital-saved")).to_have_text("Not saved yet")
    progress.write_text(whole, encoding="utf-8")
    expect(page.locator(".cubital-saved")).to_have_text("Saved", timeout=PATIENT_MS)
    assert [*said(learner).values()] == ["22 gauge"]
    assert json.loads(progress.read_text(encoding="utf-8"))["page"] == json.loads(whole)["page"]


def test_on_paper_the_questions_stand_and_all_readings_follow_on_a_later_page(opened):
    page = opened(SIZING)
    form(page, "drip-rate").get_by_role("button", name="Show me").click()
    page.emulate_media(media="print")
    picture(page, "predict-print")
    expect(page.locator(".cubital-folded").filter(visible=False)).to_have_count(0)
    tops = page.locator("main > section[data-block]").evaluate_all(
        "all => all.filter((e) => e.offsetHeight).map((e) => "
        "[e.classList.contains('cubital-unfolds'), e.getBoundingClientRect().top])"
    )
    readings = [top for unfolds, top in tops if unfolds]
    rest = [top for unfolds, top in tops if not unfolds]
    assert readings == sorted(readings)
    assert min(readings) > max(rest)
    first = page.locator(".cubital-unfolds").first
    assert first.evaluate("e => getComputedStyle(e).breakBefore") == "page"
    for number in range(1, 7):
        expect(page.get_by_text(f"Reading of prediction {number}", exact=True)).to_be_visible()
    question = form(page, "smallest-adequate")
    expect(question.get_by_text("22 gauge")).to_be_visible()
    expect(question.get_by_role("button", name="Show me")).to_be_hidden()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_before_and_after_a_prediction(opened, width, scheme):
    page = opened(REACHING, width)
    page.emulate_media(color_scheme=scheme)
    for cell, press in (("two-walls", "Show me"), ("share-in-the-vein", "This is my prediction")):
        form(page, cell).scroll_into_view_if_needed()
        picture(page, f"predict-{cell}-{width}-{scheme}")
        form(page, cell).get_by_role("button", name=press).click()
    expect(form(page, "share-in-the-vein").get_by_role("alert")).not_to_be_empty()
    found = Axe().run(page).response["violations"]
    assert [(v["id"], [n["html"][:150] for n in v["nodes"]]) for v in found] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_what_is_for_those_who_want_the_numbers_stays_folded_until_its_heading_is_pressed(opened):
    page = opened(LIGHT, 390)
    told, figure = block(page, "two-formulas"), block(page, "photons-one-by-one")
    expect(told).to_be_hidden()
    expect(figure).to_be_hidden()
    fold = page.locator("summary", has_text="where the curves come from")
    expect(fold.get_by_role("heading", level=3)).to_be_visible()
    fold.focus()
    page.keyboard.press("Enter")
    expect(figure.get_by_role("button", name="Follow the photons")).to_be_visible()
    expect(form(page, "where-numbers-come-from")).to_be_visible()
    expect(block(page, "read-the-photons")).to_be_hidden()  # until something is predicted
    expect(told).to_be_hidden()
    page.emulate_media(media="print")
    expect(told).to_be_visible()
