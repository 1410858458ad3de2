"""What is done, and what decided it: one of several ways, and one of several reasons."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Self

from cubital.items.kinds.base import Item, Mistake, Values, repeated
from cubital.items.kinds.choice import Option, too_often_at_one_place
from cubital.items.kinds.form import Answer, Form, keyed, renamed
from cubital.items.kinds.key import Believed, Judgement, Key, Truth
from cubital.items.kinds.plain import Offered
from cubital.items.typed.quantity import UnreadableAnswerError

WAY, REASON = "way", "reason"
ASKED = {WAY: "What do you do?", REASON: "What decided it?"}

_FEWEST_OPTIONS = 3
_SHARE_OF_THE_WAY = 0.5  # of the points, for the right decision without its reason
_ONE_OF_EACH = "Choose what you do, and what decided it."


@dataclass(frozen=True, kw_only=True)
class DecisionForm(Form):
    """The ways and the reasons in the order that this learner sees."""

    kind: ClassVar[str] = "decision"
    holds: ClassVar[str] = "decision"
    in_parts: ClassVar[bool] = True

    ways: tuple[Offered, ...]
    reasons: tuple[Offered, ...]

    @property
    def hint(self) -> str:
        """The words that say how to answer."""
        return "Choose one of each: what you do, and what decided it."

    @property
    def offered(self) -> tuple[str, ...]:
        """The ways' texts, then the reasons', each after what it answers."""
        return (
            *(f"{ASKED[WAY]} {way.text}" for way in self.ways),
            *(f"{ASKED[REASON]} {reason.text}" for reason in self.reasons),
        )

    def parts(self) -> dict[str, object]:
        """Return both groups of options, each with what it answers."""
        return {
            "groups": [
                {"name": name, "asked": ASKED[name], "options": keyed(options)}
                for name, options in ((WAY, self.ways), (REASON, self.reasons))
            ]
        }

    def keys(self) -> tuple[str, ...]:
        """Return the ways' keys and the reasons'."""
        return tuple(option.key for option in (*self.ways, *self.reasons))

    def with_keys(self, names: Mapping[str, str]) -> Self:
        """Return the form with other keys for ways and reasons."""
        ways, reasons = renamed(self.ways, names), renamed(self.reasons, names)
        return replace(self, ways=ways, reasons=reasons)

    def read(self, typed: Any) -> dict[str, Any]:
        """Return what was chosen of each group, as far as something was."""
        if not isinstance(typed, Mapping) or not typed:
            raise UnreadableAnswerError(_ONE_OF_EACH)
        offered = {WAY: self.ways, REASON: self.reasons}
        for name, chosen in typed.items():
            if name not in offered or chosen not in [one.key for one in offered[name]]:
                raise UnreadableAnswerError("Choose one of the options.")
        return {"decision": {name: typed[name] for name in offered if name in typed}}

    def in_words(self, answer: Answer) -> str:
        """Say the way that was chosen, and the reason."""
        given = answer["decision"]
        said = []
        for name, options, opening in (
            (WAY, self.ways, ""),
            (REASON, self.reasons, "Decided by: "),
        ):
            if name in given:
                said.append(opening + dict(options)[given[name]])
        return " ".join(text if text.endswith((".", "?", "!")) else f"{text}." for text in said)

    def saved_as(self, answer: Answer) -> str:
        """Say what is still missing."""
        missing = self.missing(answer)
        return f", but {missing} is missing" if missing else ""

    def missing(self, answer: Answer) -> str:
        """Name the group that nothing was chosen of."""
        given = answer["decision"]
        return "" if len(given) == len(ASKED) else "the reason" if WAY in given else "the decision"


@dataclass(frozen=True, kw_only=True)
class DecisionKey(Key):
    """What is believed by who chooses each way and each reason; the right ones have nothing."""

    kind: ClassVar[str] = DecisionForm.kind

    ways: tuple[Believed, ...]
    reasons: tuple[Believed, ...]

    def _judge(self, form: DecisionForm, answer: Answer, truth: Truth | None) -> Judgement:
        given = form.read(answer["decision"])["decision"]
        way, reason = given.get(WAY), given.get(REASON)
        # None is something that was not chosen, and "" the right option
        of_way = None if way is None else dict(self.ways)[way]
        of_reason = None if reason is None else dict(self.reasons)[reason]
        if of_way == of_reason == "":
            return self.judged("right", "Right: the decision, and what decided it.")
        words = " ".join(
            [
                _said(of_way, of_reason),
                *([f"This decision {of_way}."] if of_way else []),
                *([f"This reason {of_reason}."] if of_reason else []),
            ]
        )
        if of_way:
            return self.judged("slip", words, way, of_way)
        points = round(_SHARE_OF_THE_WAY * self.points, 2) if of_way == "" else 0.0
        if of_reason:
            return Judgement("slip", points, words, reason, of_reason)
        return Judgement("wrong", points, words)

    def right_in_words(self, form: DecisionForm) -> str:
        """Say the way and the reason that are right."""
        right = {WAY: _right(self.ways), REASON: _right(self.reasons)}
        return form.in_words({"decision": right})


def _said(of_way: str | None, of_reason: str | None) -> str:
    """Say which of the two is not right."""
    if of_way and of_reason:
        return "Neither the decision nor the reason is right."
    state = {None: "was not chosen", "": "is right"}
    way, reason = (state.get(one, "is not right") for one in (of_way, of_reason))
    joined = "and" if of_way != "" and of_reason != "" else "but"
    return f"The decision {way}, {joined} the reason {reason}."


def _right(options: Sequence[Believed]) -> str:
    return next(key for key, misconception in options if not misconception)


@dataclass(frozen=True)
class DecisionItem(Item):
    """A decision with what decided it: no points for another decision, whatever its reason.

    The right decision with another reason, or with none, gives half. ``ways`` and ``reasons``
    come in the order that the learner sees; the keys of all of them differ.
    """

    kind: ClassVar[str] = DecisionForm.kind

    ways: Callable[[Values], Sequence[Option]] = lambda _values: ()
    reasons: Callable[[Values], Sequence[Option]] = lambda _values: ()
    because: str = ""

    def form(self, values: Values) -> DecisionForm:
        """Return the form at these values."""
        return DecisionForm(
            **self.form_parts(values),
            ways=tuple(option.offered for option in self.ways(values)),
            reasons=tuple(option.offered for option in self.reasons(values)),
        )

    def key(self, values: Values, *, seal: str = "") -> DecisionKey:
        """Return the key at these values."""
        ways, reasons = (
            tuple(Believed(one.key, one.misconception) for one in options(values))
            for options in (self.ways, self.reasons)
        )
        return DecisionKey(**self.key_parts(values), ways=ways, reasons=reasons)

    def route_to(self, values: Values) -> str:
        """Say why this decision, and at what price."""
        return self.because

    def solution(self, values: Values, truth: Truth | None = None) -> dict[str, str]:
        """Return the keys of the right way and the right reason."""
        return {
            name: next(option.key for option in options(values) if option.right)
            for name, options in ((WAY, self.ways), (REASON, self.reasons))
        }

    def slip_answers(self, values: Values, truth: Truth | None = None) -> dict[str, dict[str, str]]:
        """Return each wrong option with the right one of the other group."""
        right = self.solution(values)
        return {
            option.key: right | {name: option.key}
            for name, options in ((WAY, self.ways), (REASON, self.reasons))
            for option in options(values)
            if not option.right
        }

    def mistakes(self, values: Values) -> Sequence[Mistake]:
        """Return the wrong ways and the wrong reasons."""
        options = (*self.ways(values), *self.reasons(values))
        return [Mistake(one.key, one.text, one.misconception) for one in options if not one.right]

    def tolerance_in_words(self, values: Values) -> str:
        """Say how the points are shared."""
        return "the right decision with another reason gives half"

    def tallies(self, values: Values) -> Mapping[str, Sequence[str]]:
        """Return which way and which reason are right, and where they stand."""
        found = {}
        for name, options in ((WAY, self.ways(values)), (REASON, self.reasons(values))):
            keys, right = [option.key for option in options], self.solution(values)[name]
            found[f"{name.capitalize()} that is right"] = [right]
            found[f"Place of the right {name}"] = [str(keys.index(right) + 1)]
        return found

    def faults_at(self, values: Values) -> Iterator[str]:
        """Yield what is wrong with ways and reasons."""
        groups = {"ways": self.ways(values), "reasons": self.reasons(values)}
        for name, options in groups.items():
            right = sum(option.right for option in options)
            if right != 1:
                yield (
                    f"{right} of the {name} are right: leave misconception empty on one, and on "
                    "no other"
                )
            if len(options) < _FEWEST_OPTIONS:
                yield f"there are {len(options)} {name}: {_FEWEST_OPTIONS} at least"
            texts = [option.text for option in options]
            yield from (f"two of the {name} say {text!r}" for text in repeated(texts))
        keys = [option.key for options in groups.values() for option in options]
        yield from (f"two options have the key {key!r}" for key in repeated(keys))

    def faults_over(self, drawn: Sequence[Values]) -> Iterator[str]:
        """Yield also a right way or reason that stands too often at one place."""
        yield from super().faults_over(drawn)
        yield from too_often_at_one_place("way", [self.ways(values) for values in drawn])
        yield from too_often_at_one_place("reason", [self.reasons(values) for values in drawn])
