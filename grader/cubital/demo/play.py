"""What invented learners do: who answers what, right or with which slip. Pure, from a seed."""

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from math import exp
from typing import Any

from cubital import tables
from cubital.handin.answers import LEVELS
from cubital.handin.ids import canonical_id
from cubital.handin.released.questions import Question
from cubital.handin.released.sealed import Sealed
from cubital.items import ExpressionItem, Item, NumberItem, TextItem, find

STANDARD, CORRUPT, ABSENT, COPIED = "standard", "corrupt", "absent", "copied"


@dataclass(frozen=True)
class Act:
    """What one learner enters for one item, and what it must be marked as.

    ``outcome`` is ``right``, ``slip``, ``wrong``, ``blank`` or ``waiting``; ``points`` is None
    for a text that nobody has marked yet.
    """

    item: str
    outcome: str
    points: float | None
    entered: Any = None
    slip: str | None = None
    confidence: float | None = None


@dataclass(frozen=True)
class Part:
    """One learner of the cohort, how the hand-in arrives, and what is in it."""

    learner: str
    given_name: str
    family_name: str
    arrives: str
    acts: tuple[Act, ...]


def check_number(learners: int) -> None:
    """Raise ValueError if there are not names for so many learners, or none are wanted."""
    demo = tables.demo_cohort()
    most = len(demo["given_names"]) * len(demo["family_names"])
    if not 1 <= learners <= most:
        raise ValueError(f"the number of learners is {learners}: it must be from 1 to {most}")


def names(learners: int) -> list[tuple[str, str, str]]:
    """Return id, given and family name of so many invented learners.

    Raises
    ------
    ValueError
        Fewer than 1 or more learners than there are invented names for.
    """
    check_number(learners)
    demo = tables.demo_cohort()
    given, family = demo["given_names"], demo["family_names"]
    both = [
        (given[n % len(given)], family[(n + n // len(given)) % len(family)])
        for n in range(learners)
    ]
    return [(canonical_id(f"{first}.{last}"), first, last) for first, last in both]


def cast(sealed: Sealed, learners: int, seed: int) -> list[Part]:
    """Return the cohort: mostly standard, from four learners on with one of each trouble.

    Raises
    ------
    ValueError
        Fewer than 1 or more learners than there are invented names for.
    """
    demo = tables.demo_cohort()
    chance = random.Random(seed)
    called = names(learners)
    arrivals = [STANDARD] * learners
    if learners > len((CORRUPT, ABSENT, COPIED)):
        places = chance.sample(range(1, learners), 3)
        for place, arrival in zip(places, (CORRUPT, ABSENT, COPIED), strict=True):
            arrivals[place] = arrival
    standard = [place for place in range(learners) if arrivals[place] == STANDARD]
    half_done = set(chance.sample(standard, min(demo["play"]["half_done"], len(standard) // 3)))
    waiting = set(
        chance.sample(standard, min(demo["play"]["waiting_for_hand_marking"], len(standard) // 3))
    )
    parts = []
    for place, (learner, given, family) in enumerate(called):
        acts = _acts(sealed, learner, chance, place in half_done, place in waiting)
        parts.append(Part(learner, given, family, arrivals[place], acts))
    return parts


def _acts(
    sealed: Sealed, learner: str, chance: random.Random, half_done: bool, waiting: bool
) -> tuple[Act, ...]:
    demo = tables.demo_cohort()
    skill = chance.gauss(demo["play"]["skill_mean"], demo["play"]["skill_spread"])
    asked = {key: question for key, (question, _) in sealed.all_asked(learner, None).items()}
    listed = [find(key) for key in asked]
    left_open = set()
    if half_done:
        left_open = {
            i.id for i in chance.sample(listed, chance.randint(*demo["play"]["open_boxes"]))
        }
    acts = []
    for item in listed:
        values = dict(asked[item.id].values)
        if item.id in left_open:
            acts.append(Act(item.id, "blank", 0.0))
        elif isinstance(item, TextItem):
            acts.append(_text(item, demo, skill, chance, waiting))
        elif chance.random() < 1 / (1 + exp(-(skill + demo["ease"][item.id]))):
            acts.append(Act(item.id, "right", item.points, _right(item, values, chance)))
        else:
            acts.append(_mistake(item, values, chance, demo["play"]["slip_share"]))
    said = random.Random(f"{sealed.papers.release}|{learner}|how sure")
    told = (
        act if isinstance(item, ExpressionItem) else _with_confidence(act, said)
        for act, item in zip(acts, listed, strict=True)
    )
    return tuple(_on_paper(act, asked[act.item]) for act in told)


def _on_paper(act: Act, question: Question) -> Act:
    """Return the act as it is entered on the learner's paper."""
    return replace(act, entered=question.as_entered(act.entered))


def _with_confidence(act: Act, chance: random.Random) -> Act:
    """Let a learner say how sure they are of an answer that a field takes, or not say it."""
    play = tables.demo_cohort()["play"]
    in_field = act.outcome in {"right", "slip", "wrong"}
    if not in_field or chance.random() >= play["says_how_sure"]:
        return act
    weights = play["sure_when_right" if act.outcome == "right" else "sure_when_not_right"]
    (share,) = chance.choices([share for share, _ in LEVELS], weights)
    return replace(act, confidence=share)


def _right(item: Item, values: dict[str, Any], chance: random.Random) -> Any:
    if isinstance(item, NumberItem):
        return _typed(item, item.answer(values), chance)
    return item.solution(values)


def _mistake(item: Item, values: dict[str, Any], chance: random.Random, slip_share: float) -> Act:
    if not isinstance(item, NumberItem):
        entered = item.slip_answers(values)
        key = chance.choice(list(entered))
        return Act(item.id, "slip", 0.0, entered[key], key)
    numbers = item.slip_values(values)
    if chance.random() < slip_share:
        key = chance.choice(sorted(numbers))
        return Act(item.id, "slip", 0.0, _typed(item, numbers[key], chance), key)
    # A number of no known origin: half-way in the widest gap between the known ones.
    known = sorted([item.answer(values), *numbers.values()])
    low, high = max(pairwise(known), key=lambda pair: pair[1] - pair[0])
    return Act(item.id, "wrong", 0.0, _typed(item, (low + high) / 2, chance))


def _typed(item: NumberItem, number: float, chance: random.Random) -> str:
    """Write a number as people do: sometimes in another unit, sometimes with a decimal comma."""
    ways = [item.as_typed(number, 4)]
    if item.unit == "mm":
        ways.append(f"{number / 10:.4g} cm")
    if item.unit == "":
        ways.append(f"{100 * number:.4g} %")
    if item.unit == "h":
        ways.append(f"{60 * number:.4g} min")
    typed = chance.choice(ways)
    if chance.random() < 0.2 and len(typed.partition(".")[2].split(" ")[0]) != 3:
        typed = typed.replace(".", ",")
    return typed


def _text(
    item: TextItem, demo: Mapping[str, Any], skill: float, chance: random.Random, waiting: bool
) -> Act:
    texts = sorted(demo["text"], key=lambda text: text["points"])
    place = min(len(texts) - 1, max(0, round(skill + chance.gauss(0.8, 0.7))))
    text = texts[place]
    return Act(item.id, "waiting", None if waiting else float(text["points"]), text["words"])
