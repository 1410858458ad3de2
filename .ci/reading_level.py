"""How hard the pages are to read: the generated page of grades, and of the hardest sentences.

    .venv/bin/python .ci/reading_level.py

The Flesch-Kincaid grade counts words a sentence and syllables a word, and says nothing of meaning.
"""

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

import generated
import nbformat

from cubital.handin.released.release import AT_ONCE, new_release
from cubital.items import WORKSHEETS, PictureItem
from cubital.items.principles.asked import VignetteItem

CHECKOUT = Path(__file__).resolve().parents[1]
COMMAND = ".venv/bin/python .ci/reading_level.py"
PAGE = CHECKOUT / "assets" / "docs" / "reading-level.md"
PRACTICE, LEARNER = "practice-20260101-00000001", "ada.alder"
README = "README"
HARDEST, LONG, FEWEST_WORDS = 10, 8, 3  # on the page; words of a sentence there, and of any
OFFERED = ("options", "ways", "reasons")
INLINE = re.compile(r"`[^`\n]+`")  # a command or a file counts as one word
CODE = re.compile(r"```.*?```|<[^>]+>", re.DOTALL)
MARKS = re.compile(
    r"^\|.*$|^#+ References.*|!\[[^\]]*\]|\]\([^)]*\)| ?\[[a-z0-9, -]+\](?!\()|[*#>\[\]]",
    re.MULTILINE,
)
ENDS = re.compile(r"(?:(?<=[.!?])|(?<=[.!?][*”\")]))\s+|\n\s*\n|\n(?=\s*(?:- |\d+\. ))")
WORD = re.compile(r"[A-Za-z][A-Za-z’'-]*")
GROUP = re.compile(r"[aeiouy]+")
SILENT = re.compile(
    r"(?<=[^aeiouy])(?<!l)e$|(?<=[aeiouy]l)e$|(?<=[^dt])ed$|(?<=[^aeiouycsxzgh])es$"
)
APART = re.compile(r"(?<![cglst])i[aou]|[aeiou]ing|[^qg]u[ao]|eo(?!u)|(?<!t)ie[nt]|uid")


class Sentence(NamedTuple):
    """A sentence, its page, and its grade by itself."""

    page: str
    text: str
    grade: float


def syllables(word: str) -> int:
    """Return about how many syllables a word has: its groups of vowels, but for silent ends.

    >>> [syllables(word) for word in ("vein", "needle", "catheter", "infiltration")]
    [1, 2, 3, 4]
    """
    parts = [SILENT.sub("", part) for part in word.lower().replace("’", "").split("-")]
    return max(1, sum(len(GROUP.findall(part)) + len(APART.findall(part)) for part in parts))


def sentences(text: str) -> list[str]:
    """Return the sentences of Markdown, without tables, code, links and keys of sources."""
    plain = MARKS.sub("", INLINE.sub("this", CODE.sub("", text)))
    found = (re.sub(r"^\s*(?:- |\d+\. )|\s+", " ", one).strip() for one in ENDS.split(plain))
    return [one for one in found if len(WORD.findall(one)) >= FEWEST_WORDS]


def grade(texts: Iterable[str]) -> float:
    """Return the Flesch-Kincaid grade of sentences."""
    listed = [WORD.findall(one) for one in texts]
    words = [word for one in listed for word in one]
    # 0.39, 11.8 and 15.59: Kincaid and others 1975, from memory
    return 0.39 * len(words) / len(listed) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def pages() -> Iterator[tuple[str, str]]:
    """Yield what each page is called, and its text."""
    for path in sorted((CHECKOUT / "modules").glob("*.ipynb")):
        yield path.stem, notebook_text(path)
    for name in WORKSHEETS:
        yield name, worksheet_text(name)
    yield README, (CHECKOUT / "README.md").read_text(encoding="utf-8")


def notebook_text(path: Path) -> str:
    """Return the text of a notebook."""
    cells = nbformat.read(path, as_version=4).cells
    texts = (cell.source for cell in cells if cell.cell_type == "markdown")
    return "\n\n".join(text for text in texts if "BEGIN SOLUTION" not in text)


def worksheet_text(name: str) -> str:
    """Return a worksheet's text as one learner has it; of the vignettes the stories alone."""
    texts = [notebook_text(CHECKOUT / "exercises" / "source" / name / f"{name}.ipynb")]
    release = new_release(PRACTICE, name, feedback=AT_ONCE)
    for item in WORKSHEETS[name]:
        if not isinstance(item, PictureItem):
            form = item.form(release.values(item, LEARNER))
            texts.append(form.question)
            if not isinstance(item, VignetteItem):
                texts += [words for one in OFFERED for _, words in getattr(form, one, ())]
    return "\n\n".join(texts)


def page() -> str:
    """Return the page."""
    read = {name: sentences(text) for name, text in pages()}
    rows = "\n".join(
        f"| {name} | {len(found)} | {grade(found):.1f} |" for name, found in read.items()
    )
    every = [Sentence(name, one, grade([one])) for name, found in read.items() for one in found]
    taught = [one for one in every if one.page != README]
    long = (one for one in taught if len(WORD.findall(one.text)) >= LONG)
    hardest = sorted(long, key=lambda one: -one.grade)[:HARDEST]
    worst = "\n".join(f"| {one.page} | {one.text} | {one.grade:.1f} |" for one in hardest)
    return f"""# How hard the pages are to read

The grade is that of Flesch and Kincaid: 0.39 × words a sentence + 11.8 × syllables a word − \
15.59, about the years of school in the United States. It counts words and syllables, and says \
nothing of meaning: a short riddle has a low grade, and the name of a drug a high one. Syllables \
are counted by groups of vowels; a command or a file counts as one word. A worksheet counts with \
its questions as one learner has them, and of the vignettes with their stories alone.

| page | sentences | grade |
|---|---|---|
{rows}

## The ten hardest sentences of the course

| page | sentence | grade |
|---|---|---|
{worst}

Made by `{COMMAND}`.
"""


def main() -> None:
    """Write the page and enter it in the list of generated files."""
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=PAGE.parent)


if __name__ == "__main__":
    main()
