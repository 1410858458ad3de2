"""What an educator chose: which hand-in of a learner counts, by whom, when and for what reason.

``choices.json`` in the workspace is only added to; of a learner's choices at a worksheet the last
one is in force.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from cubital.handin.files import read_log, write_json
from cubital.marking.errors import CourseError

FILE = "choices.json"
FORMAT = "cubital-choices/1"
BY_RULE, NONE = "rule", "none"  # in the place of a hand-in
REASONS: Mapping[str, str] = {
    "late-accepted": "it came late for a reason that is accepted",
    "wrong-file": "the other one was handed in by mistake",
    "wrong-clock": "a clock was wrong",
    "learner-asked": "the learner asked for it before anything was marked",
    "cannot-be-marked": "the other one cannot be marked",
    "not-theirs": "a hand-in is not the learner's own",
    "looked-into": "what looked wrong was looked into, and this one is right",
    "taken-back": "an earlier choice is taken back",
    "other": "as the note says",
}


@dataclass(frozen=True)
class Choice:
    """One choice: the attempt's id, `NONE` or `BY_RULE`, and the attempts that were there then."""

    worksheet: str
    learner: str
    attempt: str
    by: str
    at: str
    reason: str
    note: str = ""
    seen: tuple[str, ...] = ()

    @property
    def why(self) -> str:
        """The reason, with its note."""
        return f"{self.reason}: {self.note or REASONS.get(self.reason, '')}"


def read_choices(workspace: Path) -> list[Choice]:
    """Return all choices in their order.

    Raises
    ------
    CourseError
        The file cannot be read, or holds something else.
    """
    try:
        return read_log(
            workspace / FILE,
            "choices",
            _checked,
            form=FORMAT,
            lost="all hand-ins count by date again",
        )
    except ValueError as error:
        raise CourseError(str(error)) from error


def in_force(workspace: Path, worksheet: str) -> dict[str, Choice]:
    """Return the choice that is in force for each learner of a worksheet."""
    last = {row.learner: row for row in read_choices(workspace) if row.worksheet == worksheet}
    return {learner: row for learner, row in last.items() if row.attempt != BY_RULE}


def add_choice(workspace: Path, choice: Choice) -> None:
    """Add a choice; the earlier ones stay."""
    rows = [*read_choices(workspace), choice]
    write_json(workspace / FILE, {"format": FORMAT, "choices": [asdict(row) for row in rows]})


def _checked(row: Any) -> Choice:
    choice = Choice(**row | {"seen": tuple(row["seen"])})
    if any(type(part) is not str for part in (*list(asdict(choice).values())[:-1], *choice.seen)):
        raise ValueError("a choice in it is not in words")
    return choice
