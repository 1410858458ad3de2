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
from string import ascii_uppercase

import generated
import reading_pages
from reading_items import LEARNERS, release_of
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

from cubital import calc, items
from cubital.items import ChoiceItem
from cubital.items.cases.case import CaseItem
from cubital.items.principles.asked import VignetteItem

CHECKOUT = Path(__file__).resolve().parents[1]
KEPT = CHECKOUT / ".ci" / "answers-read.toml"
PAGE = CHECKOUT / "assets" / "docs" / "answers.md"
COMMAND = ".venv/bin/python .ci/reading.py mark"

JUDGED = {AGREED, "wrong", "slip"}

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
            *_agreed(found),
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


def agreement(found: Found) -> calc.Agreement | None:
    """Return Cohen's kappa of reader and key over the letters of choices that are asked as then.

    None where no such answer is kept.
    """
    pairs = [pair for pair in (_letters(read, now) for read, now in found) if pair is not None]
    if not pairs:
        return None
    letters = sorted({letter for pair in pairs for letter in pair})
    table = [[pairs.count((one, other)) for other in letters] for one in letters]
    return calc.cohen_kappa(table)


def _letters(read: Read, now: Marked) -> tuple[str, str] | None:
    """Return the letter that the reader took and that of the key; None where it is no choice."""
    item = {one.id: one for one in items.WORKSHEETS.get(read.worksheet, ())}.get(read.item)
    if not isinstance(item, ChoiceItem) or now.outcome not in JUDGED:
        return None
    options = item.options(release_of(read.worksheet).values(item, read.learner))
    right = next(place for place, option in enumerate(options) if option.right)
    return str(read.answer).strip().upper(), ascii_uppercase[right]


def _agreed(found: Found) -> list[str]:
    """Return what is said of agreement beyond chance, and of what was never read so."""
    told = agreement(found)
    gone, anew = (sum(now.outcome == what for _, now in found) for what in (GONE, CHANGED))
    lines = []
    if told is not None and told.kappa is not None:
        agreed = round(told.observed * told.n)
        low, high, *_ = calc.clopper_pearson_interval(agreed, told.n)
        lines = [
            f"Of {told.n} answers to choices that are asked as they were then, the last kept of "
            f"each, {agreed} agree with the key: {100 * told.observed:.0f} % ({100 * low:.0f} to "
            f"{100 * high:.0f}, exact), where chance gives {100 * told.expected:.0f} %. Cohen's "
            f"kappa of their letters is {told.kappa:.2f}. ",
        ]
    counts = f"Left out are {anew} answers to values that are drawn anew"
    lines.append(f"{counts} and {gone} to items that are not there any more. ")
    for kind, words in ((CaseItem, "cases"), (VignetteItem, "questions on principles")):
        asked = {
            i.id for listed in items.WORKSHEETS.values() for i in listed if isinstance(i, kind)
        }
        read = {one.item for one, now in found if one.item in asked and now.outcome in JUDGED}
        lines.append(f"Of the {len(asked)} {words} {len(read)} were read so. ")
    lines.append(
        "Where none was, no agreement is known: their keys are the author's, and proposed until "
        "two clinicians sign them."
    )
    return ["## Agreement beyond chance", "", "".join(lines)]


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
