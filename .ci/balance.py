"""What the bank asks, by kind, level, worksheet and lesson: the generated page of its balance."""

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

import generated

from cubital import items, tables
from cubital.items import Item
from cubital.items.core import core
from cubital.items.levels import LEVELS, level_of

COMMAND = ".venv/bin/python .ci/balance.py"
PAGE = Path(__file__).resolve().parents[1] / "assets" / "docs" / "balance.md"
# Shares of the points that a learner must answer for.
MOST_FORMULA, FEWEST_DECISIONS, LEAST_RECOGNITION = 0.33, 0.35, 0.15

Named = tuple[str, Item]  # an item after the name of its row


def every() -> list[tuple[str, Item]]:
    """Return each item after its worksheet."""
    return [(name, item) for name, listed in items.WORKSHEETS.items() for item in listed]


def required() -> list[tuple[str, Item]]:
    """Return those that nobody is free to leave out."""
    return [(name, item) for name, item in every() if not item.optional]


def in_core() -> list[tuple[str, Item]]:
    """Return those that nobody is free to leave out where the core alone is asked."""
    return [(name, item) for name, item in required() if item.id in core()]


def points(listed: Iterable[Item]) -> float:
    """Return the points of items together."""
    return sum(item.points for item in listed)


def share(level: str, listed: Sequence[Named] | None = None) -> float:
    """Return the share of the required points that is of a level, or of others' points."""
    asked = [item for _, item in (required() if listed is None else listed)]
    return points(item for item in asked if level_of(item) == level) / points(asked)


def table(head: str, name_of: Callable[[str, Item], str], listed: Sequence[Named]) -> str:
    """Return a table of points, a row for each name and a column for each level."""
    rows: dict[str, list[Item]] = {}
    for worksheet, item in listed:
        rows.setdefault(name_of(worksheet, item), []).append(item)
    rows["all"] = [item for _, item in listed]
    lines = [f"| {head} | questions | points | {' | '.join(LEVELS)} |", "|---" * 9 + "|"]
    for name, found in rows.items():
        levels = (points(i for i in found if level_of(i) == level) for level in LEVELS)
        cells = " | ".join(f"{number:g}" if number else "–" for number in levels)
        lines.append(f"| {name} | {len(found)} | {points(found):g} | {cells} |")
    return "\n".join(lines)


def lesson_of(_worksheet: str, item: Item) -> str:
    """Return the lesson of an item's objective."""
    found = tables.curriculum().objectives_of(item.id)
    return found[0].lesson if found else "no objective"


def page() -> str:
    """Return the page."""
    asked, of_core = required(), in_core()
    optional = [item for _, item in every() if item.optional]
    shares = "\n".join(
        f"| {level} | {100 * share(level):.1f} % | {100 * share(level, of_core):.1f} % |"
        for level in LEVELS
    )
    return f"""# What the questions ask

Each question is of one level: it asks for a *formula*, a *decision* in a case, *recognition* in a \
picture, an *explanation*, a *procedure* in its order, or *recall*. The level is that of its kind, \
or the one that `assets/levels.csv` states. A learner has to answer {len(asked)} questions for \
{points(item for _, item in asked):g} points; {len(optional)} more, for {points(optional):g} \
points, are optional. Where a department asks the core alone, it is {len(of_core)} questions for \
{points(item for _, item in of_core):g} points.

| level | share of the required points | of those of the core |
|---|---|---|
{shares}

The course aims at {100 * MOST_FORMULA:.0f} % for formulas at most, at \
{100 * FEWEST_DECISIONS:.0f} % for decisions at least, and at {100 * LEAST_RECOGNITION:.0f} % for \
recognition at least. What is recognised counts for its worksheet, and not for the pass of the \
course: no clinicians' readings validate the simulated pictures yet.

## Required points by worksheet

{table("worksheet", lambda worksheet, _: worksheet, asked)}

## Points of the core by worksheet

{table("worksheet", lambda worksheet, _: worksheet, of_core)}

## Required points by lesson

{table("lesson", lesson_of, asked)}

## Required points by kind

{table("kind", lambda _, item: item.kind, asked)}

Made by `{COMMAND}`.
"""


def main() -> None:
    """Write the page and enter it in the list of generated files."""
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=PAGE.parent)


if __name__ == "__main__":
    main()
