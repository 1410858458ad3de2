"""A place where a learner's cells run: a job goes in, and plain data comes out.

A job is ``{"cells": [{"source", "item"}, ...], "cases": {item: [inputs, ...]}}``; see
`executing.run_cells`.
"""

import json
import sys
from collections.abc import Mapping
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from typing import Any, Protocol

LARGEST_ANSWERS = 100_000  # bytes of one hand-in; four numbers and their names need some 200
CELLS_RUN = sys.platform == "linux"  # whose kernel keeps them apart
Job = Mapping[str, Any]


class RunnerError(RuntimeError):
    """The process that runs cells could not do its work, through no fault of the learner."""


class NotRunError(RuntimeError):
    """Cells cannot be run on this system; ``action`` says what to do."""

    def __init__(self, reason: str, action: str) -> None:
        super().__init__(reason)
        self.reason, self.action = reason, action


@dataclass(frozen=True)
class Ran:
    """How a job ended: what it answered, None if that was too much, and how its process ended."""

    answers: bytes | None
    code: int
    timed_out: bool

    def rows(self) -> list[Any]:
        """Return the lines of the answers; what is too large or no JSON is one odd row."""
        if self.answers is None:
            return [None]
        try:
            return [json.loads(line) for line in self.answers.decode().splitlines()]
        except (ValueError, RecursionError):
            return [None]


class Place(Protocol):
    """Where cells run. ``note`` is what the result of an item says of it."""

    @property
    def note(self) -> str: ...

    def guarded(self, learner: str) -> AbstractContextManager[None]:
        """Watch over what a learner's cells could reach, while they run."""

    def run(self, learner: str, job: Job, seconds: float) -> Ran:
        """Run a job for some time at most; see `NotRunError` and `RunnerError`."""

    def stop(self) -> None:
        """End all that runs, and begin nothing any more."""


class Nowhere:
    """Where no cells run: on every system but Linux."""

    note = ""

    def __enter__(self) -> "Nowhere":
        return self

    def __exit__(self, *_error: object) -> None:
        """There is nothing to end."""

    def guarded(self, learner: str) -> AbstractContextManager[None]:
        """Watch nothing: nothing runs."""
        return nullcontext()

    def run(self, learner: str, job: Job, seconds: float) -> Ran:
        """Raise NotRunError."""
        raise NotRunError(
            "learners' code runs on Linux alone, whose kernel keeps it apart, and this computer "
            "has another system",
            "Mark this workspace, or a copy of it, on a Linux with bubblewrap, or mark the answer "
            "by hand.",
        )

    def stop(self) -> None:
        """There is nothing to end."""
