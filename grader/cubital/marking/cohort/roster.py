"""The roster: who is in the cohort, read from the CSV files that spreadsheets write."""

import codecs
import csv
import io
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from cubital.handin.files import write_text
from cubital.handin.ids import canonical_id
from cubital.marking.errors import CourseError

FILE = "roster.csv"
COLUMNS = ("id", "first_name", "last_name")
_SEPARATORS = {",": "a comma", ";": "a semicolon", "\t": "a tab", "|": "a bar"}
_LARGEST = 10_000_000  # bytes; 100,000 learners have some 4 MB
# How a file that begins so is written; the longer beginnings first.
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")  # how .xlsx, .ods and .xls begin


@dataclass(frozen=True)
class Learner:
    """One row of the roster."""

    id: str
    first_name: str = ""
    last_name: str = ""

    @property
    def name(self) -> str:
        """First and last name, or the id where the roster has no name."""
        return f"{self.first_name} {self.last_name}".strip() or self.id


@dataclass(frozen=True)
class Changes:
    """What another roster changes: who is added, who is removed, and who has another name."""

    added: tuple[Learner, ...]
    removed: tuple[Learner, ...]
    renamed: tuple[tuple[Learner, Learner], ...]

    def __bool__(self) -> bool:
        return bool(self.added or self.removed or self.renamed)

    def in_words(self, handed_in: Iterable[str] = ()) -> str:
        """Say the changes, a line each; of who is removed, also whether they handed in."""
        there = set(handed_in)
        return "\n".join(
            [
                *(f"added: {row.id} ({row.name})" for row in self.added),
                *(
                    f"removed: {row.id} ({row.name})"
                    + (", who has handed in" if row.id in there else "")
                    for row in self.removed
                ),
                *(f"renamed: {old.id}, {old.name} to {new.name}" for old, new in self.renamed),
            ]
        )


def changes(before: Mapping[str, Learner], after: Mapping[str, Learner]) -> Changes:
    """Compare two rosters by id."""
    return Changes(
        added=tuple(row for key, row in after.items() if key not in before),
        removed=tuple(row for key, row in before.items() if key not in after),
        renamed=tuple(
            (row, after[key]) for key, row in before.items() if after.get(key, row) != row
        ),
    )


def read_roster(path: Path) -> list[Learner]:
    """Read a roster with the columns id, first_name, last_name.

    The separator may be a comma, a semicolon, a tab or a bar, the text in UTF-8, UTF-16 or
    Windows-1252; other columns, empty lines and the line ``sep=;`` are passed over.

    Raises
    ------
    CourseError
        The file cannot be read, a column is missing, or ids are wrong or twice there; the text
        names every such line.
    """
    if not path.is_file():
        raise CourseError(f"there is no roster at {path}: make one with the columns {_columns()}")
    text, _ = _decoded(path)
    lines = text.splitlines(keepends=True)
    separators, skipped = [*_SEPARATORS], 0
    if lines and (told := lines[0].strip().strip('"').lower()).startswith("sep="):
        separators, skipped = [told[4:5] or "\t"], 1
    try:
        head, separator = _head(lines[skipped:], separators)
        rows = csv.reader(
            io.StringIO("".join(lines[skipped:]), newline=""), delimiter=separator, strict=True
        )
        listed = [(rows.line_num + skipped, row) for row in rows]
    except csv.Error as error:
        raise CourseError(f"{path} is not a CSV file: {error}") from error
    doubled = sorted(name for name in COLUMNS if head.count(name) > 1)
    missing = [name for name in COLUMNS if name not in head]
    if doubled or missing:
        raise CourseError(
            f"{path} {'has twice' if doubled else 'lacks'} the columns "
            f"{', '.join(doubled or missing)}: it needs {_columns()}. Its first line was read, "
            f"with {_SEPARATORS.get(separator, repr(separator))} between columns, as: "
            f"{', '.join(head) or 'nothing'}"
        )
    filled = [(line, row) for line, row in listed if any(cell.strip() for cell in row)][1:]
    learners, faults = _learners(filled, head)
    if faults:
        raise CourseError(f"{path} cannot be used: " + "; ".join(faults))
    return learners


def encoding_note(path: Path) -> str:
    """Say that a roster's letters were guessed, if they were; else nothing."""
    text, encoding = _decoded(path)
    if encoding != "cp1252" or text.isascii():
        return ""
    example = next(line.strip() for line in text.splitlines() if not line.isascii())
    return (
        f"{path} is not in UTF-8 and was read as Windows-1252: look whether the names are right, "
        f"such as in “{example:.80}”; if not, save the file as “CSV UTF-8”."
    )


def write_roster(path: Path, learners: Iterable[Learner]) -> None:
    """Write a roster."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows((row.id, row.first_name, row.last_name) for row in learners)
    write_text(path, text.getvalue())


def _decoded(path: Path) -> tuple[str, str]:
    """Return a file's text and how it was read."""
    if path.stat().st_size > _LARGEST:
        raise CourseError(f"{path} is larger than a roster can be: is it another file?")
    data = path.read_bytes()
    if data.startswith(_WORKBOOKS):
        raise CourseError(f"{path} is a workbook, not a CSV file: save the sheet as “CSV UTF-8”")
    encodings = [name for mark, name in _MARKS if data.startswith(mark)][:1]
    if not encodings and data[:4].count(0) == 2:  # every second byte: UTF-16 without its mark
        encodings = ["utf-16-be" if data[0] == 0 else "utf-16-le"]
    for encoding in encodings or ["utf-8", "cp1252"]:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" in text:
            break
        return text, encoding
    raise CourseError(
        f"{path} is not text in UTF-8, UTF-16 or Windows-1252: save the sheet as “CSV UTF-8”"
    )


def _head(lines: list[str], separators: list[str]) -> tuple[list[str], str]:
    """Return the names in the first line, in our spelling, and the separator that shows most."""
    first = next((line for line in lines if any(letter.isalnum() for letter in line)), "")
    best: tuple[list[str], str] = ([], separators[0])
    for separator in separators:
        cells = next(csv.reader([first], delimiter=separator), [])
        names = ["_".join(cell.lower().replace("-", " ").split()) for cell in cells]
        if len(set(names) & set(COLUMNS)) > len(set(best[0]) & set(COLUMNS)) or not best[0]:
            best = names, separator
    return best


def _learners(
    rows: list[tuple[int, list[str]]], head: list[str]
) -> tuple[list[Learner], list[str]]:
    """Return the learners of numbered rows, and what is wrong with which line."""
    learners: list[Learner] = []
    faults: list[str] = []
    lines: dict[str, int] = {}
    places = [head.index(name) for name in COLUMNS]
    given = [row[places[0]].strip() if len(row) > places[0] else "" for _, row in rows]
    begins = Counter(text.split("@")[0].lower() for text in given)
    for text, (line, row) in zip(given, rows, strict=True):
        if any(cell.strip() for cell in row[len(head) :]):
            faults.append(
                f"line {line} has {len(row)} values for {len(head)} columns: put a value that "
                "holds the separator in quotation marks"
            )
            continue
        try:
            learner = canonical_id(text)
        except ValueError as error:
            faults.append(f"line {line}: {_advice(text, begins) or error}")
            continue
        if learner in lines:
            faults.append(f"lines {lines[learner]} and {line} both have the id “{learner}”")
            continue
        lines[learner] = line
        first, last = (row[at].strip() if at < len(row) else "" for at in places[1:])
        learners.append(Learner(learner, first, last))
    return learners, faults


def _advice(text: str, begins: Mapping[str, int]) -> str:
    """Say what to use instead of an e-mail address, which cannot name a folder."""
    name, at, _ = text.partition("@")
    if not at:
        return ""
    told = f"{text!r:.60} is an e-mail address, which cannot be an id: "
    try:
        name = canonical_id(name)
    except ValueError:
        return told + "use a staff number, or a name of letters a to z and digits"
    if begins[name] > 1:
        return told + f"“{name}” begins several of them; use a staff number, or a name of your own"
    return told + f"use “{name}”, or a staff number"


def _columns() -> str:
    return ", ".join(COLUMNS)
