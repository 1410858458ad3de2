"""What a learner's marks say about each objective: knowledge only, never competence.

The rule is below whatever tells it: the cohort's report, and the page that a learner gets back.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isclose
from pathlib import Path
from types import MappingProxyType

from cubital import items
from cubital.handin.principles.retakes import is_retake, objective_of
from cubital.handin.released.bank import read_bank
from cubital.handin.released.release import Release
from cubital.handin.results import MARKED, ItemResult, SubmissionResult
from cubital.tables import Curriculum, Objective

SHOWN = "shown"
TO_WORK_ON = "to work on"
WAITING = "waiting"
NO_EVIDENCE = "no evidence"
STATES = (SHOWN, TO_WORK_ON, WAITING, NO_EVIDENCE)

COMPETENCE = "not assessed here"
COMPETENCE_NOTE = (
    "Marks show knowledge. Competence is not assessed here: only a named assessor sets it, from "
    "practice that they observed."
)


@dataclass(frozen=True)
class Knowledge:
    """One objective's state for one learner, why, and the day that the evidence dates from."""

    learner: str
    objective: Objective
    state: str
    reason: str
    points: float = 0.0
    max_points: float = 0.0
    critical_wrong: tuple[str, ...] = ()
    at: str = ""
    competence: str = COMPETENCE


def is_right(row: ItemResult) -> bool:
    """Tell whether an item was answered in full; a hand mark counts over the computed one."""
    if row.points is None:
        return False
    if row.max_points > 0:
        return reaches(row.points, row.max_points)
    return row.outcome == "right"


def knowledge(
    result: SubmissionResult, objective: Objective, since: Mapping[str, bool] = MappingProxyType({})
) -> Knowledge:
    """Say what one submission shows of an objective; it decides nothing, see `passing`.

    Shown: the share of the points of the objective's items reaches the pass share, and every
    critical item is right. A critical item that is wrong is to be worked on, whatever the share.
    ``since`` says which count as right, or wrong, by how the learner stands on their principle.
    Waiting: a hand mark is open that can still decide. No evidence: the submission is not
    marked, lacks an item of the objective, or every item of it was switched off.
    """
    if result.state != MARKED:
        words = result.state.replace("_", " ")
        return Knowledge(result.learner, objective, NO_EVIDENCE, f"submission is {words}")
    left = objective.left
    rows = {row.item: row for row in result.items if row.item in left}
    points = sum(row.points or 0.0 for row in rows.values())
    full = sum(row.max_points for row in rows.values())
    wrong = tuple(
        key
        for key in objective.critical
        if key in rows and rows[key].points is not None and not since.get(key, is_right(rows[key]))
    )
    state, reason = _decide(objective, rows, points, full, wrong)
    return Knowledge(
        result.learner, objective, state, reason, points, full, wrong, result.submitted_at
    )


def _decide(
    objective: Objective,
    rows: dict[str, ItemResult],
    points: float,
    full: float,
    wrong: tuple[str, ...],
) -> tuple[str, str]:
    if wrong:
        titles = ", ".join(map(title_of, wrong))
        return TO_WORK_ON, f"must be right, and is not yet: {titles}"
    off = ", ".join(map(title_of, objective.off))
    off += f" ({objective.off_reason})" if objective.off_reason else ""
    if not objective.left:
        return NO_EVIDENCE, f"switched off in this release: {off}"
    absent = [key for key in objective.left if key not in rows]
    if absent:
        return NO_EVIDENCE, "not among the items marked: " + ", ".join(map(title_of, absent))
    needed = objective.pass_share * full
    open_rows = [row for row in rows.values() if row.points is None]
    if not reaches(points + sum(row.max_points for row in open_rows), needed):
        return TO_WORK_ON, f"{points:g} of {full:g} points, {needed:.3g} needed"
    open_critical = any(row.item in objective.critical for row in open_rows)
    if open_critical or not reaches(points, needed):
        titles = ", ".join(title_of(row.item) for row in open_rows)
        return WAITING, f"waits to be marked by hand: {titles}"
    without = f"; switched off in this release: {off}" if off else ""
    return SHOWN, f"{points:g} of {full:g} points, {needed:.3g} needed{without}"


def knowledge_of(
    result: SubmissionResult,
    objectives: tuple[Objective, ...],
    since: Mapping[str, bool] = MappingProxyType({}),
) -> tuple[Knowledge, ...]:
    """Say what one submission shows of each objective; ``since`` as `knowledge` takes it."""
    return tuple(knowledge(result, objective, since) for objective in objectives)


def together(rows: Iterable[Knowledge]) -> str:
    """Return what the objectives of one submission come to.

    Shown: all of them are. One to work on comes before one that waits, and one without evidence
    leaves open what the others do not say. One that a release asks nothing of is left out.
    """
    states = {row.state for row in rows if row.objective.left}
    for state in (TO_WORK_ON, WAITING, NO_EVIDENCE, SHOWN):
        if state in states:
            return state
    return NO_EVIDENCE


def rule_of(workspace: Path, release: Release) -> tuple[Objective, ...]:
    """Return the objectives of a release as a workspace judges them, with today's pass shares.

    Raises
    ------
    ValueError
        The workspace's own rule cannot be used; the text says what to mend.
    """
    if is_retake(release.worksheet):
        return (objective_of(release.worksheet),)
    bank = read_bank(workspace, drafts=False)
    return objectives_of(bank.curriculum(release), tuple(release.items))


def objectives_of(curriculum: Curriculum, item_ids: tuple[str, ...]) -> tuple[Objective, ...]:
    """Return the objectives that any of these items gives evidence for, in teaching order.

    One whose items are all off stays among those of its worksheet, so that its lack is seen.
    """
    asked = set(item_ids)
    beside = {
        item.id
        for listed in items.WORKSHEETS.values()
        if asked & {item.id for item in listed}
        for item in listed
    }
    return tuple(
        row
        for row in curriculum.objectives
        if asked & set(row.items) or (row.off and not row.left and beside & set(row.items))
    )


def title_of(item_id: str) -> str:
    """Return an item's title, or its id where this course no longer has it."""
    try:
        return items.find(item_id).title
    except ValueError:
        return item_id


def reaches(points: float, needed: float) -> bool:
    """Tell whether points are as many as needed, in spite of rounding."""
    return points > needed or isclose(points, needed, rel_tol=1e-9, abs_tol=1e-9)
