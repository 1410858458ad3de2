"""Answers as they are typed, how they are kept, and what is due again by a log of refreshing."""

from datetime import UTC, datetime, timedelta
from typing import Any

import filelock

from cubital import tables
from cubital.handin import answers
from cubital.items.typed.quantity import MEASURES, SPELLINGS, read_quantity
from cubital.refresh.due import standings_of
from cubital.refresh.reviews import RATINGS, Review, ReviewLog

NUMBERS = ("2.5", "0,25", "1e3", "45", "-3", "½", "１２", "1 200", "1,200", "")
TOGETHER = ("2 h 30 min", "5h46", "34 %", "42 drops/min", "90 mL/h", "1.5 L / 2 h", "two mm")


def read() -> dict[str, Any]:
    """Return how each number with each spelling of a unit is read by each kind of question."""
    typed = [f"{number} {spelled}" for number in NUMBERS for spelled in ("", *SPELLINGS)]
    pairs = [(one, unit) for unit in MEASURES for one in (*typed, *TOGETHER)]
    return {f"{one} in {unit}": _read(one, unit) for one, unit in pairs}


def _read(typed: str, unit: str) -> Any:
    try:
        found = read_quantity(typed, unit)
    except ValueError as error:
        return str(error)
    return [found.number, found.typed, found.bare]


def lock() -> str:
    """Name the kind of lock that guards a learner's files."""
    kind = answers.FileLock
    return "SoftFileLock" if issubclass(kind, filelock.SoftFileLock) else "FileLock"


def due(count: int) -> dict[str, Any]:
    """Return when each objective is due after a log of so many answers over a year."""
    keys = [(one.key, item) for one in tables.curriculum().objectives for item in one.items]
    start = datetime(2027, 1, 4, 8, tzinfo=UTC)
    reviews = []
    for number in range(1, count + 1):
        key, item = keys[number * 37 % len(keys)]
        at = start + timedelta(hours=number * 8760 / count)
        rating = RATINGS[(number * number + number // 3) % len(RATINGS)]
        outcome = "wrong" if rating == RATINGS[0] else "right"
        reviews.append(Review(number, at, f"s{number}/{item}", key, item, outcome, rating))
    now = start + timedelta(days=366)
    log = ReviewLog("ada", tuple(reviews))
    return {
        one.objective.key: [
            one.due.isoformat() if one.due else None,
            one.is_due(now),
            one.is_late(now),
            one.wants_critical(now),
        ]
        for one in standings_of(log, now)
    }
