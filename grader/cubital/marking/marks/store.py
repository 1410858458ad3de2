"""The store of attempts and results: one SQLite file in the workspace, ``results.db``.

A row of ``attempt`` is a hand-in that was seen: whose, of which worksheet and release, when it says
to be handed in, when it arrived here, and a check sum of what it holds. ``result`` says what
marking decided of it, ``item_result`` what of each item. Of a learner's attempts at a worksheet at
most one is marked as counting: the one that was marked last, whose result report and feedback read.
Which one is to be marked `cubital.marking.counting` decides.

The file works on a network share too, so it keeps no write-ahead log. Whoever finds it held by
another program waits for it. An attempt stays when a later one counts.
"""

import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import fields
from datetime import UTC, datetime
from pathlib import Path
from types import NoneType
from typing import Any, get_args, get_type_hints

from cubital.handin.files import OWNERS_FILE
from cubital.handin.results import STATES, SYSTEM_ERROR, ItemResult, SubmissionResult
from cubital.items.kinds.on_pictures import tally
from cubital.marking.counting.rule import Seen
from cubital.marking.errors import CourseError
from cubital.marking.marks.attempts import Attempt

FILE = "results.db"
_EDITION = 2  # of the tables below; it changes with them
_FROM_BEFORE = {  # what makes the tables of an earlier edition those below
    1: "ALTER TABLE item_result ADD COLUMN tally TEXT NOT NULL DEFAULT ''",
}
_WAIT_S = 20.0  # for another program that holds the file
_OF_THE_DISK = {
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_PERM,
    sqlite3.SQLITE_READONLY,
}
_ANEW = (
    "put a copy back in its place, or move it away, and mark each worksheet again. Marks given by "
    "hand are in the gradebook and stay"
)
_SQL_TYPES = {str: "TEXT", float: "REAL", bool: "INTEGER", int: "INTEGER"}


def _kinds(name: str) -> tuple[type, ...]:
    declared = get_type_hints(ItemResult)[name]
    return get_args(declared) or (declared,)


_COLUMNS = tuple(field.name for field in fields(ItemResult))
_KINDS = tuple(_kinds(name) for name in _COLUMNS)
_FLAGS = tuple(number for number, kinds in enumerate(_KINDS) if kinds == (bool,))


def _column(name: str, kinds: tuple[type, ...]) -> str:
    (kind,) = (kind for kind in kinds if kind is not NoneType)
    return f"{name} {_SQL_TYPES[kind]}{'' if NoneType in kinds else ' NOT NULL'}"


_TABLES = f"""
CREATE TABLE attempt (
    id TEXT NOT NULL PRIMARY KEY,
    worksheet TEXT NOT NULL,
    learner TEXT NOT NULL,
    release TEXT NOT NULL,
    number INTEGER,
    said_at TEXT NOT NULL,
    arrived_at TEXT NOT NULL,
    sha256 TEXT NOT NULL,
    counts INTEGER NOT NULL CHECK (counts IN (0, 1))
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX one_counts ON attempt (worksheet, learner) WHERE counts;
CREATE TABLE result (
    attempt TEXT NOT NULL PRIMARY KEY REFERENCES attempt (id) ON DELETE CASCADE,
    release TEXT NOT NULL,
    state TEXT NOT NULL,
    reason TEXT NOT NULL,
    action TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE item_result (
    attempt TEXT NOT NULL REFERENCES result (attempt) ON DELETE CASCADE,
    place INTEGER NOT NULL,
    {", ".join(map(_column, _COLUMNS, _KINDS))},
    PRIMARY KEY (attempt, place)
) STRICT, WITHOUT ROWID;
PRAGMA user_version = {_EDITION};
"""


class Store:
    """The attempts and results of one workspace; every method raises CourseError if it cannot."""

    def __init__(self, workspace: Path) -> None:
        self.path = workspace / FILE

    def add(self, attempts: Iterable[Attempt], *, arrived: datetime | None = None) -> None:
        """Add attempts that were not seen before; ``arrived`` is when, if not now.

        One that was seen keeps the time of its arrival; a number that it lacked is filled in.
        """
        with self._writing() as db:
            _add(db, attempts, arrived)

    def put(
        self,
        rows: Sequence[tuple[Attempt, SubmissionResult]],
        *,
        arrived: datetime | None = None,
    ) -> None:
        """Put in what marking decided of attempts, each of which counts from now on: all or none.

        ``arrived`` is when those came that were not seen before, if not now.
        """
        with self._writing() as db:
            _add(db, (attempt for attempt, _ in rows), arrived)
            for attempt, result in rows:
                known = (attempt.worksheet, attempt.learner, attempt.id)
                db.execute(
                    "UPDATE attempt SET counts = 0"
                    " WHERE worksheet = ? AND learner = ? AND counts AND id <> ?",
                    known,
                )
                db.execute("UPDATE attempt SET counts = 1 WHERE id = ?", known[2:])
                db.execute("DELETE FROM result WHERE attempt = ?", known[2:])
                told = (result.release, result.state, result.reason, result.action)
                db.execute("INSERT INTO result VALUES (?, ?, ?, ?, ?)", (attempt.id, *told))
                marks = ", ".join("?" * (2 + len(_COLUMNS)))
                db.executemany(
                    f"INSERT INTO item_result VALUES ({marks})",
                    [
                        (attempt.id, place, *(getattr(item, name) for name in _COLUMNS))
                        for place, item in enumerate(result.items)
                    ],
                )

    def seen(self, worksheet: str) -> list[Seen]:
        """Return all hand-ins to a worksheet that were seen, with what was decided of each."""
        if not self.path.exists():
            return []
        with self._opened() as db:
            found = db.execute(
                "SELECT worksheet, learner, attempt.release, said_at, sha256, number, arrived_at,"
                " state, counts FROM attempt LEFT JOIN result ON result.attempt = attempt.id"
                " WHERE worksheet = ? ORDER BY id",
                (worksheet,),
            ).fetchall()
        try:
            return [
                Seen(
                    Attempt(*told),
                    datetime.fromisoformat(arrived).astimezone(UTC),
                    state=state or "",
                    shown=bool(counts),
                )
                for *told, arrived, state, counts in found
            ]
        except ValueError as error:
            raise CourseError(f"{self.path} is damaged: {error}: {_ANEW}") from error

    def count_none(self, worksheet: str, learners: Iterable[str]) -> None:
        """Let no attempt of these learners at a worksheet count any more."""
        with self._writing() as db:
            db.executemany(
                "UPDATE attempt SET counts = 0 WHERE worksheet = ? AND learner = ? AND counts",
                [(worksheet, learner) for learner in learners],
            )

    def results(self, worksheet: str) -> dict[str, SubmissionResult]:
        """Return the result that counts of each learner; empty before anything is marked.

        A result that the file does not hold as it was written is its learner's `SYSTEM_ERROR`.
        """
        if not self.path.exists():
            return {}
        with self._opened() as db:
            found = db.execute(
                "SELECT attempt.id, learner, worksheet, result.release, state, reason, action,"
                " said_at FROM attempt JOIN result ON result.attempt = attempt.id"
                " WHERE worksheet = ? AND counts ORDER BY learner",
                (worksheet,),
            ).fetchall()
            items: dict[str, list[tuple[Any, ...]]] = {row[0]: [] for row in found}
            for attempt, *told in db.execute(
                f"SELECT attempt.id, {', '.join(_COLUMNS)} FROM attempt"
                " JOIN item_result ON item_result.attempt = attempt.id"
                " WHERE worksheet = ? AND counts ORDER BY attempt.id, place",
                (worksheet,),
            ):
                items[attempt].append(told)
        return {row[1]: self._result(row[1:], items[row[0]]) for row in found}

    def _result(self, told: tuple[Any, ...], items: list[tuple[Any, ...]]) -> SubmissionResult:
        learner, worksheet, release, state, reason, action, said_at = told
        try:
            if state not in STATES:
                raise ValueError(f"its state is {state!r:.60}")
            rows = tuple(map(_item_result, items))
            return SubmissionResult(
                learner, worksheet, release, state, reason, action, said_at, rows
            )
        except ValueError as error:
            return SubmissionResult(
                learner,
                worksheet,
                release,
                SYSTEM_ERROR,
                f"what marking decided cannot be read from {self.path}: {error}",
                f"Mark “{worksheet}” again.",
                said_at,
            )

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """Open the file, make it if it is not there, and keep what is written as a whole."""
        with self._opened() as db:
            db.execute("BEGIN IMMEDIATE")
            yield db
            db.execute("COMMIT")

    @contextmanager
    def _opened(self) -> Iterator[sqlite3.Connection]:
        try:
            if not self.path.exists():
                self.path.touch(mode=OWNERS_FILE)
            with closing(sqlite3.connect(self.path, timeout=_WAIT_S, isolation_level=None)) as db:
                db.execute("PRAGMA foreign_keys = ON")
                self._prepare(db)
                yield db
        except (sqlite3.DatabaseError, UnicodeDecodeError, OSError) as error:
            if isinstance(error, sqlite3.IntegrityError | sqlite3.ProgrammingError):
                raise  # a fault in what was to be written
            raise CourseError(self._said(error)) from error

    def _prepare(self, db: sqlite3.Connection) -> None:
        """Make the tables of a new file, bring on an earlier one's; refuse one that has others."""
        if not db.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            db.executescript(f"BEGIN IMMEDIATE;{_TABLES}COMMIT;")
        if _edition(db) in _FROM_BEFORE:
            db.execute("BEGIN IMMEDIATE")
            edition = _edition(db)
            if edition in _FROM_BEFORE:  # else another program was quicker
                db.execute(_FROM_BEFORE[edition])
                db.execute(f"PRAGMA user_version = {_EDITION}")
            db.execute("COMMIT")
        columns = tuple(row[1] for row in db.execute("PRAGMA table_info(item_result)"))
        if _edition(db) != _EDITION or columns != ("attempt", "place", *_COLUMNS):
            raise CourseError(f"{self.path} was not made by this edition of the course: {_ANEW}")

    def _said(self, error: Exception) -> str:
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF  # without what SQLite says beyond it
        if code in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
            return f"{self.path} is held by another program: wait until it is done, and try again"
        if isinstance(error, OSError) or code in _OF_THE_DISK:
            todo = "see that it can be read and written and that the disk has room, and try again"
            return f"{self.path} cannot be used: {error}: {todo}"
        return f"{self.path} is damaged: {error}: {_ANEW}"


def _edition(db: sqlite3.Connection) -> int:
    (edition,) = db.execute("PRAGMA user_version").fetchone()
    return int(edition)


def _add(db: sqlite3.Connection, attempts: Iterable[Attempt], arrived: datetime | None) -> None:
    moment = (arrived or datetime.now(UTC)).astimezone(UTC).isoformat(timespec="microseconds")
    db.executemany(
        "INSERT INTO attempt VALUES (?, ?, ?, ?, ?, ?, ?, ?, 0)"
        " ON CONFLICT (id) DO UPDATE SET number = coalesce(number, excluded.number)",
        [
            (
                row.id,
                row.worksheet,
                row.learner,
                row.release,
                row.number,
                row.said_at,
                moment,
                row.sha256,
            )
            for row in attempts
        ],
    )


def _item_result(told: Sequence[Any]) -> ItemResult:
    """Return an item's result; what is not as it was declared raises ValueError."""
    values = list(told)
    for place in _FLAGS:
        if values[place] in (0, 1):
            values[place] = bool(values[place])
    for name, value, kinds in zip(_COLUMNS, values, _KINDS, strict=True):
        if type(value) not in kinds:
            raise ValueError(f"{name} of “{values[0]}” is {value!r:.60}")
    found = ItemResult(*values)
    tally.read(found.tally)
    return found
