"""Make the pictures of the README: one of each journey, as a learner and an educator see them.

    .venv/bin/python .ci/pictures.py

Needs the test environment and Debian's chromium. Writes ``assets/docs/*.png`` and their check
sums into ``assets/docs/generated.toml``.
"""

import shutil
import tempfile
from pathlib import Path

import generated
from playwright.sync_api import Page, sync_playwright

from cubital import demo, items
from cubital.handin.released.release import read_release
from cubital.study import folders, lab

CHECKOUT = Path(__file__).resolve().parents[1]
DOCS = CHECKOUT / "assets" / "docs"
COMMAND = ".venv/bin/python .ci/pictures.py"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking"]
PATIENT_MS = 60_000


def main() -> None:
    """Make all pictures."""
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        page = browser.new_page(viewport={"width": 1280, "height": 860})
        learner(page, Path(name) / "learners")
        cohort(page, Path(name) / "cohort")
        browser.close()
    made = [DOCS / f"{name}.png" for name in ("orientation", "refresh", "cohort")]
    generated.record(COMMAND, made, folder=DOCS)


def learner(page: Page, workspace: Path) -> None:
    """Orientation: a figure of the lesson. Refresh: a slip in practice, named at once."""
    opened = folders.lay_out(workspace, "ada.alderman", "40-catheter-sizing")
    with lab.Lab(opened.folder, workspace / "lab") as server:
        page.goto(server.url(opened.notebook))
        figure = page.locator(".cubital-explorer").first
        figure.wait_for(timeout=PATIENT_MS)
        figure.scroll_into_view_if_needed()
        page.screenshot(path=DOCS / "orientation.png")

        page.goto(server.url(opened.companion))
        item = items.find("sizing-ratio")
        values = read_release(opened.companion.parent).values(item, "ada.alderman")
        slip = item.slip_values(values)["ratio-upside-down"]
        textbox = page.get_by_label(f"Your answer: {item.title}")
        textbox.fill(f"{slip:.2f}", timeout=PATIENT_MS)
        textbox.press("Tab")
        page.get_by_text("comes out when").wait_for()
        page.get_by_role("heading", name=item.title).scroll_into_view_if_needed()
        page.screenshot(path=DOCS / "refresh.png")


def cohort(page: Page, workspace: Path) -> None:
    """Cohort: the learner-by-item picture of the demo's report."""
    demo.run(workspace)
    page.goto((workspace / "report" / "catheter-sizing" / "index.html").as_uri())
    page.get_by_role("heading", name="Learner by item").scroll_into_view_if_needed()
    page.evaluate("window.scrollBy(0, 560)")
    page.screenshot(path=DOCS / "cohort.png")


if __name__ == "__main__":
    main()
