"""A hand-in as plain parts that can be changed, and the classes of changes by their names."""

import hashlib
import io
import json
import random
import zipfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

WORKSHEET = "catheter-sizing"
NOTEBOOK = f"{WORKSHEET}.ipynb"
ANSWERS, RELEASE, TIMESTAMP, NOTE = "answers.json", "release.json", "timestamp.txt", "handin.json"
LINE, TEXT = "sizing-ratio-code", "sizing-reasons"
CHOICES = (
    "sizing-picture-width",
    "sizing-smallest-adequate",
    "cannot-size-first",
    "cannot-size-second",
    "cannot-size-other",
)
NUMBERS = (
    "sizing-upper-diameter",
    "sizing-french",
    "sizing-ratio",
    "sizing-smallest-vein",
    "sizing-area-share",
    "sizing-bore-flow",
    "sizing-gravity-flow",
    "sizing-drip-rate",
    "sizing-infusion-time",
)
ASKED = (*NUMBERS, *CHOICES, LINE, TEXT)
ANY = ""  # words that every reason holds
_MADE = (2021, 3, 4, 8, 0, 0)  # when the entries of a zip say to be made

# Of each item that a change touches: its outcome, and words of the reason.
Items = Mapping[str, tuple[str, str]]


@dataclass
class HandIn:
    """The parts of one learner's hand-in.

    ``files`` are all but the note; the note's check sums are made from them when it is zipped,
    unless it holds others. ``raw`` are the zip's own bytes, where a change is of the zip, and
    ``placed`` the files that are put over the collected ones.
    """

    learner: str
    paper: str
    files: dict[str, bytes]
    note: Any
    others: Sequence["HandIn"] = ()
    raw: bytes | None = None
    placed: dict[str, bytes] = field(default_factory=dict)

    @classmethod
    def read(cls, path: Path, learner: str, paper: str) -> "HandIn":
        """Read an honest hand-in, with one time for all its answers."""
        with zipfile.ZipFile(path) as archive:
            files = {name: archive.read(name) for name in archive.namelist()}
        note = json.loads(files.pop(NOTE))
        del note["sha256"]
        answers = json.loads(files[ANSWERS])
        for entries in answers["items"].values():
            for entry in entries:
                entry["at"] = note["at"]
        return cls(learner, paper, files | {ANSWERS: json.dumps(answers).encode()}, note)

    def copy(self, others: Sequence["HandIn"]) -> "HandIn":
        """Return a copy to be changed, with other learners' hand-ins to take from."""
        return HandIn(self.learner, self.paper, dict(self.files), deepcopy(self.note), others)

    def data(self, name: str) -> Any:
        """Return what a file of JSON holds."""
        return json.loads(self.files[name])

    def put(self, name: str, data: Any) -> None:
        """Write JSON into a file; an infinite number as 1e400, which JSON has."""
        self.files[name] = json.dumps(data).replace("Infinity", "1e400").encode()

    @property
    def all_files(self) -> dict[str, bytes]:
        """All files with the note, its check sums made."""
        note = self.note
        if isinstance(note, bytes):
            return self.files | {NOTE: note}
        sums = {name: hashlib.sha256(data).hexdigest() for name, data in self.files.items()}
        return self.files | {NOTE: json.dumps({"sha256": sums} | note).encode()}

    def zipped(self) -> bytes:
        """Return the zip that is handed in."""
        return self.raw if self.raw is not None else zip_of(self.all_files.items())


def zip_of(
    files: Iterable[tuple[str, bytes]],
    extra: Iterable[tuple[zipfile.ZipInfo, bytes]] = (),
    *,
    how: int = zipfile.ZIP_STORED,
) -> bytes:
    """Return a zip of names and what they hold, the same bytes each time."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", how) as archive:
        for name, data in files:
            archive.writestr(entry(name, how), data)
        for info, data in extra:
            archive.writestr(info, data)
    return made.getvalue()


def entry(name: str, how: int = zipfile.ZIP_STORED) -> zipfile.ZipInfo:
    """Return the head of a zip's entry."""
    info = zipfile.ZipInfo(name, _MADE)
    info.compress_type = how
    return info


def last_line(notebook: Any) -> str | None:
    """Return what stands in the last cell for the line of Python, or None."""
    found = [cell["source"] for cell in notebook["cells"] if grade_id(cell) == "ratio-line"]
    return "".join(found[-1]) if found else None


def grade_id(cell: Any) -> str:
    """Return the grade_id of a cell, or nothing."""
    return cell["metadata"].get("nbgrader", {}).get("grade_id", "")


Change = Callable[[HandIn, random.Random], Items | None]


@dataclass(frozen=True)
class Mutant:
    """A class of changes: the state that it leads to, and words of the reason.

    ``loose`` are changes after which any item may have another outcome, within the law of points.
    """

    change: Change
    state: str
    words: str
    loose: bool


MUTANTS: dict[str, Mutant] = {}


def mutant(state: str, words: str = ANY, *, loose: bool = False) -> Callable[[Change], Change]:
    """Name a class of changes by its function."""

    def kept(change: Change) -> Change:
        name = change.__name__.replace("_", "-")
        assert name not in MUTANTS
        MUTANTS[name] = Mutant(change, state, words, loose)
        return change

    return kept
