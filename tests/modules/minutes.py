"""How long a page takes, by one rule: reading at 200 words a minute, and what is done on it.

The rule is an estimate; nobody was timed. Pages state its result to the nearest five minutes.
"""

import re

import nbformat

from cubital import tables
from cubital.explore.kit.catalogue import every_explorer
from cubital.handin.released.release import AT_ONCE, new_release
from cubital.items import WORKSHEETS, PictureItem
from cubital.items.core import core
from cubital.tables import course

WORDS_A_MINUTE = 200
FIGURE, TABLE, FIRST_QUESTION = 2.0, 0.5, 0.5  # predicted, moved and read; looked up; chosen
PICTURE = 0.5  # one that nothing moves, looked at
PREDICTION = 0.5  # one with no figure to move
NEAR = 3.0  # what is stated may be so far off, and still be the nearest five minutes or almost
LEARNER = "ada.alder"
OPTIONAL = "## For those who want the numbers"  # nobody has to answer what stands below


def reading(text):
    """Return the minutes that it takes to read Markdown; where a link leads is not read."""
    return len(re.findall(r"\w[\w’'.,-]*", re.sub(r"\]\([^)]*\)", "", text))) / WORDS_A_MINUTE


def main_way(lesson):
    """Return the cells of a lesson but for those that fold, for those who want the numbers."""
    return [cell for cell in lesson.cells if not cell.metadata.get("cubital", {}).get("numbers")]


def words_on_main_way(lesson):
    """Return how many words of text the main way of a lesson has."""
    texts = (cell.source for cell in main_way(lesson) if cell.cell_type == "markdown")
    return round(WORDS_A_MINUTE * sum(map(reading, texts)))


def of_lesson(lesson):
    """Return the minutes of a lesson's main way: its text, what it shows, its predictions."""
    figures = {explorer.__name__ for explorer in every_explorer()}
    called = [
        cell.source.partition("(")[0] for cell in main_way(lesson) if cell.cell_type == "code"
    ]
    texts = [cell.source for cell in main_way(lesson) if cell.cell_type == "markdown"]
    moved = sum(name in figures for name in called)
    tables_read = sum(name.endswith("_table") for name in called)
    seen = sum(name.endswith(("_picture", "_figure")) for name in called)
    predicted = sum("**Predict:**" in text for text in texts)
    done = (
        FIGURE * moved
        + TABLE * tables_read
        + PICTURE * seen
        + PREDICTION * max(0, predicted - moved)
    )
    return reading("\n".join(texts)) + done


def of_first_questions():
    """Return the minutes of the questions before the lessons."""
    asked = course.questions()
    words = "\n".join(" ".join((one.asks, *one.options, one.why)) for one in asked)
    return reading(words) + FIRST_QUESTION * len(asked)


def of_worksheet(name, *, core_alone=False):
    """Return the minutes of what a worksheet requires: reading it, and each item's work."""
    release = new_release("practice-20260101-00000001", name, feedback=AT_ONCE)
    words = [page(name).partition(OPTIONAL)[0]]
    asked = [item for item in WORKSHEETS[name] if not item.optional]
    asked = [item for item in asked if item.id in core() or not core_alone]
    for item in asked:
        if not isinstance(item, PictureItem):
            form = item.form(release.values(item, LEARNER))
            offered = (getattr(form, name, ()) for name in ("options", "ways", "reasons"))
            words += [form.question, *(text for options in offered for _, text in options)]
    return reading("\n".join(words)) + sum(item.minutes for item in asked)


def page(name):
    """Return the text of a worksheet's page as a learner gets it."""
    path = tables.course_folder("exercises") / "source" / name / f"{name}.ipynb"
    cells = nbformat.read(path, as_version=4).cells
    texts = [cell.source for cell in cells if cell.cell_type == "markdown"]
    return "\n".join(text for text in texts if "BEGIN SOLUTION" not in text)
