"""The reviews of a learner who refreshes: one append-only file in the learner's folder.

A review says which item was answered for which objective, when, and how well. When what is due
is worked out from the log anew each time (`schedule`), so that no second state can
contradict it. It is no evidence: marks come from worksheets alone.
"""

import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from filelock import FileLock

from cubital import tables
from cubital.handin.files import read_json, write_json

FILE = "refresh.json"
FORMAT = "cubital-reviews/1"
WORKSHEET = "refresh"  # the name of the worksheet whose first answers are reviews
AGAIN, HARD, GOOD, EASY = RATINGS = ("again", "hard", "good", "easy")
_LOCK_SECONDS = 10
_LARGEST_FILE = 50_000_000  # bytes; a lifetime of reviews is a tenth of it


class BrokenReviewsError(ValueError):
    """The log here cannot be read, or is another learner's; nothing is written over it."""


@dataclass(frozen=True, order=True)
class Review:
    """One review; ``number`` is one more than the highest that its log held when it was added.

    The clock can be wrong; the number tells all the same what was there before. ``rating`` is that
    of this answer alone; what it counts as, beside earlier ones, says `rating.as_counted`.
    """

    number: int
    at: datetime
    id: str
    objective: str
    item: str
    outcome: str
    rating: str


@dataclass(frozen=True)
class ReviewLog:
    """All reviews of one learner, each id once, in the order of their numbers."""

    learner: str
    reviews: tuple[Review, ...] = ()

    def has(self, review_id: str) -> bool:
        """Tell whether a review is in the log."""
        return any(review.id == review_id for review in self.reviews)


def review_id(release: str, item: str) -> str:
    """Return the id of the one review that an item can have in a session."""
    return f"{release}/{item}"


def objective_of(item_id: str) -> str | None:
    """Return the key of the objective that an item is reviewed for: the first that lists it."""
    return _objectives_by_item().get(item_id)


@functools.cache
def _objectives_by_item() -> dict[str, str]:
    found: dict[str, str] = {}
    for objective in tables.curriculum().objectives:
        for item in objective.items:
            found.setdefault(item, objective.key)
    return found


def merged(one: ReviewLog, other: ReviewLog) -> ReviewLog:
    """Return the union of two logs of one learner by the reviews' ids.

    Merging in another order, or again, gives the same. Two reviews of the same id, from copies
    of one session, become the one that sorts first.
    """
    if one.learner != other.learner:
        raise ValueError(
            f"one log is of learner “{one.learner}”, the other of “{other.learner}”: only logs of "
            "the same learner are merged"
        )
    return ReviewLog(one.learner, _each_once([*one.reviews, *other.reviews]))


def read_reviews(folder: Path, learner: str) -> ReviewLog:
    """Return the log in a learner's folder; an empty one if there is none yet.

    Raises
    ------
    BrokenReviewsError
        The file cannot be read or is another learner's; it says what to do.
    """
    path = folder / FILE
    if not path.exists():
        return ReviewLog(learner)
    try:
        log = read_log(path)
    except (OSError, ValueError) as error:
        raise BrokenReviewsError(
            f"{path} cannot be read: {_why(error)}. Nothing was written over it: put a copy from "
            "before in its place, or move it away to start afresh"
        ) from error
    if log.learner != learner:
        raise BrokenReviewsError(
            f"{path} is of learner “{log.learner}”, and you are “{learner}”: move it to that "
            "learner's folder"
        )
    return log


def read_log(path: Path) -> ReviewLog:
    """Read one file of reviews; anything else raises ValueError."""
    data = read_json(path, largest=_LARGEST_FILE)
    try:
        if data["format"] != FORMAT:
            raise ValueError(f"its format is {data['format']!r:.40}, not {FORMAT!r}")
        return ReviewLog(_word(data["learner"]), _each_once(map(_review, data["reviews"])))
    except KeyError as error:
        raise ValueError("it is not the log that the course keeps of refreshing") from error
    except (TypeError, AttributeError) as error:
        raise ValueError("it is not the log that the course keeps of refreshing") from error


def add_review(
    folder: Path,
    learner: str,
    *,
    review: str,
    objective: str,
    item: str,
    outcome: str,
    rating: str,
    at: datetime,
) -> bool:
    """Add a review under its id and tell whether it is new; one that is there stays as it is."""
    with _locked(folder):
        log = read_reviews(folder, learner)
        if log.has(review):
            return False
        number = 1 + max((one.number for one in log.reviews), default=0)
        when = at.astimezone(UTC).replace(microsecond=0)
        new = Review(number, when, review, objective, item, outcome, rating)
        _write(folder, ReviewLog(learner, (*log.reviews, new)))
    return True


def merge_file(folder: Path, learner: str, path: Path) -> int:
    """Merge another file of this learner's reviews into the log; return how many were new."""
    path = path / FILE if path.is_dir() else path
    try:
        other = read_log(path)
    except (OSError, ValueError) as error:
        raise ValueError(
            f"{path} cannot be merged: {_why(error)}. Nothing was changed. Name the {FILE} that "
            "lies in your folder on the other computer"
        ) from error
    if other.learner != learner:
        raise ValueError(
            f"{path} holds the reviews of learner “{other.learner}”, and you are “{learner}”: "
            "nothing was changed, only logs of the same learner are merged"
        )
    folder.mkdir(parents=True, exist_ok=True)
    with _locked(folder):
        log = read_reviews(folder, learner)
        both = merged(log, other)
        if both != log:
            _write(folder, both)
    return len(both.reviews) - len(log.reviews)


def _why(error: OSError | ValueError) -> str:
    """What was wrong with a file, without the system's numbers for it."""
    if isinstance(error, FileNotFoundError):
        return "there is no such file"
    return (isinstance(error, OSError) and error.strerror) or str(error)


def _locked(folder: Path) -> FileLock:
    return FileLock(folder / f".{FILE}.lock", timeout=_LOCK_SECONDS)


def _each_once(reviews: Iterable[Review]) -> tuple[Review, ...]:
    found: dict[str, Review] = {}
    for review in reviews:
        found[review.id] = min(review, found.get(review.id, review))
    return tuple(sorted(found.values()))


def _write(folder: Path, log: ReviewLog) -> None:
    rows = [
        {
            "id": one.id,
            "number": one.number,
            "at": one.at.isoformat(),
            "objective": one.objective,
            "item": one.item,
            "outcome": one.outcome,
            "rating": one.rating,
        }
        for one in log.reviews
    ]
    write_json(folder / FILE, {"format": FORMAT, "learner": log.learner, "reviews": rows})


def _review(row: Mapping[str, Any]) -> Review:
    words = {key: _word(row[key]) for key in ("id", "objective", "item", "outcome", "rating")}
    if words["rating"] not in RATINGS:
        raise ValueError(f"{words['rating']!r:.40} is not one of the ratings {', '.join(RATINGS)}")
    number = row["number"]
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise ValueError(f"{number!r:.40} is not the number of a review")
    at = datetime.fromisoformat(_word(row["at"]))
    if at.tzinfo is None:
        raise ValueError(f"the time {row['at']!r:.40} does not say its zone")
    return Review(number, at.astimezone(UTC), **words)


def _word(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{value!r:.40} stands where a word is expected")
    return value
