"""Show how likely somebody is to pass the principles that nobody may miss, the retake included.

    .venv/bin/python .ci/second_chances.py

Two routes: exactly, over all ways to draw the pairs of cases, and by simulated learners, whose
papers are drawn, and whose answers are judged, by the code that draws and judges a learner's.
Writes ``assets/docs/second-chances.md`` and its check sum. Takes a minute.
"""

import random
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import prod
from pathlib import Path
from statistics import fmean
from typing import NamedTuple

import generated

from cubital.handin.principles.records import OBSERVED, RETAKE, TALK, Record
from cubital.handin.principles.standing import Standing, attempt_at, standing
from cubital.handin.results import MARKED, ItemResult, SubmissionResult
from cubital.items.principles.asked import OTHER, asked_of, item_id
from cubital.items.principles.course import PRINCIPLES
from cubital.items.principles.vignette import Principle, Vignette
from cubital.items.writing.draw import Draw

HERE = Path(__file__).resolve().parent
DOCS = HERE.parent / "assets" / "docs"
PAGE = DOCS / "second-chances.md"
MISCONCEPTIONS = HERE / "misconceptions.toml"
COMMAND = ".venv/bin/python .ci/second_chances.py"

LEARNERS = 3_000
BELIEVERS = 500
SEED = 20270305
SOUND = 0.97  # how often somebody is right on a case that their misconception does not touch
MOST_MISLED = 0.15
_BY, _ON = "simulated", "2027-03-05"

Knows = Callable[[Principle, Vignette], float]  # somebody's chance of being right on a case


@dataclass(frozen=True)
class Person:
    """Somebody, which principles are looked at, and what their chance of passing should be."""

    who: str
    knows: Knows
    principles: tuple[str, ...] = tuple(PRINCIPLES)
    least: float = 0.0
    most: float = 1.0

    @property
    def aim(self) -> str:
        """The aim in words; empty where none is set."""
        if self.least > 0:
            return f"at least {self.least:.2f}"
        return f"at most {self.most:.2f}" if self.most < 1 else ""

    def short_by(self, told: float) -> float:
        """Return by how much a chance misses the aim; 0 where it is kept."""
        return max(self.least - told, told - self.most, 0.0)


def right(share: float) -> Knows:
    """Return somebody who is right on a share of all cases."""
    return lambda _principle, _case: share


def blind(_principle: Principle, case: Vignette) -> float:
    """Return the chance of somebody who takes any of the ways."""
    return 1 / len(case.ways)


def only_stops(_principle: Principle, case: Vignette) -> float:
    """Return the chance of somebody who knows that one stops, and takes any way that does."""
    return 1 / sum(way.stops for way in case.ways)


def goes_on(_principle: Principle, case: Vignette) -> float:
    """Return the chance of somebody who goes on wherever a way goes on, and is sound otherwise."""
    return SOUND if all(way.stops for way in case.ways) else 1 - SOUND


def believes(ways: Sequence[str]) -> Knows:
    """Return somebody who takes any of these ways, ``case/way``, and is sound otherwise."""
    caught = {way.partition("/")[0] for way in ways}
    return lambda _principle, case: 1 - SOUND if case.key in caught else SOUND


# ---------------------------------------------------------------------------- exactly


def exactly(pairs: Sequence[float], sittings: int) -> float:
    """Return the chance of passing one principle within so many sittings.

    ``pairs`` are the chances of being right on both cases of each of its pairs, which are asked
    one a sitting, in any order and none twice.
    """
    return 1 - fmean(prod(1 - both for both in asked) for asked in combinations(pairs, sittings))


def of_pairs(person: Person, key: str) -> list[float]:
    """Return the chance of being right on both cases of each pair of a principle."""
    principle = PRINCIPLES[key]
    chances = {case.key: person.knows(principle, case) for case in principle.present}
    return [chances[one] * chances[other] for one, other in principle.pairs]


def exact(person: Person, sittings: int = 2) -> float:
    """Return the chance of passing all the principles that are looked at."""
    return prod(exactly(of_pairs(person, key), sittings) for key in person.principles)


# ------------------------------------------------------------------- by the rule itself


def sat(person: Person, key: str, learner: str, chance: random.Random, retakes: int) -> Standing:
    """Return how a simulated learner stands on a principle, each chance taken that there is.

    They miss every case without its trigger, which fails nobody.
    """
    principle = PRINCIPLES[key]
    asked: set[str] = set()
    attempts, records = [], []
    found = standing(key, learner, attempts, records)
    for number in range(1, retakes + 2):
        if number > 1:
            due = TALK if number == 2 else OBSERVED
            records.append(Record(due, key, learner, number - 1, _BY, _ON))
            if not standing(key, learner, attempts, records).may_retake:
                raise ValueError(f"no retake of {key}: {found.in_words}")
            records.append(Record(RETAKE, key, learner, number, _BY, _ON))
        rows = tuple(_answered(person, principle, learner, number, asked=asked, chance=chance))
        result = SubmissionResult(learner, key, f"sitting {number}", MARKED, items=rows)
        attempts.append(attempt_at(result, key, number))
        found = standing(key, learner, attempts, records)
        if found.passed:
            break
    return found


def _answered(
    person: Person,
    principle: Principle,
    learner: str,
    number: int,
    *,
    asked: set[str],
    chance: random.Random,
) -> Iterator[ItemResult]:
    """Yield the marks of a paper of cases that were not asked before, and note its cases."""
    present = [case for case in principle.present if case.key not in asked]
    absent = [case for case in principle.absent if case.key not in asked]
    by_key = {case.key: case for case in principle.vignettes}
    for item in asked_of(principle, present, absent):
        draw = Draw(f"sitting {number}", learner, item.id, 0, {})
        case = by_key[item.draw_values(draw)["vignette"]]
        asked.add(case.key)
        knows = item.id != item_id(principle.key, OTHER)
        knows = knows and chance.random() < person.knows(principle, case)
        outcome = "right" if knows else "wrong"
        yield ItemResult(item.id, outcome, item.points if knows else 0.0, item.points, "")


def simulated(person: Person, retakes: int = 1, learners: int = LEARNERS) -> float:
    """Return the share of simulated learners who pass all the principles that are looked at."""
    chance = random.Random(SEED)
    passed = 0
    for number in range(learners):
        name = f"learner-{number}"
        passed += all(sat(person, key, name, chance, retakes).passed for key in person.principles)
    return passed / learners


def error(share: float) -> float:
    """Return the standard error of a simulated share."""
    return (share * (1 - share) / LEARNERS) ** 0.5


# ----------------------------------------------------------------------- who is asked


def beliefs() -> Mapping[str, Mapping[str, Sequence[str]]]:
    """Return what may be believed wrongly, by principle, and the ways that follow from it.

    Raises
    ------
    ValueError
        It names a way that the bank does not have, or that is right.
    """
    told = tomllib.loads(MISCONCEPTIONS.read_text(encoding="utf-8"))
    for key, rows in told.items():
        wrong = {
            f"{case.key}/{way.key}"
            for case in PRINCIPLES[key].present
            for way in case.ways
            if not way.right
        }
        for belief, ways in rows.items():
            if strange := set(ways) - wrong:
                raise ValueError(f"{key}, “{belief}”: {', '.join(sorted(strange))}")
    return told


def averages() -> tuple[Person, ...]:
    """Return those who know all cases alike."""
    return (
        Person("right on 95 % of the cases", right(0.95), least=0.90),
        Person("right on 75 % of the cases", right(0.75), most=0.20),
        Person("right on 60 % of the cases", right(0.60), most=0.02),
    )


def misled() -> tuple[Person, ...]:
    """Return those who miss one principle, looked at where they pass it most easily."""

    def easiest(who: str, knows: Knows) -> Person:
        key = max(PRINCIPLES, key=lambda key: exact(Person(who, knows, (key,))))
        return Person(who, knows, (key,), most=MOST_MISLED)

    return (
        easiest("goes on where one has to stop", goes_on),
        easiest("does not know the principle: takes any way", blind),
        easiest("knows only that one stops: takes any way that does", only_stops),
    )


class Belief(NamedTuple):
    """A misconception: how many of the principle's cases and of its pairs offer a way for it, and
    who has it."""

    principle: str
    belief: str
    cases: int
    pairs: int
    person: Person


def believers() -> list[Belief]:
    """Return who has one misconception and is sound otherwise, the most easily caught first."""
    rows = [
        _believer(key, belief, ways)
        for key, listed in beliefs().items()
        for belief, ways in listed.items()
    ]
    return sorted(rows, key=lambda row: (-row.cases, list(PRINCIPLES).index(row.principle)))


def _believer(key: str, belief: str, ways: Sequence[str]) -> Belief:
    cases = {way.partition("/")[0] for way in ways}
    pairs = sum(not cases.isdisjoint(pair) for pair in PRINCIPLES[key].pairs)
    person = Person(belief, believes(ways), (key,), most=MOST_MISLED)
    return Belief(key, belief, len(cases), pairs, person)


# -------------------------------------------------------------------------- the page


def _row(person: Person) -> str:
    told, tried = exact(person), simulated(person)
    short = person.short_by(told)
    kept = "" if not person.aim else f"no, by {short:.3f}" if short else "yes"
    cells = (
        person.who,
        f"{exact(person, 1):.3f}",
        f"**{told:.3f}**",
        f"{tried:.3f} ± {error(tried):.3f}",
        person.aim,
        kept,
        f"{exact(person, 3):.3f}",
    )
    return f"| {' | '.join(cells)} |"


_HEAD = (
    "| {} | first sitting alone | with the first retake, exact | simulated | aim | "
    "kept | with the second retake |\n|---|---|---|---|---|---|---|"
)


def page() -> str:
    """Return the page."""
    rows = believers()
    cases = sum(len(one.present) for one in PRINCIPLES.values())
    kept = sum(not row.person.short_by(exact(row.person)) for row in rows)
    of_cases = {row.cases: f"{row.cases}: {exact(row.person):.3f}" for row in reversed(rows)}
    sound, most = f"{100 * SOUND:.0f} %", f"{MOST_MISLED:.2f}"
    parts = [
        "# How likely somebody is to pass the principles",
        f"Made by `{COMMAND}`, from the {len(PRINCIPLES)} principles and the {cases} cases in "
        "which they decide. A principle's six cases stand in three fixed pairs; a paper asks one "
        "pair, and both answers must be right. Who misses one is talked with, and has a retake of "
        "another pair. A second retake follows observed practice, asks the third pair, and stands "
        "in the last column; after it the educator decides, for which no chance can be stated: it "
        "may pass everybody who is left, or nobody.",
        "*Exact* goes over every order of a principle's pairs. "
        f"*Simulated* are {LEARNERS:,} learners, {BELIEVERS} for each belief, whose papers are "
        "drawn by the course's own questions, and who go through the same functions that say how a "
        "learner stands; ± is one standard error. They miss every case without the trigger, which "
        "fails none of them.",
        "## All ten principles",
        "\n".join([_HEAD.format("somebody who is"), *map(_row, averages())]),
        "Assumed: one chance for all cases of a learner, and answers that are independent of each "
        "other; nothing left open; a talk that mends nothing, so that what it mends comes on top. "
        "Somebody who knows one principle better than another, with the same average, passes all "
        "more seldom.",
        "## One principle that somebody has wrong",
        "\n".join([_HEAD.format("somebody who"), *map(_row, misled())]),
        f"Assumed: who goes on does so in {sound} of the cases in which a way goes on; who takes "
        "any way takes each as often as the next. The row is of the principle on which they pass "
        "most easily. Of a principle's six cases four have five ways, of which four stop, both of "
        "one pair and one of each other; two have four ways, of which three stop. The cases "
        "without the trigger have five ways as often, so that their number tells nothing.",
        "## One misconception, and sound otherwise",
        "The first row above is the misconception against which the principles stand. Many wrong "
        "ways rest on a narrower belief, which comes back in several cases of a principle. "
        f"`.ci/misconceptions.toml` names {len(rows)} of them. The pairs are put together so that "
        "each belief finds its way in every pair: who has it misses at least one of two, whichever "
        "pair is asked. Whoever wrote the file sorted the ways; nobody has sorted them a second "
        "time.",
        "\n".join(
            [
                "| principle | belief | cases of six | pairs of three | with the first retake, "
                "exact | simulated | kept | with the second retake |",
                "|---|---|---|---|---|---|---|---|",
                *map(_belief, rows),
            ]
        ),
        f"Assumed: who has the belief takes its way in {sound} of the cases that offer one, and is "
        f"right on {sound} of the others. The aim, at most {most}, is kept for {kept} of "
        f"{len(rows)}; by the number of cases that offer the way, {', '.join(of_cases.values())}. "
        "A belief that nobody has thought of yet, and that two cases of one pair alone offer, "
        "would fail its holder only where that pair is asked.",
        "No learner has answered these cases yet; all chances here are supposed.",
    ]
    return "\n\n".join(parts) + "\n"


def _belief(row: Belief) -> str:
    told, tried = exact(row.person), simulated(row.person, learners=BELIEVERS)
    short = row.person.short_by(told)
    kept = f"no, by {short:.3f}" if short else "yes"
    return (
        f"| {row.principle} | {row.belief} | {row.cases} | {row.pairs} | **{told:.3f}** | "
        f"{tried:.3f} | {kept} | {exact(row.person, 3):.3f} |"
    )


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=DOCS)


if __name__ == "__main__":
    main()
