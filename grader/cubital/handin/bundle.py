"""The file a learner hands in: one zip with notebook, answers, time and check sums."""

import hashlib
import json
import zipfile
import zlib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

from cubital.handin.answers import FILE as ANSWERS_FILE
from cubital.handin.answers import Answers, AnswerStore, travelling
from cubital.handin.cells import Written, with_answers
from cubital.handin.files import OWNERS_FILE, loads_json, read_json
from cubital.handin.ids import canonical_id
from cubital.handin.released.papers import read_papers
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.handin.released.release import read_release
from cubital.scene.files.atomic import put_in_place

HANDIN_FILE = "handin.json"
TIMESTAMP_FILE = "timestamp.txt"
FORMAT = "cubital-handin/1"
_LARGEST_ENTRY = 8_000_000
_MOST_ENTRIES = 20
_QUICKLY = 1  # zlib's level


@dataclass(frozen=True)
class Bundle:
    """A handed-in zip that was read: who says to have made it, when, and its files.

    The files are kept packed: a small zip can hold much, and a whole inbox is held at once.
    """

    learner: str
    worksheet: str
    release: str
    at: str
    packed: Mapping[str, bytes]

    @property
    def files(self) -> dict[str, bytes]:
        """What each file holds, by its name."""
        return {name: zlib.decompress(data) for name, data in self.packed.items()}


def hand_in(
    folder: Path,
    learner: str,
    destination: Path,
    *,
    sure: bool = False,
    now: datetime | None = None,
) -> Path:
    """Make the zip of a worksheet's folder in ``destination`` and return its path.

    Of the answers the last to each question goes into it, and how sure the learner was only with
    ``sure``: earlier tries stay with the learner.

    What has a cell of its own, such as a text, is written into it in the zip's notebook, since
    nbgrader shows what stands there and asks nobody to read a cell that did not change; the
    working copy stays as it is.

    Raises
    ------
    ValueError
        No release, no notebook, or answers that are another learner's or broken; the text says
        which and what to do.
    """
    release = read_release(folder)
    store = AnswerStore(folder, release, learner, read_papers(folder))
    answers = store.read()
    notebook = folder / f"{release.worksheet}.ipynb"
    if not notebook.is_file():
        raise ValueError(f"there is no {notebook.name} in {folder}: open the worksheet again")
    content = with_answers(read_json(notebook, largest=_LARGEST_ENTRY), saved(store, answers))
    moment = (now or datetime.now(UTC)).astimezone(UTC)
    files = {
        notebook.name: json.dumps(content, indent=1, ensure_ascii=False).encode(),
        RELEASE_FILE: (folder / RELEASE_FILE).read_bytes(),
        TIMESTAMP_FILE: f"{moment:%Y-%m-%d %H:%M:%S.%f} UTC\n".encode(),
    }
    if (folder / ANSWERS_FILE).exists():
        told = travelling(answers, sure=sure)
        files[ANSWERS_FILE] = json.dumps(told, indent=1, ensure_ascii=False).encode()
    note = {
        "format": FORMAT,
        "learner": learner,
        "worksheet": release.worksheet,
        "release": release.name,
        "at": moment.isoformat(timespec="seconds"),
        "sha256": {name: hashlib.sha256(data).hexdigest() for name, data in files.items()},
    }
    files[HANDIN_FILE] = json.dumps(note, indent=1).encode()
    destination.mkdir(parents=True, exist_ok=True)
    path = destination / f"{release.worksheet}_{learner}_{moment:%Y%m%d-%H%M%S}.zip"
    part = path.with_suffix(".part")
    part.unlink(missing_ok=True)
    part.touch(mode=OWNERS_FILE)
    with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    put_in_place(part, path)
    return path


def saved(store: AnswerStore, answers: Answers) -> Written:
    """Return the form and the answer of each item that is saved in a learner's folder."""
    asked = store.asked()
    entries = {item_id: answers.last(item_id) for item_id in answers.items if item_id in asked}
    return {
        item_id: (store.form(item_id), entry.answer)
        for item_id, entry in entries.items()
        if entry is not None
    }


def read_bundle(path: Path) -> Bundle:
    """Read a handed-in zip without unpacking it onto the disk.

    Only the files that `hand_in` writes are taken, each up to 8 MB.

    Raises
    ------
    ValueError
        Not a zip, a name or size that is not taken, a missing or wrong check sum.
    """
    with opened_zip(path, path.name) as archive:
        return zipped_bundle(archive, archive.infolist(), path.name)


@contextmanager
def opened_zip(source: Path | IO[bytes], name: str) -> Iterator[zipfile.ZipFile]:
    """Open a zip; whatever the library finds wrong with it raises ValueError."""
    try:
        archive = zipfile.ZipFile(source)
    except Exception as error:  # the library's own kinds are many, struct.error among them
        raise ValueError(f"{name} is not a whole zip: {error}") from error
    with archive:
        yield archive


def zipped_bundle(
    archive: zipfile.ZipFile, entries: Sequence[zipfile.ZipInfo], name: str, folder: str = ""
) -> Bundle:
    """Read the hand-in that some entries of a zip are, named within ``folder``."""
    if len(entries) > _MOST_ENTRIES:
        raise ValueError(f"{name} holds {len(entries)} files, more than are taken")
    files = {
        info.filename.removeprefix(folder): read_entry(archive, info, name) for info in entries
    }
    return bundle_of(files, name)


def bundle_of(files: Mapping[str, bytes], name: str) -> Bundle:
    """Check the files of a hand-in against its note and return them.

    Raises
    ------
    ValueError
        The note is missing or of another form, or a file is not taken or not the one handed in.
    """
    if HANDIN_FILE not in files:
        raise ValueError(f"{name} was not made by “cubital hand-in”: it lacks {HANDIN_FILE}")
    note = loads_json(files[HANDIN_FILE], f"{HANDIN_FILE} in {name}")
    if not isinstance(note, dict):
        raise ValueError(f"{name} was not made by “cubital hand-in”: {HANDIN_FILE} lacks its parts")
    parts = ("format", "learner", "worksheet", "release", "at")
    wrong = [part for part in parts if not isinstance(note.get(part), str)]
    sums = note.get("sha256")
    if wrong or not isinstance(sums, dict):
        lacks = ", ".join(wrong) or "sha256"
        raise ValueError(f"{name} was not made by “cubital hand-in”: {HANDIN_FILE} lacks {lacks}")
    if note["format"] != FORMAT:
        raise ValueError(f"{name} has format {note['format']!r:.60}, not {FORMAT!r}")
    learner = canonical_id(note["learner"])
    files = {key: data for key, data in files.items() if key != HANDIN_FILE}
    allowed = {f"{note['worksheet']}.ipynb", ANSWERS_FILE, RELEASE_FILE, TIMESTAMP_FILE}
    for key, data in files.items():
        if key not in allowed:
            raise ValueError(f"{name} holds {key!r:.60}, which is not taken")
        if hashlib.sha256(data).hexdigest() != sums.get(key):
            raise ValueError(f"{key} in {name} was changed after the hand-in")
    packed = {key: zlib.compress(data, _QUICKLY) for key, data in files.items()}
    return Bundle(learner, note["worksheet"], note["release"], note["at"], packed)


def read_entry(
    archive: zipfile.ZipFile, info: zipfile.ZipInfo, name: str, *, largest: int = _LARGEST_ENTRY
) -> bytes:
    """Read one file of a zip, up to a size; more, or a broken one, raises ValueError."""
    if info.file_size > largest:
        raise ValueError(f"{info.filename!r:.60} is {info.file_size} bytes, more than are taken")
    try:
        with archive.open(info) as file:
            data = file.read(largest + 1)
    except Exception as error:  # as on opening
        raise ValueError(f"{name} is not a whole zip: {error}") from error
    if len(data) > largest:
        raise ValueError(f"{info.filename!r:.60} is larger than it says")
    return data
