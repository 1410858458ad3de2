"""What decides on the papers of a release: values and keys, sealed in the educator's workspace.

Beside them stands what the release was made with: ``release.json``, the papers themselves and the
files of own items. So a release is marked by what it was, whatever the course says later, and
several releases of a worksheet can stand side by side.
"""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from cubital.handin.answers import Answers, Entry
from cubital.handin.files import own_folder, read_json, write_json
from cubital.handin.ids import canonical_id
from cubital.handin.released.packed import OtherFormatError, check_format, packed, unpacked
from cubital.handin.released.papers import LARGEST, Papers, Seating, read_papers, write_papers
from cubital.handin.released.questions import Question
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.handin.released.release import Release, read_release
from cubital.items import Form, Item, TrialsItem, key_of

FILE = "keys.json"
FORMAT = "cubital-keys/2"
DESCRIBED_FOLDER = "described"
DESCRIBED = "described-"  # the papers of the described version are numbered with this before


# By item, a question as a learner was asked it, and the answer that counts.
AllAsked = Mapping[str, tuple[Question, Entry | None]]


def answered(asked: AllAsked) -> dict[str, tuple[Form, Mapping[str, Any]]]:
    """Return the form and the answer of each question to which one was saved."""
    return {
        item_id: (question.form, entry.answer)
        for item_id, (question, entry) in asked.items()
        if entry is not None
    }


@dataclass(frozen=True)
class Sealed:
    """The papers of a release with their keys.

    ``rows`` holds by paper and item the drawn ``values``, the ``key`` as `Key.data` gives it, and
    under ``names`` what each key that stands in the paper is called by the item.
    """

    papers: Papers
    rows: Mapping[str, Mapping[str, Any]]

    def question(self, paper: str, item_id: str) -> Question:
        """Return a question of a paper with its key, options under their item's own keys."""
        row = self.rows[paper][item_id]
        values = row["values"]
        form = self.papers.form(paper, item_id)
        return Question(
            form=form.with_keys(row["names"]),
            key=key_of(row["key"]),
            values=values,
            names=row["names"],
            described=paper.startswith(DESCRIBED) and not {"picture", "trials"}.isdisjoint(values),
        )

    def papers_for(self, learner: str) -> tuple[str, ...]:
        """Return the papers that are a learner's: the usual one, and the described version's."""
        paper = self.papers.paper_of(learner)
        return tuple(one for one in (paper, f"{DESCRIBED}{paper}") if one in self.rows)

    def asked(
        self, item_id: str, learner: str, answers: Answers | None
    ) -> tuple[Question, Entry | None]:
        """Return a question as a learner was asked it, and the answer that counts.

        An answer on a paper that is not theirs comes with other values than the question's, so
        that it is refused as a copy.
        """
        return self._asked(item_id, self.papers_for(learner), answers)

    def _asked(
        self, item_id: str, own: tuple[str, ...], answers: Answers | None
    ) -> tuple[Question, Entry | None]:
        is_own = answers is not None and answers.paper in own
        paper = answers.paper if answers is not None and is_own else own[0]
        question = self.question(paper, item_id)
        entry = answers.last(item_id) if answers else None
        if entry is None:
            return question, None
        values = question.values if is_own else {"paper": answers.paper if answers else ""}
        answer = question.answer(entry.answer)
        return question, Entry(entry.at, values, answer, entry.confidence)

    def all_asked(self, learner: str, answers: Answers | None) -> AllAsked:
        """Return the same of all questions, in the order of the paper."""
        own = self.papers_for(learner)
        return {
            item_id: self._asked(item_id, own, answers) for item_id in self.papers.listed(own[0])
        }


def folder_of(workspace: Path, worksheet: str, release: str) -> Path:
    """Return where a workspace keeps what decides on a release.

    Raises
    ------
    ValueError
        ``release`` cannot be a release's name, such as a path to somewhere else.
    """
    if canonical_id(release) != release:
        raise ValueError(f"{release!r:.60} cannot be the name of a release")
    return workspace / "sealed" / "papers" / worksheet / release


def made(
    release: Release,
    listed: Iterable[Item],
    *,
    secret: str,
    seating: Seating,
    allocated: Mapping[str, Mapping[str, Sequence[str]]] | None = None,
) -> Sealed:
    """Draw the papers of a release and their keys, all from a secret that stays where it is.

    ``allocated`` holds by item and number of a paper the pictures that it gets, where they are not
    drawn from all that the item has.

    A release's described version has the seating of its ordinary one, so that all else in it is
    the same. Short trials stand in an order of its own: else its words, which a program can read,
    would tell the ordinary paper's answers by their numbers.
    """
    seed = seed_of(secret, release.name, release.attempt)
    before = DESCRIBED if release.described else ""
    rows: dict[str, dict[str, Any]] = {}
    forms: dict[str, dict[str, Any]] = {}
    listed = list(listed)
    for number in (*seating.seats.values(), *seating.spare):
        paper = f"{before}{number}"
        rows[paper], forms[paper] = {}, {}
        for item in listed:
            own = (allocated or {}).get(item.id, {})
            pictures = own.get(number, release.pictures.get(item.id, ()))
            of = f"paper-{paper if isinstance(item, TrialsItem) else number}"
            values = item.values(seed, of, release.policy, pictures, for_papers=True)
            forms[paper][item.id], rows[paper][item.id] = drawn(item, values, seed)
    papers = Papers(
        release=release.name,
        worksheet=release.worksheet,
        attempt=release.attempt,
        salt=seating.salt,
        seats={one: f"{before}{number}" for one, number in seating.seats.items()},
        spare=tuple(f"{before}{number}" for number in seating.spare),
        forms=forms,
    )
    return Sealed(papers, rows)


def drawn(
    item: Item, values: Mapping[str, Any], seed: str
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return what stands of an item in a paper, and what is sealed of it, at drawn values."""
    form = item.form(values)
    names = {f"k{place}": key for place, key in enumerate(form.keys(), 1)}
    given = form.with_keys({key: name for name, key in names.items()})
    key = item.key(values, seal=seed)
    return given.data(), {"values": values, "names": names, "key": key.data()}


def seed_of(secret: str, release: str, attempt: int) -> str:
    """Return what the values of a release are drawn from."""
    return hashlib.sha256(f"{secret}\0{release}\0{attempt}".encode()).hexdigest()


def write_sealed(folder: Path, sealed: Sealed) -> None:
    """Write papers and keys into a folder that is closed to others."""
    own_folder(folder)
    write_papers(folder, sealed.papers)
    write_json(folder / FILE, {"format": FORMAT} | packed(sealed.rows), indent=None)


def read_sealed(workspace: Path, worksheet: str, release: str) -> Sealed:
    """Read what decides on a release, its described version included if one was made.

    Raises
    ------
    ValueError
        It is not there or cannot be read; the text says which file.
    """
    folder = folder_of(workspace, worksheet, release)
    usual = _read(folder, _changed(folder))
    version = folder / DESCRIBED_FOLDER
    if not (version / FILE).is_file():
        return usual
    other = _read(version, _changed(version))
    forms = {**usual.papers.forms, **other.papers.forms}
    return Sealed(replace(usual.papers, forms=forms), {**usual.rows, **other.rows})


def _changed(folder: Path) -> int:
    path = folder / FILE
    if not path.is_file():
        raise ValueError(f"{path} is missing: restore it, or release again under another name")
    return path.stat().st_mtime_ns


@lru_cache(maxsize=8)
def _read(folder: Path, _changed: int) -> Sealed:
    path = folder / FILE
    papers = read_papers(folder)
    if papers is None:
        raise ValueError(f"the papers are missing in {folder}: restore them")
    try:
        data = read_json(path, largest=4 * LARGEST)
        check_format(data["format"], FORMAT)
        return Sealed(papers, {paper: dict(rows) for paper, rows in unpacked(data).items()})
    except OtherFormatError as error:
        raise ValueError(
            f"{path} cannot be used: {error}. Mark with the edition of the course that made the "
            "release, or release again under another name"
        ) from error
    except (OSError, KeyError, TypeError, AttributeError, ValueError) as error:
        raise ValueError(f"{path} cannot be used: {error}. Restore it from a copy") from error


def read_made(workspace: Path, worksheet: str, release: str) -> Release:
    """Read a release as it was made, with the files of its own items; broken raises ValueError."""
    return read_release(folder_of(workspace, worksheet, release))


def release_answered(workspace: Path, release: Release, answers: Answers | None) -> Release:
    """Return the release that was answered: ``release``, unless the answers name another."""
    if answers is None or answers.release == release.name:
        return release
    return read_made(workspace, release.worksheet, answers.release)


def releases_of(workspace: Path, worksheet: str) -> dict[str, Release]:
    """Return the releases of a worksheet that were made in a workspace, by name."""
    folders = sorted((workspace / "sealed" / "papers" / worksheet).glob(f"*/{RELEASE_FILE}"))
    return {path.parent.name: read_release(path.parent) for path in folders}
