"""Show how alike two forms would decide: each worksheet alone, and the course, on its real points.

    .venv/bin/python .ci/pass_rules.py

Works it out exactly and by simulation, for the questions that ship and for learners as
``assets/statistics/decisions.toml`` supposes them, and for others. Writes
``assets/docs/pass-rules.md`` and its check sum. Takes seconds.
"""

from collections import Counter
from collections.abc import Mapping
from functools import cache
from itertools import product
from pathlib import Path
from typing import NamedTuple

import generated
import numpy as np

from cubital import calc, tables
from cubital.handin import passing
from cubital.handin.standard import standard_of
from cubital.items import WORKSHEETS
from cubital.items.core import core
from cubital.items.levels import level_of, standing_apart
from cubital.tables.files import asset

DOCS = Path(__file__).resolve().parents[1] / "assets" / "docs"
PAGE = DOCS / "pass-rules.md"
COMMAND = ".venv/bin/python .ci/pass_rules.py"
LENGTHS = (8, 15, 30, 40, 60, 120)
MEANS, SPREADS, CUTS = (0.65, 0.75, 0.85), (0.08, 0.12, 0.16), (0.6, 0.67, 0.72)
BOUNDS = asset("statistics/decisions.toml")
SUPPOSED = BOUNDS["supposed"]


class Row(NamedTuple):
    """One test and one cohort, and how alike two forms decide: exactly, and by simulation."""

    name: str
    questions: int
    points: float
    cohort: dict[str, float]
    exact: calc.Consistency
    tried: calc.Consistency

    @property
    def is_enough(self) -> bool:
        """Whether both the share and kappa are what the course asks of a decision."""
        kappa = self.exact.kappa
        return (
            self.exact.share >= BOUNDS["least_consistency"]
            and kappa is not None
            and kappa >= BOUNDS["least_kappa"]
        )


def worth(worksheets: tuple[str, ...], *, core_alone: bool = False) -> list[float]:
    """Return the points of each question that counts, of the questions that ship or of the core.

    For the course those of recognition do not: no clinicians' readings validate them yet.
    """
    left_out = standing_apart() if len(worksheets) > 1 else frozenset()
    asked = [item for name in worksheets for item in WORKSHEETS[name] if not item.optional]
    asked = [item for item in asked if item.id in core() or not core_alone]
    return [item.points for item in asked if item.id not in left_out]


def row(name: str, points: list[float], **changed: float) -> Row:
    """Work one row out; ``changed`` is what differs from the cohort as supposed."""
    cohort = SUPPOSED | changed
    return Row(
        name,
        len(points),
        sum(points),
        cohort,
        calc.decision_consistency(points, **cohort),
        calc.simulated_consistency(points, **cohort),
    )


def sheets() -> list[Row]:
    """Return a row for each worksheet that the usual path requires, and one for all."""
    asked = passing.required()
    alone = [row(name, worth((name,))) for name in asked]
    return [*alone, row("the course", worth(asked))]


def of_core() -> Row:
    """Return the row of the course where the core alone is asked."""
    return row("the core of the course", worth(passing.required(), core_alone=True))


def lengths() -> list[Row]:
    """Return a row for each number of questions of two points."""
    return [row(f"{number} questions", [2.0] * number) for number in LENGTHS]


def cohorts() -> list[Row]:
    """Return a row for the course with each cohort."""
    points = worth(passing.required())
    return [
        row("the course", points, ability_mean=mean, ability_sd=sd, cut_share=cut)
        for cut, mean, sd in product(CUTS, MEANS, SPREADS)
    ]


SITTINGS = 200_000
ONE, BOTH, BETTER = "one form alone", "both sums together", "the better of the two"


class Rule(NamedTuple):
    """How often a rule decides alike twice, and wrongly by what a learner's ability says."""

    alike: float
    kappa: float
    passes: float
    passes_below: float
    fails_above: float


def parallel_worth(*, core_alone: bool = False) -> list[float]:
    """Return the points of each question of the parallel form, of all questions or of the core."""
    listed = {
        name: [i for i in rows if i.optional or i.id in core() or not core_alone]
        for name, rows in WORKSHEETS.items()
    }
    names = passing.parallel_worksheets(listed)
    return [i.points for name in names for i in listed[name] if passing.asked_anew(i)]


@cache
def pass_share(*, core_alone: bool = False) -> float:
    """Return the share of the points that passes by the judges' sheets that ship."""
    apart, judged = standing_apart(), tables.standard()
    asked = [i.id for name in passing.required() for i in WORKSHEETS[name] if not i.optional]
    asked = [one for one in asked if one not in apart and (one in core() or not core_alone)]
    standard = standard_of(asked, judged)
    assert standard is not None
    return standard.pass_share


@cache
def parallel_rules(
    seed: int = 1, *, core_alone: bool = False, cut: float = SUPPOSED["cut_share"]
) -> tuple[float, Mapping[str, Rule]]:
    """Return the share of learners whose sum is too near, and what each rule does with all.

    The points are those that ship, or of the core. Each learner sits everything twice over, by one
    ability; a learner's ability at or above the pass mark's share is taken for what ought to pass.
    """
    mean, sd = SUPPOSED["ability_mean"], SUPPOSED["ability_sd"]
    size = mean * (1 - mean) / sd**2 - 1
    draw = np.random.default_rng(seed)
    ability = draw.beta(mean * size, (1 - mean) * size, SITTINGS)
    first = worth(passing.required(), core_alone=core_alone)
    second = parallel_worth(core_alone=core_alone)
    error = calc.binomial_standard_error(first, ability_share=cut)

    def total(points: list[float]) -> np.ndarray:
        found = np.zeros(SITTINGS)
        for one, number in Counter(points).items():
            found += one * draw.binomial(number, ability)
        return found

    def sitting() -> tuple[np.ndarray, dict[str, np.ndarray]]:
        one, other = total(first), total(second)
        alone, again = one >= cut * sum(first), other >= cut * sum(second)
        near = np.abs(one - cut * sum(first)) < error
        both = one + other >= cut * (sum(first) + sum(second))
        return near, {
            ONE: alone,
            BOTH: np.where(near, both, alone),
            BETTER: np.where(near, alone | again, alone),
        }

    (near, found), (_, twice) = sitting(), sitting()
    able = ability >= cut
    rules = {}
    for name, passes in found.items():
        alike, share = float((passes == twice[name]).mean()), float(passes.mean())
        chance = share**2 + (1 - share) ** 2
        rules[name] = Rule(
            alike,
            (alike - chance) / (1 - chance),
            share,
            float(passes[~able].mean()),
            float((~passes[able]).mean()),
        )
    return float(near.mean()), rules


def _core() -> list[str]:
    rows = []
    for name, core_alone in (("the course", False), ("the core", True)):
        cut = pass_share(core_alone=core_alone)
        asked = len(worth(passing.required(), core_alone=core_alone))
        again = len(parallel_worth(core_alone=core_alone))
        near, rules = parallel_rules(core_alone=core_alone, cut=cut)
        one, both = rules[ONE], rules[BOTH]
        rows.append(
            f"| {name} | {cut:.3f} | {asked} | {again} | {100 * near:.0f} % | {one.alike:.3f} | "
            f"{one.kappa:.2f} | {both.alike:.3f} | {both.kappa:.2f} |"
        )
    return [
        "## The core alone, at the pass mark of the judges' sheets",
        "",
        "The questions that must be right are a larger part of the core, and the judges expect "
        "more of them, so its pass mark is higher, and near where most learners are supposed to "
        "lie. One sitting of the core alone would be too few questions to decide by. The rule "
        "decides by both sums where one lies too near, and that is enough; a parallel form of the "
        "core has all nine worksheets.",
        "",
        "| what | pass mark | questions | asked anew | too near | one form: alike | kappa | "
        "by the rule: alike | kappa |",
        "|---|---:|---:|---:|---:|---:|---:|---:|---:|",
        *rows,
        "",
    ]


def _formulas() -> float:
    """Return the share of the points of both forms that questions on a formula have."""
    first = [i for name in passing.required() for i in WORKSHEETS[name] if not i.optional]
    again = [i for name in passing.parallel_worksheets() for i in WORKSHEETS[name]]
    asked = [*first, *filter(passing.asked_anew, again)]
    return sum(i.points for i in asked if level_of(i) == "formula") / sum(i.points for i in asked)


def _parallel() -> list[str]:
    near, rules = parallel_rules()
    names = [name.replace("-", " ") for name in passing.parallel_worksheets()]
    points = parallel_worth()
    return [
        "## Where the sum lies too near: a parallel form",
        "",
        f"Of the supposed learners {100 * near:.0f} % lie within one standard error of "
        f"measurement of the pass mark. They sit a parallel form of {', '.join(names)}: "
        f"{len(points)} questions, {sum(points):g} points, without the cases, which would be the "
        f"same again; {100 * _formulas():.1f} % of the points of both forms are formulas. By "
        f"simulation of {SITTINGS:,} learners who sit everything twice over. *Below, passed* and "
        "*above, not passed* are shares of those whose ability is below the pass mark's share, "
        "and at or above it. To count the better of the two would pass more of those who are "
        "below. A form whose vignettes or texts a learner remembers would help them; that is not "
        "simulated.",
        "",
        "| what decides | alike | kappa | pass | below, passed | above, not passed |",
        "|---|---:|---:|---:|---:|---:|",
        *(
            f"| {name} | {one.alike:.3f} | {one.kappa:.2f} | {one.passes:.2f} | "
            f"{one.passes_below:.3f} | {one.fails_above:.3f} |"
            for name, one in rules.items()
        ),
        "",
    ]


def _alike(one: Row) -> str:
    kappa = ["–" if found.kappa is None else f"{found.kappa:.2f}" for found in one[-2:]]
    return (
        f"{one.exact.share:.3f} | {one.tried.share:.3f} | {kappa[0]} | {kappa[1]} | "
        f"{one.exact.pass_share:.2f} | {'yes' if one.is_enough else 'no'}"
    )


_HEAD = "alike | simulated | kappa | simulated | pass | enough |"
_RULE = "---:|---:|---:|---:|---:|---|"


def page() -> str:
    """Return the page."""
    mean, sd, cut = (SUPPOSED[key] for key in ("ability_mean", "ability_sd", "cut_share"))
    of_sheets = [
        f"| {one.name} | {one.questions} | {one.points:g} | {_alike(one)} |"
        for one in (*sheets(), of_core())
    ]
    of_lengths = [f"| {one.questions} | {_alike(one)} |" for one in lengths()]
    of_cohorts = [
        f"| {one.cohort['cut_share']:g} | {one.cohort['ability_mean']:g} | "
        f"{one.cohort['ability_sd']:g} | {_alike(one)} |"
        for one in cohorts()
    ]
    lines = [
        "# How alike two forms would decide",
        "",
        f"Made by `{COMMAND}`. Nobody sat these forms: learners are supposed, and the pass marks "
        "that ship are invented.",
        "",
        "A learner has an ability, the share of such questions that they would get right, spread "
        f"over learners as a beta distribution with mean {mean:g} and standard deviation {sd:g}. "
        f"Questions are right or wrong, equally hard and independent at one ability; {cut:g} of "
        "the points passes. *Alike* is the share of learners on whom two forms, with other "
        "numbers, decide the same; *kappa* is what of that is beyond chance; *pass* is the share "
        "who pass one form. Each is worked out exactly and, in the columns beside, by a "
        f"simulation of {calc.simulated_consistency.__kwdefaults__['runs']:,} learners. *Enough* "
        f"takes at least {BOUNDS['least_consistency']:g} alike and a kappa of at least "
        f"{BOUNDS['least_kappa']:g}. Critical questions stand outside, and so does what is too "
        "near to decide. What is recognised in simulated pictures counts in the row of its "
        "worksheet, and not in those of the course: no clinicians' readings validate it yet.",
        "",
        "## The worksheets and the course, with their real points",
        "",
        f"| what | questions | points | {_HEAD}",
        f"|---|---:|---:|{_RULE}",
        *of_sheets,
        "",
        *_parallel(),
        *_core(),
        "## By the number of questions of two points",
        "",
        f"| questions | {_HEAD}",
        f"|---:|{_RULE}",
        *of_lengths,
        "",
        "## The course with other cohorts and other pass marks",
        "",
        "Where nearly all pass, or all are alike, decisions agree by chance: kappa is low, however "
        "many questions there are. No test then tells who is better than who.",
        "",
        f"| pass mark | mean | SD | {_HEAD}",
        f"|---:|---:|---:|{_RULE}",
        *of_cohorts,
        "",
    ]
    return "\n".join(lines)


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=DOCS)


if __name__ == "__main__":
    main()
