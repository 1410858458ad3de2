"""Which of a learner's hand-ins to a worksheet counts, by which rule, and what looks wrong.

The rule goes by the time that a hand-in says, since hand-ins are collected long after they were
made. It is the learner's claim, so it is taken for no later than the hand-in's arrival here: a
clock that runs ahead gains nothing by it over what comes later. What arrived after its learner had
been given feedback, which says what is right, does not count by itself, whatever time it says.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from cubital.marking.counting.choices import NONE, Choice
from cubital.marking.counting.due import Dates, in_words
from cubital.marking.marks.attempts import Attempt

CHOSEN = "choice"
IN_TIME = "due date"
LAST = "last"
NOBODYS = ""  # no hand-in counts
FAST = timedelta(hours=1)  # how fast a clock may be before it is named

LATE = "late"
AHEAD = "dated ahead"
BEFORE_RELEASE = "dated before the release"
PASSED_OVER = "passed over"
NOT_THERE = "not there earlier"
AFTER_FEEDBACK = "after the feedback"
AFTER_CHOICE = "after the choice"
NOT_KEPT = "files not kept"
NO_DATE = "no date"


@dataclass(frozen=True)
class Seen:
    """A hand-in that was seen: when it arrived here, its state, whether its files are kept.

    ``shown`` tells whether report and feedback read its result now.
    """

    attempt: Attempt
    arrived: datetime
    kept: bool = True
    state: str = ""
    shown: bool = False

    @property
    def said(self) -> datetime | None:
        """The time that it says, in UTC."""
        return datetime.fromisoformat(self.attempt.said_at) if self.attempt.said_at else None

    @property
    def at(self) -> datetime:
        """The time that the rule goes by."""
        return self.arrived if self.said is None else min(self.said, self.arrived)

    @property
    def order(self) -> tuple[bool, datetime, datetime, str, str]:
        """What hand-ins are put in order by; one that says no time comes before all that do."""
        said = self.attempt.said_at
        return (bool(said), self.at, self.arrived, said, self.attempt.id)

    @property
    def whole(self) -> bool:
        """Whether it can count: its files could be read, and are kept."""
        return bool(self.attempt.sha256) and self.kept


@dataclass(frozen=True)
class Flag:
    """What looks wrong with a hand-in; ``to_look_at`` if somebody has to see to it."""

    code: str
    words: str
    to_look_at: bool = False


@dataclass(frozen=True)
class Standing:
    """A learner's hand-ins to a worksheet in their order, and the one that counts.

    ``rule`` is `CHOSEN`, `IN_TIME` or `LAST`, and `LATE` where all are late, so that none counts;
    ``why`` says it in words. ``flags`` are by the attempt's id.
    """

    learner: str
    seen: tuple[Seen, ...] = ()
    counts: Seen | None = None
    rule: str = NOBODYS
    why: str = ""
    flags: Mapping[str, tuple[Flag, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class Basis:
    """What it is decided by which hand-in counts, and what looks wrong.

    Attributes
    ----------
    dates
        The due dates of the worksheet's releases.
    choice
        The educator's choice that is in force for the learner.
    made
        When each release was made, where that is known.
    collectings
        When hand-ins of anybody were collected, or put by hand where they are marked.
    told
        When the learner was first given feedback, by the release that it was on.
    """

    dates: Dates = field(default_factory=dict)
    choice: Choice | None = None
    made: Mapping[str, datetime] = field(default_factory=dict)
    collectings: Sequence[datetime] = ()
    told: Mapping[str, datetime] = field(default_factory=dict)

    def due(self, row: Seen) -> datetime | None:
        """Return when a hand-in was due; None if its release has no due date."""
        due = self.dates.get(row.attempt.release)
        return None if due is None else due.of(row.attempt.learner)

    def late(self, row: Seen) -> bool:
        """Tell whether a hand-in came after it was due."""
        due = self.due(row)
        return due is not None and row.at > due

    def told_before(self, row: Seen) -> bool:
        """Tell whether a hand-in came after its learner was told what is right in its release."""
        told = self.told.get(row.attempt.release)
        return told is not None and row.arrived > told

    def new(self, row: Seen) -> bool:
        """Tell whether the educator has chosen nothing since a hand-in came."""
        return self.choice is None or row.attempt.id not in self.choice.seen


def standing(learner: str, seen: Iterable[Seen], by: Basis) -> Standing:
    """Decide which of a learner's hand-ins counts."""
    rows = tuple(sorted(seen, key=lambda row: row.order))
    counts, rule, why = _which(learner, rows, by)
    flags = {row.attempt.id: tuple(_flags(row, counts, by)) for row in rows}
    return Standing(learner, rows, counts, rule, why, flags)


def _which(learner: str, rows: Sequence[Seen], by: Basis) -> tuple[Seen | None, str, str]:
    whole = [row for row in rows if row.whole]
    if by.choice is None:
        return _by_rule(learner, whole, by)
    chose = f"{by.choice.by} chose on {by.choice.at[:10]}"
    if by.choice.attempt == NONE:
        return None, CHOSEN, f"{chose} that none counts ({by.choice.why})"
    for row in whole:
        if row.attempt.id == by.choice.attempt:
            return row, CHOSEN, f"{chose} that it counts ({by.choice.why})"
    counts, rule, why = _by_rule(learner, whole, by)
    return counts, rule, f"{why}; what {by.choice.by} chose is not kept any more".lstrip("; ")


def _by_rule(learner: str, whole: Sequence[Seen], by: Basis) -> tuple[Seen | None, str, str]:
    untold = [row for row in whole if not by.told_before(row)]
    before = "" if untold == whole else " before the feedback"
    for row in reversed(untold):
        if by.late(row):
            continue
        due = by.due(row)
        if due is None:
            return row, LAST, f"{_of(f'the last{before}', whole)}; no due date is set"
        extended = " by extension" if learner in by.dates[row.attempt.release].extensions else ""
        which = _of(f"the last in time{before}", whole)
        return row, IN_TIME, f"{which}; due{extended} {in_words(due)}"
    if not untold:
        return None, NOBODYS, "what is kept came after the feedback" if whole else ""
    whole = untold
    due = by.due(whole[-1]) or whole[-1].at
    which = "the only hand-in" if len(whole) == 1 else f"the last of {len(whole)} hand-ins"
    said = in_words(whole[-1].at.astimezone(due.tzinfo))
    return None, LATE, f"{which} is of {said}, and was due {in_words(due)}"


def _of(which: str, all_of: Sequence[Seen]) -> str:
    return "the only one" if len(all_of) == 1 else f"{which} of {len(all_of)}"


def _flags(row: Seen, counts: Seen | None, by: Basis) -> Iterator[Flag]:
    if not row.attempt.sha256:  # it could not be read, which its state tells
        return
    due = by.due(row)
    if due is not None and by.late(row):
        yield Flag(LATE, f"late: it was due {in_words(due)}")
    yield from _of_its_time(row, by)
    if by.told_before(row) and row != counts:
        told = in_words(by.told[row.attempt.release])
        words = f"it came after the feedback of {told}, which says what is right"
        yield Flag(AFTER_FEEDBACK, f"{words}, and does not count by itself", by.new(row))
    elif by.choice is not None and by.new(row):
        words = f"it came after {by.choice.by} chose what counts, and does not count by itself"
        yield Flag(AFTER_CHOICE, words, to_look_at=True)
    elif counts is not None and by.choice is None and _passed_over(row, counts):
        words = (
            f"dated {in_words(row.at)}, and passed over: one of {in_words(counts.at)} was "
            "collected before it came"
        )
        yield Flag(PASSED_OVER, words, to_look_at=True)
    if not row.kept:
        words = "its files are not kept: put the file into the inbox again and collect"
        yield Flag(NOT_KEPT, words, to_look_at=by.new(row) and _would_count(row, counts, by))


def _would_count(row: Seen, counts: Seen | None, by: Basis) -> bool:
    """Tell whether a hand-in whose files are gone would count by date if they were there."""
    if by.late(row) or by.told_before(row):
        return False
    return counts is None or row.order > counts.order


def _passed_over(row: Seen, counts: Seen) -> bool:
    """Tell whether a hand-in came after the one that counts, and is dated before it."""
    return row.order < counts.order and row.arrived > counts.arrived


def _of_its_time(row: Seen, by: Basis) -> Iterator[Flag]:
    """Name what does not fit in the time that a hand-in says."""
    said, made, due = row.said, by.made.get(row.attempt.release), by.due(row)
    if said is None:
        yield Flag(NO_DATE, f"it says no time; it arrived {in_words(row.arrived)}")
        return
    if said > row.arrived + FAST:
        words = f"dated {in_words(said)}, which is after it arrived, {in_words(row.arrived)}"
        yield Flag(AHEAD, words, to_look_at=by.new(row))
    if made is not None and said < made - FAST:
        words = f"dated {in_words(said)}, before its release was made, {in_words(made)}"
        yield Flag(BEFORE_RELEASE, words, to_look_at=by.new(row))
    before = [at for at in by.collectings if at < row.arrived]
    missed = [at for at in before if due is not None and said <= due < at]
    earlier = [at for at in before if said + FAST < at]
    if missed or earlier:
        words = (
            f"dated {in_words(said)}, and it was not there yet when hand-ins were collected, "
            f"{in_words((missed or earlier)[0])}"
        )
        yield Flag(NOT_THERE, words, to_look_at=bool(missed) and by.new(row))
