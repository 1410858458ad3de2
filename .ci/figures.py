"""Make the page on how the lessons' figures are read: pictures, questions, answers.

    .venv/bin/python .ci/figures.py [--pictures FOLDER]

Every figure is shown as its lesson starts it and with its first slider at either end. Questions
and answers are in ``.ci/figures-read.toml``. Writes ``assets/docs/figures.md`` and a picture a
lesson; with ``--pictures`` only single pictures of every figure into that folder, for a reader.
Needs the test environment and Debian's chromium.
"""

import argparse
import io
import shutil
import tempfile
import tomllib
from collections.abc import Iterator
from pathlib import Path

import generated
from PIL import Image
from playwright.sync_api import Locator, Page, sync_playwright

from cubital.scene import NOTICE
from cubital.study import folders, lab, ways
from cubital.study.workbench import running
from cubital.tables import course

CHECKOUT = Path(__file__).resolve().parents[1]
DOCS = CHECKOUT / "assets" / "docs"
READ = CHECKOUT / ".ci" / "figures-read.toml"
COMMAND = ".venv/bin/python .ci/figures.py"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking"]
PATIENT_MS = 240_000
EXPLORER = ".cubital-explorer"
SHOWN = f"{EXPLORER}, .jp-RenderedHTML figure"  # also the pictures that nothing moves
COLUMN_PX, GAP_PX, GREYS = 460, 8, 32
ENDS = (None, "Home", "End")  # as it starts, then the keys that lead to either end
SETTLED = """
(root) => new Promise((done) => {
  let timer = setTimeout(done, 400);
  new MutationObserver(() => { clearTimeout(timer); timer = setTimeout(done, 400); })
    .observe(root, { attributes: true, childList: true, subtree: true });
})
"""


def main() -> None:
    """Take the pictures and write the page."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("--pictures", type=Path, help="single pictures into this folder, no page")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        page = browser.new_page(viewport={"width": 1100, "height": 1600})
        shown = [row.name for row in course.with_worksheets()]  # the short lessons have no figure
        taken = {lesson: list(figures(page, Path(name), lesson)) for lesson in shown}
        browser.close()
    if given.pictures:
        single(taken, given.pictures)
        return
    files = [montage(lesson, [shots for _, shots in found]) for lesson, found in taken.items()]
    text = DOCS / "figures.md"
    text.write_text(written(taken), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [text, *files], folder=DOCS)


def figures(page: Page, workspace: Path, lesson: str) -> Iterator[tuple[str, list[bytes]]]:
    """Yield the title of each figure of a lesson, and its pictures."""
    opened = folders.lay_out(workspace / lesson, "reader", lesson)
    with lab.Lab(opened.folder, workspace / f"lab-{lesson}", way=ways.WORKBENCH) as server:
        running.run_notebook(server, opened.notebook)
        page.goto(server.url(opened.notebook))
        page.locator(EXPLORER).first.wait_for(state="attached", timeout=PATIENT_MS)
        for root in page.locator(SHOWN).all():
            root.scroll_into_view_if_needed(timeout=PATIENT_MS)
            title = root.locator(".cubital-title, figcaption").first.text_content()
            yield title.partition(". ")[0], list(shots(root))


def shots(root: Locator) -> Iterator[bytes]:
    """Yield pictures of a figure as it starts, and with its first control at either end."""
    slider = root.locator("input[type=range]").first
    for key in ENDS:
        if key and not slider.count():
            return
        if key:
            slider.press(key)
            root.evaluate(SETTLED)
        yield root.screenshot()


def single(taken: dict[str, list[tuple[str, list[bytes]]]], folder: Path) -> None:
    """Write the picture of each figure's start."""
    folder.mkdir(parents=True, exist_ok=True)
    for lesson, found in taken.items():
        for number, (_, pictures) in enumerate(found, 1):
            (folder / f"{lesson}-{number}.png").write_bytes(pictures[0])


def montage(lesson: str, rows: list[list[bytes]]) -> Path:
    """Lay a lesson's pictures out, a row for each figure, and write them as one file."""
    lines = [[small(shot) for shot in row] for row in rows]
    heights = [max(picture.height for picture in line) for line in lines]
    size = (len(ENDS) * (COLUMN_PX + GAP_PX), sum(heights) + GAP_PX * len(heights))
    sheet, y = Image.new("RGB", size, "white"), 0
    for line, height in zip(lines, heights, strict=True):
        for place, picture in enumerate(line):
            sheet.paste(picture, (place * (COLUMN_PX + GAP_PX), y))
        y += height + GAP_PX
    path = DOCS / f"figures-{lesson}.png"
    sheet.quantize(GREYS).save(path, optimize=True)
    return path


def small(shot: bytes) -> Image.Image:
    """Return a picture as wide as a column."""
    picture = Image.open(io.BytesIO(shot)).convert("RGB")
    height = round(picture.height * COLUMN_PX / picture.width)
    return picture.resize((COLUMN_PX, height), Image.Resampling.LANCZOS)


def written(taken: dict[str, list[tuple[str, list[bytes]]]]) -> str:
    """Return the page."""
    rows = {
        (row["lesson"], row["title"]): row
        for row in tomllib.loads(READ.read_text(encoding="utf-8"))["figure"]
    }
    shown = {(lesson, title) for lesson, found in taken.items() for title, _ in found}
    if set(rows) != shown:
        raise SystemExit(f"{READ.name} and the lessons differ: {sorted(set(rows) ^ shown)}")
    lines = [
        "# How the lessons' figures are read",
        "",
        f"Everything here is {NOTICE}. The reader was an automated language model that had made "
        "none of the figures; no clinician has reviewed the course yet. It answered three yes/no "
        "questions on each from its picture alone. Pictures, from left to right: as the "
        "lesson starts it, and with its first slider at either end. Made by "
        f"`{COMMAND}`.",
    ]
    for lesson, found in taken.items():
        lines += ["", f"## {lesson}", "", f"![The figures of {lesson}](figures-{lesson}.png)", ""]
        lines += ["| figure | question | maker | reader | mended |", "|---|---|---|---|---|"]
        for title, _ in found:
            row = rows[lesson, title]
            answers = zip(row["asks"], row["right"], row["read"], strict=True)
            for number, (asks, right, read) in enumerate(answers):
                mended = row.get("mended", "") if number == 0 else ""
                lines.append(f"| {title} | {asks} | {right} | {read} | {mended} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    main()
