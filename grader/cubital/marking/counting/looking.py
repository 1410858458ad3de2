"""What looks wrong with hand-ins and waits for somebody to see to it."""

from collections.abc import Mapping

from cubital.handin.results import LATE as LATE_STATE
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.problems import LOOK, Problem
from cubital.marking.counting.due import FILE
from cubital.marking.counting.rule import LATE, Standing
from cubital.marking.counting.standings import dates_of, standings

SHOWN = 8  # characters of an attempt's id
ACCEPT = (
    "It is kept and not counted, which is no mark and no zero. Give an extension by “cubital "
    "cohort due {worksheet} --release {release} --learner {learner} --at DATE”, or let it count by "
    "“cubital cohort choose {worksheet} {learner} {attempt} --reason late-accepted”, and mark."
)


def what_to_do(worksheet: str, found: Standing) -> str:
    """Return what an educator can do where all hand-ins are late."""
    last = [row for row in found.seen if row.whole][-1].attempt
    return ACCEPT.format(
        worksheet=worksheet,
        learner=found.learner,
        release=last.release,
        attempt=last.id[:SHOWN],
    )


def late_only(course: Course, worksheet: str) -> list[Problem]:
    """Return who on the roster has handed in, and nothing in time."""
    roster = course.roster()
    return [
        Problem(learner, learner, LATE_STATE, f"late: {found.why}", what_to_do(worksheet, found))
        for learner, found in standings(course, worksheet).items()
        if found.rule == LATE and learner in roster
    ]


def to_look_at(course: Course, worksheet: str) -> list[Problem]:
    """Return what looks wrong with hand-ins and that nobody has decided on since."""
    roster = course.roster()
    found = standings(course, worksheet)
    rows = [
        Problem(
            f"{learner}, hand-in {row.attempt.id[:SHOWN]}",
            None,
            LOOK,
            flag.words,
            _SEE_TO_IT.format(worksheet=worksheet, learner=learner),
        )
        for learner in roster
        if learner in found
        for row in found[learner].seen
        for flag in found[learner].flags[row.attempt.id]
        if flag.to_look_at
    ]
    return [*rows, *_strangers(course, worksheet, roster)]


_SEE_TO_IT = (
    "Ask the learner which hand-in counts. “cubital cohort hand-ins {worksheet} --learner "
    "{learner}” lists them, and “cubital cohort choose {worksheet} {learner} HAND-IN --reason "
    "looked-into” settles it."
)


def _strangers(course: Course, worksheet: str, roster: Mapping[str, object]) -> list[Problem]:
    dates = dates_of(course, worksheet)
    named = sorted({learner for due in dates.values() for learner in due.extensions} - {*roster})
    return [
        Problem(
            f"{FILE}: {learner}",
            None,
            LOOK,
            f"“{learner}” has an extension for “{worksheet}” and is not on the roster",
            f"Write the id in {FILE} as it is on the roster, or take the line out.",
        )
        for learner in named
    ]
