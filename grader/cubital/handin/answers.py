"""A learner's answers: kept beside the worksheet, saved at once, never lost or mixed."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from filelock import FileLock

from cubital.handin.files import read_json, write_json
from cubital.handin.release import Release
from cubital.items import Item

FILE = "answers.json"
FORMAT = "cubital-answers/1"
# How sure somebody can say to be: the share of such answers that would be right, in words.
LEVELS = ((0.25, "a guess"), (0.5, "half sure"), (0.75, "fairly sure"), (0.95, "sure"))
_LOCK_SECONDS = 10
_ENTRIES_KEPT = 50
_SHOWN_BEFORE = 20  # characters before a broken one, by which it is found


class OtherLearnerError(ValueError):
    """The answers here are another learner's, or of another release."""


class BrokenAnswersError(ValueError):
    """The answers here cannot be read; nothing is written over them."""


@dataclass(frozen=True)
class Entry:
    """One saved answer: when, on which drawn values, and the answer as plain data.

    ``confidence`` is how likely the learner holds it to be right, from 0 to 1; None if not said.
    """

    at: str
    values: Mapping[str, Any]
    answer: Mapping[str, Any]
    confidence: float | None = None


@dataclass(frozen=True)
class Answers:
    """All that a learner saved for one release; the last entry of an item counts."""

    release: str
    worksheet: str
    learner: str
    items: Mapping[str, tuple[Entry, ...]]

    def last(self, item_id: str) -> Entry | None:
        """Return the entry that counts, or None."""
        entries = self.items.get(item_id, ())
        return entries[-1] if entries else None


def read_answers(folder: Path) -> Answers | None:
    """Read a folder's ``answers.json``; None if there is none yet.

    Raises
    ------
    BrokenAnswersError
        The file is truncated, not JSON or not of this form.
    """
    path = folder / FILE
    if not path.exists():
        return None
    try:
        data = read_json(path)
        if data["format"] != FORMAT:
            raise ValueError(f"{FILE} has format {data['format']!r}, not {FORMAT!r}")
        return Answers(
            release=_text(data["release"]),
            worksheet=_text(data["worksheet"]),
            learner=_text(data["learner"]),
            items={
                _text(key): tuple(
                    Entry(
                        _text(row["at"]),
                        dict(row["values"]),
                        dict(row["answer"]),
                        _share(row.get("confidence")),
                    )
                    for row in rows
                )
                for key, rows in data["items"].items()
            },
        )
    except (OSError, KeyError, TypeError, AttributeError, ValueError) as error:
        reason = f"it lacks {error}" if isinstance(error, KeyError) else str(error)
        raise BrokenAnswersError(f"the saved answers cannot be read: {reason}") from error


class AnswerStore:
    """The answers of one learner in one worksheet's folder.

    Saving takes a lock, reads what is there, adds one entry and replaces the file, so that a
    second window, a killed kernel or a full disk leaves every earlier answer in place.
    """

    def __init__(self, folder: Path, release: Release, learner: str) -> None:
        self.folder = Path(folder)
        self.release = release
        self.learner = learner

    def read(self) -> Answers:
        """Return this learner's answers so far; another learner's raise OtherLearnerError."""
        answers = read_answers(self.folder)
        if answers is None:
            return Answers(self.release.name, self.release.worksheet, self.learner, {})
        if answers.learner != self.learner:
            raise OtherLearnerError(
                f"this folder holds the answers of learner “{answers.learner}”, and you are "
                f"“{self.learner}”: open the worksheet under your own id"
            )
        if answers.release != self.release.name:
            raise OtherLearnerError(
                f"this folder holds answers to release “{answers.release}”, and the worksheet is "
                f"of release “{self.release.name}”: open this release in a folder of its own"
            )
        return answers

    def save(
        self,
        item: Item,
        typed: Any,
        *,
        confidence: float | None = None,
        now: datetime | None = None,
    ) -> Entry:
        """Check the form of what was typed and save it as the answer that counts.

        ``confidence`` goes with the answer; None keeps what was said of the same answer before.

        Raises
        ------
        ValueError
            It is not an answer of this item's form; what was saved before stays.
        """
        values = self.release.values(item, self.learner)
        _check_characters(typed)
        answer = item.read(typed, values)
        at = (now or datetime.now(UTC)).isoformat(timespec="seconds")
        self.folder.mkdir(parents=True, exist_ok=True)
        with FileLock(self.folder / ".answers.lock", timeout=_LOCK_SECONDS):
            answers = self.read()
            earlier = answers.items.get(item.id, ())
            last = earlier[-1] if earlier else None
            if last and last.answer == answer and confidence in {None, last.confidence}:
                return last
            entry = Entry(at, values, answer, _share(confidence))
            entries = (*earlier, entry)[-_ENTRIES_KEPT:]
            self._write(dict(answers.items) | {item.id: entries})
        return entry

    def _write(self, entries: Mapping[str, tuple[Entry, ...]]) -> None:
        rows = {key: [_row(entry) for entry in saved] for key, saved in entries.items()}
        write_json(
            self.folder / FILE,
            {
                "format": FORMAT,
                "release": self.release.name,
                "worksheet": self.release.worksheet,
                "learner": self.learner,
                "items": rows,
            },
        )


def _row(entry: Entry) -> dict[str, Any]:
    row = {"at": entry.at, "values": entry.values, "answer": entry.answer}
    return row if entry.confidence is None else row | {"confidence": entry.confidence}


def _share(value: Any) -> float | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= 1:
        raise ValueError(f"confidence is {value!r:.20}: it must be from 0 to 1")
    return float(value)


def _check_characters(typed: Any) -> None:
    """Refuse half a character (a lone surrogate), which no file in UTF-8 can hold."""
    text = typed if isinstance(typed, str) else json.dumps(typed, ensure_ascii=False, default=str)
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as error:
        before = text[max(0, error.start - _SHOWN_BEFORE) : error.start]
        where = f"after “{before}”" if before else "at the start"
        raise ValueError(
            f"half a character stands {where}, such as a cut emoji leaves, and it cannot be saved: "
            "delete it there, and type that character again"
        ) from error


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{value!r:.40} stands where a word is expected")
    return value
