"""Collect what learners handed in: each zip of the inbox read, the latest of each learner taken."""

import os
import shutil
from collections.abc import Iterable
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from pathlib import Path

from cubital.handin.bundle import TIMESTAMP_FILE, Bundle, read_bundle
from cubital.handin.files import read_json, write_json
from cubital.handin.results import HELD, UNREADABLE
from cubital.marking.course import Course
from cubital.marking.inspecting import AGAIN, read_time

FORMAT = "cubital-problems/1"
INBOX = "inbox"
SUBMITTED = "submitted"


@dataclass(frozen=True)
class Problem:
    """A file or folder that could not be taken.

    ``learner`` is who on the roster has nothing but this, and whose result tells of it; None if
    that is nobody.
    """

    file: str
    learner: str | None
    state: str
    reason: str
    action: str


@dataclass(frozen=True)
class _Zip:
    path: Path
    bundle: Bundle
    at: datetime


def collect(course: Course, worksheet: str) -> list[Problem]:
    """Put the latest hand-in of each learner where it is marked; return what was not taken.

    Zips stay in the inbox; those of the course's other worksheets are left for their turn.
    """
    roster = course.roster()
    others = set(course.worksheets()) - {course.known(worksheet)}
    problems: list[Problem] = []
    latest: dict[str, _Zip] = {}
    for path in sorted(course.inbox.iterdir()) if course.inbox.is_dir() else ():
        if path.name.startswith(".") or path.suffix == ".part":
            continue
        found = _read(path, worksheet, others, roster)
        if isinstance(found, Problem):
            problems.append(found)
        elif found is not None:
            before = latest.get(found.bundle.learner)
            if before is None or (before.at, before.path.name) < (found.at, path.name):
                latest[found.bundle.learner] = found
    for learner, found in latest.items():
        _place(course.submitted(learner, worksheet), found)
    problems = [_told(problem, course, worksheet) for problem in problems]
    write_problems(course, worksheet, INBOX, problems)
    return problems


def _told(problem: Problem, course: Course, worksheet: str) -> Problem:
    """Let the problem stand by itself if another hand-in of the learner counts."""
    learner = problem.learner
    if learner is None or not course.submitted(learner, worksheet).exists():
        return problem
    reason = f"{problem.reason}; another hand-in of “{learner}” counts"
    return replace(problem, learner=None, reason=reason)


def _read(
    path: Path, worksheet: str, others: set[str], roster: Iterable[str]
) -> _Zip | Problem | None:
    file = f"{INBOX}/{path.name}"
    guessed = _named(path, worksheet, roster)
    if path.is_symlink() or not path.is_file():
        return Problem(file, None, UNREADABLE, "it is not a plain file", "Take it out.")
    try:
        bundle = read_bundle(path)
        at = read_time(str(bundle.at))
    except ValueError as error:
        return Problem(file, guessed, UNREADABLE, str(error), AGAIN)
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
    return _Zip(path, bundle, at)


def _named(path: Path, worksheet: str, roster: Iterable[str]) -> str | None:
    """Guess from the file's name whose hand-in an unreadable zip was; it marks nothing."""
    start = f"{worksheet}_"
    learner = path.stem.removeprefix(start).rpartition("_")[0]
    return learner if path.name.startswith(start) and learner in roster else None


def _place(folder: Path, found: _Zip) -> None:
    """Replace a submitted folder by a zip's files, unless it holds a later hand-in."""
    stamp = f"{found.at:%Y-%m-%d %H:%M:%S.%f} UTC\n"
    files = found.bundle.files | {TIMESTAMP_FILE: stamp.encode()}
    try:
        there = read_time((folder / TIMESTAMP_FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        there = None
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
    os.replace(part, folder)


def read_problems(course: Course, worksheet: str) -> list[Problem]:
    """Return what could not be taken, from the inbox and among the submitted folders."""
    stored = _stored(course, worksheet)
    return [Problem(**row) for part in (INBOX, SUBMITTED) for row in stored.get(part, [])]


def write_problems(course: Course, worksheet: str, part: str, problems: list[Problem]) -> None:
    """Keep the problems of one part; those of the other stay."""
    stored = _stored(course, worksheet) | {part: [asdict(problem) for problem in problems]}
    write_json(_file(course, worksheet), {"format": FORMAT} | stored)


def _stored(course: Course, worksheet: str) -> dict:
    path = _file(course, worksheet)
    if not path.is_file():
        return {}
    data = read_json(path)
    if data.pop("format", None) != FORMAT:
        raise ValueError(f"{path} is not a list of problems of format {FORMAT!r}")
    return data


def _file(course: Course, worksheet: str) -> Path:
    return course.results_folder / f"{course.known(worksheet)}.problems.json"
