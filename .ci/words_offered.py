"""What is offered in the course's choices: the texts of the options, and nothing else of them."""

import importlib
import pkgutil
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from types import ModuleType

from cubital import items, tables
from cubital.handin.released.release import new_release
from cubital.items import ChoiceItem
from cubital.items.cases.case import Case
from cubital.items.principles.asked import VignetteItem
from cubital.items.principles.vignette import Principle

WORKSHEETS, PRINCIPLES, CASES = "worksheets", "principles", "cases"
BANKS = (WORKSHEETS, PRINCIPLES, CASES)
RELEASE = "autumn"
LEARNERS = tuple(f"learner-{number:02d}" for number in range(40))
DIGITS = re.compile(r"\d+(?:[.,:]\d+)*")


@dataclass(frozen=True)
class Offer:
    """One option: its words, whether it is the answer, and whether it stops, where that is told."""

    text: str
    right: bool
    stops: bool = False


@dataclass(frozen=True)
class Question:
    """The options of one question, in each of the sets in which they are offered.

    ``weights`` are the shares of the learners who get each set; their sum is 1. ``group`` is what
    is left out together: a worksheet, a principle, the cases of a topic. ``present`` is false for
    a vignette that lacks what its principle warns of; ``pair`` is that of a vignette which has it:
    the two of a pair are asked at one sitting.
    """

    key: str
    bank: str
    group: str
    critical: bool
    offered: tuple[tuple[Offer, ...], ...]
    weights: tuple[float, ...] = (1.0,)
    present: bool = True
    pair: tuple[str, ...] = ()


@cache
def all_questions() -> tuple[Question, ...]:
    """Return every choice of the worksheets, vignette of a principle and choice of a case."""
    return (
        *(one for sheet in items.WORKSHEETS for one in of_worksheet(sheet)),
        *(one for module in modules("principles") for one in of_module(module)),
        *(one for module in modules("cases") for one in of_module(module)),
    )


def modules(folder: str) -> Iterator[ModuleType]:
    """Yield the modules of a folder of ``cubital.items``."""
    name = f"cubital.items.{folder}"
    for found in pkgutil.iter_modules(importlib.import_module(name).__path__):
        yield importlib.import_module(f"{name}.{found.name}")


def of_module(module: ModuleType) -> tuple[Question, ...]:
    """Return the questions that a module defines: items of choice, a principle or cases."""
    held = vars(module)
    choices = [one for one in held.values() if isinstance(one, ChoiceItem)]
    found = [of_item(item, _sheet_of(item)) for item in choices]
    if "PRINCIPLE" in held:
        found += of_principle(held["PRINCIPLE"])
    for case in held.get("CASES", ()):
        found += of_case(case, module.__name__.rpartition(".")[2])
    return tuple(found)


# --------------------------------------------------------------------------- the worksheets


def of_worksheet(sheet: str) -> tuple[Question, ...]:
    """Return the choices of a worksheet."""
    return tuple(
        of_item(item, sheet) for item in items.WORKSHEETS[sheet] if isinstance(item, ChoiceItem)
    )


def of_item(item: ChoiceItem, sheet: str) -> Question:
    """Return a choice of a worksheet, as it is offered to the learners of one release."""
    release = new_release(RELEASE, sheet)
    drawn = (item.options(release.values(item, learner)) for learner in LEARNERS)
    sets = Counter(
        tuple(sorted((Offer(DIGITS.sub("0", one.text), one.right) for one in options), key=str))
        for options in drawn
    )
    weights = tuple(count / len(LEARNERS) for count in sets.values())
    critical = item.id in critical_items()
    return Question(item.id, WORKSHEETS, sheet, critical, tuple(sets), weights)


@cache
def critical_items() -> frozenset[str]:
    """Return the ids of the items that must be right whatever the points are."""
    return frozenset(key for one in tables.curriculum().objectives for key in one.critical)


@cache
def questions_on_principles() -> frozenset[str]:
    """Return the ids of the worksheets' questions that ask vignettes of a principle."""
    listed = (item for held in items.WORKSHEETS.values() for item in held)
    return frozenset(item.id for item in listed if isinstance(item, VignetteItem))


def _sheet_of(item: ChoiceItem) -> str:
    listed = (sheet for sheet, held in items.WORKSHEETS.items() if item in held)
    return next(listed, next(iter(items.WORKSHEETS)))  # an item that no worksheet lists yet


# --------------------------------------------------------------------------- the principles


def of_principle(principle: Principle) -> list[Question]:
    """Return the vignettes of a principle; those with its trigger are critical."""
    pairs = {key: pair for pair in principle.pairs for key in pair}
    return [
        Question(
            f"{principle.key}: {vignette.key}",
            PRINCIPLES,
            principle.key,
            critical=vignette.present,
            offered=(tuple(Offer(way.text, way.right, way.stops) for way in vignette.ways),),
            present=vignette.present,
            pair=pairs.get(vignette.key, ()),
        )
        for vignette in principle.vignettes
    ]


# --------------------------------------------------------------------------- the cases


def of_case(case: Case, topic: str) -> list[Question]:
    """Return what a case asks: which way, and for which reason."""
    return [
        Question(
            f"{case.key}: {name}",
            CASES,
            topic,
            critical=False,
            offered=(tuple(Offer(one.text, one.right) for one in options),),
        )
        for name, options in (("way", case.ways), ("reason", case.reasons))
    ]


def in_groups(questions: Iterable[Question]) -> dict[str, list[Question]]:
    """Return the questions by what is left out together."""
    found: dict[str, list[Question]] = {}
    for one in questions:
        found.setdefault(one.group, []).append(one)
    return found
