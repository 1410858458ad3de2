"""Mark what was collected."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from cubital.educator.left import Left, unmarked
from cubital.educator.workspace import opened
from cubital.handin.objectives import title_of
from cubital.handin.results import NOT_RUN, REFUSED, SubmissionResult
from cubital.marking.cohort.changed import Changes, changes_since
from cubital.marking.cohort.course import Progress
from cubital.marking.marks import marker


@dataclass(frozen=True)
class OpenItem:
    """A learner's item that was refused, or waits again to be marked by hand."""

    learner: str
    item: str
    title: str
    state: str
    reason: str


@dataclass(frozen=True)
class Marked:
    """What came of marking a worksheet.

    Attributes
    ----------
    results
        The result of each learner on the roster.
    states
        How many learners are in each state, in the order of the roster.
    open_items
        What was refused or waits again.
    waiting
        How many answers wait to be marked by hand.
    described
        The items that learners were asked in the described version, by learner.
    changes
        What was changed in the workspace since the release.
    left
        Who is not marked, and what was not taken.
    """

    results: tuple[SubmissionResult, ...]
    states: Mapping[str, int]
    open_items: tuple[OpenItem, ...]
    waiting: int
    described: Mapping[str, tuple[str, ...]]
    changes: Changes
    left: tuple[Left, ...]


def mark(
    workspace: Path,
    worksheet: str,
    *,
    ran: Progress | None = None,
    progress: Progress | None = None,
    unprotected: bool = False,
) -> Marked:
    """Mark all hand-ins of a worksheet.

    ``ran`` is called after each hand-in whose code cells have run, and ``progress`` after each
    whose marks are written: with how many are, of how many, and whose it was. ``unprotected``
    runs learners' code without a sandbox, with the rights of whoever marks; each result says so.

    Raises
    ------
    CourseError
        Somebody else is at work there, or a file of the workspace changed while cells ran
        unprotected.
    """
    course = opened(workspace)
    results = marker.mark(course, worksheet, progress=progress, ran=ran, unprotected=unprotected)
    return Marked(
        results=tuple(results),
        states=Counter(result.state for result in results),
        open_items=_open_items(results),
        waiting=sum(
            row.points is None and row.outcome != NOT_RUN
            for result in results
            for row in result.items
        ),
        described=_described(results),
        changes=changes_since(course, worksheet),
        left=unmarked(course, worksheet, results),
    )


def _open_items(results: Sequence[SubmissionResult]) -> tuple[OpenItem, ...]:
    return tuple(
        OpenItem(result.learner, row.item, title_of(row.item), row.state, row.reason)
        for result in results
        for row in result.items
        if row.earlier is not None or (row.outcome == REFUSED and not row.manual)
    )


def _described(results: Sequence[SubmissionResult]) -> dict[str, tuple[str, ...]]:
    asked = {
        result.learner: tuple(row.item for row in result.items if row.described)
        for result in results
    }
    return {learner: items for learner, items in asked.items() if items}
