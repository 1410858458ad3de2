"""What two computers hold of one learner's answers to one release, made one."""

from collections.abc import Mapping
from pathlib import Path

from filelock import FileLock

from cubital.handin.answers import (
    ENTRIES_KEPT,
    FILE,
    LOCK_SECONDS,
    Answers,
    Entry,
    as_json,
    read_answers,
)
from cubital.handin.files import write_json


def merged(one: Answers, other: Answers) -> Answers:
    """Return every try of both, each once, by time: in whichever order, it is the same.

    Tries of one computer stay in the order in which they were saved, also where its clock was set
    back between them: one counts as no earlier than those before it.

    Raises
    ------
    ValueError
        They are not of one learner, release and paper.
    """
    keys = ("release", "worksheet", "learner", "paper")
    for key in keys:
        mine, others = getattr(one, key), getattr(other, key)
        if mine != others:
            raise ValueError(f"one is of the {key} “{mine}”, the other of “{others}”")
    items = {
        item: _tries(one.items.get(item, ()), other.items.get(item, ()))
        for item in sorted({*one.items, *other.items})
    }
    return Answers(one.release, one.worksheet, one.learner, items, one.paper)


def merge_answers(folder: Path, other: Answers) -> None:
    """Merge another computer's answers to the release that lies in a folder into those there."""
    with FileLock(folder / ".answers.lock", timeout=LOCK_SECONDS):
        here = read_answers(folder)
        write_json(folder / FILE, as_json(merged(here, other) if here else other))


def latest(answers: Answers | None) -> str:
    """Return when something was answered last; empty if nothing was."""
    rows: Mapping[str, tuple[Entry, ...]] = answers.items if answers else {}
    return max((entry.at for entries in rows.values() for entry in entries), default="")


def _tries(one: tuple[Entry, ...], other: tuple[Entry, ...]) -> tuple[Entry, ...]:
    found: dict[str, tuple[str, int, str]] = {}
    rows: dict[str, Entry] = {}
    for tries in (one, other):
        count, latest_so_far = 0, ""
        for row in tries:
            count = 0 if row.at > latest_so_far else count + 1
            latest_so_far = max(row.at, latest_so_far)
            key = repr((row.at, row.answer, row.confidence))
            found[key] = max((latest_so_far, count, key), found.get(key, ("", 0, "")))
            rows[key] = row
    return tuple(rows[key] for _at, _count, key in sorted(found.values()))[-ENTRIES_KEPT:]
