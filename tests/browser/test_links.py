"""Every page of the course is reached from inside it, by mouse alone, and left by Back again.

The command itself is started in an empty folder; nothing is opened by name afterwards but the
page that a test starts from.
"""

import functools
import json
import os
import re
import subprocess
import sys
from pathlib import PurePosixPath
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from playwright.sync_api import expect

from cubital import tables
from cubital.items import WORKSHEETS
from cubital.study import folders
from cubital.tables import course

from .conftest import LEARNER, expect_ready, open_folds, picture

pytestmark = pytest.mark.browser

MAP = "00-start-here"
PAGES = [*folders.lesson_names(), *WORKSHEETS]
LINKS = "main a[href*='.ipynb']"
# What each link is drawn by, and the page that its address is of.
FOUND = """
(links) => links.map((a) => [
  a.closest('.cubital-course') ? 'form' : 'text',
  new URL(a.href).searchParams.get('course').split('/').pop().replace('.ipynb', ''),
])
"""


@pytest.fixture(scope="module")
def start(tmp_path_factory):
    """`cubital study` in an empty folder; the address that it names."""
    command = [sys.executable, "-m", "cubital", "study", "--no-browser", "--learner", LEARNER]
    process = subprocess.Popen(
        [*command, "--workspace", str(tmp_path_factory.mktemp("empty"))],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
    )
    try:
        lines = iter(process.stdout.readline, "")
        yield next(line.split()[-1] for line in lines if line.startswith("Ready at"))
    finally:
        process.terminate()
        process.stdout.read()
        assert process.wait() == 0
        process.stdout.close()


def path_of(name):
    """Where a page lies, as its address says it."""
    return f"{LEARNER}/{name if name in WORKSHEETS else folders.LESSONS}/{name}.ipynb"


@functools.cache
def cells_of(name):
    """A page's cells as the course has them."""
    top = tables.course_folder("exercises") / "source" / name
    top = top if name in WORKSHEETS else tables.course_folder("modules")
    return json.loads((top / f"{name}.ipynb").read_text(encoding="utf-8"))["cells"]


def prose(name):
    return "\n".join("".join(c["source"]) for c in cells_of(name) if c["cell_type"] == "markdown")


def written_links(name):
    """The pages that a page's text links to."""
    links = re.findall(r"\]\(([^)#]+\.ipynb)\)", prose(name))
    return {PurePosixPath(link).stem for link in links}


def expect_whole(page, name):
    """The page's own text is there and what its cells show."""
    expect(page).to_have_url(re.compile(rf"\?course={path_of(name)}($|#)"))
    title = re.search(r"^# (.+)$", prose(name), re.MULTILINE)[1]
    expect(page.locator("main h1")).to_have_text(title)
    expect_ready(page)
    code = [cell for cell in cells_of(name) if cell["cell_type"] == "code"]
    source = "\n".join("".join(cell["source"]) for cell in code)
    forms = len(
        re.findall(r"^(?:FirstPage|FirstQuestions|LessonEnd|hand_in_here)\(", source, re.MULTILINE)
    )
    expect(page.locator("main .cubital-course")).to_have_count(forms)
    shown = page.locator("main .cubital-code .jp-OutputArea-child").count()
    assert shown >= len(code) - 2  # imports show nothing, nor does a function still to be written
    if name in WORKSHEETS:
        fields = len(WORKSHEETS[name])
        expect(page.locator("main .cubital-field")).to_have_count(fields)


def links_on(page):
    """Each link to a page once: what it is drawn by, and where it leads."""
    return list(dict.fromkeys(map(tuple, page.locator(LINKS).evaluate_all(FOUND))))


def press(page, link):
    """Press a link with the mouse."""
    open_folds(page)
    places = page.locator(LINKS).evaluate_all(FOUND)
    anchor = page.locator(LINKS).nth(places.index(list(link)))
    anchor.scroll_into_view_if_needed()
    anchor.click()


@pytest.fixture
def open_here(open_page):
    """Open a page; no question, such as whether to leave it, may come up from it."""

    def open_it(address):
        page = open_page(address)
        page.on("dialog", lambda dialog: (page.errors.append(dialog.type), dialog.accept()))
        return page

    return open_it


def show_folded(page):
    """Ask to be shown at every prediction: some links stand in what unfolds."""
    show = page.get_by_role("button", name="Show me")
    asked = show.count()
    for _ in range(asked):
        show.first.press("Enter")
    if asked:
        expect(page.locator(".cubital-saved")).to_have_text("Saved")


def there_and_back(page, name, link):
    press(page, link)
    expect_whole(page, link[1])
    page.go_back()
    expect_whole(page, name)


def test_a_worksheet_with_pictures_opens_from_the_map_and_leads_to_its_lesson_and_back(
    start, open_here
):
    page = open_here(start)
    expect_whole(page, MAP)
    picture(page, "links-map")
    press(page, ("form", "complications"))
    expect_whole(page, "complications")
    picture(page, "links-worksheet")
    there_and_back(page, "complications", ("text", "60-complications"))
    page.go_back()
    expect_whole(page, MAP)
    page.go_forward()
    expect_whole(page, "complications")


@pytest.mark.long
@pytest.mark.parametrize("name", PAGES)
def test_every_link_of_every_page_leads_there_and_back(start, open_here, name):
    address = urlsplit(start)
    there = parse_qs(address.query) | {"course": [path_of(name)]}
    page = open_here(address._replace(query=urlencode(there, doseq=True)).geturl())
    expect_whole(page, name)
    show_folded(page)
    there = links_on(page)
    assert {to for drawn, to in there if drawn == "text"} == written_links(name)
    for link in there:
        there_and_back(page, name, link)


@pytest.mark.long
def test_the_map_leads_to_all_lessons_and_worksheets(start, open_here):
    page = open_here(start)
    expect_whole(page, MAP)
    drawn = {to for kind, to in links_on(page) if kind == "form"}
    assert drawn == {*PAGES} - {MAP, "90-educator-guide", "95-evidence"}


def test_a_lesson_leads_to_its_worksheet_and_the_map_and_the_worksheet_to_the_lesson():
    """The other direction of each link, by the texts alone."""
    for name in WORKSHEETS:
        lessons = written_links(name)
        assert lessons <= set(folders.lesson_names())
        own = {lesson for lesson in lessons if lesson.partition("-")[2] == name}
        assert own or name == "whole-course"
        assert all(name in written_links(lesson) for lesson in own)
    assert "whole-course" in written_links(course.with_worksheets()[-1].name)
