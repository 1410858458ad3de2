"""How quickly lessons open and figures follow, on the page in headless Chromium.

Needs Debian's package ``chromium``. Times are from a key press to the first frame painted with
the new figure, in the page's own clock; absolute, so they hold for this machine only.
"""

import shutil
import statistics
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from cubital.study import folders, lab
from cubital.study.page import serving
from cubital.tables import course

PRESSES = 63
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
FLAGS += ["--disable-background-networking", "--disable-component-update", "--disable-sync"]
EXPLORER = ".cubital-explorer"
READY = "main:not([aria-busy])"
PATIENT_MS = 60_000
LIMITS_MS = {"picture": (35, 50), "curve": (60, 100)}  # median and 95th percentile

# Press one key on a control and wait for the frame after its figure was drawn anew.
PRESS = """
([root, key]) => new Promise((resolve) => {
  const control = root.querySelector('input[type=range]');
  const figure = root.querySelector('.cubital-figure');
  const value = Number(control.value), step = Number(control.step);
  const next = key === 'up' ? value + step : value - step;
  const seen = new MutationObserver(() => {
    seen.disconnect();
    requestAnimationFrame(() => setTimeout(() => resolve(performance.now() - start), 0));
  });
  seen.observe(figure, { attributes: true, attributeFilter: ['aria-label'] });
  control.value = String(next);
  const start = performance.now();
  control.dispatchEvent(new Event('input', { bubbles: true }));
})
"""


def delays(page: Page, root) -> list[float]:
    """Return the milliseconds from control to pixels, there and back through the range."""
    handle = root.element_handle()
    found, key = [], "up"
    for _ in range(PRESSES):
        at_end = root.evaluate(
            "e => { const c = e.querySelector('input[type=range]');"
            " return [Number(c.value) >= Number(c.max), Number(c.value) <= Number(c.min)]; }"
        )
        key = "down" if at_end[0] else "up" if at_end[1] else key
        found.append(page.evaluate(PRESS, [handle, key]))
    return found[3:]  # the first ones warm up


def memory_mb(server: lab.Lab) -> float:
    """Return the largest kernel's resident memory [MB]."""
    found = [0.0]
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            command = (folder / "cmdline").read_text().replace("\0", " ")
            if "ipykernel_launcher" in command and str(server.runtime_folder) in command:
                status = (folder / "status").read_text()
                kilobytes = int(status.split("VmRSS:")[1].split()[0])
                found.append(kilobytes / 1000)
        except (OSError, IndexError):
            continue
    return max(found)


def rows() -> list[tuple[str, float, str, str]]:
    """Open every lesson, move every figure's first slider, and look at the kernel's memory."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if not path:
        return [("lessons in a browser", float("nan"), "no chromium here", "")]
    found = []
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        workspace = Path(name)
        names = [row.name for row in course.with_worksheets()]
        for number, lesson in enumerate(names):
            start = time.perf_counter()
            opened = folders.lay_out(workspace / lesson, "bench", lesson)
            page = browser.new_page(viewport={"width": 1280, "height": 900})
            with lab.Lab(opened.folder, workspace / f"lab-{number}") as server:
                kernel = serving.start_kernel(server)
                with serving.warmed(server, kernel, opened.notebook):
                    page.goto(server.url(opened.notebook, kernel), wait_until="commit")
                page.locator(READY).wait_for(state="attached", timeout=PATIENT_MS)
                show = page.get_by_role("button", name="Show me")
                for _ in range(show.count()):  # a prediction keeps some figures back
                    show.first.press("Enter")
                page.locator(EXPLORER).last.scroll_into_view_if_needed()
                page.locator(f"{EXPLORER} .cubital-readings").last.wait_for(state="visible")
                found.append((f"{lesson}: opened", time.perf_counter() - start, "s", "<= 8"))
                for root in page.locator(EXPLORER).all():
                    found += figure_rows(page, lesson, root)
                found.append((f"{lesson}: kernel", memory_mb(server), "MB", "<= 400"))
                page.close()
        together = together_mb(browser.new_page(), workspace)
        found.append(("all lessons in one window", together, "MB", "<= 400"))
        browser.close()
    return found


def together_mb(page: Page, workspace: Path) -> float:
    """Open every lesson in one window, one after the other, and return its kernel's memory [MB]."""
    opened = folders.lay_out(workspace / "together", "bench", folders.lesson_names()[0])
    with lab.Lab(opened.folder, workspace / "lab-together") as server:
        for notebook in (opened.notebook, *opened.others):
            page.goto(server.url(notebook))
            page.locator(READY).wait_for(state="attached", timeout=PATIENT_MS)
        return memory_mb(server)


def figure_rows(page: Page, lesson: str, root) -> list[tuple[str, float, str, str]]:
    """Return the median and 95th percentile of one figure's delays; none without a slider."""
    root.scroll_into_view_if_needed()
    title = root.locator(".cubital-title").text_content()
    if not root.locator("input[type=range]").count():
        return []
    kind = "picture" if root.locator("canvas:not([hidden])").count() else "curve"
    times = delays(page, root)
    median, high = LIMITS_MS[kind]
    what = f"{lesson}: {title} ({kind})"
    percentile = statistics.quantiles(times, n=20)[-1]
    return [
        (f"{what}, median", statistics.median(times), "ms", f"<= {median}"),
        (f"{what}, 95th percentile", percentile, "ms", f"<= {high}"),
    ]
