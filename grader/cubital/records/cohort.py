"""All that a cohort's results say, as data: learners, objectives, items and who needs attention."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from cubital import tables
from cubital.handin import passing
from cubital.handin.objectives import Knowledge, is_right, knowledge_of, objectives_of, title_of
from cubital.handin.passing import Decision
from cubital.handin.principles.retakes import critical_ids
from cubital.handin.principles.standing import Standing as PrincipleStanding
from cubital.handin.principles.standing import since
from cubital.handin.results import (
    HELD,
    LATE,
    MARKED,
    MISSING,
    REFUSED,
    STATES,
    SYSTEM_ERROR,
    UNREADABLE,
    ItemResult,
    SubmissionResult,
)
from cubital.handin.standard import Standard, standard_of
from cubital.items import Item
from cubital.records.calibration import Level, calibration
from cubital.records.recognition import Recognition, recognition
from cubital.records.statistics import (
    ItemStatistics,
    SlipCount,
    find,
    item_order,
    item_statistics,
    mended_by,
    misconception,
    slip_counts,
)
from cubital.records.sums import Options, Sums, not_reached, options_of, sums_of
from cubital.tables import Curriculum, Objective

SURE = 0.75  # from so sure on, a wrong answer to a critical item is talked about first
HALF_DONE = 0.5  # from this share of blank items a learner is asked about

_ORDER = (SYSTEM_ERROR, UNREADABLE, HELD, LATE, MISSING)
_WHY = {
    SYSTEM_ERROR: "Marking failed; the fault is not the learner's.",
    UNREADABLE: "The submission cannot be read.",
    HELD: "The submission was set aside.",
    LATE: "Every hand-in came after it was due, so none counts.",
    MISSING: "Nothing was handed in.",
}
_WHAT_TO_DO = {
    SYSTEM_ERROR: "Mark again; if it fails again, report the fault with this reason.",
    UNREADABLE: "Ask the learner to hand in again.",
    HELD: "Settle whose answers these are, then mark again.",
    LATE: "Give an extension, or let one count all the same, then mark again.",
    MISSING: "Ask whether they need help or more time. No mark is given until they hand in.",
}
_MARK_IT = (
    "Mark it in nbgrader's form grader by the item's mark scheme, then make this report again."
)
_SAME_POINTS = "There the button “Resolve” gives the points of before."


class Problem(NamedTuple):
    """Something that stopped the marker and belongs to no learner on the roster."""

    what: str
    reason: str
    action: str = "Look into it, then mark again."


@dataclass(frozen=True)
class Learner:
    """One learner with their result, what it shows of each objective, and what the course decides.

    ``decision`` is None where the course was not looked at; ``principles`` tells how they stand on
    those that the worksheet asks for.
    """

    id: str
    name: str
    on_roster: bool
    result: SubmissionResult
    knowledge: tuple[Knowledge, ...]
    decision: Decision | None = None
    principles: tuple[PrincipleStanding, ...] = ()

    @property
    def marked(self) -> bool:
        """Whether there are marks to show."""
        return self.result.state == MARKED

    @cached_property
    def rows(self) -> dict[str, ItemResult]:
        """The marked items by id; none unless marked."""
        return {row.item: row for row in self.result.items} if self.marked else {}

    @cached_property
    def not_reached(self) -> frozenset[str]:
        """The items after the last one that was answered; none unless marked."""
        return not_reached(self.result) if self.marked else frozenset()


@dataclass(frozen=True)
class Attention:
    """One reason to act, what to do, and the learners whom it concerns."""

    kind: str
    learners: tuple[Learner, ...]
    reason: str
    action: str
    what: str = ""


@dataclass(frozen=True)
class Cohort:
    """A cohort's results on one worksheet."""

    worksheet: str
    release: str
    learners: tuple[Learner, ...]
    objectives: tuple[Objective, ...]
    items: tuple[str, ...]
    statistics: tuple[ItemStatistics, ...]
    slips: tuple[SlipCount, ...]
    calibration: tuple[Level, ...]
    recognition: Recognition
    standard: Standard | None
    sums: Sums
    options: tuple[Options, ...]
    attention: tuple[Attention, ...]

    @property
    def has_optional(self) -> bool:
        """Whether an item is optional, which no objective and no pass mark counts."""
        return any(map(_is_optional, self.items))

    @property
    def counts(self) -> dict[str, int]:
        """Learners by state of their submission, all states named."""
        found = Counter(learner.result.state for learner in self.learners)
        return {state: found[state] for state in STATES}

    @property
    def decided(self) -> dict[str, int]:
        """Learners by what the course decides, all states named; empty if it was not looked at."""
        found = Counter(one.decision.state for one in self.learners if one.decision is not None)
        return {state: found[state] for state in passing.STATES} if found else {}

    @property
    def handed_in(self) -> tuple[Learner, ...]:
        """Learners with a hand-in."""
        return tuple(learner for learner in self.learners if learner.result.hand_ins)

    @property
    def marked(self) -> tuple[Learner, ...]:
        """Learners with marks."""
        return tuple(learner for learner in self.learners if learner.marked)


def gather(
    results: Sequence[SubmissionResult],
    *,
    worksheet: str,
    release: str = "",
    names: Mapping[str, str] | None = None,
    curriculum: Curriculum | None = None,
    rows: Mapping[str, tables.Expected] | None = None,
    asked: Sequence[Item] | None = None,
    standard: Standard | None = None,
    decisions: Mapping[str, Decision] | None = None,
    problems: Iterable[Problem] = (),
    principles: Mapping[str, Sequence[PrincipleStanding]] | None = None,
) -> Cohort:
    """Put results and roster together; a learner without a result is missing, not a zero.

    ``rows`` are the standard-setting sheets' rows by item, and ``asked`` the release's items, those
    of the course if not given; ``standard`` is the worksheet's pass mark, that of the rows if not
    given; ``decisions`` are what the course decides, and ``principles`` how they stand on those
    that the worksheet asks for, by learner.

    Raises
    ------
    ValueError
        A result is of another worksheet, or a learner has two.
    """
    by_learner = _by_learner(results, worksheet)
    curriculum = curriculum or tables.curriculum()
    rows = tables.standard() if rows is None else rows
    order = item_order(results, worksheet, asked)
    objectives = objectives_of(curriculum, order)
    roster = dict(names) if names is not None else dict.fromkeys(by_learner, "")
    learners = []
    for key in (*roster, *(key for key in by_learner if key not in roster)):
        result = by_learner.get(key) or SubmissionResult(key, worksheet, release, MISSING)
        stands = tuple((principles or {}).get(key, ()))
        known = knowledge_of(result, objectives, since(stands))
        decided = (decisions or {}).get(key)
        learners.append(
            Learner(key, roster.get(key, ""), key in roster, result, known, decided, stands)
        )
    found = [learner.result for learner in learners]
    standard = standard or standard_of([key for key in order if not _is_optional(key)], rows)
    return Cohort(
        worksheet=worksheet,
        release=release,
        learners=tuple(learners),
        objectives=objectives,
        items=order,
        statistics=item_statistics(found, order),
        slips=slip_counts(found, curriculum),
        calibration=calibration(found),
        recognition=recognition(found),
        standard=standard,
        sums=sums_of(found, standard, order),
        options=options_of(found, [find(key) for key in order]),
        attention=(*_problems(problems), *_attention(learners, curriculum)),
    )


def _is_optional(item_id: str) -> bool:
    item = find(item_id)
    return item is not None and item.optional


def _by_learner(results: Sequence[SubmissionResult], worksheet: str) -> dict[str, SubmissionResult]:
    by_learner: dict[str, SubmissionResult] = {}
    for result in results:
        if result.worksheet != worksheet:
            raise ValueError(
                f"the result of learner “{result.learner}” is of worksheet “{result.worksheet}”, "
                f"and the report is on “{worksheet}”"
            )
        if result.learner in by_learner:
            raise ValueError(f"learner “{result.learner}” has two results: keep one")
        by_learner[result.learner] = result
    return by_learner


def _problems(problems: Iterable[Problem]) -> list[Attention]:
    return [Attention("problem", (), row.reason, row.action, row.what) for row in problems]


def _attention(learners: list[Learner], curriculum: Curriculum) -> list[Attention]:
    """Return what needs somebody, most pressing kind first, like cases in one row."""
    single = [
        *(row for state in _ORDER for row in _not_marked(learners, state)),
        *_critical_wrong(learners, curriculum),
        *_off_roster(learners),
        *_refused(learners),
        *_half_done(learners),
        *_waiting(learners),
    ]
    together: dict[tuple[str, str, str], list[Learner]] = {}
    for kind, learner, reason, action in single:
        together.setdefault((kind, reason, action), []).append(learner)
    return [
        Attention(kind, tuple(whom), reason, action)
        for (kind, reason, action), whom in together.items()
    ]


Case = tuple[str, Learner, str, str]


def _not_marked(learners: list[Learner], state: str) -> list[Case]:
    return [
        (
            state,
            learner,
            learner.result.reason or _WHY[state],
            learner.result.action or _WHAT_TO_DO[state],
        )
        for learner in learners
        if learner.result.state == state
    ]


def _critical_wrong(learners: list[Learner], curriculum: Curriculum) -> list[Case]:
    critical = {key for objective in curriculum.objectives for key in objective.critical}
    cases = []
    for learner in learners:
        counts = since(learner.principles)
        for row in learner.rows.values():
            item = find(row.item)
            if row.points is None or counts.get(row.item, is_right(row)):
                continue
            if row.item in critical or (item and item.critical):
                why = misconception(row) if row.slip else row.message
                section, _ = mended_by(row.item, curriculum)
                sure = row.confidence is not None and row.confidence >= SURE
                cases.append(
                    (
                        "sure and wrong on a critical item" if sure else "critical item wrong",
                        learner,
                        f"“{title_of(row.item)}”: {why}",
                        _next_about(learner, row.item)
                        or "Talk it through before any practice on patients. Have them read "
                        f"“{section}” again and answer anew.",
                    )
                )
    return sorted(cases, key=lambda case: case[0] == "critical item wrong")


def _next_about(learner: Learner, item_id: str) -> str:
    """Say how a learner stands on the principle that an item asks for, and what comes next."""
    for one in learner.principles:
        if item_id in critical_ids(one.principle):
            words = f"{one.title}: {one.in_words}."
            return f"{words} {one.to_do}" if one.to_do else words
    return ""


def _off_roster(learners: list[Learner]) -> list[Case]:
    return [
        (
            "not on the roster",
            learner,
            "A submission came in under an id that the roster does not have.",
            "Correct the id or add the learner to the roster, then mark again.",
        )
        for learner in learners
        if not learner.on_roster
    ]


def _refused(learners: list[Learner]) -> list[Case]:
    cases = []
    for learner in learners:
        rows = [row for row in learner.rows.values() if row.outcome == REFUSED and not row.manual]
        for message in dict.fromkeys(row.message for row in rows):
            titles = ", ".join(f"“{title_of(r.item)}”" for r in rows if r.message == message)
            action = "Ask the learner how this came about; let them answer again and hand in again."
            cases.append(("answers refused", learner, f"{titles}: {message}", action))
    return cases


def _half_done(learners: list[Learner]) -> list[Case]:
    cases = []
    for learner in learners:
        rows = [row for row in learner.rows.values() if not row.optional]
        blank = sum(row.outcome == "blank" for row in rows)
        if blank and blank >= HALF_DONE * len(rows):
            reason = f"{blank} of {len(rows)} items are blank."
            action = "Ask whether they meant to hand in; let them finish."
            cases.append(("half done", learner, reason, action))
    return cases


def _waiting(learners: list[Learner]) -> list[Case]:
    return [
        (
            "hand-marking open",
            learner,
            f"“{title_of(row.item)}”: {row.message} Until then the total is open.",
            _MARK_IT if row.earlier is None else f"{_MARK_IT} {_SAME_POINTS}",
        )
        for learner in learners
        for row in learner.rows.values()
        if row.points is None
    ]
