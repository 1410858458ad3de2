"""The page that a learner gets back, opened from the disk: at every width, light and dark."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from cubital.marking.cohort import collecting
from cubital.marking.feedback import returning
from cubital.marking.marks import marker

from .conftest import SCREENSHOTS

pytestmark = pytest.mark.browser

WORKSHEET, WIDTH = "catheter-sizing", "cannot-size-first"
WAYS = {
    "a small phone": {"width": 320},
    "a tablet, dark": {"width": 820, "color_scheme": "dark"},
    "a large screen": {"width": 1920},
    "forced colours": {"width": 1280, "forced_colors": "active"},
    "print": {"width": 794, "media": "print"},  # A4 at 96 dots an inch
}
STATE = "getComputedStyle(document.querySelector('.result')).backgroundColor"


@pytest.fixture(scope="module")
def pages(copy_course, desk, tmp_path_factory):
    """One page of each state: met but for the text, and not met by a choice that can harm."""
    where = tmp_path_factory.mktemp("feedback")
    course = copy_course(where / "w", ["waits", "harms"])
    desk(course, "waits", where / "homes").answer().hand_in()
    at = desk(course, "harms", where / "homes")
    item = next(item for item in at.release.listed() if item.id == WIDTH)
    wrong, *_ = item.slip_answers(at.values(WIDTH))
    at.answer({WIDTH: wrong}).hand_in()
    assert collecting.collect(course, WORKSHEET) == []
    marker.mark(course, WORKSHEET)
    return {page.parts[-3]: page for page in returning.feedback(course, WORKSHEET)}


@pytest.fixture
def opened(chromium, pages):
    """Open a page in one of the ways; it may ask for nothing but itself."""
    contexts = []

    def open_it(learner, width, media=None, **told):
        context = chromium.new_context(viewport={"width": width, "height": 1000}, **told)
        contexts.append(context)
        page = context.new_page()
        page.asked = []
        page.on("request", lambda request: page.asked.append(request.url.partition(":")[0]))
        page.goto(pages[learner].as_uri())
        page.emulate_media(media=media)
        return page

    yield open_it
    for context in contexts:
        context.close()


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("learner", ["waits", "harms"])
def test_it_can_be_read_in_every_way_and_asks_for_nothing_else(opened, learner, way):
    page = opened(learner, **WAYS[way])
    SCREENSHOTS.mkdir(exist_ok=True)
    page.screenshot(
        path=SCREENSHOTS / f"feedback-{learner}-{way.replace(',', '').replace(' ', '-')}.png"
    )
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert set(page.asked) <= {"file", "data"}
    found = Axe().run(page).response["violations"]
    assert [(row["id"], row["nodes"][0]["html"]) for row in found] == []


def test_the_first_screen_says_the_state_and_what_must_be_right(opened):
    page = opened("harms", 1280)
    shown = page.locator("h1, #first-cannot-size-first h3").all()
    assert [one.inner_text() for one in shown] == [
        "○ Something to work on",
        "✕ 9. Situation 2",
    ]
    for one in shown:
        assert one.bounding_box()["y"] < 1000
    assert page.evaluate(STATE) == "rgb(251, 241, 220)"  # of care, never of harm


def test_a_link_leads_to_its_question(opened):
    page = opened("harms", 320)
    page.get_by_role("link", name="See the question").click()
    assert page.locator(f"#{WIDTH}").evaluate("one => one.matches(':target')")
    assert 0 <= page.locator(f"#{WIDTH}").bounding_box()["y"] < 1000
