"""What readers of the pages found, row by row, and what came of it: the generated pages.

Each page is written from a list of its own in this folder, a section for each `[[part]]`.
"""

import tomllib
from pathlib import Path
from typing import NamedTuple

import generated

HERE = Path(__file__).resolve().parent
FOLDER = HERE.parent / "assets" / "docs"
COMMAND = ".venv/bin/python .ci/readings.py"
FOUND = {
    "place": "where",
    "says": "what it said",
    "why": "why it can harm or mislead",
    "severity": "severity",
    "done": "what was done",
}
WORDED = {"place": "where", "says": "sentence", "done": "what it says now, or why it stayed"}
ASKED = {"number": "no.", "asked": "what was asked for", "now": "now", "where": "how and where"}
NOW = ("done", "in part", "not done")


class Page(NamedTuple):
    """A generated page: its name, that of its list too, its title, opening words and columns."""

    name: str
    title: str
    about: str
    columns: dict[str, str]

    @property
    def path(self) -> Path:
        """Where it is written."""
        return FOLDER / f"{self.name}.md"

    def parts(self) -> list[dict]:
        """Return the sections of its list."""
        text = (HERE / f"{self.name}.toml").read_text(encoding="utf-8")
        return tomllib.loads(text)["part"]


PAGES = (
    Page(
        "readings",
        "Readings of all pages",
        "Readers who had not written a page read all of them, and each kept a list of what was "
        "found. A row says where it stood, what was wrong with it, and what was changed or why it "
        "was left. [A later reading](read-for-safety.md) looked for what can harm alone, "
        "[another](read-for-language.md) for what has to be read twice; "
        "[an examiner's corrections](corrections.md) have a page too.",
        FOUND,
    ),
    Page(
        "read-for-safety",
        "Read for safety",
        "A reader who had not seen the course read it for what can harm a patient or mislead "
        "whoever treats one. A row says where it stood, what was found, and what was done, or why "
        "not.",
        FOUND,
    ),
    Page(
        "read-for-language",
        "Read for language",
        "A reader who had not seen the course read it as a bedside nurse, and marked each sentence "
        "that had to be read twice. A row says where it stood, what it said, and what it says now "
        "or why it stayed.",
        WORDED,
    ),
    Page(
        "corrections",
        "Corrections an examiner asked for",
        "An automated language model, asked to read as an examiner for vascular access, and "
        "another, asked to audit the sources, gave these lists; no clinician took part. Each row "
        "was held against the course as it stood on 2026-12-01: *done*, *in part* or *not done*, "
        "and where it is to be seen. A name such as `read-order` is a question's; a vignette asks "
        "about a principle.",
        ASKED,
    ),
)


def section(part: dict, columns: dict[str, str]) -> str:
    """Return a section: its title and what is said of it, and a line for each row."""
    rows = "\n".join(f"| {' | '.join(row[key] for key in columns)} |" for row in part["row"])
    head = f"| {' | '.join(columns.values())} |\n|{'---|' * len(columns)}"
    return f"## {part['title']}\n\n{part['about']}\n\n{head}\n{rows}\n"


def counted(parts: list[dict]) -> str:
    """Return how many rows are done, in part and not, where they say so."""
    states = [row["now"] for part in parts for row in part["row"] if "now" in row]
    if not states:
        return ""
    told = ", ".join(f"{states.count(state)} {state}" for state in NOW)
    return f"Of {len(states)} rows: {told}.\n\n"


def text_of(page: Page) -> str:
    """Return a page."""
    parts = page.parts()
    sections = "\n".join(section(part, page.columns) for part in parts)
    return f"# {page.title}\n\n{page.about}\n\n{counted(parts)}{sections}\nMade by `{COMMAND}`.\n"


def main() -> None:
    """Write the pages and enter them in the list of generated files."""
    for page in PAGES:
        page.path.write_text(text_of(page), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [page.path for page in PAGES], folder=FOLDER)


if __name__ == "__main__":
    main()
