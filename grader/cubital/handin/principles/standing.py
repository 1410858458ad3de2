"""How a learner stands on a principle: one function, read by feedback, report and overview."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from cubital.handin.objectives import is_right
from cubital.handin.principles.records import (
    DECISION,
    OBSERVED,
    PASSED,
    RETAKE,
    TALK,
    TOLD,
    Record,
)
from cubital.handin.principles.retakes import MOST_ATTEMPTS, critical_ids
from cubital.handin.results import MARKED, SubmissionResult
from cubital.items.principles.course import PRINCIPLES

OPEN = "open"
HELD = "passed"
MISSED = "missed"
TALKED = "talked"
HANDED_OUT = "handed out"
MISSED_AGAIN = "missed again"
WATCHED = "watched"
TO_DECIDE = "to decide"
DECIDED = "decided"
STATES = (OPEN, HELD, MISSED, TALKED, HANDED_OUT, MISSED_AGAIN, WATCHED, TO_DECIDE, DECIDED)

_TO_DO = {
    MISSED: "Talk it through, and record that.",
    TALKED: "Hand out a retake: two new cases of this principle, and a third.",
    MISSED_AGAIN: "Watch them in practice, and record that; then a second retake can be given.",
    WATCHED: "Hand out the second retake.",
    TO_DECIDE: "Decide yourself, and record that.",
}
_TOLD_BEFORE = "The answers of a hand-in made after the feedback are right, and do not count here."


@dataclass(frozen=True)
class Attempt:
    """One attempt at a principle; ``passed`` is None while it is not marked whole.

    ``at`` is when the hand-in says to be made, ``arrived`` when it came. ``told_before`` is whether
    its answers are right and came after the learner had been told what is right: then it stays
    missed.
    """

    number: int
    release: str
    passed: bool | None
    at: str = ""
    told_before: bool = False
    arrived: str = ""


@dataclass(frozen=True)
class Standing:
    """How a learner stands on a principle; ``attempt`` is the one that the state is about."""

    principle: str
    learner: str
    state: str
    attempt: int
    attempts: tuple[Attempt, ...] = ()
    records: tuple[Record, ...] = ()

    @property
    def title(self) -> str:
        """The principle's title."""
        return PRINCIPLES[self.principle].title

    @property
    def rule(self) -> str:
        """What the principle says."""
        return PRINCIPLES[self.principle].rule

    @property
    def passed(self) -> bool:
        """Whether it is passed, by answers or by the educator's decision."""
        return self.state == HELD or (self.state == DECIDED and self._last(DECISION).code == PASSED)

    @property
    def may_retake(self) -> bool:
        """Whether a retake may be handed out now."""
        return self.state in {TALKED, WATCHED}

    @property
    def at_once(self) -> bool:
        """Whether nothing came after the worksheet itself: passed there, or not answered yet."""
        return self.state == OPEN or (self.state == HELD and self.attempt == 1)

    @property
    def in_words(self) -> str:
        """The state in words."""
        if self.state == HELD:
            return "passed" if self.attempt == 1 else f"passed at attempt {self.attempt}"
        if self.state == TALKED:
            return f"missed; talked through on {_day(self._last(TALK))}"
        if self.state == WATCHED:
            return f"missed twice; practice was observed on {_day(self._last(OBSERVED))}"
        if self.state == HANDED_OUT:
            return f"a retake was handed out on {_day(self._last(RETAKE))}, attempt {self.attempt}"
        if self.state == DECIDED:
            record = self._last(DECISION)
            word = "passed" if self.passed else "not passed"
            return f"{word} by the decision of {record.by} on {_day(record)}"
        return {
            OPEN: "not answered and marked yet",
            MISSED: "missed; a talk is due",
            MISSED_AGAIN: "missed at the retake as well; practice has to be observed",
            TO_DECIDE: f"missed at attempt {self.attempt}; the educator decides",
        }[self.state]

    @property
    def told_before(self) -> bool:
        """Whether right answers do not count, since they came after the learner was told."""
        return not self.passed and any(one.told_before for one in self.attempts)

    @property
    def to_do(self) -> str:
        """What the educator does next; empty where nothing is to do, or the learner's turn."""
        return " ".join(filter(None, (_TOLD_BEFORE * self.told_before, _TO_DO.get(self.state, ""))))

    def _last(self, kind: str) -> Record:
        return [row for row in self.records if row.kind == kind][-1]


def since(standings: Iterable[Standing]) -> dict[str, bool]:
    """Return which questions that must be right count otherwise than they are answered.

    True where the principle is passed, at a retake or by decision; False where the answers were
    put right after the learner had been told.
    """
    return {
        key: one.passed
        for one in standings
        if one.passed or one.told_before
        for key in critical_ids(one.principle)
    }


def told_now(found: Standing, number: int, *, by: str, at: str) -> Record | None:
    """Return the record that a learner is told what is right about an attempt that they missed.

    None if it was not missed, or they were told before.
    """
    known = {row.attempt for row in found.records if row.kind == TOLD}
    for one in found.attempts:
        if one.number == number and one.passed is False and number not in known:
            return Record(TOLD, found.principle, found.learner, number, by, at, one.at)
    return None


def attempt_at(result: SubmissionResult, principle: str, number: int) -> Attempt:
    """Return what a submission says of a principle: passed if both that must be right are."""
    rows = {row.item: row for row in result.items}
    decided: bool | None = None
    if result.state == MARKED:
        asked = [rows[key] for key in critical_ids(principle) if key in rows]
        if len(asked) == len(critical_ids(principle)):
            wrong = any(row.points is not None and not is_right(row) for row in asked)
            whole = all(row.points is not None for row in asked)
            decided = False if wrong else True if whole else None
    return Attempt(number, result.release, decided, result.submitted_at, arrived=result.arrived_at)


def standing(
    principle: str, learner: str, attempts: Iterable[Attempt], records: Sequence[Record]
) -> Standing:
    """Return how a learner stands on a principle.

    Both that must be right are right at an attempt: it is passed. Else a talk, then a retake; if
    that is missed too, observed practice, then a second retake; after that the educator decides.
    Answers that came after the learner was told what is right pass nothing, and those to a retake
    that nobody handed out to them count for nothing.

    Parameters
    ----------
    attempts
        Those at the worksheet and at retakes, whether marked or not.
    records
        Those of this learner on this principle, in their order.
    """
    given = {1, *(row.attempt for row in records if row.kind == RETAKE)}
    found = tuple(
        _as_told(one, records)
        for one in sorted(attempts, key=lambda one: one.number)
        if one.number in given
    )
    marked = [one for one in found if one.passed is not None]
    state, number = _state(marked, records)
    return Standing(principle, learner, state, number, found, tuple(records))


def _state(marked: Sequence[Attempt], records: Sequence[Record]) -> tuple[str, int]:
    passed = [one.number for one in marked if one.passed]
    if passed:
        return HELD, passed[0]
    if not marked:
        return OPEN, 1
    number = marked[-1].number
    there = {(row.kind, row.attempt) for row in records}
    if (RETAKE, number + 1) in there and (DECISION, number) not in there:
        return HANDED_OUT, number + 1
    return _missed(number, there), number


def _missed(number: int, there: set[tuple[str, int]]) -> str:
    """Return the state of who missed an attempt and has no other paper."""
    if (DECISION, number) in there:
        return DECIDED
    if number >= MOST_ATTEMPTS:
        return TO_DECIDE
    if number == 1:
        return TALKED if (TALK, 1) in there else MISSED
    return WATCHED if (OBSERVED, number) in there else MISSED_AGAIN


def _as_told(attempt: Attempt, records: Sequence[Record]) -> Attempt:
    """Return an attempt as it counts: missed if its answers came after the learner was told.

    A hand-in can say any time of itself, so that it came after also where it arrived after.
    """
    told = [row for row in records if (row.kind, row.attempt) == (TOLD, attempt.number)]
    if not attempt.passed or not told:
        return attempt
    made_after = _moment(attempt.at) > _moment(told[0].code)
    arrived = _moment(attempt.arrived).replace(microsecond=0)  # a record is to the second
    if made_after or arrived > _moment(told[0].at):
        return replace(attempt, passed=False, told_before=True)
    return attempt


def _moment(at: str) -> datetime:
    """Return a moment; no time comes before all others."""
    return datetime.fromisoformat(at) if at else datetime.min.replace(tzinfo=UTC)


def _day(record: Record) -> str:
    return record.at[:10]
