"""Hand out a retake of a principle, and say how learners stand on principles."""

from dataclasses import dataclass
from pathlib import Path

from cubital.educator.choose import account
from cubital.educator.second_chance.recording import moment, standing_of
from cubital.educator.workspace import opened
from cubital.handin.principles.records import RETAKE, Record, add_records
from cubital.handin.principles.retakes import worksheet_name
from cubital.handin.principles.standing import HANDED_OUT, Standing
from cubital.marking.cohort.retaking import make_retake
from cubital.marking.errors import CourseError
from cubital.marking.marks.principles import principle_standings


@dataclass(frozen=True)
class Retake:
    """The file to give to the learner, and the worksheet by which it is collected and marked."""

    handout: Path
    worksheet: str
    attempt: int
    standing: Standing


def retake(workspace: Path, principle: str, learner: str, *, by: str = "") -> Retake:
    """Make the file of a retake: two new cases of a principle, and one without its trigger.

    Asked for again before it is marked, it makes the same file anew.

    Raises
    ------
    CourseError
        No retake is due: a talk, or observed practice, is not recorded yet, or the educator
        decides. Or no case is left that the learner was never asked.
    """
    course = opened(workspace)
    with course.at_work(f"making a retake of “{principle}”"):
        before = standing_of(course, principle, learner)
        if not before.may_retake and before.state != HANDED_OUT:
            raise CourseError(
                f"no retake of “{principle}” is due for “{learner}”: {before.in_words}. "
                f"{before.to_do}".strip()
            )
        attempt = before.attempt + (before.state != HANDED_OUT)
        path = make_retake(course, principle, learner, attempt)
        if before.state != HANDED_OUT:
            who = by.strip() or account()
            record = Record(RETAKE, principle, learner, attempt, who, moment())
            add_records(course.workspace, [record])
        after = standing_of(course, principle, learner)
    return Retake(path, worksheet_name(principle, attempt), attempt, after)


def standings(workspace: Path, worksheet: str, *, learner: str = "") -> tuple[Standing, ...]:
    """Return how learners stand on the principles of a worksheet, in the roster's order.

    Raises
    ------
    CourseError
        There is no such worksheet, or what is recorded cannot be read.
    """
    course = opened(workspace)
    found = principle_standings(course, course.known(worksheet))
    if learner and learner not in found:
        raise CourseError(f"“{learner}” is not on the roster: write the id as it stands there")
    return tuple(one for who, rows in found.items() if learner in {"", who} for one in rows)
