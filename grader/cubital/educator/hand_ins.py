"""List all hand-ins, with the one of each learner that counts and why."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cubital.educator.workspace import opened
from cubital.marking.counting.looking import SHOWN
from cubital.marking.counting.rule import Standing
from cubital.marking.counting.standings import standings
from cubital.marking.errors import CourseError
from cubital.records.report import IDENTITY


@dataclass(frozen=True)
class HandIn:
    """One hand-in as it is listed.

    ``attempt`` is the number of the attempt that its papers are for, None if its release is not
    known; ``state`` what was decided of it, empty if it was never marked; ``flags`` what looks
    wrong with it.
    """

    hand_in: str
    release: str
    attempt: int | None
    said: datetime | None
    arrived: datetime
    state: str
    counts: bool
    flags: tuple[str, ...]


@dataclass(frozen=True)
class OfLearner:
    """The hand-ins of one learner to one worksheet, in their order, and why one or none counts."""

    worksheet: str
    learner: str
    why: str
    hand_ins: tuple[HandIn, ...]

    @property
    def counts(self) -> HandIn | None:
        """The one that counts."""
        return next((row for row in self.hand_ins if row.counts), None)


@dataclass(frozen=True)
class Listed:
    """All hand-ins that were asked for, and what identity and time rest on."""

    learners: tuple[OfLearner, ...]
    identity: str = IDENTITY


def hand_ins(workspace: Path, worksheet: str = "", *, learner: str = "") -> Listed:
    """List the hand-ins to a worksheet, or to all; of one learner, or of all.

    Raises
    ------
    CourseError
        There is no such worksheet, or nothing is known of the learner.
    """
    course = opened(workspace)
    sheets = [course.known(worksheet)] if worksheet else course.worksheets()
    found = [
        _of_learner(sheet, of_learner)
        for sheet in sheets
        for of_learner in standings(course, sheet).values()
        if learner in {"", of_learner.learner}
    ]
    if learner and not found and learner not in course.roster():
        raise CourseError(f"“{learner}” is not on the roster and has handed in nothing")
    return Listed(tuple(found))


def _of_learner(worksheet: str, found: Standing) -> OfLearner:
    rows: Mapping[str, tuple[str, ...]] = {
        key: tuple(flag.words for flag in flags) for key, flags in found.flags.items()
    }
    return OfLearner(
        worksheet,
        found.learner,
        found.why,
        tuple(
            HandIn(
                row.attempt.id[:SHOWN],
                row.attempt.release,
                row.attempt.number,
                row.said,
                row.arrived,
                row.state,
                row == found.counts,
                rows[row.attempt.id],
            )
            for row in found.seen
        ),
    )
