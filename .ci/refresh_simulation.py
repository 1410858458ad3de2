"""Try the scheduling of `cubital refresh` on invented learners who forget by other laws.

    .venv/bin/python .ci/refresh_simulation.py

Plays two years of sessions with the course's own choosing and scheduling, with the objective
least likely to be remembered first, and, for each of both, the same number of items in plain turn
in the same sessions and spread evenly over all. Writes ``assets/docs/refresh.md`` and its check
sum into ``generated.toml``. The assumptions are in ``assets/refresh/simulation.toml``. Takes some
minutes.
"""

import functools
import os
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, datetime, timedelta
from itertools import chain, pairwise, zip_longest
from pathlib import Path
from typing import Any, NamedTuple

import generated
import numpy as np
from fsrs import Scheduler
from refresh_learners import SEED, Learner

from cubital.refresh.choosing import choose
from cubital.refresh.critical import CriticalRule
from cubital.refresh.rating import as_counted, rating, sure_items
from cubital.refresh.reviews import Review
from cubital.refresh.schedule import (
    DESIRED_RETENTION,
    LONGEST_DAYS,
    Standing,
    Turns,
    reviewed,
    standing,
)
from cubital.tables import Objective, profile
from cubital.tables.files import asset

DOCS = Path(__file__).resolve().parents[1] / "assets" / "docs"
PAGE = DOCS / "refresh.md"
COMMAND = ".venv/bin/python .ci/refresh_simulation.py"
START = datetime(2027, 1, 1, 9, 0, tzinfo=UTC)
SHOWN_DAYS = (30, 91, 182, 365, 547, 730)
SHOWN_EVERY = 7
WORST, TURN, EVEN, COURSE = "worst first", "in turn", "spread evenly", "the course"
NO_DIFFERENCE = "no difference shown"


class StandIn(NamedTuple):
    """An item, as far as choosing needs to know it."""

    id: str
    minutes: float
    critical: bool


class Played(NamedTuple):
    """What one learner's sessions came to."""

    retention: list[float]  # by day, before its session
    sizes: list[int]  # items, by session
    longest_wait: int  # days between two questions of an objective that must be right to pass


@functools.cache
def objectives(number: int, critical: int, items_each: int) -> tuple[Objective, ...]:
    """Return invented objectives with their items' names; the first are those that must be right.

    The lessons take turns, so that each has some of both.
    """
    return tuple(
        Objective(
            key=f"o{n:02d}",
            title="",
            topic="",
            lesson=f"{n % 8}",
            section="",
            items=tuple(f"{'must' if n < critical else 'may'}-{n}-{i}" for i in range(items_each)),
            critical=(),
            pass_share=1.0,
            observed_practice="",
        )
        for n in range(number)
    )


class Sessions:
    """What has been asked of a learner so far, and what the answers make due."""

    def __init__(self, learner: Learner) -> None:
        course = learner.course
        self.learner = learner
        self.listed = objectives(course["objectives"], course["critical"], course["items_each"])
        self.asked: dict[str, datetime] = {}
        self.longest_wait = 0
        self._seen: dict[int, int] = {}

    def items(self, objective: Objective) -> list[StandIn]:
        """Return the items of an objective; all of one that must be right must be."""
        minutes = self.learner.course["minutes_an_item"]
        return [StandIn(name, minutes, name.startswith("must")) for name in objective.items]

    def ask(self, item: str, day: int) -> Review:
        """Have an item answered, and return its review."""
        kind, place, number = item.split("-")
        right, said = self.learner.answer(int(place), int(number), day)
        self.asked[item] = now = START + timedelta(days=day)
        if kind == "must":
            waited = day - self._seen.get(int(place), day)
            self.longest_wait = max(self.longest_wait, waited)
            self._seen[int(place)] = day
        outcome = "right" if right else "wrong"
        key = self.listed[int(place)].key
        return Review(
            len(self.asked), now, f"{day}/{item}", key, item, outcome, rating(outcome, said)
        )

    def chosen(self, day: int) -> list[str]:
        """Return what to ask on a day."""
        raise NotImplementedError

    def keep(self, review: Review) -> None:
        """Keep a review."""
        raise NotImplementedError


class ByTheCourse(Sessions):
    """Sessions as the course lays them out: what must be right first, all else in turn."""

    def __init__(self, learner: Learner) -> None:
        super().__init__(learner)
        days = profile().critical_due_days, profile().critical_grace_days
        must = (n for one in self.listed for n in one.items if n.startswith("must"))
        self.rule = CriticalRule(frozenset(must), *days)
        self.turns = Turns()
        self.last: dict[str, Review] = {}

    def chosen(self, day: int) -> list[str]:
        """Return what the course asks on a day."""
        now, due = START + timedelta(days=day), self.turns.due()
        found = [self._standing(one, due.get(one.key)) for one in self.listed]
        minutes = self.learner.course["minutes_a_session"]
        return [
            item.id for item in choose(found, self.asked, minutes=minutes, now=now, find=self.items)
        ]

    def keep(self, review: Review) -> None:
        """Keep a review; of those before it, the rule on what must be right asks no more."""
        self.turns.add(review, review.at)
        self.last[review.objective] = review

    def _standing(self, objective: Objective, due: datetime | None) -> Standing:
        own = [self.last[objective.key]] if objective.key in self.last else []
        return standing(objective, due, own, {one.id: one.at for one in own}, self.rule)


class WorstFirst(Sessions):
    """Sessions of what is due by the memory model alone, least likely remembered first.

    It takes turns with what is not begun, in teaching order; nothing is critical.
    """

    def __init__(self, learner: Learner) -> None:
        super().__init__(learner)
        self.cards: dict[str, Any] = {}
        self.sure: dict[str, frozenset[str]] = {}

    def chosen(self, day: int) -> list[str]:
        """Return what is least likely remembered of what is due on a day, and what is not begun."""
        now, model = START + timedelta(days=day), Scheduler()
        due = [one for one in self.listed if one.key in self.cards and self._due(one) <= now]
        due.sort(key=lambda one: model.get_card_retrievability(self.cards[one.key], now))
        fresh = [one for one in self.listed if one.key not in self.cards]
        both = filter(None, chain.from_iterable(zip_longest(due, fresh)))
        course = self.learner.course
        most = -(-course["minutes_a_session"] // course["minutes_an_item"])
        return [self._next(one) for one in list(both)[:most]]

    def keep(self, review: Review) -> None:
        """Review the objective's card."""
        key = review.objective
        self.sure[key] = sure_items(self.sure.get(key, frozenset()), review.item, review.rating)
        counts_as = as_counted(self.sure[key], review.rating)
        self.cards[key] = reviewed(self.cards.get(key), counts_as, review.at)

    def _due(self, objective: Objective) -> datetime:
        due: datetime = self.cards[objective.key].due
        return due

    def _next(self, objective: Objective) -> str:
        return min(objective.items, key=lambda name: self.asked.get(name, START))


def played(sessions: Sessions, every: int) -> Played:
    """Play two years with a session every so many days."""
    found, sizes = [], []
    for day in range(1, sessions.learner.course["days"] + 1):
        found.append(sessions.learner.retention(day))
        if day % every == 0:
            chosen = sessions.chosen(day)
            for item in chosen:
                sessions.keep(sessions.ask(item, day))
            sizes.append(len(chosen))
    return Played(found, sizes, sessions.longest_wait)


def in_turn(learner: Learner, every: int, sizes: list[int]) -> list[float]:
    """Ask one objective after the other, its items in turn, so many a session; return retention."""
    found, asked = [], 0
    for day in range(1, learner.course["days"] + 1):
        found.append(learner.retention(day))
        if day % every == 0:
            for _ in range(sizes[day // every - 1]):
                again, place = divmod(asked, learner.course["objectives"])
                learner.answer(place, again % learner.course["items_each"], day)
                asked += 1
    return found


def evenly(sizes: list[int]) -> list[int]:
    """Return sizes of the same sum and number that differ by one at most."""
    until = [sum(sizes) * done // len(sizes) for done in range(len(sizes) + 1)]
    return [after - before for before, after in pairwise(until)]


class Case(NamedTuple):
    """A law of forgetting, how many memories an objective has, and days between sessions."""

    law: str
    memories: int
    every: int


def play(job: tuple[Case, int]) -> tuple[list[Any], ...]:
    """Play one learner in every way: retention by way and day, and the counts of both rules."""
    case, number = job
    course = asset("refresh/simulation.toml")["course"]

    def learner() -> Learner:
        return Learner(case.law, case.memories, number, course)

    days: list[list[float]] = []
    counts: list[list[int]] = []
    for sessions in (WorstFirst(learner()), ByTheCourse(learner())):
        one = played(sessions, case.every)
        days.append(one.retention)
        days.append(in_turn(learner(), case.every, one.sizes))
        days.append(in_turn(learner(), case.every, evenly(one.sizes)))
        counts.append([sum(one.sizes), one.longest_wait])
    return days, counts


class Rule(NamedTuple):
    """One rule: retention by learner and day, also in turn and evenly with as many items.

    ``asked`` and ``longest_wait`` are by learner.
    """

    own: np.ndarray
    turn: np.ndarray
    even: np.ndarray
    asked: np.ndarray
    longest_wait: np.ndarray


class Outcome(NamedTuple):
    """Both rules' outcome of one case."""

    worst_first: Rule
    course: Rule


def outcome(case: Case, pool: ProcessPoolExecutor) -> Outcome:
    """Play all learners of one case."""
    learners = range(asset("refresh/simulation.toml")["course"]["learners"])
    rows = list(pool.map(play, [(case, number) for number in learners], chunksize=4))
    days = np.array([row[0] for row in rows]).swapaxes(0, 1)
    counts = np.array([row[1] for row in rows]).transpose(1, 2, 0)
    return Outcome(Rule(*days[:3], *counts[0]), Rule(*days[3:], *counts[1]))


def interval(values: np.ndarray) -> tuple[float, float, float]:
    """Return the mean over learners and its 95 % interval by resampling them."""
    chance = np.random.default_rng(SEED)
    number = asset("refresh/simulation.toml")["course"]["resamples"]
    picks = chance.integers(0, len(values), size=(number, len(values)))
    low, high = np.percentile(values[picks].mean(axis=1), [2.5, 97.5])  # the middle 95 %
    return float(values.mean()), float(low), float(high)


def cell(values: np.ndarray, *, signed: bool = False) -> str:
    """Return a mean with its interval in per cent."""
    sign = "+" if signed else ""
    mean, low, high = (f"{100 * number:{sign}.1f}" for number in interval(values))
    return f"{mean} ({low} to {high})"


def verdict(difference: np.ndarray, one: str, other: str) -> str:
    """Say which of two is better, or that the interval holds zero."""
    _, low, high = interval(difference)
    if low > 0:
        return one
    return other if high < 0 else NO_DIFFERENCE


def cases(given: dict[str, Any]) -> Iterator[Case]:
    """Yield all cases, in the order of the tables."""
    for law in given["laws"]:
        for memories in given["course"]["memories"]:
            for every in given["course"]["sessions_every"]:
                yield Case(law, memories, every)


def main() -> None:
    """Play everything and write the page."""
    given = asset("refresh/simulation.toml")
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        found = {case: outcome(case, pool) for case in cases(given)}
    PAGE.write_text(page(given, found), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=DOCS)


def page(given: dict[str, Any], found: dict[Case, Outcome]) -> str:
    """Return the whole page."""
    shown = [over_time(case, one) for case, one in found.items() if case.every == SHOWN_EVERY]
    head = "## Over time (simulation)"
    return "\n\n".join([introduction(given), which(found), course(found), head, *shown]) + "\n"


def which(found: dict[Case, Outcome]) -> str:
    """Return the table of what is worst known first against turns, and what it says."""
    rows = [
        "## Which objective comes: worst first, or in turn? (simulation)",
        "",
        "Mean retention over two years. *In turn* asks as many items in the same sessions, one "
        "objective after the other; *spread evenly* asks as many in turn, but as many in each "
        "session as in the next.",
        "",
        f"| law | memories | a session every | items asked | {WORST}, % | {TURN}, % "
        f"| {WORST} − {TURN} | {EVEN}, % | {WORST} − {EVEN} | better of {WORST} and {TURN} |",
        "|---|---|---|---|---|---|---|---|---|---|",
    ]
    verdicts = []
    for case, both in found.items():
        one = both.worst_first
        own, turn, even = (days.mean(axis=1) for days in one[:3])
        verdicts.append(verdict(own - turn, WORST, TURN))
        rows.append(
            f"{start(case)} | {one.asked.mean():.0f} | {cell(own)} | {cell(turn)} "
            f"| {cell(own - turn, signed=True)} | {cell(even)} | {cell(own - even, signed=True)} "
            f"| {verdicts[-1]} |"
        )
    turns, worst = verdicts.count(TURN), verdicts.count(WORST)
    if turns <= worst:
        raise SystemExit(f"in turn is better in {turns} cases, {WORST} in {worst}: change the rule")
    told = f"Better over two years, of {len(verdicts)} cases: {counted(verdicts)}."
    return "\n".join([*rows, "", f"{told} So the course asks in turn."])


def course(found: dict[Case, Outcome]) -> str:
    """Return the table of the course's own rule, and what it says."""
    rows = [
        "## The course's rule (simulation)",
        "",
        "What must be right to pass comes first and is due after "
        f"{profile().critical_due_days} days at the latest; all else comes in turn. *In turn* and "
        f"*spread evenly* ask as many items as the course; *{WORST}* asks as many as it has due, "
        "above. The longest wait is that between two questions on an objective that must be "
        "right, of all learners; beyond the days of the rule, it waited for the next session.",
        "",
        f"| law | memories | a session every | items asked | {COURSE}, % | {COURSE} − {TURN} "
        f"| {COURSE} − {EVEN} | {COURSE} − {WORST} | longest wait, days |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    against: dict[str, list[str]] = {TURN: [], EVEN: [], WORST: []}
    for case, both in found.items():
        one = both.course
        own = one.own.mean(axis=1)
        others = {TURN: one.turn, EVEN: one.even, WORST: both.worst_first.own}
        gaps = {words: own - days.mean(axis=1) for words, days in others.items()}
        for words, gap in gaps.items():
            against[words].append(verdict(gap, COURSE, words))
        told = " | ".join(cell(gap, signed=True) for gap in gaps.values())
        rows.append(
            f"{start(case)} | {one.asked.mean():.0f} | {cell(own)} | {told} "
            f"| {one.longest_wait.max()} |"
        )
    told = "; ".join(f"*{words}*: {counted(one)}" for words, one in against.items())
    after = (
        f"Better over two years, of {len(found)} cases, against {told}. *{WORST.capitalize()}* "
        "asks more questions where sessions leave room for them: what failed comes back soon, "
        "again and again. It keeps more where forgetting is exponential and sessions are many, and "
        "the course keeps as much or nearly so with fewer questions where it is logarithmic."
    )
    return "\n".join([*rows, "", after])


def over_time(case: Case, both: Outcome) -> str:
    """Return retention on some days of one case by the course's rule."""
    one = both.course
    rows = [
        f"{case.law.capitalize()}, {memories(case.memories)} an objective, a session every "
        f"{days(case.every)}:",
        "",
        f"| day | {COURSE}, % | {COURSE} − {TURN} | {COURSE} − {EVEN} |",
        "|---|---|---|---|",
    ]
    for day in SHOWN_DAYS:
        own, turn, even = (values[:, day - 1] for values in one[:3])
        rows.append(
            f"| {day} | {cell(own)} | {cell(own - turn, signed=True)} "
            f"| {cell(own - even, signed=True)} |"
        )
    return "\n".join(rows)


def counted(verdicts: list[str]) -> str:
    """Say how often which was better."""
    counts = [f"{words} in {verdicts.count(words)}" for words in dict.fromkeys(verdicts)]
    return ", ".join(counts)


def start(case: Case) -> str:
    """Return the first cells of a case's row."""
    return f"| {case.law} | {case.memories} | {days(case.every)}"


def memories(number: int) -> str:
    """Say a number of memories."""
    return "one memory" if number == 1 else f"{number} memories"


def days(number: int) -> str:
    """Say a number of days."""
    return "day" if number == 1 else f"{number} days"


def introduction(given: dict[str, Any]) -> str:
    """Return what was played, and what was assumed."""
    course, laws = given["course"], given["laws"]
    fast, slow = laws["exponential"], laws["logarithmic"]
    known, forgotten = course["says_known"], course["says_forgotten"]
    return f"""# Refreshing, tried on invented learners

**This is a simulation. No learner was measured.** It asks two questions. Is it better to ask what \
is least likely to be remembered first, or to ask in turn? And does the rule of `cubital refresh` \
help learners whose memory does *not* follow the law of its scheduler? That library takes \
forgetting to be a power law, with weights fitted to reviews of flashcards (ye-2022; from memory). \
Here learners forget by two other laws.

For training. Local policy, the device's instructions for use and licensed practice decide. \
Retention here is of knowledge; it says nothing on competence.

This page is generated: `{COMMAND}`. The assumptions are in `assets/refresh/simulation.toml`; \
every one is a teaching assumption.

## What is played

{course["learners"]} learners qualify on day 0 and know all {course["objectives"]} objectives \
then, {course["critical"]} of which have questions that must be right to pass; they refresh for \
{course["days"]} days, {course["minutes_a_session"]} minutes a session, \
{course["minutes_an_item"]} minutes an item. An objective has {course["items_each"]} items, and \
either one memory, which each of them tests and refreshes, or as many as items.

- **Worst first:** what is due by the memory model, the objective least likely to be remembered \
first, in turns with what is not begun; {100 * DESIRED_RETENTION:.0f} % wanted, {LONGEST_DAYS} \
days at most. Nothing comes first because it must be right.
- **The course:** the course's own choosing and scheduling. The same memory model says how many \
questions are due by when; the objective asked longest ago takes the earliest date.

An answer is right with the chance {1 - course["mishap"]:.2f} if it is remembered and \
{course["guess"]:g} if not. Who remembers says to be sure in {100 * known[0]:.0f} %, fairly sure \
in {100 * known[1]:.0f} %, and else half sure; who does not, in {100 * forgotten[0]:.0f} and \
{100 * forgotten[1]:.0f} %. Both rules count answers as the course does: right and half sure is \
hard, and sure is easy once two different items were right and sure. Each answer gets feedback at \
once, so that the time since begins anew.

- **Exponential** (settles-2016, as half-lives; from memory): R = exp(−t / S), t in days. S at \
the start is log-normal, median {fast["median"]} days, standard deviation of ln S \
{fast["between"]:g} between learners and {fast["spread"]:g} within. Right: S becomes \
S (1 + {fast["growth"]} (1 − R)), so that what had nearly been forgotten gains most (the spacing \
effect, cepeda-2006; the form is ours). Not right: S becomes the larger of {fast["relapse"]:g} S \
and its start.
- **Logarithmic** (the savings formula of ebbinghaus-1913; from memory): \
R = k / (k + (log₁₀ m)^c), m in minutes, c = {slow["power"]:g}. k at the start is log-normal, \
median {slow["median"]}, standard deviation of ln k {slow["between"]:g} between learners and \
{slow["spread"]:g} within. Right: k becomes k (1 + {slow["growth"]} (1 − R)). Not right: k becomes \
k (1 + {slow["relapse"]:g} (1 − R)).

Retention is the mean of R over all memories, before that day's session. Brackets are 95 % \
intervals of the mean over learners, each a run of its own, by resampling them \
{course["resamples"]} times; they hold the chance of the simulation and how learners differ, not \
the doubt in its assumptions."""


if __name__ == "__main__":
    main()
