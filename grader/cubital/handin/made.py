"""The files to hand in that a learner made on this computer, and what was changed since."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from cubital.handin.answers import FILE as ANSWERS_FILE
from cubital.handin.answers import Answers
from cubital.handin.bundle import read_bundle

FOLDER = "handed-in"  # in the learner's folder


@dataclass(frozen=True)
class Made:
    """A file that was made to be handed in: where it lies, when it was made, its answers."""

    path: Path
    at: datetime
    answers: Mapping[str, Any]

    def changed(self, answers: Answers) -> tuple[str, ...]:
        """Return the items that are answered otherwise than in the file."""
        now = {item: entry.answer for item in answers.items if (entry := answers.last(item))}
        return tuple(item for item, answer in now.items() if self.answers.get(item) != answer)


def last_made(folder: Path, learner: str, worksheet: str, release: str) -> Made | None:
    """Return the file that was made last for a release; None if there is none that can be read."""
    for path in sorted(folder.glob(f"{worksheet}_{learner}_*.zip"), reverse=True):
        try:
            bundle = read_bundle(path)
            told = json.loads(bundle.files.get(ANSWERS_FILE, b'{"items": {}}'))["items"]
            answers = {item: rows[-1]["answer"] for item, rows in told.items() if rows}
            at = datetime.fromisoformat(bundle.at)
        except (ValueError, OSError, KeyError, TypeError, AttributeError):
            continue  # not made here, or not whole any more
        if (bundle.learner, bundle.release) == (learner, release):
            return Made(path, at, answers)
    return None
