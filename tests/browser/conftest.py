"""The course's page for one learner's folder, and a headless Chromium to look at it.

Pictures are left in ``screenshots/`` at the top of the checkout, which git ignores: open them
and read them as a learner would.
"""

import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest
from playwright.sync_api import Page, expect, sync_playwright

from cubital.handin.progress import keep_progress
from cubital.marking.cohort import course, releasing
from cubital.study import folders, lab
from cubital.study.learner.predicting import predictions_of

LEARNER = "ada.alder"
SCREENSHOTS = Path(__file__).resolve().parents[2] / "screenshots"
# The Debian package that has a browser, and what else its program may be called.
CHROMIUM = ("chromium", "chromium-browser")
FIREFOX = ("firefox-esr", "firefox")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def driver():
    """What drives the browsers."""
    with sync_playwright() as playwright:
        yield playwright


def program(package: str, also: str) -> str:
    """Return where a browser is; without it a test fails, and says which package to install."""
    path = shutil.which(package) or shutil.which(also)
    assert path, f"these tests need the Debian package {package}"
    return path


@pytest.fixture(scope="session")
def chromium(driver):
    """A browser."""
    path = program(*CHROMIUM)
    browser = driver.chromium.launch(executable_path=path, args=FLAGS)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def firefox(driver):
    """Another browser."""
    path = program(*FIREFOX)
    browser = driver.firefox.launch(channel="moz-firefox", executable_path=path)
    yield browser
    browser.close()


def show_readings(learner: Path) -> None:
    """Leave no prediction open in a learner's lessons: every figure and reading is there."""
    lessons = learner / folders.LESSONS
    places = [
        f"{notebook.stem}/{cell}"
        for notebook in sorted(lessons.glob("*.ipynb"))
        for cell in predictions_of(notebook)
    ]
    keep_progress(lessons, predicted=dict.fromkeys(places, ""))


@pytest.fixture(scope="session")
def study(tmp_path_factory):
    """A cohort of one, its released worksheet and the lesson, ready to be opened."""
    workspace = tmp_path_factory.mktemp("browser")
    cohort = course.create(workspace / "cohort", [course.Learner(LEARNER, "Ada", "Alder")])
    handout = releasing.release(cohort, "catheter-sizing", "spring")
    opened = folders.lay_out(workspace / "learners", LEARNER, str(handout))
    show_readings(opened.folder)
    with lab.Lab(opened.folder, workspace / "lab") as server:
        yield SimpleNamespace(
            lab=server, worksheet=opened.notebook, lesson=opened.companion, cohort=cohort
        )


@pytest.fixture(scope="session")
def lessons(tmp_path_factory):
    """The address of every lesson's page, by the lesson's name."""
    workspace = tmp_path_factory.mktemp("lessons")
    opened = folders.lay_out(workspace, LEARNER, folders.lesson_names()[0])
    show_readings(opened.folder)
    laid_out = {path.stem: path for path in (opened.notebook, *opened.others)}
    with lab.Lab(opened.folder, workspace / "lab") as server:
        yield lambda name: server.url(laid_out[name])


WIDTHS = {"1280 px": 1280, "200 %": 640}  # of the window in CSS pixels: as it is, and at 200 %


def sampled(one, other, few):
    """Return every pair of two lists as test cases; all but the few are left to the long tier."""
    return [
        pytest.param(a, b, id=f"{a}-{b}", marks=() if (a, b) in few else pytest.mark.long)
        for a in one
        for b in other
    ]


@pytest.fixture(params=WIDTHS)
def width(request):
    """The width of the window in CSS pixels, by how it is called."""
    return WIDTHS[request.param]


READY_MS = 180_000  # a worksheet's pictures are rendered when it is first opened


def open_folds(page: Page) -> None:
    """Open what is folded for those who want the numbers."""
    page.locator(".cubital-numbers").evaluate_all(
        "(folds) => folds.forEach((f) => (f.open = true))"
    )


def expect_ready(page: Page) -> None:
    """Wait until all that a page of the course shows is there."""
    expect(page.locator("main")).not_to_have_attribute("aria-busy", "true", timeout=READY_MS)


@pytest.fixture
def open_page(chromium):
    """Open an address in a fresh window; the console must stay free of errors."""
    opened = []

    def open_it(address: str, width: int = 1280) -> Page:
        scale = 1280 / width
        context = chromium.new_context(
            viewport={"width": width, "height": round(900 / scale)}, device_scale_factor=scale
        )
        page = context.new_page()
        page.errors = []
        page.on(
            "console",
            lambda message: page.errors.append(message.text) if message.type == "error" else None,
        )
        page.on("pageerror", lambda error: page.errors.append(str(error)))
        opened.append((context, page))
        page.goto(address)
        if "?course=" in address:
            expect_ready(page)
        return page

    yield open_it
    for context, page in opened:
        errors = page.errors
        context.close()
        assert errors == []


def picture(page: Page, name: str) -> None:
    """Leave a picture of the window to be looked at."""
    SCREENSHOTS.mkdir(exist_ok=True)
    page.screenshot(path=SCREENSHOTS / f"{name}.png")
