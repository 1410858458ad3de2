"""A learner's answers: kept beside the worksheet, saved at once, never lost or mixed."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from filelock import FileLock

from cubital.handin.files import read_json, write_json
from cubital.handin.released.papers import Papers
from cubital.handin.released.questions import Question
from cubital.handin.released.release import Release
from cubital.items import Form

FILE = "answers.json"
FORMAT = "cubital-answers/1"
# How sure somebody can say to be: the share of such answers that would be right, in words.
LEVELS = ((0.25, "a guess"), (0.5, "half sure"), (0.75, "fairly sure"), (0.95, "sure"))
LOCK_SECONDS = 10
_DAY = len("2027-03-05")
ENTRIES_KEPT = 50
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
    """All that a learner saved for one release; the last entry of an item counts.

    ``paper`` is the number of the paper that was answered; empty in practice.
    """

    release: str
    worksheet: str
    learner: str
    items: Mapping[str, tuple[Entry, ...]]
    paper: str = ""

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
            paper=_text(data.get("paper", "")),
            items={
                _text(key): tuple(
                    Entry(
                        _text(row["at"]),
                        dict(row.get("values", {})),
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

    def __init__(
        self, folder: Path, release: Release, learner: str, papers: Papers | None = None
    ) -> None:
        self.folder = Path(folder)
        self.release = release
        self.learner = learner
        self.papers = papers

    @property
    def paper(self) -> str:
        """The number of the learner's paper; empty in practice."""
        return self.papers.paper_of(self.learner) if self.papers else ""

    def asked(self) -> tuple[str, ...]:
        """Return the items that this learner is asked, in their order."""
        if self.papers is not None:
            return self.papers.listed(self.paper)
        return tuple(self.release.items)

    def form(self, item_id: str) -> Form:
        """Return a question as this learner is asked it: by their paper, else drawn for them."""
        if self.papers is not None:
            return self.papers.form(self.paper, item_id)
        return self.question(item_id).form

    def question(self, item_id: str) -> Question:
        """Return a question of a practice with its key."""
        item = self.release.item(item_id)
        return self.release.question(item, self.learner, self.release.name)

    def read(self) -> Answers:
        """Return this learner's answers so far; another learner's raise OtherLearnerError."""
        answers = read_answers(self.folder)
        if answers is None:
            return Answers(self.release.name, self.release.worksheet, self.learner, {}, self.paper)
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
        if answers.items and answers.paper != self.paper:
            raise OtherLearnerError(
                f"this folder holds answers to paper {answers.paper or 'none'}, and yours is paper "
                f"{self.paper or 'none'}: open the worksheet as it was given out to you"
            )
        return answers

    def save(
        self,
        item_id: str,
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
        values: Mapping[str, Any] = {}
        if self.papers is None:
            question = self.question(item_id)
            form, values = question.form, question.values
        else:
            form = self.form(item_id)
        _check_characters(typed)
        answer = form.read(typed)
        at = (now or datetime.now(UTC)).isoformat(timespec="seconds")
        self.folder.mkdir(parents=True, exist_ok=True)
        with FileLock(self.folder / ".answers.lock", timeout=LOCK_SECONDS):
            answers = self.read()
            earlier = answers.items.get(item_id, ())
            last = earlier[-1] if earlier else None
            if last and last.answer == answer and confidence in {None, last.confidence}:
                return last
            entry = Entry(at, values, answer, _share(confidence))
            entries = (*earlier, entry)[-ENTRIES_KEPT:]
            self._write(dict(answers.items) | {item_id: entries})
        return entry

    def _write(self, entries: Mapping[str, tuple[Entry, ...]]) -> None:
        release = self.release
        answers = Answers(release.name, release.worksheet, self.learner, entries, self.paper)
        write_json(self.folder / FILE, as_json(answers))


def travelling(answers: Answers, *, sure: bool = False) -> dict[str, Any]:
    """Return what a hand-in holds of the answers: the last to each question, and no earlier try.

    How sure the learner was goes along only where they said that it may. Of when each was answered
    the day alone goes along, so that nobody reads off how long somebody took.
    """
    last = {item: answers.last(item) for item in answers.items}
    return as_json(
        replace(
            answers,
            items={
                item: (
                    replace(
                        entry,
                        at=entry.at[:_DAY],
                        confidence=entry.confidence if sure else None,
                    ),
                )
                for item, entry in last.items()
                if entry is not None
            },
        )
    )


def as_json(answers: Answers) -> dict[str, Any]:
    """Return answers as they are written to a file."""
    return {
        "format": FORMAT,
        "release": answers.release,
        "worksheet": answers.worksheet,
        "learner": answers.learner,
        **({"paper": answers.paper} if answers.paper else {}),
        "items": {item: [_row(entry) for entry in saved] for item, saved in answers.items.items()},
    }


def _row(entry: Entry) -> dict[str, Any]:
    row = {"at": entry.at, "answer": entry.answer}
    row |= {"values": entry.values} if entry.values else {}
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
