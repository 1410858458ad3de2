"""The page as a whole: nothing of JupyterLab is seen, heard or reached, and it mends itself."""

import json
import re
from dataclasses import replace

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from cubital.handin.progress import keep_progress
from cubital.study import folders, lab, ways

from .conftest import LEARNER, expect_ready, picture

pytestmark = pytest.mark.browser

LESSON = "40-catheter-sizing"
# Words of the machine below; “cell” is one too, but blood has cells.
FORBIDDEN = re.compile(
    r"\b(kernels?|notebooks?|traceback|widgets?|json|servers?|jupyter\w*|python|cells?)\b", re.I
)
WHOLE_PAGES = {
    "lesson": f"lessons/{LESSON}.ipynb",
    "worksheet": "catheter-sizing/catheter-sizing.ipynb",
    "map": "lessons/00-start-here.ipynb",
}


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    """A learner's whole course, and the address of each of its pages by its path."""
    workspace = tmp_path_factory.mktemp("page")
    opened = folders.lay_out(workspace, LEARNER, LESSON)
    folders.lay_out_course(opened.folder)
    with lab.Lab(opened.folder, workspace / "lab") as server:
        yield server


@pytest.fixture(scope="module")
def whole_lab(tmp_path_factory):
    """The page in a JupyterLab that has all its parts, as on a hub."""
    workspace = tmp_path_factory.mktemp("whole")
    opened = folders.lay_out(workspace, LEARNER, LESSON)
    way = replace(ways.PAGE, left_out=lambda: (), server_left_out=())
    with lab.Lab(opened.folder, workspace / "lab", way=way) as server:
        yield server


@pytest.fixture
def opened(course, open_page):
    """Open one of the course's pages."""
    return lambda path, width=1280: open_page(course.url(course.root / path), width)


def told(page):
    """What the browser tells a screen reader: role and name of each part."""
    session = page.context.new_cdp_session(page)
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    return [
        (node["role"]["value"], node.get("name", {}).get("value", ""))
        for node in nodes
        if not node["ignored"]
    ]


def test_under_its_first_text_a_page_says_who_reviewed_it_once_also_after_a_link(opened, course):
    page = opened("lessons/00-start-here.ipynb")
    expect_ready(page)
    notices = page.locator(".cubital-reviewed p")
    expect(notices).to_have_text(["No clinician has reviewed this yet."])
    assert page.locator(".cubital-main > *").first.locator(".cubital-reviewed").count() == 1
    keep_progress(course.root / folders.LESSONS, path="venepuncture")
    page.get_by_role("link", name="Reading the vein").first.click()
    expect(page.locator("h1")).to_have_text("Reading the vein")
    expect_ready(page)
    expect(notices).to_have_count(2)
    expect(notices.last).to_contain_text("your path's own page, “Blood sampling”")
    keep_progress(course.root / folders.LESSONS, path="adult")


def test_nothing_of_jupyterlab_is_told_to_a_screen_reader(whole_lab, open_page):
    page = open_page(whole_lab.url(whole_lab.root / WHOLE_PAGES["lesson"]))
    parts = told(page)
    roles = [role for role, _ in parts]
    assert [roles.count(role) for role in ("banner", "navigation", "main")] == [1, 1, 1]
    assert not {"menubar", "menuitem", "tab", "tablist", "toolbar", "tree"} & {*roles}
    names = " ".join(name for role, name in parts if role not in {"StaticText", "InlineTextBox"})
    assert "jupyter" not in names.lower()
    headings = page.get_by_role("heading", level=1)
    expect(headings).to_have_count(1)


def test_no_word_of_the_machine_stands_on_the_screen(opened):
    page = opened(WHOLE_PAGES["lesson"])
    page.get_by_role("button", name="Help").click()
    assert FORBIDDEN.findall(page.locator("body").inner_text()) == []
    page.get_by_role("button", name="Close").click()
    expect(page.get_by_role("dialog")).to_have_count(0)


# Who takes a key for a command keeps the browser from what it does with it.
TAKEN = """
() => {
  window.taken = [];
  const look = (event) => event.defaultPrevented && window.taken.push(event.key);
  addEventListener('keydown', (event) => setTimeout(look, 0, event), { capture: true });
}
"""


def test_keys_reach_no_command_and_change_no_page(whole_lab, open_page):
    path = whole_lab.root / WHOLE_PAGES["lesson"]
    before = path.read_bytes()
    page = open_page(whole_lab.url(path))
    page.evaluate(TAKEN)
    shown = page.locator("body").inner_text()
    for focused in (page.locator("main"), page.locator(".cubital-explorer select").first):
        focused.focus()
        for key in ("a", "d", "d", "x", "0", "0", "Control+b", "Control+s", "Control+Shift+c"):
            page.keyboard.press(key)
    assert page.evaluate("window.taken") == []
    assert page.locator("body").inner_text() == shown
    assert path.read_bytes() == before


@pytest.mark.parametrize("what", WHOLE_PAGES)
def test_axe_finds_nothing_on_the_whole_page(opened, what, width):
    page = opened(WHOLE_PAGES[what], width)
    picture(page, f"page-{what}-{width}")
    found = Axe().run(page).response["violations"]
    assert [(v["id"], [n["html"][:150] for n in v["nodes"]]) for v in found] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_an_edited_page_is_put_back_and_said_as_the_course_has_it(course, opened):
    path = course.root / "lessons" / "50-reaching-the-vein.ipynb"
    notebook = json.loads(path.read_text(encoding="utf-8"))
    title = notebook["cells"][0]["source"]
    notebook["cells"][0]["source"] = ["# Mine\n"]
    del notebook["cells"][5]
    path.write_text(json.dumps(notebook), encoding="utf-8")
    page = opened("lessons/50-reaching-the-vein.ipynb")
    expect(page.locator("main h1")).to_have_text(title[0].removeprefix("# ").strip())
    again = json.loads(path.read_text(encoding="utf-8"))
    assert again["cells"][0]["source"] == title
    assert len(again["cells"]) == len(notebook["cells"]) + 1


def test_a_reload_takes_the_same_kernel_and_another_window_its_own(course, opened):
    page = opened(WHOLE_PAGES["map"])
    kept = "sessionStorage.getItem('cubital-kernel')"
    first = page.evaluate(kept)
    page.reload()
    expect_ready(page)
    assert page.evaluate(kept) == first
    with page.expect_popup() as popup:  # it gets a copy of what the first window keeps
        page.evaluate("open(location.href)")
    second = popup.value
    expect_ready(second)
    assert second.evaluate(kept) != first
    assert page.evaluate(kept) == first


def test_a_page_that_is_not_there_is_said_in_words(course, open_page):
    page = open_page(course.url(course.root / "lessons" / "99-nowhere.ipynb"))
    expect(page.locator("main")).to_contain_text("There is no such page in this course.")
    assert FORBIDDEN.findall(page.locator("body").inner_text()) == []
    page.errors[:] = [
        error for error in page.errors if "99-nowhere" not in error and "404" not in error
    ]
    page.get_by_role("link", name="Cubital: the first page").click()
    expect(page.locator("main h1")).to_have_text("Start here")
