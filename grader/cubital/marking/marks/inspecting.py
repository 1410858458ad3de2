"""Look at one submission before it is marked: can it be read, and is it this learner's?"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from cubital.handin.answers import FILE as ANSWERS_FILE
from cubital.handin.answers import Answers, BrokenAnswersError, read_answers
from cubital.handin.bundle import TIMESTAMP_FILE
from cubital.handin.files import entries, printable, read_json
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.handin.released.release import Release, read_release
from cubital.handin.results import HELD, UNREADABLE
from cubital.marking.notebooks import Notebook, faults, lean

READY = "ready"
_LARGEST_NOTEBOOK = 8_000_000  # bytes, as the hand-in takes
_MOST_FILES = 100
# As `cubital hand-in` and nbgrader's exchange write a time.
_TIME = re.compile(
    r"\d{4}-\d\d-\d\d[ T]\d\d:\d\d(:\d\d([.]\d+)?)?( UTC|Z|[+-]\d\d:\d\d)?", re.ASCII
)
_FIRST_YEAR, _LAST_YEAR = 2000, 2999  # what lies outside is a broken clock, or no clock
AGAIN = "Ask the learner to open the worksheet, save it and hand in again."
ASK_WHO = "Ask both learners who answered; each hands in from their own folder."


@dataclass(frozen=True)
class Releases:
    """The releases of a worksheet: the one given out now, and all of them by name."""

    now: Release
    known: Mapping[str, Release]


@dataclass(frozen=True)
class Submission:
    """A submission that can be marked; ``handed_in`` is the time in UTC that it says, if any.

    Of its notebook it holds what can count, see `notebooks.lean`.
    """

    learner: str
    folder: Path
    notebook: Notebook
    answers: Answers | None
    handed_in: datetime | None
    release: Release

    @property
    def submitted_at(self) -> str:
        """The time that it says, to the second; empty if it says none."""
        return _written(self.handed_in)


@dataclass(frozen=True)
class Inspection:
    """What was found: ready to be marked, or why not and what to do.

    ``sha256`` is a check sum of the files that were looked at.
    """

    state: str
    reason: str = ""
    action: str = ""
    submitted_at: str = ""
    submission: Submission | None = None
    sha256: str = ""


class _Refused(Exception):  # noqa: N818 - it carries a finding, not a fault of the program
    def __init__(self, state: str, reason: str, action: str = AGAIN) -> None:
        super().__init__(reason)
        self.finding = Inspection(state, reason, action)


def inspect(folder: Path, learner: str, releases: Releases) -> Inspection:
    """Inspect a learner's submitted folder; nothing in it is run or followed out of it."""
    at, worksheet = None, releases.now.worksheet
    try:
        _check_files(folder, worksheet)
        at = _time(folder)
        notebook = _notebook(folder, worksheet)
        given = _release_given(folder, releases)
        answers = _answers(folder, learner, releases)
    except _Refused as refused:
        found = refused.finding
        return Inspection(found.state, found.reason, found.action, _written(at))
    release = releases.known[answers.release] if answers is not None else given
    ready = Submission(learner, folder, notebook, answers, at, release)
    return Inspection(READY, submitted_at=ready.submitted_at, submission=ready)


def plain(folder: Path, worksheet: str) -> bool:
    """Tell whether a submitted folder holds plain files, so many that they can be read and kept."""
    try:
        _check_files(folder, worksheet)
    except (_Refused, OSError, UnicodeError):
        return False
    return True


def said_at(folder: Path) -> str:
    """Return the time that a folder of plain files says, to the second; empty if it says none."""
    try:
        return _written(_time(folder))
    except _Refused:
        return ""


def _written(moment: datetime | None) -> str:
    return "" if moment is None else moment.isoformat(timespec="seconds")


def _check_files(folder: Path, worksheet: str) -> None:
    for path in (folder.parent, folder):
        if path.is_symlink():
            raise _Refused(UNREADABLE, f"{path.name} is a link, not a folder")
    if not folder.is_dir():
        raise _Refused(UNREADABLE, f"{folder.name} is a file, not a folder")
    for name in (f"{worksheet}.ipynb", ANSWERS_FILE, RELEASE_FILE, TIMESTAMP_FILE):
        if (folder / name).is_dir():
            raise _Refused(UNREADABLE, f"{name} is a folder, not a file")
    found = [entry for _, entry in entries(folder)]
    for entry in found:
        name, is_link = entry.name, entry.is_symlink()
        if not name.isprintable():
            raise _Refused(
                UNREADABLE, f"“{printable(name):.100}” is not a file's name in readable letters"
            )
        if is_link or not (entry.is_file() or entry.is_dir()):
            raise _Refused(
                UNREADABLE,
                f"{name!r:.60} in the submission is {'a link' if is_link else 'not a plain file'}, "
                "which is not taken",
                "Find out why it is there; " + AGAIN[0].lower() + AGAIN[1:],
            )
    if len(found) > _MOST_FILES:
        told = f"the submission holds {len(found)} files; {_MOST_FILES} are taken"
        raise _Refused(UNREADABLE, told)


def _time(folder: Path) -> datetime | None:
    path = folder / TIMESTAMP_FILE
    if not path.is_file():
        return None
    try:
        if path.stat().st_size > 100:  # a time has some 30 characters
            raise ValueError("it is too long")
        return read_time(path.read_text(encoding="utf-8"))
    except ValueError as error:
        raise _Refused(UNREADABLE, f"{TIMESTAMP_FILE} does not hold a time: {error}") from error


def read_time(text: str) -> datetime:
    """Read a time of hand-in, in UTC; what is no time raises ValueError."""
    written = text.strip()
    if not _TIME.fullmatch(written):
        raise ValueError(f"{written!r:.60} is not a time")
    moment = datetime.fromisoformat(written.removesuffix(" UTC"))
    if not _FIRST_YEAR <= moment.year <= _LAST_YEAR:
        raise ValueError(f"nothing is handed in in the year {moment.year}")
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


def _notebook(folder: Path, worksheet: str) -> Notebook:
    name = f"{worksheet}.ipynb"
    found = sorted(path.name for path in folder.glob("*.ipynb"))
    if name not in found:
        other = f"; there is {found[0]!r:.60}" if found else ""
        raise _Refused(UNREADABLE, f"there is no {name} in the submission{other}")
    if len(found) > 1:
        raise _Refused(UNREADABLE, f"there are {len(found)} notebooks: {', '.join(found):.200}")
    path = folder / name
    if not path.stat().st_size:
        raise _Refused(UNREADABLE, f"{name} is empty")
    try:
        notebook: Notebook = read_json(path, largest=_LARGEST_NOTEBOOK)
    except ValueError as error:
        raise _Refused(UNREADABLE, str(error)) from error
    wrong = faults(notebook)
    if wrong:
        raise _Refused(UNREADABLE, f"{name} cannot be marked: {wrong}")
    return lean(notebook)


def _release_given(folder: Path, releases: Releases) -> Release:
    if not (folder / RELEASE_FILE).is_file():
        return releases.now  # nbgrader puts it back
    try:
        given = read_release(folder)
    except ValueError as error:
        raise _Refused(UNREADABLE, str(error)) from error
    return _known_release(given.name, given.worksheet, releases)


def _known_release(name: str, worksheet: str, releases: Releases) -> Release:
    now = releases.now
    if worksheet != now.worksheet or name not in releases.known:
        others = [f"“{other}”" for other in releases.known if other != now.name]
        also = f", and of {', '.join(others)} made before" if others else ""
        raise _Refused(
            HELD,
            f"it answers release {name!r:.40} of {worksheet!r:.40}, and the course marks release "
            f"“{now.name}” of “{now.worksheet}”{also}",
            "Mark it in the workspace of that release, or ask the learner to answer this one.",
        )
    return releases.known[name]


def _answers(folder: Path, learner: str, releases: Releases) -> Answers | None:
    try:
        answers = read_answers(folder)
    except BrokenAnswersError as error:
        raise _Refused(UNREADABLE, str(error)) from error
    if answers is None:
        return None
    if answers.learner != learner:
        raise _Refused(
            HELD,
            f"the answers were saved by {answers.learner!r:.60}, and “{learner}” handed them in",
            ASK_WHO,
        )
    _known_release(answers.release, answers.worksheet, releases)
    return answers
