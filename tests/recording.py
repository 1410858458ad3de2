"""What a test of a named case saw, kept for the table of cases that ``.ci/marking_cases.py`` makes.

A case is a hand-in, or something that happens while hand-ins are marked, with the state and the
points that are due. A test that takes the fixture ``recorder`` is one case: it records there what
it saw before it asserts anything, so that the table also holds what is wrong.
"""

import json
import re
from dataclasses import asdict, dataclass, field
from pathlib import Path

ACCOUNT = re.compile(r"-?uid-(\d+)-?")  # in a test's id: who marks
_MOST_WORDS = 240  # of a message in the table
# What differs from run to run, and the words for it.
_VARIES = (
    (re.compile(r"(?:/private)?/tmp/[^\s:,“”]*?(?=/(?:workspace|w|among|submitted)\b)"), "…"),
    (re.compile(r"/tmp/[^\s:,“”]*"), "…"),
    (re.compile(r"\d{4}-\d\d-\d\dT[\d:.]+\+00:00"), "TIME"),
    (re.compile(r"process \d+ on [^\s)]+"), "process N on HOST"),
)


@dataclass(frozen=True)
class Told:
    """A state and points, due or seen; ``points`` is None where no mark is given."""

    state: str
    points: float | None
    message: str = ""


@dataclass
class Recorder:
    """Takes what the test of one case saw."""

    test: str
    rows: list[dict[str, object]] = field(default_factory=list)

    def saw(
        self, does: str, due: Told, seen: Told, *, most: float | None = None, honest: bool = False
    ) -> None:
        """Record what is done, what is due for it, and what was seen.

        Parameters
        ----------
        does
            What a learner or an attacker does, or what happens.
        due
            The state, and the points that the work in the hand-in is worth.
        most
            The points that there are: of the item, or of the hand-in.
        honest
            Whether the hand-in is honest work: then fewer points than due are a false fail.
        """
        account = ACCOUNT.search(self.test)
        seen = Told(seen.state, seen.points, words(seen.message))
        self.rows.append(
            {
                "test": of_any_account(self.test),
                "as": account[1] if account else "",
                "does": does,
                "due": asdict(due),
                "seen": asdict(seen),
                "most": most,
                "honest": honest,
            }
        )

    def write(self, path: Path) -> None:
        """Add the rows to a file, a line of JSON each."""
        with path.open("a", encoding="utf-8") as file:
            file.writelines(json.dumps(row, ensure_ascii=False) + "\n" for row in self.rows)


def of_any_account(test: str) -> str:
    """Return a test's id without who marks in it: that is one case."""
    return ACCOUNT.sub("", test).removesuffix("[]")


def words(message: str) -> str:
    """Return a message on one line, without what differs from run to run."""
    message = " ".join(message.split())
    for pattern, said in _VARIES:
        message = pattern.sub(said, message)
    return message if len(message) <= _MOST_WORDS else f"{message[:_MOST_WORDS]} …"
