"""Collect what learners handed in: the inbox read, all of it kept, what counts put in its place."""

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from cubital.handin.bundle import HANDIN_FILE, Bundle
from cubital.handin.released.release import Release
from cubital.handin.results import HELD, SYSTEM_ERROR, UNREADABLE
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.problems import LOOK, NO_HAND_IN, Problem, write_problems
from cubital.marking.cohort.receiving import INBOX, Inbox, Received
from cubital.marking.counting.answered import given_out, release_answered
from cubital.marking.counting.choices import in_force
from cubital.marking.counting.collectings import note_collecting
from cubital.marking.counting.kept import Kept
from cubital.marking.counting.looking import commands_that_settle
from cubital.marking.counting.settling import not_kept, numbered, settle, stamped
from cubital.marking.marks.attempts import Attempt, sum_of_files
from cubital.marking.marks.checker import REPORT_IT
from cubital.marking.marks.inspecting import AGAIN, read_time
from cubital.marking.marks.store import Store

UNPACK = "Unpack it by hand in the inbox, or take it out of there, and collect again."
SET_RIGHT = (
    "See that all are the learner's own. {listing} lists them, and {choosing} settles which one "
    "counts."
)
_MOST_NAMED = 20


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
    def files(self) -> dict[str, bytes]:
        """Its files, with the time that it says as nbgrader writes it."""
        return stamped(self.bundle.files, self.at)

    def attempt(self, given_out: str, releases: Mapping[str, Release]) -> Attempt:
        """Return what is kept of it for good; ``given_out`` is the release that learners have."""
        files = self.bundle.files
        said = self.at.astimezone(UTC).isoformat(timespec="seconds")
        name = release_answered(lambda name: files.get(name, b""), given_out)
        worksheet, learner = self.bundle.worksheet, self.learner
        return numbered(Attempt(worksheet, learner, name, said, sum_of_files(files)), releases)


def collect(course: Course, worksheet: str, *, now: datetime | None = None) -> list[Problem]:
    """Keep all hand-ins, and put the one of each learner that counts where it is marked.

    What was not taken, or looks wrong, is returned. Hand-ins stay in the inbox; those of the
    course's other worksheets are left for their turn. A file that cannot be taken is told, and does
    nothing to the others.
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
        problems.extend(_kept(course, worksheet, hand_ins, now))
        if hand_ins:
            note_collecting(course, worksheet, now)
        problems.extend(settle(course, worksheet, now=now, collecting=True))
        problems = [_told(problem, course, worksheet) for problem in problems]
        chosen = in_force(course.workspace, worksheet)
        unsettled = [row for row in hand_ins if row.learner not in chosen]
        problems.extend(
            (*_of_several_places(course, worksheet, unsettled), *_no_hand_ins(inbox.others))
        )
        write_problems(course, worksheet, INBOX, problems)
    return problems


def _kept(
    course: Course, worksheet: str, hand_ins: Iterable[_HandIn], now: datetime
) -> list[Problem]:
    """Keep the files of all hand-ins and what they say; what cannot be kept is told."""
    kept = Kept(course.workspace, worksheet)
    name, releases = given_out(course, worksheet), course.releases(worksheet)
    problems, attempts = [], []
    for row in hand_ins:
        try:
            attempts.append(row.attempt(name, releases))
            kept.keep(attempts[-1], row.files)
        except Exception as error:
            problems.append(not_kept(row.file, row.learner, error))
    Store(course.workspace).add(attempts, arrived=now)
    return problems


def _of_several_places(
    course: Course, worksheet: str, hand_ins: Iterable[_HandIn]
) -> list[Problem]:
    """Name whose hand-ins lie in several folders or zips: somebody else may have made one."""
    places: defaultdict[str, dict[str, _HandIn]] = defaultdict(dict)
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
            "hand-in proves who made it",
            SET_RIGHT.format(**commands_that_settle(course, worksheet, learner)),
        )
        for learner, found in sorted(places.items())
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
