"""What passes: the course, on its total and its critical questions. A worksheet decides nothing.

A few questions sort learners little better than chance, so objectives and worksheets show what to
work on. Learner's pages, reports and tables all take state and words from here.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from cubital import items
from cubital.calc.statistics.decisions import Consistency, decision_consistency
from cubital.handin.objectives import Knowledge, reaches, title_of
from cubital.handin.results import MARKED, SubmissionResult
from cubital.handin.standard import Standard, together
from cubital.items import Item
from cubital.items.cases.case import CaseItem
from cubital.items.levels import standing_apart
from cubital.tables import course
from cubital.tables.files import asset

PASSED = "passed"
NOT_PASSED = "not passed yet"
TOO_NEAR = "too near to decide: a parallel form"
OPEN = "open"
NO_DECISION = "no decision"
_TOLD = {
    PASSED: "Passed",
    NOT_PASSED: "Not passed yet",
    TOO_NEAR: "Too near to decide",
    OPEN: "No decision yet",
    NO_DECISION: "No decision",
}
STATES = (PASSED, TOO_NEAR, NOT_PASSED, OPEN, NO_DECISION)

SHOWS = "An objective or a worksheet shows what to work on, and decides nothing alone."
APART = (
    "Simulated pictures count for their worksheet, and not for what the course decides: no "
    "clinicians' readings validate them yet."
)
INVENTED = "the pass mark of the course comes from invented judges, so nobody passes or fails by it"


@dataclass(frozen=True)
class Part:
    """One worksheet that the course requires, and what a learner has in it.

    ``standard`` is None where nothing says what passes, ``result`` where nothing was released.
    """

    worksheet: str
    standard: Standard | None = None
    result: SubmissionResult | None = None
    knowledge: tuple[Knowledge, ...] = ()

    @property
    def critical_wrong(self) -> tuple[str, ...]:
        """The critical questions that are answered, and not right."""
        return tuple(key for row in self.knowledge for key in row.critical_wrong)

    @property
    def is_marked(self) -> bool:
        """Whether every question that counts has its mark."""
        if self.result is None or self.result.state != MARKED:
            return False
        return all(row.points is not None for row in self.result.items if not row.optional)

    @property
    def points(self) -> float:
        """Points so far that decide, without those of optional questions and of recognition."""
        rows = self.result.items if self.result is not None else ()
        apart = standing_apart()
        return sum(row.points or 0.0 for row in rows if not row.optional and row.item not in apart)


@dataclass(frozen=True)
class Decision:
    """What the course decides on one learner, why, and the points it goes by.

    ``cut`` and ``error`` are the pass mark and the standard error of measurement there, None where
    not all worksheets have one. Where a parallel form is marked, all four are of both forms
    together.
    """

    state: str
    reason: str
    points: float = 0.0
    of: float = 0.0
    cut: float | None = None
    error: float | None = None
    critical_wrong: tuple[str, ...] = ()


@cache
def _bounds() -> Any:
    return asset("statistics/decisions.toml")


def fewest_to_decide() -> int:
    """Return how many questions a decision takes."""
    return int(_bounds()["fewest_to_decide"])


def is_hint(questions: int) -> bool:
    """Tell whether so few questions are a hint, and no diagnosis."""
    return questions < int(_bounds()["fewest_to_diagnose"])


def required(path: course.Path | None = None) -> tuple[str, ...]:
    """Return the worksheets that a path requires, the usual path's if none is given."""
    on_path = (path or course.paths()[0]).lessons
    own = tuple(row.worksheet for row in course.with_worksheets() if row.name in on_path)
    return (*own, course.closing().name)


def asked_anew(item: Item) -> bool:
    """Tell whether a question counts in a parallel form: a case is the same for everybody."""
    is_case = isinstance(item, CaseItem)
    return not (item.optional or is_case or item.id in standing_apart())


def parallel_worksheets(asked: Mapping[str, Sequence[Item]] | None = None) -> tuple[str, ...]:
    """Return the worksheets of the parallel form, whoever is asked it.

    The longest of the usual path come first, until they ask as many questions anew as a decision
    takes; a department that asks few has all of them. ``asked`` is what it asks, by worksheet, if
    that is not all.
    """
    listed = items.WORKSHEETS if asked is None else asked
    anew = {name: sum(map(asked_anew, listed.get(name, ()))) for name in required()}
    found: list[str] = []
    for name in sorted(filter(anew.get, anew), key=lambda name: -anew[name]):
        if sum(anew[one] for one in found) < fewest_to_decide():
            found.append(name)
    return tuple(found)


def rule(path: course.Path | None = None) -> str:
    """Say what decides and what does not, in a few sentences.

    On a path with a lesson that nothing is asked of, nobody passes: the decision is on the rest.
    """
    asked = {row.name for row in course.with_worksheets()}
    if path is not None and not asked.issuperset(path.lessons):
        return (
            f"{SHOWS} On this path the course decides nothing, since no question that counts is "
            "about the lesson that the path adds."
        )
    return (
        f"{SHOWS} The course decides, on the points of its {len(required(path))} worksheets "
        f"together ({fewest_to_decide()} questions or more) and on the questions that must be "
        f"right. {APART}"
    )


@cache
def consistency(standard: Standard) -> Consistency:
    """Return how alike two forms would decide by a pass mark, on learners as supposed."""
    supposed = _bounds()["supposed"]
    return decision_consistency(
        standard.worth,
        cut_share=standard.pass_share,
        ability_mean=supposed["ability_mean"],
        ability_sd=supposed["ability_sd"],
    )


def consistency_in_words(standard: Standard) -> str:
    """Say how alike two forms of a worksheet would decide, if it decided."""
    found = consistency(standard)
    return (
        f"A second form of this worksheet, with other numbers, would sort about "
        f"{100 * found.share:.0f} of 100 learners as this one does. So its {len(standard.worth)} "
        "questions are too few to decide by."
    )


def decide(
    parts: Sequence[Part], parallel: Sequence[Part] = (), *, form: Sequence[str] | None = None
) -> Decision:
    """Decide on one learner, by all worksheets that the course requires.

    ``parallel`` are those of the parallel form, empty where none was made; ``form`` names its
    worksheets, `parallel_worksheets` if none are named. Only where the points of the course alone
    are too near to decide do they count: then both sums together decide, and never the better of
    the two. Critical questions were decided before, so they give points there and nothing else.

    No decision: nothing says what passes, the judges are invented, or the questions are too few.
    Not passed yet: a critical question is not right, whatever the points. Open: a worksheet is not
    marked as a whole. Too near to decide: the points lie within one standard error of measurement
    of the pass mark, and no parallel form is marked. Else the points decide.
    """
    known = [part.standard.deciding for part in parts if part.standard is not None]
    whole = together(known)
    points = sum(part.points for part in parts)
    wrong = tuple(dict.fromkeys(key for part in parts for key in part.critical_wrong))
    has_all = bool(parts) and len(known) == len(parts)
    cut = whole.pass_mark if has_all else None
    error = whole.standard_error if has_all else None

    def decided(state: str, reason: str) -> Decision:
        return Decision(state, reason, points, whole.points, cut, error, wrong)

    if none := _no_decision(parts, whole):
        return decided(NO_DECISION, none)
    if wrong:
        titles = ", ".join(map(title_of, wrong))
        return decided(NOT_PASSED, f"must be right, and is not yet: {titles}")
    open_ = [part for part in parts if not part.is_marked]
    if open_ or not has_all:
        done = len(parts) - len(open_)
        return decided(OPEN, f"{done} of {len(parts)} worksheets are marked; open: {_named(open_)}")
    told = _sum(points, whole)
    if abs(points - whole.pass_mark) >= whole.standard_error:
        return decided(_by_points(points, whole), told)
    named = parallel_worksheets() if form is None else form
    return _both_forms(decided(TOO_NEAR, told), whole, parallel, named)


def in_words(decision: Decision) -> str:
    """Say to a learner what the course decides on them, and why."""
    return f"{_TOLD[decision.state]}: {decision.reason}."


def _no_decision(parts: Sequence[Part], whole: Standard) -> str:
    """Say why nothing can be decided on anybody; empty where something can."""
    if whole.invented:
        return INVENTED
    lacking = [p for p in parts if p.standard is None and p.result is not None]
    if lacking:
        return f"nothing says what passes {_named(lacking)}"
    has_all = bool(parts) and all(part.standard is not None for part in parts)
    if has_all and len(whole.worth) < fewest_to_decide():
        return f"{len(whole.worth)} questions are too few: {fewest_to_decide()} decide"
    return ""


def _both_forms(
    first: Decision, whole: Standard, parallel: Sequence[Part], named: Sequence[str]
) -> Decision:
    """Decide on a sum that is too near, by both forms together once the other is marked."""
    near = (
        f"{first.reason}: that is within one standard error of measurement, {first.error:.1f} "
        "points"
    )
    known = [part.standard.deciding for part in parallel if part.standard is not None]
    if any(row.invented for row in known):
        return replace(first, state=NO_DECISION, reason=INVENTED)
    open_ = [part for part in parallel if not part.is_marked or part.standard is None]
    if open_ or not parallel:
        done = f"; open: {_named(open_)}" if 0 < len(open_) < len(parallel) else ""
        form = ", ".join(name.replace("-", " ") for name in named)
        return replace(
            first,
            reason=f"{near}. Next: a parallel form of {form}{done}. Both sums together decide, "
            "never the better of the two",
        )
    other = together(known)
    points = sum(part.points for part in parallel)
    both, total = together([whole, other]), first.points + points
    return replace(
        first,
        state=_by_points(total, both),
        reason=f"{near}. With the parallel form, {points:g} of {other.points:g}, both together: "
        f"{_sum(total, both)}",
        points=total,
        of=both.points,
        cut=both.pass_mark,
        error=both.standard_error,
    )


def _sum(points: float, whole: Standard) -> str:
    return f"{points:g} of {whole.points:g} points, {whole.pass_mark:.1f} needed"


def _by_points(points: float, whole: Standard) -> str:
    return PASSED if reaches(points, whole.pass_mark) else NOT_PASSED


def _named(parts: Sequence[Part]) -> str:
    return ", ".join(part.worksheet.replace("-", " ") for part in parts)
