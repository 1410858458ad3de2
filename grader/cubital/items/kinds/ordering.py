"""Steps to put in order: what comes before what, and who believes otherwise."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import permutations
from typing import Any, ClassVar, NamedTuple, Self

from cubital.items.kinds.base import Item, Mistake, Values, repeated
from cubital.items.kinds.form import Answer, Form, keyed, renamed
from cubital.items.kinds.key import Judgement, Key, Truth
from cubital.items.kinds.plain import Offered
from cubital.items.typed.quantity import UnreadableAnswerError


@dataclass(frozen=True)
class Step:
    """One thing to put into its place."""

    key: str
    text: str


class Before(NamedTuple):
    """A rule: ``first`` comes before ``then``; else someone "believes that ``misconception``"."""

    key: str
    first: str
    then: str
    misconception: str


@dataclass(frozen=True, kw_only=True)
class OrderForm(Form):
    """The steps in the order that they are shown."""

    kind: ClassVar[str] = "order"
    holds: ClassVar[str] = "order"

    steps: tuple[Offered, ...]

    @property
    def hint(self) -> str:
        """The words that say how to answer."""
        return "First at the top. Move a step with its two buttons."

    @property
    def offered(self) -> tuple[str, ...]:
        """The steps' texts."""
        return tuple(step.text for step in self.steps)

    def parts(self) -> dict[str, object]:
        """Return the steps."""
        return {"steps": keyed(self.steps)}

    def keys(self) -> tuple[str, ...]:
        """Return the steps' keys."""
        return tuple(step.key for step in self.steps)

    def with_keys(self, names: Mapping[str, str]) -> Self:
        """Return the form with other keys for the steps."""
        return replace(self, steps=renamed(self.steps, names))

    def read(self, typed: Any) -> dict[str, Any]:
        """Return the order as a list of the steps' keys, each once."""
        texts = dict(self.steps)
        if not isinstance(typed, list | tuple) or not all(isinstance(key, str) for key in typed):
            raise UnreadableAnswerError("Put the steps in order.")
        if twice := repeated(typed):
            text = texts.get(twice[0], twice[0])
            raise UnreadableAnswerError(f"“{text}” stands twice in the order: use each step once.")
        if sorted(typed) != sorted(texts):
            raise UnreadableAnswerError(
                f"The order has {len(typed)} of {len(texts)} steps: use each of them once."
            )
        return {"order": list(typed)}

    def in_words(self, answer: Answer) -> str:
        """Say the order, step by step."""
        texts = dict(self.steps)
        numbered = enumerate(answer["order"], 1)
        return "; ".join(f"{number}. {texts[key].rstrip('.')}" for number, key in numbered) + "."


@dataclass(frozen=True, kw_only=True)
class OrderKey(Key):
    """The rules that a right order keeps; each one kept gives its share of the points."""

    kind: ClassVar[str] = OrderForm.kind

    rules: tuple[Before, ...]

    def _judge(self, form: OrderForm, answer: Answer, truth: Truth | None) -> Judgement:
        broken = broken_rules(self.rules, form.read(answer["order"])["order"])
        if not broken:
            return self.judged("right", "Right.")
        first, kept = broken[0], len(self.rules) - len(broken)
        words = f"{kept} of {len(self.rules)} rules are kept. This order "
        words += "; it also ".join(rule.misconception for rule in broken) + "."
        points = round(self.points * kept / len(self.rules), 2)
        return Judgement("slip", points, words, first.key, first.misconception)


@dataclass(frozen=True)
class OrderItem(Item):
    """Steps to put in order; every order that keeps all rules is right, each one kept its share.

    ``steps`` are in a right order. ``draw_values`` draws the order in which they are shown, as
    their keys under ``"shown"``; one that keeps more than half of the rules is drawn again, so that
    leaving it as it is earns no more. Where an answer breaks several rules, all are told, and the
    one that stands first is counted as the slip.
    """

    kind: ClassVar[str] = OrderForm.kind
    missing_key: ClassVar[str] = "; a rule, or values['shown'], may name a step that is not there"

    steps: Callable[[Values], Sequence[Step]] = lambda _values: ()
    rules: tuple[Before, ...] = ()

    def form(self, values: Values) -> OrderForm:
        """Return the form at these values."""
        texts = {step.key: step.text for step in self.steps(values)}
        return OrderForm(
            **self.form_parts(values),
            steps=tuple(Offered(key, texts[key]) for key in values["shown"]),
        )

    def broken(self, order: Sequence[str]) -> list[Before]:
        """Return the rules that an order of keys breaks, in the rules' own order."""
        return broken_rules(self.rules, order)

    def collides(self, values: Values) -> bool:
        """Tell whether the order in which the steps are shown keeps more than half of the rules."""
        return 2 * len(self.broken(values["shown"])) < len(self.rules)

    def key(self, values: Values, *, seal: str = "") -> OrderKey:
        """Return the key, which is the same for every learner."""
        return OrderKey(**self.key_parts(values), rules=self.rules)

    def solution(self, values: Values, truth: Truth | None = None) -> list[str]:
        """Return a right order."""
        return [step.key for step in self.steps(values)]

    def slip_answers(self, values: Values, truth: Truth | None = None) -> dict[str, list[str]]:
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

    def mistakes(self, values: Values) -> Sequence[Mistake]:
        """Return the rules with the steps that they keep apart."""
        texts = {step.key: step.text.rstrip(".") for step in self.steps(values)}
        return [
            Mistake(
                rule.key, f"“{texts[rule.then]}” before “{texts[rule.first]}”", rule.misconception
            )
            for rule in self.rules
        ]

    def slip_keys(self, draws: Iterable[Values]) -> set[str]:
        """Return the keys of the rules, which are the same for every learner."""
        return {rule.key for rule in self.rules}

    def tolerance_in_words(self, values: Values) -> str:
        """Say how the points are shared."""
        return "each rule that is kept gives its share of the points"

    def tallies(self, values: Values) -> Mapping[str, Sequence[str]]:
        """Return which step is shown first."""
        return {"Step shown first": [values["shown"][0]]}

    def plain_faults(self) -> Iterator[str]:
        """Yield that there are no rules."""
        if not self.rules:
            yield "rules is empty: say what comes before what"

    def faults_at(self, values: Values) -> Iterator[str]:
        """Yield what is wrong with steps and rules."""
        keys = [step.key for step in self.steps(values)]
        yield from (f"two steps have the key {key!r}" for key in repeated(keys))
        if sorted(values["shown"]) != sorted(keys):
            yield "values['shown'] must hold the keys of all steps, each once"
        for rule in self.broken(keys):
            yield f"the steps as listed break the rule {rule.key!r}"
        untold = {rule.key for rule in self.rules} - set(self.slip_answers(values))
        yield from (f"no order is told as breaking the rule {key!r}" for key in sorted(untold))


def broken_rules(rules: Sequence[Before], order: Sequence[str]) -> list[Before]:
    """Return the rules that an order of keys breaks, in the rules' own order."""
    place = {key: at for at, key in enumerate(order)}
    return [rule for rule in rules if place[rule.first] > place[rule.then]]


def _one_moved(order: list[str]) -> list[list[str]]:
    """Return every order with one step moved to another place."""
    moved: list[list[str]] = []
    for key in order:
        rest = [other for other in order if other != key]
        moved.extend([*rest[:at], key, *rest[at:]] for at in range(len(order)))
    return moved
