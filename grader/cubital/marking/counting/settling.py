"""Put the hand-in of each learner that counts where it is marked: ``submitted/``, as in nbgrader.

What lies there is kept first, whether it was collected, put there by hand or changed by hand.
Whenever this is cut off, doing it again ends with the same.
"""

import shutil
from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from cubital.handin.bundle import TIMESTAMP_FILE
from cubital.handin.files import entries, is_folder, printable
from cubital.handin.released.papers import FILE as PAPERS_FILE
from cubital.handin.released.release import Release
from cubital.handin.results import SYSTEM_ERROR
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.problems import SUBMITTED, Problem
from cubital.marking.counting.answered import given_out, release_answered
from cubital.marking.counting.kept import FOLDER, LARGEST, Kept, TooMuchError
from cubital.marking.counting.rule import NOBODYS, Standing
from cubital.marking.counting.standings import standings
from cubital.marking.marks.attempts import Attempt, is_added, sum_of_folder
from cubital.marking.marks.checker import REPORT_IT
from cubital.marking.marks.inspecting import plain, said_at
from cubital.marking.marks.store import Store
from cubital.scene.files.atomic import put_in_place
from cubital.scene.files.picture_files import forget_halves

MAKE_ROOM = "See that the course folder can be written to and has room, and collect again."
TAKE_OUT = (
    "Take out of “inbox”, “submitted” and “hand-ins” what is not the learner's own or belongs to "
    "no hand-in, and collect again."
)
_WAITING = 8  # hand-ins that wait for the disk at the same time
PUT_AGAIN = "Put it into the inbox again, as it was handed in, and collect again."


def settle(
    course: Course, worksheet: str, *, now: datetime, collecting: bool = False
) -> list[Problem]:
    """Place what counts, take away what does not, and return whose could not be placed.

    A folder that cannot be read as plain files stays where it is, to be told of when it is marked,
    unless this is a ``collecting``, which puts what counts in its place.
    """
    _forget_halves(course, worksheet)
    kept = Kept(course.workspace, worksheet)
    store = Store(course.workspace)
    roster, releases = course.roster(), course.releases(worksheet)
    given = given_out(course, worksheet)
    there: dict[str, Attempt] = {}
    failed: dict[str, BaseException] = {}
    ending: dict[str, Future[None]] = {}
    with ThreadPoolExecutor(_WAITING) as pool:
        for learner in roster:
            folder = course.submitted(learner, worksheet)
            try:
                attempt = _lying(folder, learner, releases, given)
                if attempt is None:
                    continue
                there[learner] = attempt
                if not kept.has(attempt):
                    ending[learner] = pool.submit(kept.begin(attempt, _files(folder)))
            except Exception as error:
                failed[learner] = error
    failed |= {who: fault for who, end in ending.items() if (fault := end.exception()) is not None}
    problems = [
        not_kept(f"{SUBMITTED}/{learner}/{worksheet}", learner, error)
        for learner, error in failed.items()
    ]
    store.add(there.values(), arrived=now)
    for learner, found in standings(course, worksheet, kept).items():
        if learner in roster and learner not in failed:
            try:
                _settled(course.submitted(learner, worksheet), found, kept, there, collecting)
            except Exception as error:
                if learner in there:  # it is kept, and not what counts
                    shutil.rmtree(course.submitted(learner, worksheet), ignore_errors=True)
                file, what = f"{SUBMITTED}/{learner}/{worksheet}", "what counts cannot be put there"
                problems.append(not_kept(file, learner, error, what))
    return problems


def not_kept(
    file: str, learner: str, error: BaseException, what: str = "it cannot be kept"
) -> Problem:
    """Tell of a hand-in that could not be kept or placed, whatever it does to us."""
    known = {OSError: MAKE_ROOM, TooMuchError: TAKE_OUT, ValueError: PUT_AGAIN}
    for kind, action in known.items():
        if isinstance(error, kind):
            return Problem(file, learner, SYSTEM_ERROR, f"{what}: {error}", action)
    reason = f"{what}: {type(error).__name__}: {error}"
    return Problem(file, learner, SYSTEM_ERROR, printable(reason), REPORT_IT)


def _settled(
    folder: Path, found: Standing, kept: Kept, there: dict[str, Attempt], collecting: bool
) -> None:
    """Let a learner's submitted folder hold the hand-in that counts, or nothing."""
    lies = there.get(found.learner)
    if found.counts is not None:
        counts = found.counts.attempt
        if (lies is None and folder.exists() and not collecting) or (lies and lies.id == counts.id):
            return
        place(folder, kept.read(counts))
    elif lies is not None and found.rule != NOBODYS:
        part = _part(folder)
        shutil.rmtree(part, ignore_errors=True)
        folder.rename(part)
        shutil.rmtree(part)


def _lying(
    folder: Path, learner: str, releases: Mapping[str, Release], given: str
) -> Attempt | None:
    """Return what lies in a learner's submitted folder; None if it cannot be read or is nothing."""
    worksheet = folder.name
    if not folder.is_dir() or not plain(folder, worksheet):
        return None
    files = sum_of_folder(folder)
    if not files:
        return None
    name = release_answered(lambda name: _small(folder / name), given)
    return numbered(Attempt(worksheet, learner, name, said_at(folder), files), releases)


def numbered(attempt: Attempt, releases: Mapping[str, Release]) -> Attempt:
    """Return an attempt with the number that its release's papers are for, if that is known."""
    known = releases.get(attempt.release)
    return attempt if known is None else replace(attempt, number=known.attempt)


def _small(path: Path) -> bytes:
    return path.read_bytes() if path.is_file() and path.stat().st_size <= LARGEST else b""


def _files(folder: Path) -> dict[str, bytes]:
    """Read a folder's files, but for the papers that everybody was given and what was added."""
    found = {
        name: entry
        for name, entry in entries(folder)
        if entry.name != PAPERS_FILE and not is_added(name) and not is_folder(entry)
    }
    if sum(entry.stat().st_size for entry in found.values()) > LARGEST:
        raise TooMuchError(f"its files have more than {LARGEST // 10**6} MB")
    return {name: Path(entry.path).read_bytes() for name, entry in found.items()}


def place(folder: Path, files: dict[str, bytes]) -> None:
    """Replace a submitted folder by a hand-in's files."""
    part = _part(folder)
    shutil.rmtree(part, ignore_errors=True)
    part.mkdir(parents=True)
    for name, data in files.items():
        (part / name).parent.mkdir(parents=True, exist_ok=True)
        (part / name).write_bytes(data)
    if folder.is_symlink() or folder.is_file():
        folder.unlink()
    elif folder.exists():
        shutil.rmtree(folder)
    put_in_place(part, folder)


def _forget_halves(course: Course, worksheet: str) -> None:
    """Remove what a run that was killed left half written or half taken away."""
    for folder in (course.workspace, course.workspace / "results"):
        forget_halves(folder)
    for learner in course.roster():
        shutil.rmtree(_part(course.submitted(learner, worksheet)), ignore_errors=True)
        forget_halves(course.workspace / FOLDER / worksheet / learner)


def _part(folder: Path) -> Path:
    return folder.with_name(f".{folder.name}.part")


def stamped(files: dict[str, bytes], at: datetime) -> dict[str, bytes]:
    """Return a hand-in's files with the time that it says, as nbgrader writes it."""
    return files | {TIMESTAMP_FILE: f"{at:%Y-%m-%d %H:%M:%S.%f} UTC\n".encode()}
