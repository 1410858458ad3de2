"""Items that ask for an order: what comes before what, and who believes otherwise."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Any, ClassVar

from cubital.items.kinds.base import Item, Judgement, Values
from cubital.items.kinds.quantity import UnreadableAnswerError


@dataclass(frozen=True)
class Step:
    """One thing to put into its place."""

    key: str
    text: str


@dataclass(frozen=True)
class Before:
    """A rule: ``first`` comes before ``then``; else someone "believes that ``misconception``"."""

    key: str
    first: str
    then: str
    misconception: str


@dataclass(frozen=True)
class OrderItem(Item):
    """Steps to put in order; every order that keeps all rules is right.

    ``steps`` are in a right order. ``draw_values`` draws the order in which they are shown, as
    their keys under ``"shown"``; one that is right already is drawn again. Where an answer breaks
    several rules, the one that stands first is told.
    """

    kind: ClassVar[str] = "order"

    steps: Callable[[Values], Sequence[Step]] = lambda _values: ()
    rules: tuple[Before, ...] = ()

    def broken(self, order: Sequence[str]) -> list[Before]:
        """Return the rules that an order of keys breaks, in the rules' own order."""
        place = {key: at for at, key in enumerate(order)}
        return [rule for rule in self.rules if place[rule.first] > place[rule.then]]

    def collides(self, values: Values) -> bool:
        """Tell whether the steps are shown in a right order already."""
        return not self.broken(values["shown"])

    def read(self, typed: Any, values: Values) -> dict[str, Any]:
        """Return the order as a list of the steps' keys, each once."""
        keys = [step.key for step in self.steps(values)]
        if not isinstance(typed, list | tuple) or not all(isinstance(key, str) for key in typed):
            raise UnreadableAnswerError("Put the steps in order.")
        twice = [key for key in dict.fromkeys(typed) if list(typed).count(key) > 1]
        if twice:
            text = next((s.text for s in self.steps(values) if s.key == twice[0]), twice[0])
            raise UnreadableAnswerError(f"“{text}” stands twice in the order: use each step once.")
        if sorted(typed) != sorted(keys):
            raise UnreadableAnswerError(
                f"The order has {len(typed)} of {len(keys)} steps: use each of them once."
            )
        return {"order": list(typed)}

    def _judge(self, values: Values, answer: Mapping[str, Any]) -> Judgement:
        order = self.read(answer["order"], values)["order"]
        broken = self.broken(order)
        if not broken:
            return self.judged("right", "Right.")
        first = broken[0]
        return self.slipped("This is the order of someone who", first.key, first.misconception)

    def in_words(self, values: Values, answer: Mapping[str, Any]) -> str:
        """Say the order, step by step."""
        texts = {step.key: step.text for step in self.steps(values)}
        numbered = enumerate(answer["order"], 1)
        return "; ".join(f"{number}. {texts[key].rstrip('.')}" for number, key in numbered) + "."

    def solution(self, values: Values) -> list[str]:
        """Return a right order."""
        return [step.key for step in self.steps(values)]

    def slip_answers(self, values: Values) -> dict[str, list[str]]:
        """Return, for each rule, an order that is told as breaking it."""
        right = self.solution(values)
        found: dict[str, list[str]] = {}
        for order in (*_one_moved(right), *map(list, permutations(right))):
            broken = self.broken(order)
            if broken:
                found.setdefault(broken[0].key, order)
            if len(found) == len(self.rules):
                break
        return found


def _one_moved(order: list[str]) -> list[list[str]]:
    """Return every order with one step moved to another place."""
    moved = []
    for key in order:
        rest = [other for other in order if other != key]
        moved.extend([*rest[:at], key, *rest[at:]] for at in range(len(order)))
    return moved
