"""One file of all that a learner has here, which any other computer takes over.

Taken over twice, or by two computers from each other in either order, it comes to the same.
"""

import hashlib
import io
import json
import re
import shutil
import tempfile
import zipfile
from dataclasses import replace
from pathlib import Path

from cubital.handin.answers import FILE as ANSWERS_FILE
from cubital.handin.answers import read_answers
from cubital.handin.bundle import opened_zip, read_entry
from cubital.handin.files import loads_json, write_text
from cubital.handin.ids import answers_as, canonical_id
from cubital.handin.made import FOLDER as HANDED_IN
from cubital.handin.merging import latest, merge_answers, merged
from cubital.handin.principles.retakes import PATTERN as RETAKE_NAME
from cubital.handin.progress import FILE as PROGRESS_FILE
from cubital.handin.progress import Progress, merge_progress, read_progress
from cubital.handin.released.department import FILE as DEPARTMENT_FILE
from cubital.handin.released.department import merge_department
from cubital.handin.released.papers import LARGEST
from cubital.handin.released.release import AT_ONCE, Release, read_release
from cubital.items import WORKSHEETS
from cubital.refresh.reviews import FILE as REVIEWS_FILE
from cubital.refresh.reviews import merge_file, read_reviews
from cubital.study import folders
from cubital.study.learner.people import FILE as PERSON_FILE
from cubital.study.learner.people import Person, called, person

NOTE_FILE = "cubital-learner-file.json"
FORMAT = "cubital-learner-file/1"
_IN_FILE = ".in-file"
_NOTHING = ""
_MOST_FILES = 5_000
_MOST_BYTES = 400_000_000  # unpacked; worksheets with all their pictures are some 60 MB
_IN_WORKSHEET = r"(?!\.\.?/)[\w.-]+(/[\w.-]+)?"
_TAKEN = re.compile(
    rf"{PERSON_FILE}|{REVIEWS_FILE}|{DEPARTMENT_FILE}|"
    rf"{folders.LESSONS}/{PROGRESS_FILE}|{HANDED_IN}/[\w.-]+\.zip|"
    rf"({'|'.join(WORKSHEETS)}|{RETAKE_NAME})/{_IN_WORKSHEET}|{folders.KEPT}/[\w.-]+/{_IN_WORKSHEET}",
    re.ASCII,
)
_NOT_TAKEN = re.compile(r"(^|/)(\.(?!as-given$)[^/]*|\.\.)(/|$)|\.lock$|\.part$")


def file_name(learner: str) -> str:
    """Return what the file of a learner is called."""
    return f"cubital-{learner}.zip"


def packed(folder: Path) -> bytes:
    """Return a zip of all that a learner has: progress, answers, files made, log of refreshing.

    While nothing changes it is the same to the byte.
    """
    who = person(folder)
    data = io.BytesIO()
    # A computer's clock may be wrong, and a zip has dates from 1980 to 2107 alone.
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED, strict_timestamps=False) as archive:
        note = {"format": FORMAT, "learner": who.id, "name": who.name}
        archive.writestr(zipfile.ZipInfo(NOTE_FILE), json.dumps(note, ensure_ascii=False, indent=1))
        for path in sorted(folder.rglob("*")):
            name = path.relative_to(folder).as_posix()
            if path.is_file() and _is_taken(name) and not _is_rendered_anew(folder, path):
                archive.write(path, name)
    return data.getvalue()


def note_file(folder: Path) -> None:
    """Note that all that a learner has now is in the file that was made of it."""
    write_text(folder / _IN_FILE, entered(folder))


def is_in_file(folder: Path) -> bool:
    """Tell whether nothing was entered since the learner's file was made last."""
    noted = folder / _IN_FILE
    made = noted.read_text(encoding="utf-8") if noted.is_file() else _NOTHING
    return not folder.is_dir() or entered(folder) == made


def entered(folder: Path) -> str:
    """Return a digest of all that a learner has entered: answers, predictions, files made.

    Which page was opened last is no part of it. It is empty where nothing was entered.
    """
    parts = [path.read_bytes() for path in sorted(folder.glob(f"*/{ANSWERS_FILE}"))]
    parts += [path.read_bytes() for path in sorted(folder.glob(f"{folders.KEPT}/*/{ANSWERS_FILE}"))]
    parts += [path.name.encode() for path in sorted(folder.glob(f"{HANDED_IN}/*.zip"))]
    progress = read_progress(folder / folders.LESSONS)
    said = replace(progress, page="", page_at="")
    parts += [] if said == Progress() else [repr(said).encode()]
    reviews = folder / REVIEWS_FILE
    parts += [reviews.read_bytes()] if reviews.is_file() else []
    return hashlib.sha256(b"\0".join(parts)).hexdigest() if parts else _NOTHING


def is_learners_file(data: bytes) -> bool:
    """Tell whether a file is one that `packed` made."""
    try:
        with opened_zip(io.BytesIO(data), "the file") as archive:
            return NOTE_FILE in archive.namelist()
    except ValueError:
        return False


def owner(data: bytes) -> tuple[str, str]:
    """Return the id and the name of the learner whose file it is.

    Raises
    ------
    ValueError
        It is no such file, or not whole.
    """
    with opened_zip(io.BytesIO(data), "the file") as archive:
        if NOTE_FILE not in archive.namelist():
            raise ValueError(
                "this is not a file that “Finish here” made: choose the one whose name begins "
                "with cubital-"
            )
        note = loads_json(read_entry(archive, archive.getinfo(NOTE_FILE), "the file"), NOTE_FILE)
    if not isinstance(note, dict) or note.get("format") != FORMAT:
        raise ValueError("the file is of another edition of the course: use that edition")
    return canonical_id(str(note.get("learner", ""))), str(note.get("name", ""))[:80]


def take_over(workspace: Path, data: bytes) -> Person:
    """Merge a learner's file into what this computer has of them; return who it is.

    Of a worksheet that lies here with other questions the one that was answered last stays, a
    released one before a practice; the other is kept beside, with all that was answered in it.

    Raises
    ------
    ValueError
        It is no such file, or what it holds is another learner's or broken; nothing was changed.
    """
    learner, name = owner(data)
    with tempfile.TemporaryDirectory(prefix="cubital-") as where:
        there = Path(where) / learner
        _unpack(data, there)
        _check(there, workspace / learner)
        is_new = not (workspace / learner).exists()
        who = called(workspace, learner, name or learner)
        folder = who.folder
        (folder / folders.LESSONS).mkdir(exist_ok=True)
        merge_progress(folder / folders.LESSONS, read_progress(there / folders.LESSONS))
        merge_department(folder, there)
        if (there / REVIEWS_FILE).is_file():
            merge_file(folder, learner, there / REVIEWS_FILE)
        for worksheet in _worksheets(there):
            _merge_worksheet(folder, worksheet)
        for kept in _kept(there):
            _merge_kept(kept, folder / folders.KEPT / kept.name)
        for rest in (folders.KEPT, HANDED_IN):
            _copy_missing(there / rest, folder / rest)
        folders.lay_out_course(folder)
        if is_new:
            note_file(folder)  # all that is here came out of it
    return who


def _is_taken(name: str) -> bool:
    return _TAKEN.fullmatch(name) is not None and _NOT_TAKEN.search(name) is None


def _is_rendered_anew(folder: Path, path: Path) -> bool:
    """Tell whether a file is of the pictures of a practice, which come of its name alone."""
    inside = path.parent
    if inside.parent in {folder, folder / folders.KEPT}:
        return False
    try:
        return read_release(inside.parent).feedback == AT_ONCE
    except ValueError:
        return False


def _unpack(data: bytes, to: Path) -> None:
    (to / folders.LESSONS).mkdir(parents=True)
    with opened_zip(io.BytesIO(data), "the file") as archive:
        entries = archive.infolist()
        if len(entries) > _MOST_FILES:
            raise ValueError(f"the file holds {len(entries)} files, more than are taken")
        size = sum(entry.file_size for entry in entries)
        if size > _MOST_BYTES:
            raise ValueError(f"the file unpacks to {size} bytes, more than are taken")
        for entry in entries:
            if not _is_taken(entry.filename):
                continue
            path = to / entry.filename
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(read_entry(archive, entry, "the file", largest=LARGEST))


def _worksheets(folder: Path) -> list[Path]:
    """Return the worksheets in a learner's folder, retakes among them."""
    return [path for path in sorted(folder.iterdir()) if path.is_dir() and _is_worksheet(path.name)]


def _is_worksheet(name: str) -> bool:
    return name in WORKSHEETS or re.fullmatch(RETAKE_NAME, name) is not None


def _kept(folder: Path) -> list[Path]:
    """Return the worksheets that were kept beside, as far as something was answered in them."""
    return sorted(path.parent for path in (folder / folders.KEPT).glob(f"*/{ANSWERS_FILE}"))


def _check(there: Path, here: Path) -> None:
    """Read all that will be merged, and merge it, so that what is broken, or another learner's, is
    said before anything is changed."""
    read_progress(there / folders.LESSONS)
    if (there / REVIEWS_FILE).is_file():
        read_reviews(there, there.name)
    for worksheet in _worksheets(there):
        release, answers = read_release(worksheet), read_answers(worksheet)
        if answers is not None and answers.learner != answers_as(worksheet):
            raise ValueError(f"the answers in {worksheet.name} are of learner “{answers.learner}”")
        _check_mergeable(worksheet, _kept_folder(here, worksheet, release))
        mine = here / worksheet.name
        if mine.exists():
            own = read_release(mine)
            _check_mergeable(mine, _kept_folder(here, mine, own))
            if own.name == release.name:
                _check_mergeable(worksheet, mine)
    for kept in _kept(there):
        _check_mergeable(kept, here / folders.KEPT / kept.name)


def _check_mergeable(one: Path, other: Path) -> None:
    """Check that the answers in two folders are of one learner, release and paper."""
    answers, others = read_answers(one), read_answers(other)
    if answers is not None and others is not None:
        merged(others, answers)


def _merge_worksheet(folder: Path, theirs: Path) -> None:
    mine = folder / theirs.name
    if not mine.exists():
        shutil.copytree(theirs, mine)
        return
    other, answers = read_release(theirs), read_answers(theirs)
    here = read_release(mine)
    if here.name == other.name:
        if answers is not None:
            merge_answers(mine, answers)
        return
    if _rank(other, latest(answers)) > _rank(here, latest(read_answers(mine))):
        _keep(folder, mine, here)
        shutil.copytree(theirs, mine)
    elif answers is not None:
        _keep(folder, theirs, other)


def _rank(release: Release, answered: str) -> tuple[bool, str, str]:
    return (release.feedback != AT_ONCE, answered, release.name)


def _keep(folder: Path, worksheet: Path, release: Release) -> None:
    """Move a worksheet aside under its release's name, unless nothing was answered in it."""
    if (worksheet / ANSWERS_FILE).exists():
        _merge_kept(worksheet, _kept_folder(folder, worksheet, release))
    shutil.rmtree(worksheet)


def _kept_folder(folder: Path, worksheet: Path, release: Release) -> Path:
    """Return where a learner's worksheet is kept once another stands in its place.

    Raises
    ------
    ValueError
        The release's name is none that a folder can have.
    """
    if not re.fullmatch(r"[\w.-]+", release.name):
        raise ValueError(f"{release.name!r:.60} in {worksheet.name} is no name of a release")
    return folder / folders.KEPT / f"{worksheet.name}-{release.name}"


def _merge_kept(worksheet: Path, kept: Path) -> None:
    """Copy what is not there yet, and merge the answers with those that are."""
    _copy_missing(worksheet, kept)
    answers = read_answers(worksheet)
    if answers is not None:
        merge_answers(kept, answers)


def _copy_missing(source: Path, to: Path) -> None:
    for path in sorted(source.rglob("*")) if source.is_dir() else []:
        target = to / path.relative_to(source)
        if path.is_file() and not target.exists() and not path.name.endswith(".lock"):
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, target)


def clear(folder: Path) -> None:
    """Take all of a learner off this computer, and forget who they were.

    Raises
    ------
    OSError
        Something of it is still open in another window.
    """
    workspace = folder.parent
    if folders.remembered_learner(workspace) == folder.name:
        folders.forget_learner(workspace)
    shutil.rmtree(folder)
