"""What looks wrong with hand-ins and waits for somebody to see to it."""

from collections.abc import Mapping

from cubital.handin.results import LATE as LATE_STATE
from cubital.marking.cohort.course import Course
from cubital.marking.cohort.problems import LOOK, Problem, command
from cubital.marking.counting.answered import given_out
from cubital.marking.counting.due import FILE
from cubital.marking.counting.rule import LATE, NOT_KEPT, Standing
from cubital.marking.counting.standings import dates_of, standings

SHOWN = 8  # characters of an attempt's id
ACCEPT = (
    "It is kept and not counted, which is no mark and no zero. Give an extension by {due}, or let "
    "it count by {choose}, and mark."
)


def what_to_do(course: Course, worksheet: str, found: Standing) -> str:
    """Return what an educator can do where all hand-ins are late."""
    last = [row for row in found.seen if row.whole][-1].attempt
    known = last.release in course.releases(worksheet)
    release = last.release if known else given_out(course, worksheet)
    whose = ("--release", release, "--learner", found.learner, "--at", "DATE")
    which = (found.learner, last.id[:SHOWN], "--reason", "late-accepted")
    return ACCEPT.format(
        due=command(course, "due", worksheet, *whose),
        choose=command(course, "choose", worksheet, *which),
    )


def late_only(course: Course, worksheet: str) -> list[Problem]:
    """Return who on the roster has handed in, and nothing in time."""
    roster = course.roster()
    return [
        Problem(
            learner, learner, LATE_STATE, f"late: {found.why}", what_to_do(course, worksheet, found)
        )
        for learner, found in standings(course, worksheet).items()
        if found.rule == LATE and learner in roster
    ]


def odd(
    course: Course, worksheet: str, found: Mapping[str, Standing] | None = None
) -> list[Problem]:
    """Return whose result is to be replaced, and what looks wrong with hand-ins.

    ``found`` is how the hand-ins stand, if that was read already.
    """
    found = standings(course, worksheet) if found is None else found
    return [*to_mark_again(course, worksheet, found), *to_look_at(course, worksheet, found)]


def to_look_at(
    course: Course, worksheet: str, found: Mapping[str, Standing] | None = None
) -> list[Problem]:
    """Return what looks wrong with hand-ins and that nobody has decided on since."""
    roster = course.roster()
    found = standings(course, worksheet) if found is None else found
    rows = [
        Problem(
            f"{learner}, hand-in {row.attempt.id[:SHOWN]}",
            None,
            LOOK,
            flag.words,
            _SEE_TO_IT.format(**commands_that_settle(course, worksheet, learner)),
        )
        for learner in roster
        if learner in found
        for row in found[learner].seen
        for flag in found[learner].flags[row.attempt.id]
        if flag.to_look_at
    ]
    return [*rows, *_strangers(course, worksheet, roster)]


def to_mark_again(
    course: Course, worksheet: str, found: Mapping[str, Standing] | None = None
) -> list[Problem]:
    """Return whose result is of a hand-in that does not count now, so that it is to be replaced.

    A due date, an extension, a choice or what was collected can have changed since the marking.
    """
    found = standings(course, worksheet) if found is None else found
    again = command(course, "mark", worksheet)
    return [
        Problem(learner, None, LOOK, _BEFORE.format(why=found[learner].why), f"Mark again: {again}")
        for learner in course.roster()
        if learner in found and _shown_and_counts_not(found[learner])
    ]


_BEFORE = (
    "what is shown was marked before something changed, and is not of the hand-in that counts now "
    "({why})"
)


def _shown_and_counts_not(found: Standing) -> bool:
    """Tell whether marking again would take another hand-in than the one whose result is shown."""
    return any(
        row.shown
        and row.attempt.sha256  # else it lies there and cannot be read, which its state tells
        and row != found.counts
        and not any(flag.code == NOT_KEPT for flag in found.flags[row.attempt.id])
        for row in found.seen
    )


_SEE_TO_IT = (
    "Ask the learner which hand-in counts. {listing} lists them, and {choosing} settles it."
)


def commands_that_settle(course: Course, worksheet: str, learner: str) -> dict[str, str]:
    """Return the commands that list a learner's hand-ins and settle which one counts."""
    which = (learner, "HAND-IN", "--reason", "looked-into")
    return {
        "listing": command(course, "hand-ins", worksheet, "--learner", learner),
        "choosing": command(course, "choose", worksheet, *which),
    }


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
