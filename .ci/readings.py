"""What readers of all pages found, row by row, and what came of it: a generated page.

The readings stand in ``.ci/readings.toml``, a section each.
"""

import tomllib
from pathlib import Path

import generated

CHECKOUT = Path(__file__).resolve().parents[1]
LISTED = CHECKOUT / ".ci" / "readings.toml"
COMMAND = ".venv/bin/python .ci/readings.py"
PAGE = CHECKOUT / "assets" / "docs" / "readings.md"
COLUMNS = ("place", "says", "why", "severity", "done")
HEADS = ("where", "what it said", "why it can harm or mislead", "severity", "what was done")


def section(reading: dict) -> str:
    """Return the section of a reading: who read, when and how, and a line for each finding."""
    rows = "\n".join(f"| {' | '.join(row[key] for key in COLUMNS)} |" for row in reading["row"])
    head = f"| {' | '.join(HEADS)} |\n|{'---|' * len(HEADS)}"
    return f"""## {reading["title"]}

{reading["reader"]} Read on {reading["read_on"]}. {reading["about"]}

{head}
{rows}
"""


def page() -> str:
    """Return the page."""
    readings = tomllib.loads(LISTED.read_text(encoding="utf-8"))["reading"]
    return f"""# Readings of all pages

Readers who had not written a page read all of them, and each kept a list of what was found. A row \
says where it stood, what was wrong with it, and what was changed or why it was left.

{chr(10).join(map(section, readings))}
Made by `{COMMAND}`.
"""


def main() -> None:
    """Write the page and enter it in the list of generated files."""
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=PAGE.parent)


if __name__ == "__main__":
    main()
