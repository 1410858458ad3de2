"""Have the items answered by a reader who did not write them and has no key; then compare.

    .venv/bin/python .ci/reading.py pages FOLDER [--only WORKSHEET ...]
    .venv/bin/python .ci/reading.py mark [FOLDER]

``pages`` writes what two learners see of every question, and a form for their answers beside it.
``mark`` takes filled-in forms into ``.ci/answers-read.toml``, tells where reader and key differ and
writes ``assets/docs/answers.md``; without a folder it marks the kept answers again. Needs the test
environment, and ``pages`` Debian's chromium.
"""

import argparse
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path

import generated
import reading_pages
from reading_items import LEARNERS
from reading_marks import (
    AGREED,
    CHANGED,
    GONE,
    TEXT,
    Marked,
    Read,
    given,
    marked,
    merged,
    store,
    stored,
)

from cubital import items

CHECKOUT = Path(__file__).resolve().parents[1]
KEPT = CHECKOUT / ".ci" / "answers-read.toml"
PAGE = CHECKOUT / "assets" / "docs" / "answers.md"
COMMAND = ".venv/bin/python .ci/reading.py mark"

Found = list[tuple[Read, Marked]]


def main() -> None:
    """Do what is asked for."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    commands = parser.add_subparsers(dest="command", required=True)
    pages = commands.add_parser("pages", help="write what a reader sees, and forms for answers")
    pages.add_argument("folder", type=Path)
    pages.add_argument("--only", nargs="+", choices=list(items.WORKSHEETS), metavar="WORKSHEET")
    marks = commands.add_parser("mark", help="compare filled-in forms with the key")
    marks.add_argument("folder", type=Path, nargs="?")
    asked = parser.parse_args()
    if asked.command == "pages":
        reading_pages.write_pages(asked.folder, asked.only or list(items.WORKSHEETS))
    else:
        compare(asked.folder)


def compare(folder: Path | None) -> None:
    """Mark the readers' answers, keep them, tell where they differ, and write the page."""
    new = given(folder) if folder else []
    reads = merged(stored(KEPT), new)
    if not reads or (folder and not new):
        raise SystemExit("there is no answer to mark: give the folder with the filled-in forms")
    with tempfile.TemporaryDirectory() as name:
        rows = [(one, marked(one, Path(name))) for one in reads]
    found = [(read._replace(first=read.first or now.in_short), now) for read, now in rows]
    store(KEPT, (read for read, _ in found))
    print(told(found))
    PAGE.write_text(written(found), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=PAGE.parent)


def differs(read: Read, now: Marked) -> bool:
    """Tell whether an answer belongs into the table: not right, then or now, or in doubt."""
    if now.outcome == TEXT:
        return bool(read.doubt or read.mended)
    return bool(read.doubt or read.mended or {read.first, now.outcome} != {AGREED})


def told(found: Found) -> str:
    """Say in the terminal where reader and key differ, with the way to the key's answer."""
    parts = []
    for read, now in found:
        if differs(read, now):
            lines = [f"{read.worksheet}: {read.item}, {read.learner}: {now.outcome}"]
            named = zip(
                ("reader", "key", "route", "why", "doubt", "first", "mended"),
                (now.reader, now.key, now.route, now.why, read.doubt, read.first, read.mended),
                strict=True,
            )
            lines += [f"    {name}: {words}" for name, words in named if words]
            parts.append("\n".join(lines))
    agreed = sum(now.outcome == AGREED for _, now in found)
    texts = sum(now.outcome == TEXT for _, now in found)
    parts.append(f"{len(found)} answers read: {agreed} agree, {texts} are texts to mark by hand.")
    return "\n".join(parts)


def written(found: Found) -> str:
    """Return the page."""
    return "\n".join(
        [
            "# The items, answered by a reader without the key",
            "",
            "The reader was an automated language model that had written none of the items and "
            "had no key; no clinician has reviewed the course yet. It answered them for "
            f"{len(LEARNERS)} invented learners, each with values of their own, from nothing but "
            "what the page shows: words, tables and simulated pictures. The answers went the way "
            "of a learner's: they were saved, refused where they had no right form, and marked. "
            "What differed was looked into, and the item, the lesson or the key mended where it "
            "was at fault. One reader's answers show where a question can be misread; they say "
            "nothing on how hard it is for learners. Made by "
            f"`{COMMAND}`; the answers are in `.ci/answers-read.toml`.",
            "",
            *_counted(found),
            "",
            "## Where reader and key differed, or the reader was in doubt",
            "",
            "*Then* is how the answer was marked when it was given, *now* how the item as it is "
            f"marks the answer kept last. “{CHANGED}”: the item's values have changed since, so "
            f"that the kept answer is to another question; “{GONE}”: the item is not there any "
            "more.",
            "",
            *_table(
                ("item", "learner", "then", "now", "why", "key", "doubt", "what was mended"),
                (
                    (
                        read.item,
                        read.learner,
                        read.first,
                        "the same" if read.first == now.in_short else now.in_short,
                        now.why,
                        now.key,
                        read.doubt,
                        read.mended,
                    )
                    for read, now in found
                    if differs(read, now) and now.outcome != TEXT
                ),
            ),
            "",
            "## In the reader's own words",
            "",
            "Texts have no key; an educator marks them by hand.",
            "",
            *_table(
                ("item", "learner", "text", "doubt", "what was mended"),
                (
                    (read.item, read.learner, now.reader, read.doubt, read.mended)
                    for read, now in found
                    if now.outcome == TEXT
                ),
            ),
            "",
        ]
    )


def _counted(found: Found) -> list[str]:
    """Return the table of how many agree, by worksheet; texts are counted apart."""
    rows = []
    for worksheet in dict.fromkeys(read.worksheet for read, _ in found):
        own = [(read, now) for read, now in found if read.worksheet == worksheet]
        keyed = [(read, now) for read, now in own if now.outcome != TEXT]
        then = sum(read.first == AGREED for read, _ in keyed)
        counts = [sum(now.outcome == what for _, now in keyed) for what in (AGREED, CHANGED)]
        answers = sum(read.answer != "" for read, _ in keyed)
        rows.append((worksheet, *map(str, (answers, then, *counts, len(own) - len(keyed)))))
    return _table(("worksheet", "answers", "agreed then", "agree now", CHANGED, "texts"), rows)


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    lines = [heads, ["---"] * len(heads), *rows]
    return [f"| {' | '.join(map(_cell, line))} |" for line in lines]


def _cell(words: str) -> str:
    return " ".join(words.split()).replace("|", "\\|")


if __name__ == "__main__":
    main()
