"""Where each topic of the job is taught, shown, asked and practised: a generated page.

The topics stand in ``.ci/topics.toml``; the practice of an objective comes from the curriculum.
"""

import json
import tomllib
from pathlib import Path
from typing import NamedTuple

import generated

from cubital import items, tables
from cubital.tables import course

CHECKOUT = Path(__file__).resolve().parents[1]
LISTED = CHECKOUT / ".ci" / "topics.toml"
COMMAND = ".venv/bin/python .ci/topics.py"
PAGE = CHECKOUT / "assets" / "docs" / "topics.md"
PICTURED = ("_table", "_picture", "_figure")  # how functions that draw end; figures are classes


class Topic(NamedTuple):
    """A topic of the job."""

    words: str
    lesson: str
    section: str
    figures: tuple[str, ...]
    items: tuple[str, ...]
    objective: str = ""
    practice: str = ""


def topics() -> tuple[Topic, ...]:
    """Return the topics in the order of the page."""
    rows = tomllib.loads(LISTED.read_text(encoding="utf-8"))["topic"]
    return tuple(
        Topic(**row | {"figures": tuple(row["figures"]), "items": tuple(row["items"])})
        for row in rows
    )


def practised(topic: Topic) -> str:
    """Return what is practised at the bench: the topic's own words, or its objective's."""
    by_key = {row.key: row.observed_practice for row in tables.curriculum().objectives}
    return topic.practice or by_key.get(topic.objective, "")


def called(place: str) -> str:
    """Return what a lesson's code cell calls, "" where there is no such cell."""
    lesson, _, cell_id = place.partition("/")
    path = CHECKOUT / "modules" / f"{lesson}.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"] if path.is_file() else []
    sources = {cell["id"]: "".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"}
    return sources.get(cell_id, "").partition("(")[0].strip()


def is_shown(place: str) -> bool:
    """Return whether a cell shows a figure, a picture or a table."""
    name = called(place)
    return (name[:1].isupper() and name != "LessonEnd") or name.endswith(PICTURED)


def faults() -> list[str]:
    """Return what is missing or names nothing that there is, in words."""
    asked = {item.id for listed in items.WORKSHEETS.values() for item in listed}
    found = []
    for topic in topics():
        if topic.section not in course.section_titles(topic.lesson):
            found.append(f"{topic.words}: {topic.lesson} has no section {topic.section!r}")
        for name, cells in (("figure", topic.figures), ("question", topic.items)):
            if not cells:
                found.append(f"{topic.words}: no {name}")
        found += [
            f"{topic.words}: nothing is shown at {p}" for p in topic.figures if not is_shown(p)
        ]
        found += [f"{topic.words}: no question {key}" for key in topic.items if key not in asked]
        if not practised(topic):
            found.append(f"{topic.words}: no practice")
    return found


def page() -> str:
    """Return the page."""
    rows = "\n".join(
        f"| {t.words} | {t.lesson}: {t.section} | {', '.join(f'`{p}`' for p in t.figures)} | "
        f"{', '.join(f'`{key}`' for key in t.items)} | {practised(t)} |"
        for t in topics()
    )
    return f"""# Topics of the job

Each topic with the lesson and section that teaches it, the cells that show it (a figure to move, \
a picture or a table), the questions that ask for it, and what is practised at the bench or \
watched at the bedside. Other sections and questions touch it too; these are the first to look at.

Three optional questions are about blood sampling and three about children's catheters; no pass \
mark counts them. What else stands in these rows asks for what every needle needs. Haemolysis is \
taught in words, with a prediction, and no question asks about it.

| topic | lesson and section | shown in | asked by | practice |
|---|---|---|---|---|
{rows}

Made by `{COMMAND}`.
"""


def main() -> None:
    """Write the page and enter it in the list of generated files.

    Raises
    ------
    SystemExit
        A topic lacks something; the text says what.
    """
    if missing := faults():
        raise SystemExit("\n".join(missing))
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=PAGE.parent)


if __name__ == "__main__":
    main()
