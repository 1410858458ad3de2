"""From the command to the first figure, and from a key to the pixels, beside JupyterLab itself.

The course's page and the workbench show the same lesson, by turns in one run, in headless Chromium
(Debian's package ``chromium``). Plain JupyterLab, with nothing of the course and none of its own
parts left out, is given the same notebook by its own command; its time ends when the notebook's
text is to be read, before any figure.
"""

import contextlib
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from bench_browser import EXPLORER, FLAGS, PATIENT_MS, delays
from playwright.sync_api import Browser, Page, sync_playwright
from timing import by_turns

from cubital.study import folders

LESSON = "40-catheter-sizing"
TIMES = 3
GOES_S = 10
TITLE = "h1"
SHOWS = "Show me"
FOLDED = ".cubital-numbers > summary"  # folds of the page; the workbench has none
ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/\S+")
COURSE = ("cubital", "open", LESSON, "--learner", "bench", "--no-browser")
PLAIN = ("jupyterlab", "--no-browser", "--allow-root", "--ServerApp.ip=127.0.0.1")


@contextlib.contextmanager
def running(folder: Path, *words: str) -> Iterator[str]:
    """Run a command as somebody types it, and give the address that it prints."""
    process = subprocess.Popen(
        [sys.executable, "-u", "-m", *words],
        cwd=folder,
        env=os.environ | {"HOME": str(folder)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        found = (ADDRESS.search(line) for line in process.stdout)
        address = next(match.group() for match in found if match)
        reader = threading.Thread(target=process.stdout.read)  # what else it says goes nowhere
        reader.start()
        yield address
    finally:
        process.terminate()
        try:
            process.wait(timeout=GOES_S)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def to_first_figure(browser: Browser, folder: Path, *more: str) -> float:
    """Return the seconds from the command to the first figure with its numbers."""
    start = time.perf_counter()
    with running(folder, *COURSE, "--workspace", str(folder), *more) as address:
        page = opened(browser, address)
        page.locator(f"{EXPLORER} .cubital-readings").first.wait_for(timeout=PATIENT_MS)
        took = time.perf_counter() - start
        page.close()
    return took


def to_plain_text(browser: Browser, folder: Path) -> float:
    """Return the seconds from JupyterLab's own command to a notebook's text."""
    start = time.perf_counter()
    with running(folder, *PLAIN) as address:
        top, _, token = address.partition("/lab?")
        page = opened(browser, f"{top}/doc/tree/{LESSON}.ipynb?{token}")
        page.locator(f".jp-Notebook {TITLE}").first.wait_for(timeout=PATIENT_MS)
        took = time.perf_counter() - start
        page.close()
    return took


def opened(browser: Browser, address: str) -> Page:
    """Open an address in a window of its own."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto(address, wait_until="commit")
    return page


def from_key_to_pixels(browser: Browser, where: Path) -> list[tuple[float, float]]:
    """Return the median and 95th percentile of each figure's delays [ms], page and workbench.

    One row holds the figures of the page, those of the workbench come after it; each is the best
    of the rounds, which go by turns.
    """
    rounds: list[list[list[float]]] = []
    ways = [("page", ()), ("workbench", ("--workbench",))]
    with contextlib.ExitStack() as stack:
        pages = []
        for name, more in ways:
            folder = where / name
            folder.mkdir()
            words = (*COURSE, "--workspace", str(folder), *more)
            address = stack.enter_context(running(folder, *words))
            page = opened(browser, address)
            page.locator(EXPLORER).first.wait_for(timeout=PATIENT_MS)
            for fold in page.locator(FOLDED).all():
                fold.click()
            page.locator(EXPLORER).last.scroll_into_view_if_needed(timeout=PATIENT_MS)
            page.locator(f"{EXPLORER} .cubital-readings").last.wait_for(timeout=PATIENT_MS)
            shows = page.get_by_role("button", name=SHOWS)
            while shows.count():  # figures that a prediction holds back; the workbench has none
                shows.first.click()
            pages.append(page)
        for _ in range(TIMES):
            rounds.append([delays_of_all(page) for page in pages])
        for page in pages:
            page.close()
    return [
        (min(one[way][0] for one in rounds), min(one[way][1] for one in rounds))
        for way in range(len(ways))
    ]


def delays_of_all(page: Page) -> tuple[float, float]:
    """Return median and 95th percentile over the presses on all figures of a page [ms]."""
    page.bring_to_front()
    found: list[float] = []
    for root in page.locator(EXPLORER).all():
        root.scroll_into_view_if_needed()
        if root.locator("input[type=range]").count():
            found += delays(page, root)
    return statistics.median(found), statistics.quantiles(found, n=20)[-1]


def rows() -> list[tuple[str, float, str, str]]:
    """Start the course, the workbench and JupyterLab by turns; then press keys in both pages."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if not path:
        return [("the course started", float("nan"), "no chromium here", "")]
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        where = Path(name)
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        ours, bench, plain = (where / each for each in ("ours", "bench", "plain"))
        for folder in (ours, bench, plain):
            folder.mkdir()
        shutil.copy(folders.lay_out(where / "laid", "bench", LESSON).notebook, plain)
        first = partial(to_first_figure, browser, ours)
        first_there = partial(to_first_figure, browser, bench, "--workbench")
        text = partial(to_plain_text, browser, plain)
        first()  # what is made once, and what the system reads from the disk
        course_s, bench_s, plain_s = by_turns(first, first_there, text, times=TIMES)
        here, there = from_key_to_pixels(browser, where)
        browser.close()
    return [
        ("command to the first figure", course_s, "s", "<= 5"),
        ("command to the first figure in the workbench", bench_s, "s", ""),
        ("plain JupyterLab, command to a notebook's text", plain_s, "s", ""),
        ("first figure", course_s / plain_s, "of plain JupyterLab's text", "<= 1"),
        ("key to pixels, 95th percentile", here[1], "ms", "<= 50"),
        ("key to pixels, median", here[0] / there[0], "of the workbench's", "<= 1"),
    ]
