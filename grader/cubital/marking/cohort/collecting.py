"""Collect what learners handed in: the inbox read, the latest hand-in of each learner taken."""

import hashlib
import shutil
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cubital.handin.bundle import HANDIN_FILE, TIMESTAMP_FILE, Bundle
from cubital.handin.files import read_json, write_json
from cubital.handin.results import HELD, SYSTEM_ERROR, UNREADABLE
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.receiving import INBOX, Inbox, Received
from cubital.marking.marks.attempts import Attempt, sum_of_files
from cubital.marking.marks.checker import REPORT_IT
from cubital.marking.marks.inspecting import AGAIN, read_time
from cubital.marking.marks.store import Store
from cubital.scene.files.atomic import put_in_place

FORMAT = "cubital-problems/1"
SUBMITTED = "submitted"
SEEN_FORMAT = "cubital-collected/1"
LOOK = "to be looked at"  # the state of what is taken, or passed over, and looks wrong
NO_HAND_IN = "no hand-in"  # the state of files that are nobody's
MAKE_ROOM = "See that the course folder can be written to and has room, and collect again."
UNPACK = "Unpack it by hand in the inbox, or take it out of there, and collect again."
LIST_ANEW = "Move the file away, collect and mark again: both write it anew."
SET_RIGHT = (
    "Ask the learner which hand-in counts. If it is not the one with the latest date, take that "
    "one out of the inbox, remove the learner's folder in submitted, and collect again."
)
_AHEAD = timedelta(hours=1)  # how fast a clock may be before it is named
_MOST_NAMED = 20


@dataclass(frozen=True)
class Problem:
    """A file or folder that could not be taken.

    ``learner`` is who on the roster has nothing but this, and whose result tells of it; None if
    that is nobody. ``anyones`` if it could not be read and whoever's hand-in may be in it.
    """

    file: str
    learner: str | None
    state: str
    reason: str
    action: str
    anyones: bool = False


@dataclass(frozen=True)
class _HandIn:
    file: str
    bundle: Bundle
    at: datetime

    @property
    def learner(self) -> str:
        """Whose it says to be."""
        return self.bundle.learner

    @property
    def sum(self) -> str:
        """A check sum of all that was handed in."""
        told = hashlib.sha256(f"{self.learner} {self.at.isoformat()}".encode())
        for name, data in sorted(self.bundle.files.items()):
            told.update(hashlib.sha256(data).digest() + name.encode())
        return told.hexdigest()

    @property
    def attempt(self) -> Attempt:
        """What is kept of it for good."""
        at = self.at.astimezone(UTC).isoformat(timespec="seconds")
        files = sum_of_files(self.bundle.files)
        return Attempt(self.bundle.worksheet, self.learner, self.bundle.release, at, files)


def collect(course: Course, worksheet: str, *, now: datetime | None = None) -> list[Problem]:
    """Put the latest hand-in of each learner where it is marked; return what was not taken.

    Hand-ins stay in the inbox; those of the course's other worksheets are left for their turn.
    A file that cannot be taken is told, and does nothing to the others.
    """
    with course.at_work(f"collecting “{worksheet}”"):
        roster = course.roster()
        others = set(course.worksheets()) - {course.known(worksheet)}
        inbox = Inbox().read(course.inbox)
        problems: list[Problem] = []
        hand_ins: list[_HandIn] = []
        for received in inbox.received:
            found = _looked_at(received, worksheet, others, roster)
            if isinstance(found, Problem):
                problems.append(found)
            elif found is not None:
                hand_ins.append(found)
        now = now or datetime.now(UTC)
        Store(course.workspace).add((row.attempt for row in hand_ins), arrived=now)
        latest = {row.learner: row for row in sorted(hand_ins, key=lambda row: (row.at, row.file))}
        odd = [
            *_ahead(hand_ins, now),
            *_passed_over(course, worksheet, hand_ins),
            *_of_several_places(hand_ins, latest),
        ]
        for learner, found in latest.items():
            problems.extend(_placed(course.submitted(learner, worksheet), found))
        problems = [_told(problem, course, worksheet) for problem in problems]
        problems.extend((*odd, *_no_hand_ins(inbox.others)))
        write_problems(course, worksheet, INBOX, problems)
    return problems


def _ahead(hand_ins: Iterable[_HandIn], now: datetime) -> list[Problem]:
    """Name what is dated after now: no hand-in with a right date counts after it."""
    return [
        Problem(
            row.file,
            None,
            LOOK,
            f"“{row.learner}” dated it {row.at:%Y-%m-%d %H:%M} UTC, which is yet to come",
            SET_RIGHT,
        )
        for row in hand_ins
        if row.at > now + _AHEAD
    ]


def _passed_over(course: Course, worksheet: str, hand_ins: list[_HandIn]) -> list[Problem]:
    """Name what came after a collecting and is dated before what was collected then."""
    path = course.results_folder / f"{worksheet}.collected.json"
    seen = _seen(path)
    now: dict[str, bool] = {}
    problems = []
    for row in hand_ins:
        there = _time_of(course.submitted(row.learner, worksheet))
        late = there is not None and there > row.at and seen.get(row.sum, True)
        now[row.sum] = late
        if late:
            reason = (
                f"“{row.learner}” dated it {row.at:%Y-%m-%d %H:%M} UTC, and it is passed over: one "
                f"dated {there:%Y-%m-%d %H:%M} UTC was collected before it came"
            )
            problems.append(Problem(row.file, None, LOOK, reason, SET_RIGHT))
    write_json(path, {"format": SEEN_FORMAT, "late": now})
    return problems


def _seen(path: Path) -> dict[str, bool]:
    """Return the hand-ins of the last collecting, and whether each was passed over as late."""
    try:
        data = read_json(path)
        return {str(key): late is True for key, late in data["late"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}  # then all are new


def _of_several_places(hand_ins: Iterable[_HandIn], latest: Mapping[str, _HandIn]) -> list[Problem]:
    """Name whose hand-ins lie in several folders or zips: somebody else may have made one."""
    places: dict[str, dict[str, _HandIn]] = {learner: {} for learner in latest}
    for row in {
        row.sum: row for row in sorted(hand_ins, key=lambda row: row.file, reverse=True)
    }.values():
        place = row.file.rpartition("/")[0]
        there = places[row.learner].get(place)
        if there is None or there.at < row.at:
            places[row.learner][place] = row
    return [
        Problem(
            INBOX,
            None,
            LOOK,
            f"several hand-ins of “{learner}” lie in different places: "
            f"{', '.join(sorted(row.file for row in found.values())[:_MOST_NAMED])}; nothing in a "
            f"hand-in proves who made it, and the one of {latest[learner].at:%Y-%m-%d %H:%M} UTC "
            "is the latest",
            "See that all are the learner's own. " + SET_RIGHT,
        )
        for learner, found in places.items()
        if len(found) > 1
    ]


def _told(problem: Problem, course: Course, worksheet: str) -> Problem:
    """Let the problem stand by itself if another hand-in of the learner counts."""
    learner = problem.learner
    if learner is None or not course.submitted(learner, worksheet).exists():
        return problem
    reason = f"{problem.reason}; another hand-in of “{learner}” counts"
    return replace(problem, learner=None, reason=reason)


def _looked_at(
    received: Received, worksheet: str, others: set[str], roster: Iterable[str]
) -> _HandIn | Problem | None:
    """Return a hand-in of this worksheet, why there is none, or None if it is another's turn."""
    file, bundle = received.file, received.bundle
    guessed = _named(file, worksheet, roster)
    if bundle is None:
        action = UNPACK if guessed is None else AGAIN
        action = REPORT_IT if received.state == SYSTEM_ERROR else action
        return Problem(
            file, guessed, received.state, received.reason, action, anyones=guessed is None
        )
    try:
        at = read_time(bundle.at)
    except ValueError as error:
        return Problem(file, guessed, UNREADABLE, f"{HANDIN_FILE} in it: {error}", AGAIN)
    if bundle.worksheet in others:
        return None
    if bundle.worksheet != worksheet:
        return Problem(
            file,
            bundle.learner if bundle.learner in roster else None,
            HELD,
            f"it is of worksheet {bundle.worksheet!r:.60}, which this course does not have",
            "Put it into the inbox of the course that has this worksheet.",
        )
    if bundle.learner not in roster:
        return Problem(
            file,
            None,
            HELD,
            f"learner “{bundle.learner}” is not on the roster",
            "Add the learner to roster.csv if the id is right; else ask them to hand in again "
            "under their own id.",
        )
    return _HandIn(file, bundle, at)


def _named(file: str, worksheet: str, roster: Iterable[str]) -> str | None:
    """Guess from the file's name whose hand-in an unreadable zip was; it marks nothing."""
    stem = file.rpartition("/")[2].removesuffix(".zip")
    learner = stem.rpartition(f"{worksheet}_")[2].rpartition("_")[0]
    return learner if learner in roster else None


def _no_hand_ins(files: list[str]) -> list[Problem]:
    """Name, once, what lies in the inbox and is nobody's hand-in."""
    if not files:
        return []
    named = ", ".join(files[:_MOST_NAMED])
    more = f" and {len(files) - _MOST_NAMED} more" if len(files) > _MOST_NAMED else ""
    return [
        Problem(
            INBOX,
            None,
            NO_HAND_IN,
            f"what is there and is not a hand-in: {named}{more}",
            "A hand-in is the zip that “cubital hand-in” makes; nothing else is read.",
        )
    ]


def waiting(course: Course, worksheet: str, release: str) -> set[str]:
    """Return whose hand-in to a release lies in the inbox, collected or not.

    One that cannot be read counts by its file's name: who answered will hand in again.
    """
    found: set[str | None] = set()
    for received in Inbox().read(course.inbox).received:
        bundle = received.bundle
        if bundle is None:
            found.add(_named(received.file, worksheet, course.roster()))
        elif (bundle.worksheet, bundle.release) == (worksheet, release):
            found.add(bundle.learner)
    return {who for who in found if who is not None}


def _placed(folder: Path, found: _HandIn) -> list[Problem]:
    """Place a hand-in; what the disk has against it is told of this learner alone."""
    try:
        _place(folder, found)
    except OSError as error:
        learner = found.bundle.learner
        return [
            Problem(found.file, learner, SYSTEM_ERROR, f"it cannot be kept: {error}", MAKE_ROOM)
        ]
    return []


def _time_of(folder: Path) -> datetime | None:
    """Return when what lies in a submitted folder was handed in, as far as it says."""
    try:
        return read_time((folder / TIMESTAMP_FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None


def _place(folder: Path, found: _HandIn) -> None:
    """Replace a submitted folder by a zip's files, unless it holds a later hand-in."""
    stamp = f"{found.at:%Y-%m-%d %H:%M:%S.%f} UTC\n"
    files = found.bundle.files | {TIMESTAMP_FILE: stamp.encode()}
    there = _time_of(folder)
    if there is not None and there > found.at:
        return
    part = folder.with_name(f".{folder.name}.part")
    shutil.rmtree(part, ignore_errors=True)
    part.mkdir(parents=True)
    for name, data in files.items():
        (part / name).write_bytes(data)
    if folder.is_symlink() or folder.is_file():
        folder.unlink()
    elif folder.exists():
        shutil.rmtree(folder)
    put_in_place(part, folder)


def read_problems(course: Course, worksheet: str) -> list[Problem]:
    """Return what could not be taken, from the inbox and among the submitted folders.

    A list that cannot be read is itself what is told.
    """
    try:
        return [row for rows in _stored(course, worksheet).values() for row in rows]
    except (OSError, ValueError) as error:
        path = _file(course, worksheet)
        reason = f"what was not taken cannot be read from it: {error}"
        file = path.relative_to(course.workspace).as_posix()
        return [Problem(file, None, SYSTEM_ERROR, reason, LIST_ANEW, anyones=True)]


def unread(course: Course, worksheet: str) -> list[str]:
    """Return what lies in the inbox and could not be read, so that it may be anybody's."""
    return [row.file for row in read_problems(course, worksheet) if row.anyones]


def write_problems(course: Course, worksheet: str, part: str, problems: list[Problem]) -> None:
    """Keep the problems of one part; those of the other stay, if they can be read."""
    try:
        stored = _stored(course, worksheet)
    except (OSError, ValueError):
        stored = {}
    rows = {key: list(map(asdict, kept)) for key, kept in (stored | {part: problems}).items()}
    write_json(_file(course, worksheet), {"format": FORMAT} | rows)


def _stored(course: Course, worksheet: str) -> dict[str, list[Problem]]:
    path = _file(course, worksheet)
    if not path.exists():
        return {}
    data = read_json(path)
    try:
        if data["format"] != FORMAT:
            raise ValueError(f"it is not a list of format {FORMAT!r}")
        return {part: [Problem(**row) for row in data.get(part, [])] for part in (INBOX, SUBMITTED)}
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError("it is not a list of what was not taken") from error


def _file(course: Course, worksheet: str) -> Path:
    return course.results_folder / f"{course.known(worksheet)}.problems.json"
