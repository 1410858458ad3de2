"""How quickly the course answers in a browser alone, beside `cubital study`, in one run.

Needs Debian's package ``chromium``, and Pyodide's files as ``cubital site`` finds them. Seconds are
from the first request; those with a limit are what people feel, and a busy machine misses them.
A profile is a folder, as people have it: a browser in private keeps no compiled code from one
opening to the next.
"""

import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from itertools import chain, count
from pathlib import Path

from bench_browser import EXPLORER, FLAGS, READY, delays
from playwright.sync_api import BrowserContext, Page, Response, sync_playwright

from cubital.site import building, serving
from cubital.study import folders, lab
from cubital.study.page.serving import start_kernel, warmed

LEARNER, LESSON, WORKSHEET = "bench", "20-focal-geometry", "focal-geometry"
ROUNDS, GROWING = 3, 5  # times that each is opened; times 60 presses of a key
PATIENT_MS = 180_000
TEXT, FIGURE = "main h1", f"{EXPLORER} svg"
LIVE = f".cubital-code:not(:has(> .cubital-early)) > .jp-OutputArea {EXPLORER} svg"
FIELD = ".cubital-field"


def opened(page: Page, address: str, *marks: str) -> list[float]:
    """Open an address; return the seconds until each of what is waited for is there."""
    start = time.perf_counter()
    page.goto(address, wait_until="commit")
    found = []
    for mark in marks:
        page.locator(mark).first.wait_for(state="attached", timeout=PATIENT_MS)
        found.append(time.perf_counter() - start)
    page.locator(READY).wait_for(state="attached", timeout=PATIENT_MS)
    return found


def counted(context: BrowserContext, site: str) -> tuple[Page, Callable[[], float]]:
    """Return a page, and how many MB a site has given it so far: what a page puts together itself
    has a size too."""
    page, replies = context.new_page(), []

    def keep(reply: Response) -> None:
        replies.append(reply)

    page.on("response", keep)  # which takes no method of a list

    def megabytes() -> float:
        own = (one for one in replies if one.url.startswith(site))
        return sum(int(one.headers.get("content-length") or 0) for one in own) / 1e6

    return page, megabytes


def medians(rows: list[list[float]]) -> list[float]:
    """Return the median of each column."""
    return [statistics.median(column) for column in zip(*rows, strict=True)]


def rows() -> list[tuple[str, float, str, str]]:
    """Open a lesson and a worksheet on a site, cold and warm, and by `cubital study`, by turns."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if not path:
        return [("a site in a browser", float("nan"), "no chromium here", "")]
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        folder = Path(name)
        profiles = (folder / "profiles" / str(number) for number in count())

        def fresh() -> BrowserContext:
            return playwright.chromium.launch_persistent_context(
                next(profiles), executable_path=path, args=FLAGS
            )

        building.build(folder / "site", say=lambda _words: None)
        opened_here = folders.lay_out(folder / "learners", LEARNER, WORKSHEET)
        with (
            serving.served(folder / "site") as site,
            lab.Lab(opened_here.folder, folder / "lab") as server,
        ):
            found = _rows(browser, fresh, site, server, opened_here)
        browser.close()
    return found


def _rows(browser, fresh, site: str, server: lab.Lab, here: folders.Opened):
    lesson = f"{site}?course={LEARNER}/lessons/{LESSON}.ipynb"
    sheet = f"{site}?course={LEARNER}/{WORKSHEET}/{WORKSHEET}.ipynb"
    notebook = here.notebook.parents[1] / folders.LESSONS / f"{LESSON}.ipynb"
    cold, warm, first, asked, study, study_asked, moved = [], [], [], [], [], [], []
    for _ in range(ROUNDS):
        context = fresh()
        page, megabytes = counted(context, site)
        cold.append(opened(page, lesson, TEXT, FIGURE, LIVE))
        moved.append(megabytes())
        page.close()
        page = context.new_page()
        warm.append(opened(page, lesson, TEXT, FIGURE, LIVE))
        first.append(opened(page, sheet, FIELD))
        page.wait_for_timeout(3000)  # it is kept for the next time a second after it is there
        page.close()
        asked.append(opened(context.new_page(), sheet, FIELD))
        context.close()
        for own, notes, mark in ((notebook, study, FIGURE), (here.notebook, study_asked, FIELD)):
            context = fresh()
            kernel = start_kernel(server)
            with warmed(server, kernel, own):
                notes.append(opened(context.new_page(), server.url(own, kernel), TEXT, mark))
            context.close()
    (text, drawn, live), (text_warm, _, live_warm) = medians(cold), medians(warm)
    [question_first], [question] = medians(first), medians(asked)
    text_there, live_there = medians(study)
    question_there = medians(study_asked)[1]
    return [
        ("site: first text, cold", text, "s", "<= 2"),
        ("site: first text, warm", text_warm, "s", "<= 2"),
        ("site: first figure drawn, cold", drawn, "s", "<= 3"),
        ("site: first question, first opening", question_first, "s", "<= 3"),
        ("site: first question, opened again", question, "s", "<= 3"),
        ("site: first live figure, cold", live, "s", "<= 8"),
        ("site: first live figure, warm", live_warm, "s", "<= 6"),
        ("site: moved until all is live", statistics.median(moved), "MB", "<= 40"),
        ("site: first text", text_warm / text_there, "of `cubital study`'s", ""),
        ("site: first question", question / question_there, "of `cubital study`'s", ""),
        ("site: first live figure, warm", live_warm / live_there, "of `cubital study`'s", ""),
        *_slider_rows(browser, lesson, server.url(notebook)),
    ]


def _slider_rows(browser, on_site: str, on_server: str):
    """Move a slider again and again on either page: how late its picture is, early and late."""
    pages = []
    for address in (on_site, on_server):
        page = browser.new_context().new_page()
        opened(page, address, FIGURE)
        pages.append(page.locator(EXPLORER).first)
    times: tuple[list, list] = ([], [])
    for _ in range(GROWING):
        for figure, own in zip(pages, times, strict=True):
            own.append(delays(figure.page, figure))
    high, high_there = (statistics.quantiles(chain(*own), n=20)[-1] for own in times)
    first, last = (statistics.median(times[0][at]) for at in (0, -1))
    return [
        ("site: slider to picture, 95th percentile", high, "ms", "<= 60"),
        ("site: slider to picture, 95th percentile", high / high_there, "of `cubital study`'s", ""),
        ("site: last 60 of 300 presses", last / first, "of the first 60", "<= 1.3"),
    ]
