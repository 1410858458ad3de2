"""What is recorded of a learner's second chance at a principle: who, when, and a code, no prose.

``second-chances.json`` in the workspace is only added to. Nothing in it is about a patient.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from cubital.handin.files import read_log, write_json

FILE = "second-chances.json"
FORMAT = "cubital-second-chances/1"
TOLD, TALK, RETAKE, OBSERVED, DECISION = "told", "talk", "retake", "observed", "decision"
KINDS = (TOLD, TALK, RETAKE, OBSERVED, DECISION)
REASONS: Mapping[str, str] = {
    "not-known": "the principle was not known",
    "misread": "the case was misread",
    "slip-of-hand": "another option was meant",
    "other": "another reason",
}
PASSED, NOT_PASSED = "passed", "not-passed"


@dataclass(frozen=True)
class Record:
    """One thing that happened.

    ``attempt`` is the attempt that a talk, an observation or a decision comes after, and the one
    that a retake is for. ``code`` is a talk's reason, one of `REASONS`, or a decision, `PASSED` or
    `NOT_PASSED`. ``by`` is who talked, watched, decided or handed out; ``at`` when, in ISO form.
    Told is a learner whose page, or a talk, said what is right; then ``code`` is when the hand-in
    was made that missed it.
    """

    kind: str
    principle: str
    learner: str
    attempt: int
    by: str
    at: str
    code: str = ""


def read_records(workspace: Path) -> list[Record]:
    """Return all records in their order.

    Raises
    ------
    ValueError
        The file cannot be read, or holds something else.
    """
    return read_log(
        workspace / FILE,
        "records",
        _checked,
        form=FORMAT,
        lost="nobody knows of the talks and retakes that there were",
    )


def add_records(workspace: Path, records: Iterable[Record]) -> None:
    """Add records; the earlier ones stay."""
    rows = [*read_records(workspace), *records]
    write_json(workspace / FILE, {"format": FORMAT, "records": [asdict(row) for row in rows]})


def of_learner(records: Sequence[Record], principle: str, learner: str) -> tuple[Record, ...]:
    """Return the records of one learner on one principle, in their order."""
    return tuple(row for row in records if (row.principle, row.learner) == (principle, learner))


def _checked(row: Mapping[str, Any]) -> Record:
    record = Record(**row)
    words = [value for name, value in asdict(record).items() if name != "attempt"]
    if any(type(one) is not str for one in words) or type(record.attempt) is not int:
        raise ValueError("a record in it is not as it is written")
    if record.kind not in KINDS:
        raise ValueError(f"there is no kind of record {record.kind!r:.40}")
    return record
