"""Try the scheduling of `cubital refresh` on invented learners who forget by other laws.

    .venv/bin/python .ci/refresh_simulation.py

Plays two years of sessions with the course's own choosing and scheduling, and the same number
of items spread evenly over the same sessions, for learners whose memory follows laws unlike the
scheduler's own. Writes ``assets/docs/refresh.md`` and its check sum into ``generated.toml``. The
assumptions are in ``assets/refresh/simulation.toml``. Takes a few minutes.
"""

import functools
import os
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import exp, inf, isfinite, log10
from pathlib import Path
from typing import Any, NamedTuple

import generated
import numpy as np

from cubital.refresh.choosing import choose
from cubital.refresh.reviews import AGAIN, GOOD
from cubital.refresh.schedule import (
    DESIRED_RETENTION,
    LONGEST_DAYS,
    Standing,
    retrievability,
    reviewed,
)
from cubital.tables import Objective
from cubital.tables.files import asset

DOCS = Path(__file__).resolve().parents[1] / "assets" / "docs"
PAGE = DOCS / "refresh.md"
COMMAND = ".venv/bin/python .ci/refresh_simulation.py"
START = datetime(2027, 1, 1, 9, 0, tzinfo=UTC)
SHOWN_DAYS = (30, 91, 182, 365, 547, 730)
MINUTES_A_DAY = 24 * 60
SEED = 20270101
SCHEDULED, EVEN = "as scheduled", "spread evenly"


@dataclass
class Trace:
    """What one learner holds of one objective: a strength, its start, and the day last seen."""

    strength: float
    start: float
    seen: float = 0.0


class Law(NamedTuple):
    """How a trace is forgotten, and what an answer does to it."""

    retention: Callable[[float, float], float]
    after: Callable[[Trace, float, bool], float]


def exponential(given: dict[str, Any]) -> Law:
    """Return the law R = exp(-t / S)."""

    def after(trace: Trace, retention: float, right: bool) -> float:
        if right:
            return trace.strength * (1 + given["growth"] * (1 - retention))
        return max(trace.start, given["relapse"] * trace.strength)

    return Law(lambda strength, days: exp(-days / strength), after)


def logarithmic(given: dict[str, Any]) -> Law:
    """Return the law R = k / (k + (log10 m)^c), m in minutes."""

    def retention(strength: float, days: float) -> float:
        minutes = max(1.0, days * MINUTES_A_DAY)
        return strength / (strength + log10(minutes) ** given["power"])

    def after(trace: Trace, retention: float, right: bool) -> float:
        gain = given["growth"] if right else given["relapse"]
        return trace.strength * (1 + gain * (1 - retention))

    return Law(retention, after)


LAWS = {"exponential": exponential, "logarithmic": logarithmic}


class Learner:
    """One invented learner: traces that fade, and answers drawn by chance."""

    def __init__(self, law: str, number: int, course: dict[str, Any]) -> None:
        given = asset("refresh/simulation.toml")["laws"][law]
        drawn = np.random.default_rng((SEED, number)).standard_normal(course["objectives"])
        starts = given["median"] * np.exp(given["spread"] * drawn)
        self.law = LAWS[law](given)
        self.traces = [Trace(float(start), float(start)) for start in starts]
        self.course = course
        self.chance = np.random.default_rng((SEED, number, 1))

    def retention(self, day: float) -> float:
        """Return the mean share of the objectives that the learner would know on a day."""
        each = (self.law.retention(one.strength, day - one.seen) for one in self.traces)
        return sum(each) / len(self.traces)

    def answer(self, place: int, day: float) -> bool:
        """Answer an item of an objective, read the feedback, and remember it anew."""
        trace = self.traces[place]
        known = self.law.retention(trace.strength, day - trace.seen)
        guess, mishap = self.course["guess"], self.course["mishap"]
        right = bool(self.chance.random() < guess + (1 - guess - mishap) * known)
        trace.strength = self.law.after(trace, known, right)
        trace.seen = day
        return right


class StandIn(NamedTuple):
    """An item, as far as choosing needs to know it."""

    id: str
    minutes: float


@functools.cache
def objectives(number: int, items_each: int) -> tuple[Objective, ...]:
    """Return invented objectives with their items' names."""
    return tuple(
        Objective(
            key=f"o{n:02d}",
            title="",
            topic="",
            lesson="",
            section="",
            items=tuple(f"o{n:02d}-{i}" for i in range(items_each)),
            critical=(),
            pass_share=1.0,
            observed_practice="",
        )
        for n in range(number)
    )


def scheduled(learner: Learner, every: int) -> tuple[list[float], int, float]:
    """Play the sessions that the course lays out.

    Returns each day's retention, the number of items, and the day on which all was begun.
    """
    course = learner.course
    listed = objectives(course["objectives"], course["items_each"])
    places = {one.key: place for place, one in enumerate(listed)}
    cards: dict[str, Any] = {}
    asked: dict[str, datetime] = {}
    found, number, all_begun = [], 0, inf
    for day in range(1, course["days"] + 1):
        found.append(learner.retention(day))
        if day % every:
            continue
        now = START + timedelta(days=day)
        standings = [
            Standing(one, cards[one.key].due, retrievability(cards[one.key], now))
            if one.key in cards
            else Standing(one)
            for one in listed
        ]
        chosen = choose(
            standings,
            asked,
            minutes=course["minutes_a_session"],
            now=now,
            find=lambda one: [StandIn(name, course["minutes_an_item"]) for name in one.items],
        )
        for item in chosen:
            key = item.id.partition("-")[0]
            rating = GOOD if learner.answer(places[key], day) else AGAIN
            cards[key] = reviewed(cards.get(key), rating, now)
            asked[item.id] = now
            number += 1
        if len(cards) == len(listed):
            all_begun = min(all_begun, day)
    return found, number, all_begun


def spread_evenly(learner: Learner, every: int, number: int) -> list[float]:
    """Ask ``number`` items in turn, as many in each session as in the next; return retention."""
    days = learner.course["days"]
    sessions = days // every
    found, done, place = [], 0, 0
    for day in range(1, days + 1):
        found.append(learner.retention(day))
        if day % every:
            continue
        wanted = number * (day // every) // sessions
        for _ in range(wanted - done):
            learner.answer(place, day)
            place = (place + 1) % len(learner.traces)
        done = wanted
    return found


def play(job: tuple[str, int, int]) -> tuple[list[float], list[float], int, float]:
    """Play one learner both ways; return both retentions, the items, and when all was begun."""
    law, every, number = job
    course = asset("refresh/simulation.toml")["course"]
    ours, asked, begun = scheduled(Learner(law, number, course), every)
    return ours, spread_evenly(Learner(law, number, course), every, asked), asked, begun


class Outcome(NamedTuple):
    """Retention by learner and day both ways; by learner, the items and when all was begun."""

    scheduled: np.ndarray
    even: np.ndarray
    asked: np.ndarray
    begun: np.ndarray


def outcome(law: str, every: int, pool: ProcessPoolExecutor) -> Outcome:
    """Play all learners of one law who have a session every so many days."""
    learners = range(asset("refresh/simulation.toml")["course"]["learners"])
    rows = pool.map(play, [(law, every, number) for number in learners], chunksize=5)
    return Outcome(*map(np.array, zip(*rows, strict=True)))


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


def verdict(difference: np.ndarray) -> str:
    """Say which way is better, or that the interval holds zero."""
    _, low, high = interval(difference)
    if low > 0:
        return SCHEDULED
    return EVEN if high < 0 else "no difference shown"


def main() -> None:
    """Play everything and write the page."""
    given = asset("refresh/simulation.toml")
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        found = {
            (law, every): outcome(law, every, pool)
            for law in given["laws"]
            for every in given["course"]["sessions_every"]
        }
    PAGE.write_text(page(given, found), encoding="utf-8", newline="\n")
    generated.record(COMMAND, [PAGE], folder=DOCS)


def page(given: dict[str, Any], found: dict[tuple[str, int], Outcome]) -> str:
    """Return the whole page."""
    parts = [introduction(given), summary(found)]
    parts += [over_time(given, found, law) for law in given["laws"]]
    return "\n\n".join(parts) + "\n"


def summary(found: dict[tuple[str, int], Outcome]) -> str:
    """Return the table of all laws and rhythms, and what it says."""
    rows = [
        "## Mean over two years (simulation)",
        "",
        "| law | a session every | items asked | all begun on day "
        f"| {SCHEDULED}, % | {EVEN}, % | difference | better |",
        "|---|---|---|---|---|---|---|---|",
    ]
    verdicts = []
    for (law, every), one in found.items():
        ours, even = one.scheduled.mean(axis=1), one.even.mean(axis=1)
        better = verdict(ours - even)
        verdicts.append(better)
        rows.append(
            f"| {law} | {days(every)} | {one.asked.mean():.0f} | {middle(one.begun)} "
            f"| {cell(ours)} | {cell(even)} | {cell(ours - even, signed=True)} | {better} |"
        )
    counts = [f"{words} in {verdicts.count(words)}" for words in dict.fromkeys(verdicts)]
    rows += [
        "",
        f"Better over two years, of {len(verdicts)} cases: {', '.join(counts)}. "
        "*All begun* is the median day on which the scheduled learner had been asked about every "
        "objective: what is due and what is not begun take turns. The schedule asks often at first "
        "and seldom later, while asking in turn goes on as before; the last days below show that.",
    ]
    return "\n".join(rows)


def over_time(given: dict[str, Any], found: dict[tuple[str, int], Outcome], law: str) -> str:
    """Return the tables of one law: retention on some days, for each rhythm."""
    rows = [f"## Over time (simulation): {given['laws'][law]['title']}"]
    for every in given["course"]["sessions_every"]:
        one = found[law, every]
        rows += [
            "",
            f"A session every {days(every)}:",
            "",
            f"| day | {SCHEDULED}, % | {EVEN}, % | difference |",
            "|---|---|---|---|",
        ]
        for day in SHOWN_DAYS:
            ours, even = one.scheduled[:, day - 1], one.even[:, day - 1]
            line = f"| {day} | {cell(ours)} | {cell(even)} | {cell(ours - even, signed=True)} |"
            rows.append(line)
    return "\n".join(rows)


def middle(values: np.ndarray) -> str:
    """Return the median day, or that it did not come."""
    found = float(np.median(values))
    return f"{found:.0f}" if isfinite(found) else "not within two years"


def days(number: int) -> str:
    """Say a number of days."""
    return "day" if number == 1 else f"{number} days"


def introduction(given: dict[str, Any]) -> str:
    """Return what was played, and what was assumed."""
    course, laws = given["course"], given["laws"]
    fast, slow = laws["exponential"], laws["logarithmic"]
    return f"""# Refreshing, tried on invented learners

**This is a simulation. No learner was measured.** It asks one question: does the scheduling of \
`cubital refresh` help learners whose memory does *not* follow the scheduler's own law? Its \
library takes forgetting to be a power law, with weights fitted to reviews of flashcards \
(ye-2022; from memory). Here learners forget by two other laws.

For training. Local policy, the device's instructions for use and licensed practice decide. \
Retention here is of knowledge; it says nothing on competence.

This page is generated: `{COMMAND}`. The assumptions are in `assets/refresh/simulation.toml`; \
every one is a teaching assumption.

## What is played

{course["learners"]} learners qualify on day 0 and know all {course["objectives"]} objectives \
then; they refresh for {course["days"]} days, {course["minutes_a_session"]} minutes a session, \
{course["minutes_an_item"]} minutes an item.

- **As scheduled:** the course's own choosing and scheduling: what is due, least likely \
remembered first, in turns with what is not begun; {100 * DESIRED_RETENTION:.0f} % wanted, \
{LONGEST_DAYS} days at most. A right answer counts as good, any other as again.
- **Spread evenly:** the same learner is asked the same number of items, as many in each session \
as in the next, one objective after the other.

An answer is right with the chance {course["guess"]:g} + \
{1 - course["guess"] - course["mishap"]:.2f} R: some guess right, some slip. Each answer gets \
feedback at once, so that the time since begins anew.

- **Exponential** (settles-2016, as half-lives; from memory): R = exp(−t / S), t in days. S at \
the start is log-normal, median {fast["median"]} days, standard deviation of ln S \
{fast["spread"]:g}. Right: S becomes S (1 + {fast["growth"]} (1 − R)), so that what had nearly \
been forgotten gains most (the spacing effect, cepeda-2006; the form is ours). Not right: S \
becomes the larger of {fast["relapse"]:g} S and its start.
- **Logarithmic** (the savings formula of ebbinghaus-1913; from memory): \
R = k / (k + (log₁₀ m)^c), m in minutes, c = {slow["power"]:g}. k at the start is log-normal, \
median {slow["median"]}, standard deviation of ln k {slow["spread"]:g}. Right: k becomes \
k (1 + {slow["growth"]} (1 − R)). Not right: k becomes k (1 + {slow["relapse"]:g} (1 − R)).

Retention is the mean of R over the objectives, before that day's session. Brackets are 95 % \
intervals of the mean over learners, by resampling them {course["resamples"]} times; they hold the \
chance of the simulation alone, not the doubt in its assumptions."""


if __name__ == "__main__":
    main()
