"""Choose which hand-in of a learner counts, against the rule or to settle what looks wrong."""

import getpass
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from cubital.educator.hand_ins import HandIn, hand_ins
from cubital.educator.workspace import opened
from cubital.marking.counting.choices import BY_RULE, NONE, REASONS, Choice, add_choice
from cubital.marking.counting.standings import standings
from cubital.marking.errors import CourseError

__all__ = ["BY_RULE", "NONE", "REASONS", "Chosen", "choose"]


@dataclass(frozen=True)
class Chosen:
    """The choice as it was recorded, and the hand-in that counts now, if one does, and why."""

    choice: Choice
    counts: HandIn | None
    why: str


def choose(
    workspace: Path,
    worksheet: str,
    learner: str,
    hand_in: str,
    *,
    reason: str,
    by: str = "",
    note: str = "",
    now: datetime | None = None,
) -> Chosen:
    """Let a hand-in of a learner count, none of them, or the one by the rule again.

    It is marked with the next marking. Earlier choices stay on record.

    Parameters
    ----------
    hand_in
        The beginning of a hand-in's id, as it is listed; `NONE`; or `BY_RULE`.
    reason
        One of `REASONS`; ``other`` needs a note.
    by
        Who chooses; the account that this runs under if not given.

    Raises
    ------
    CourseError
        There is no such hand-in, its files are not kept, or the reason is none of the list.
    """
    course = opened(workspace)
    if reason not in REASONS:
        raise CourseError(f"“{reason}” is no reason: choose one of {', '.join(REASONS)}")
    if reason == "other" and not note.strip():
        raise CourseError("the reason “other” needs a note that says it")
    with course.at_work(f"choosing what counts of “{worksheet}”"):
        found = standings(course, course.known(worksheet)).get(learner)
        if found is None:
            raise CourseError(f"“{learner}” has no hand-in of “{worksheet}” that was collected")
        which = hand_in
        if hand_in not in {NONE, BY_RULE}:
            whole = [row for row in found.seen if row.attempt.id.startswith(hand_in.lower())]
            if len(whole) != 1:
                number = "no" if not whole else "more than one"
                raise CourseError(
                    f"{number} hand-in of “{learner}” begins with “{hand_in}”: “cubital cohort "
                    f"hand-ins {worksheet} --learner {learner}” lists them"
                )
            if not whole[0].whole:
                raise CourseError(
                    f"the files of “{hand_in}” are not kept, so that it cannot be marked: put the "
                    "file into the inbox again and collect"
                )
            which = whole[0].attempt.id
        at = (now or datetime.now(UTC)).astimezone(UTC).isoformat(timespec="seconds")
        seen = tuple(row.attempt.id for row in found.seen)
        who = by.strip() or account()
        choice = Choice(worksheet, learner, which, who, at, reason, note.strip(), seen)
        add_choice(course.workspace, choice)
    (now_counts,) = hand_ins(workspace, worksheet, learner=learner).learners
    return Chosen(choice, now_counts.counts, now_counts.why)


def account() -> str:
    """Return the name of the account that this runs under; one without a name raises."""
    try:
        return getpass.getuser()
    except (OSError, KeyError) as error:  # an account without a name
        raise CourseError("say who chooses by --by: this account has no name") from error
