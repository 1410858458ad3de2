"""The pages of a reading: each question as a learner sees it, and a form for the answers.

Nothing in the folder tells an answer: no key, no truth of a picture.
"""

import io
import re
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

import nbformat
import numpy as np
from PIL import Image, ImageDraw
from playwright.sync_api import Browser, Page, expect, sync_playwright
from reading_items import LEARNERS, NAME, drawn, frames_of, pool_seed, release_of

from cubital.handin.released import pictures
from cubital.handin.released.papers import write_papers
from cubital.handin.released.release import Release
from cubital.handin.released.sealed import drawn as drawn_on_paper
from cubital.handin.released.sealed import folder_of, write_sealed
from cubital.items import Item, PictureItem
from cubital.marking.cohort import course, releasing
from cubital.scene.files import pools
from cubital.study import folders, lab, ways
from cubital.study.workbench import running

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking"]
VIEW = {"width": 1100, "height": 1600}
PATIENT_MS = 60_000
EVERY, ACROSS, LABEL_PX = 3, 4, 18  # the sheet of a series: every third frame, four to a row
ASKED = re.compile(r"\bask\(\s*[\"']([\w.-]+)[\"']")
# Letters and numbers before what is offered; what is no question goes, from the words alone.
LETTERED = """
() => document.querySelectorAll(".cubital-field").forEach((field) => {
  const before = (selector, name) =>
    field.querySelectorAll(selector).forEach((node, n) => node.prepend(`${name(n)}) `));
  const letter = (n) => String.fromCharCode(65 + n), number = (n) => String(n + 1);
  before(".cubital-choices .cubital-choice span", letter);
  before("thead th", letter);
  before("tbody th", number);
  before(".cubital-step-text", number);
  field.querySelectorAll(".cubital-sure, .cubital-step button").forEach((node) => node.remove());
})
"""
FORMS = {
    "number": 'a number as typed, with its unit, such as "2.5 mm"',
    "choice": 'the letter, such as "B"',
    "decision": 'the letters of both, such as {way = "B", reason = "E"}',
    "order": "the numbers shown, in your order, such as [3, 1, 2]",
    "table": 'a letter for each row\'s number, such as {1 = "B", 2 = "A"}',
    "place": "marks as [column, row], such as [[120, 45], [300, 210]]; [] says there is none",
    "trials": 'such as {said = {1 = "A", 2 = "B"}, way = "A"}; no way where none is asked for',
    "series": 'such as {what = "B", frame = 12, mark = [160, 120]}; what alone if nothing is seen',
    "text": "three or four sentences",
    "expression": 'the line, such as "return a + b"',
}


class Question(NamedTuple):
    """The cells of a page under one heading, by their place, and the item that they ask."""

    name: str
    cells: list[int]
    item: str


def write_pages(folder: Path, worksheets: Iterable[str]) -> None:
    """Release the worksheets, open each as each learner, and write what is seen."""
    with tempfile.TemporaryDirectory() as temporary, sync_playwright() as playwright:
        workspace = Path(temporary)
        cohort = course.create(workspace / "cohort", map(course.Learner, LEARNERS))
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        for worksheet in worksheets:
            handout = released(cohort, worksheet)
            for learner in LEARNERS:
                print(f"{learner}: {worksheet}", file=sys.stderr)
                opened = folders.lay_out(workspace / "learners", learner, str(handout))
                state = workspace / f"lab-{learner}-{worksheet}"
                with lab.Lab(opened.folder, state, way=ways.WORKBENCH) as server:
                    if running.run_notebook(server, opened.notebook):
                        raise SystemExit(f"a cell of {worksheet} stopped with an error")
                    address = server.url(opened.notebook)
                    shoot(browser, address, opened.notebook, folder / learner)
        browser.close()


def released(cohort: course.Course, worksheet: str) -> Path:
    """Release a worksheet with pictures of a known seed, and return its zip."""
    wanted = release_of(worksheet)
    counts = pictures.wanted(wanted.listed())
    if counts:
        seed = pool_seed(worksheet)
        pools.render_pool(cohort.pool(wanted), jobs=counts, seed=seed)
    releasing.release(cohort, worksheet, NAME)
    if cohort.release(worksheet) != wanted:
        raise SystemExit(f"{worksheet} was released with other values than it is marked with")
    return given_out(cohort, wanted)


def given_out(cohort: course.Course, release: Release) -> Path:
    """Give each reader a paper of values that are drawn by name, as `reading_marks` draws them."""
    papers = cohort.sealed(release)
    for learner in cohort.roster():
        paper = papers.papers.paper_of(learner)
        for item in release.listed():
            form, row = drawn_on_paper(item, release.values(item, learner), release.name)
            papers.papers.forms[paper][item.id], papers.rows[paper][item.id] = form, row
    write_sealed(folder_of(cohort.workspace, release.worksheet, release.name), papers)
    for folder in (cohort.source(release.worksheet), cohort.released(release.worksheet)):
        write_papers(folder, papers.papers)
    return releasing.make_handout(cohort, release.worksheet)


def shoot(browser: Browser, address: str, notebook: Path, folder: Path) -> None:
    """Write one worksheet of one learner: pictures, words and the form for answers."""
    release, learner = release_of(notebook.stem), folder.name
    target = folder / notebook.stem
    target.mkdir(parents=True, exist_ok=True)
    page = browser.new_page(viewport=VIEW)
    page.goto(address)
    listed = {item.id: item for item in release.listed()}
    fields = page.locator(".cubital-field")
    expect(fields).to_have_count(len(listed), timeout=PATIENT_MS)
    questions = list(by_heading(notebook))
    for one in questions:
        stacked(shots(page, one.cells)).save(target / f"{one.name}.png")
    page.evaluate(LETTERED)
    parts = []
    for one in questions:
        words = "\n".join(page.locator(".jp-Cell").nth(n).inner_text() for n in one.cells)
        lines = [line.strip().rstrip("¶") for line in words.splitlines()]
        parts.append(f"==== {one.name}\n" + "\n".join(filter(None, lines)))
        if one.item:
            item = listed[one.item]
            values = release.values(item, learner)
            parts[-1] += more(item, values, notebook.parent, target, one.name)
    page.close()
    (target / "page.txt").write_text("\n\n".join(parts) + "\n", encoding="utf-8")
    form = folder / f"{notebook.stem}.toml"
    if not form.exists():  # answers that were given stay
        form.write_text(template(notebook.parent, learner, listed.values()), encoding="utf-8")


def by_heading(notebook: Path) -> Iterator[Question]:
    """Yield a notebook's cells by their second-level headings, what comes before the first too."""
    groups: list[list[int]] = [[]]
    cells = nbformat.read(notebook, as_version=4).cells
    for place, cell in enumerate(cells):
        if cell.cell_type == "markdown" and cell.source.startswith("## "):
            groups.append([])
        groups[-1].append(place)
    for number, places in enumerate(groups):
        asked = ASKED.findall("\n".join(cells[n].source for n in places))
        item = asked[0] if asked else ""
        yield Question(f"{number:02d}-{item or cells[places[0]].id}", places, item)


def shots(page: Page, places: list[int]) -> Iterator[bytes]:
    """Yield a picture of each cell that shows something."""
    for place in places:
        cell = page.locator(".jp-Cell").nth(place)
        cell.scroll_into_view_if_needed(timeout=PATIENT_MS)
        if (cell.bounding_box() or {"height": 0})["height"] >= 1:
            yield cell.screenshot()


def stacked(found: Iterable[bytes]) -> Image.Image:
    """Return pictures below each other."""
    parts = [Image.open(io.BytesIO(one)).convert("RGB") for one in found]
    size = max(part.width for part in parts), sum(part.height for part in parts)
    sheet, y = Image.new("RGB", size, "white"), 0
    for part in parts:
        sheet.paste(part, (0, y))
        y += part.height
    return sheet


def more(item: Item, values: dict, source: Path, target: Path, name: str) -> str:
    """Write a question's bare pictures, and return what the page's words do not say."""
    if item.kind == "expression":
        inputs = ", ".join(f"{key} = {value}" for key, value in values.items())
        return f"\n[{item.function}({', '.join(values)}); your values: {inputs}]"
    if not isinstance(item, PictureItem):
        return ""
    form = item.form(values)
    frames = np.concatenate([pictures.frames(source, form, name) for name in form.pictures])
    size = f"{item.size.width_px} x {item.size.height_px} px, {item.size.mm_per_px:g} mm a pixel"
    if len(frames) == 1:
        Image.fromarray(frames[0]).save(target / f"{name}-picture.png")
        return f"\n[{name}-picture.png: the bare picture, {size}]"
    folder = target / f"{name}-frames"
    folder.mkdir(exist_ok=True)
    for number, frame in enumerate(frames):
        Image.fromarray(frame).save(folder / f"{number:02d}.png")
    sheet(frames).save(target / f"{name}-sheet.png")
    trials = len(form.pictures)
    each = f"; {trials} trials after each other, {form.frames} frames each" if trials > 1 else ""
    return (
        f"\n[{name}-frames: all {len(frames)} frames, {size}{each}; {name}-sheet.png: every "
        f"{EVERY}rd, its number above it]"
    )


def sheet(frames: np.ndarray) -> Image.Image:
    """Lay some frames of a series out in their own size, each below its number."""
    _, height, width = frames.shape
    shown = range(0, len(frames), EVERY)
    rows = -(-len(shown) // ACROSS)
    made = Image.new("L", (ACROSS * width, rows * (height + LABEL_PX)), "white")
    pen = ImageDraw.Draw(made)
    for place, number in enumerate(shown):
        x, y = place % ACROSS * width, place // ACROSS * (height + LABEL_PX)
        pen.text((x + 2, y + 2), f"frame {number}", fill="black")
        made.paste(Image.fromarray(frames[number]), (x, y + LABEL_PX))
    return made


def template(source: Path, learner: str, listed: Iterable[Item]) -> str:
    """Return the form for answers: one empty entry an item, with what was drawn for it."""
    release = release_of(source.name)
    lines = ['# Leave "" where you have no answer. Leave `drawn` as it is.']
    for item in listed:
        values = release.values(item, learner)
        frames = frames_of(source.name, item, values)
        lines += ["", f"[{item.id}]  # {FORMS.get(item.kind, item.form(values).hint)}"]
        lines += [f'drawn = "{drawn(item, values, frames)}"', 'answer = ""', 'doubt = ""']
    return "\n".join(lines) + "\n"
