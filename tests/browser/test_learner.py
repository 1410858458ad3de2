"""What a learner does in a real browser, from the lesson to the mark. Pictures: screenshots/."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from cubital import calc, items
from cubital.handin.answers import read_answers
from cubital.marking.cohort import collecting
from cubital.marking.feedback import returning
from cubital.marking.marks import marker

from .conftest import LEARNER, SCREENSHOTS, expect_ready, picture
from .test_forms import Form
from .test_layout import FAULTS

pytestmark = pytest.mark.browser

EXPLORER, FIELD = ".cubital-explorer", ".cubital-field"
PATIENT_MS = 30_000
ASKED = sum(not item.optional for item in items.WORKSHEETS["catheter-sizing"])


def box(page, title):
    """Return the answer field whose label names this item."""
    return page.locator(FIELD).filter(has=page.get_by_label(re.compile(f"^Your answer: {title}")))


def test_a_slider_moved_by_keyboard_changes_figure_and_numbers(study, open_page):
    page = open_page(study.lab.url(study.lesson))
    flow = page.locator(EXPLORER).nth(1)
    flow.scroll_into_view_if_needed(timeout=PATIENT_MS)
    slider = flow.locator("input[type=range]").first
    figure = flow.get_by_role("img")
    before, words = figure.inner_html(), figure.get_attribute("aria-label")
    picture(page, "lesson-flow-before")
    slider.focus()
    for _ in range(8):
        slider.press("ArrowRight")
    expect(slider).to_have_attribute("aria-valuetext", "1.20 millimetres")
    saline = calc.fluid("saline", temperature_c=22)
    pressure = calc.hydrostatic_pressure_pa(800, density_kg_per_m3=saline.density_kg_per_m3)
    wanted = calc.catheter_flow_ml_per_min(
        1.2,
        length_mm=32,
        pressure_pa=pressure,
        viscosity_mpa_s=saline.viscosity_mpa_s,
        density_kg_per_m3=saline.density_kg_per_m3,
    )
    expect(flow.locator(".cubital-readings")).to_contain_text(f"{wanted:.3g} mL/min")
    expect(figure).not_to_have_attribute("aria-label", words)
    assert figure.inner_html() != before
    picture(page, "lesson-flow-after")


def test_a_number_can_be_typed_and_one_out_of_range_is_told_the_range(study, open_page):
    page = open_page(study.lab.url(study.lesson))
    fit = page.locator(EXPLORER).first
    fit.scroll_into_view_if_needed(timeout=PATIENT_MS)
    slider, typed = fit.locator("input[type=range]").first, fit.locator(".cubital-typed").first
    typed.fill("3,4")
    typed.press("Enter")
    expect(slider).to_have_attribute("aria-valuetext", "3.4 millimetres")
    typed.fill("34")
    typed.press("Tab")
    expect(fit.get_by_role("alert").first).to_contain_text("from 1 to 6 mm")
    expect(typed).to_have_value("3.4")
    picture(page, "lesson-typed-wrong")


def enter(page, item, typed, words):
    """Type into an item's field, leave it, and wait for what it says."""
    textbox = box(page, item.title).get_by_role("textbox")
    textbox.fill(typed, timeout=PATIENT_MS)
    textbox.press("Tab")
    status = box(page, item.title).get_by_role("status")
    expect(status).to_contain_text(words, timeout=PATIENT_MS)


def _values(cohort, item):
    """What the learner's paper asks about, as only the educator has it."""
    papers = cohort.sealed(cohort.release("catheter-sizing"))
    return papers.asked(item.id, LEARNER, None)[0].values


def _right_option(cohort):
    width = items.find("sizing-picture-width")
    options = width.options(_values(cohort, width))
    return next(option.text for option in options if option.right)


def answer_some(page, cohort):
    """Answer three items right (6 points), one with a slip, one in words; return what was typed."""
    ratio, vein = items.find("sizing-ratio"), items.find("sizing-smallest-vein")
    french, reasons = items.find("sizing-french"), items.find("sizing-reasons")
    right = f"{100 * ratio.answer(_values(cohort, ratio)):.0f} %"
    needed = vein.answer(_values(cohort, vein))
    slip = french.slip_values(_values(cohort, french))["radius-for-diameter"]
    enter(page, ratio, right, "Saved at")
    enter(page, vein, f"{needed / 10:.3f} cm", "mm (typed “")
    enter(page, french, f"{slip:.3f} Fr", "Saved at")
    page.get_by_role("radio", name=_right_option(cohort)).check()
    choice = page.locator(FIELD).filter(has_text=_right_option(cohort))
    expect(choice.get_by_role("status")).to_contain_text("Saved at")
    enter(page, reasons, "It is only a blurred shadow.", "Saved at")
    return {ratio.title: right, french.title: f"{slip:.3f} Fr"}


def test_answers_are_saved_found_again_handed_in_and_marked(study, open_page):
    page = open_page(study.lab.url(study.worksheet))
    typed = answer_some(page, study.cohort)
    page.reload()
    for title, text in typed.items():
        textbox = box(page, title).get_by_role("textbox")
        expect(textbox).to_have_value(text, timeout=PATIENT_MS)
    option = _right_option(study.cohort)
    expect(page.get_by_role("radio", name=option)).to_be_checked()
    textbox.scroll_into_view_if_needed()
    picture(page, "worksheet-after-reload")

    end = page.locator(".cubital-course")
    expect(end).to_contain_text(f"{ASKED - 5} of {ASKED} questions are not answered")
    end.get_by_role("button", name="1. Outer diameter of a gauge").click()
    expect(box(page, "Outer diameter of a gauge").get_by_role("textbox")).to_be_focused()
    end.get_by_role("button", name="Make the file to hand in").click()
    expect(end).to_contain_text("Give the file to whoever gave you this worksheet")
    end.get_by_text("What is in the file").click()
    expect(end.get_by_role("cell", name="It is only a blurred shadow.")).to_be_visible()
    picture(page, "worksheet-handed-in")
    found = Axe().run(page).response["violations"]
    assert [(v["id"], v["nodes"][0]["html"][:150]) for v in found] == []
    with page.expect_download() as loaded:
        end.get_by_role("link", name="Save the file of").click()
    made = study.cohort.inbox / loaded.value.suggested_filename
    loaded.value.save_as(made)
    (kept,) = (study.lab.root / "handed-in").glob("*.zip")
    assert kept.read_bytes() == made.read_bytes()

    assert collecting.collect(study.cohort, "catheter-sizing") == []
    (result,) = marker.mark(study.cohort, "catheter-sizing")
    assert result.points == 6
    (feedback,) = returning.feedback(study.cohort, "catheter-sizing")
    page = open_page(feedback.as_uri())
    expect(page.get_by_text("6 of 33 points")).to_be_visible()
    expect(page.locator("body")).to_contain_text(
        "the radius is multiplied: start from the whole way across"
    )
    expect(page.locator("body")).to_contain_text("It is only a blurred shadow.")
    page.screenshot(path=SCREENSHOTS / "feedback.png", full_page=True)


def test_a_wrong_dimension_is_refused_and_not_saved(study, open_page):
    page = open_page(study.lab.url(study.worksheet))
    area = items.find("sizing-area-share")
    enter(page, area, "30 %", "Saved at")
    enter(page, area, "4 mm", "does not measure this")
    enter(page, area, "-0.3", "Share is -0.3: it must be from 0 to 100")
    expect(box(page, area.title).get_by_role("status")).to_contain_text("earlier answer stays: 0.3")
    box(page, area.title).scroll_into_view_if_needed()
    picture(page, "worksheet-refused")
    assert read_answers(study.worksheet.parent).last(area.id).answer["number"] == 0.3


class AskedBack(Form):
    """The share of the worksheet that is marked, typed without its per cent sign."""

    ITEM = items.find("sizing-area-share")

    def __init__(self, page, folder):
        super().__init__(page, self.ITEM)
        self.folder = folder
        self.box = self.root.get_by_role("textbox")
        self.button = self.root.get_by_role("button")
        expect(self.root.locator(".cubital-status")).not_to_be_empty(timeout=PATIENT_MS)

    def again(self):
        self.page.reload()
        return AskedBack(self.page, self.folder)

    def type(self, typed):
        self.box.focus()
        self.press("Control+a", *typed, "Tab")

    def kept(self):
        return read_answers(self.folder).last(self.item.id).answer["typed"]

    def is_asked(self, meant, earlier):
        expect(self.button).to_have_text(f"Yes, {meant}", timeout=PATIENT_MS)
        expect(self.button).to_be_in_viewport(ratio=1)
        expect(self.root).to_have_attribute("data-state", "refused")
        self.says("Not saved.", "stays: ", f"(typed “{earlier}”)")
        assert self.kept() == earlier

    def says(self, *words):
        told = self.root.locator(".cubital-status").inner_text()
        assert "Saved" not in told
        assert all(word in told for word in words), told

    def shows_whole(self):
        where = f'.cubital-field[data-item="{self.item.id}"]'
        assert self.page.evaluate(FAULTS, where) == []
        found = Axe().run(self.page, context={"include": [[where]]})
        assert [(v["id"], v["nodes"][0]["html"]) for v in found.response["violations"]] == []


def asked(study, page, earlier):
    """Return the question with an answer saved."""
    one = AskedBack(page, study.worksheet.parent)
    one.type(earlier)
    one.is_saved(f"(typed “{earlier}”)")
    expect(one.button).to_be_hidden()
    return one


def test_a_share_without_its_sign_is_asked_back_and_taken_over_by_one_click(study, open_page):
    one = asked(study, open_page(study.lab.url(study.worksheet)), "21 %")
    one.type("34")
    one.is_asked("34 %", "21 %")
    picture(one.page, "form-asked-back")
    one.shows_whole()
    one.box.click()  # to look at it again answers nothing
    one.is_asked("34 %", "21 %")
    one = one.again()  # what was typed is not lost by that
    expect(one.box).to_have_value("34", timeout=PATIENT_MS)
    one.is_asked("34 %", "21 %")
    one.button.click()
    one.is_saved("(typed “34 %”)")
    assert one.kept() == "34 %"
    expect(one.button).to_be_hidden()
    one = one.again()
    expect(one.box).to_have_value("34 %", timeout=PATIENT_MS)
    one.is_saved("(typed “34 %”)")


@pytest.mark.long
def test_what_is_asked_back_is_taken_over_by_keyboard_alone(study, open_page):
    one = asked(study, open_page(study.lab.url(study.worksheet), 640), "22 %")
    one.type("34")
    one.is_asked("34 %", "22 %")
    picture(one.page, "form-asked-back-640")
    one.shows_whole()
    one.press("Tab")  # from how sure one is
    expect(one.button).to_be_focused()
    one.is_asked("34 %", "22 %")
    one.press("Enter")
    one.is_saved("(typed “34 %”)")
    assert one.kept() == "34 %"
    expect(one.box).to_be_focused()
    expect(one.again().box).to_have_value("34 %", timeout=PATIENT_MS)


def test_a_killed_kernel_and_a_reload_lose_nothing(study, open_page):
    page = open_page(study.lab.url(study.worksheet))
    item = items.find("sizing-drip-rate")
    enter(page, item, "37 drops/min", "Saved at")
    kernel = page.evaluate("sessionStorage.getItem('cubital-kernel')")
    study.lab.request("DELETE", f"kernels/{kernel}")
    page.reload()
    field = box(page, item.title)
    expect(field.get_by_role("textbox")).to_have_value("37 drops/min", timeout=PATIENT_MS)
    expect(field.get_by_role("status")).to_contain_text("Saved at")
    assert page.evaluate("sessionStorage.getItem('cubital-kernel')") != kernel


def test_a_second_window_shows_and_keeps_what_the_first_saved(study, open_page):
    first = open_page(study.lab.url(study.worksheet))
    second = first.context.new_page()
    second.goto(first.url)
    expect_ready(second)
    time, bore = items.find("sizing-infusion-time"), items.find("sizing-bore-flow")
    for page, item, typed in ((first, time, "3 h 20 min"), (second, bore, "7.5 mL/min")):
        field = box(page, item.title)
        field.get_by_role("textbox").fill(typed, timeout=PATIENT_MS)
        field.get_by_role("textbox").press("Tab")
        expect(field.get_by_role("status")).to_contain_text("Saved at")
    expect(box(second, time.title).get_by_role("textbox")).to_have_value("3 h 20 min")
    saved = read_answers(study.worksheet.parent)
    assert saved.last(time.id).answer["number"] == pytest.approx(10 / 3)
    assert saved.last(bore.id).answer["number"] == 7.5
