"""One of several options."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Self

from cubital.items.kinds.base import Item, Mistake, Values, repeated
from cubital.items.kinds.form import Answer, Form, keyed, renamed
from cubital.items.kinds.key import Believed, Judgement, Key, Truth
from cubital.items.kinds.plain import Offered
from cubital.items.typed.quantity import UnreadableAnswerError

_FEWEST_OPTIONS = 4
_OFTENEST = 0.6  # share of the learners for whom the right option may stand at one place
THIS_CHOICE = "This choice"


@dataclass(frozen=True)
class Option:
    """One choice; ``misconception`` says what a learner who takes it believes, if it is wrong."""

    key: str
    text: str
    misconception: str = ""

    @property
    def right(self) -> bool:
        """Whether this is the answer."""
        return not self.misconception

    @property
    def offered(self) -> Offered:
        """What a learner sees of it."""
        return Offered(self.key, self.text)


@dataclass(frozen=True, kw_only=True)
class ChoiceForm(Form):
    """The options in the order that this learner sees."""

    kind: ClassVar[str] = "choice"
    holds: ClassVar[str] = "choice"

    options: tuple[Offered, ...]

    @property
    def offered(self) -> tuple[str, ...]:
        """The options' texts."""
        return tuple(option.text for option in self.options)

    def parts(self) -> dict[str, object]:
        """Return the options."""
        return {"options": keyed(self.options)}

    def keys(self) -> tuple[str, ...]:
        """Return the options' keys."""
        return tuple(option.key for option in self.options)

    def with_keys(self, names: Mapping[str, str]) -> Self:
        """Return the form with other keys for the options."""
        return replace(self, options=renamed(self.options, names))

    def read(self, typed: Any) -> dict[str, Any]:
        """Return the chosen option's key."""
        if typed not in [option.key for option in self.options]:
            raise UnreadableAnswerError("Choose one of the options.")
        return {"choice": typed}

    def in_words(self, answer: Answer) -> str:
        """Say the option that was chosen."""
        for option in self.options:
            if option.key == answer["choice"]:
                return option.text
        raise ValueError("the option is not one that this learner was offered")


@dataclass(frozen=True, kw_only=True)
class ChoiceKey(Key):
    """What is believed by who chooses each option."""

    kind: ClassVar[str] = ChoiceForm.kind

    options: tuple[Believed, ...]

    def _judge(self, form: ChoiceForm, answer: Answer, truth: Truth | None) -> Judgement:
        for key, misconception in self.options:
            if key == answer["choice"]:
                if not misconception:
                    return self.judged("right", "Right.")
                return self.slipped(THIS_CHOICE, key, misconception)
        raise ValueError("the option is not one that this learner was offered")

    def right_in_words(self, form: ChoiceForm) -> str:
        """Say the option that is right."""
        right = next(key for key, misconception in self.options if not misconception)
        return form.in_words({"choice": right})


@dataclass(frozen=True)
class ChoiceItem(Item):
    """One of several options; which are offered, and in what order, varies by learner."""

    kind: ClassVar[str] = ChoiceForm.kind

    options: Callable[[Values], Sequence[Option]] = lambda _values: ()

    def form(self, values: Values) -> ChoiceForm:
        """Return the form at these values."""
        return ChoiceForm(
            **self.form_parts(values),
            options=tuple(option.offered for option in self.options(values)),
        )

    def key(self, values: Values, *, seal: str = "") -> ChoiceKey:
        """Return the key at these values."""
        options = tuple(Believed(one.key, one.misconception) for one in self.options(values))
        return ChoiceKey(**self.key_parts(values), options=options)

    def solution(self, values: Values, truth: Truth | None = None) -> str:
        """Return the right option's key."""
        return next(option.key for option in self.options(values) if option.right)

    def slip_answers(self, values: Values, truth: Truth | None = None) -> dict[str, str]:
        """Return the keys of the wrong options."""
        return {option.key: option.key for option in self.options(values) if not option.right}

    def mistakes(self, values: Values) -> Sequence[Mistake]:
        """Return the wrong options."""
        wrong = [option for option in self.options(values) if not option.right]
        return [Mistake(option.key, option.text, option.misconception) for option in wrong]

    def tallies(self, values: Values) -> Mapping[str, Sequence[str]]:
        """Return which option is right, which are offered, and where the right one stands."""
        offered, right = [option.key for option in self.options(values)], self.solution(values)
        return {
            "Option that is right": [right],
            "Option offered": offered,
            "Place of the right option": [str(offered.index(right) + 1)],
        }

    def faults_at(self, values: Values) -> Iterator[str]:
        """Yield what is wrong with the options."""
        options = self.options(values)
        right = [option.key for option in options if option.right]
        if len(right) != 1:
            yield (
                f"{len(right)} options are right: leave misconception empty on one, and on no other"
            )
        if len(options) < _FEWEST_OPTIONS:
            yield f"there are {len(options)} options: {_FEWEST_OPTIONS} at least"
        yield from (f"two options have the key {k!r}" for k in repeated([o.key for o in options]))
        yield from (f"two options say {text!r}" for text in repeated([o.text for o in options]))

    def faults_over(self, drawn: Sequence[Values]) -> Iterator[str]:
        """Yield also a right option that stands too often at one place."""
        yield from super().faults_over(drawn)
        yield from too_often_at_one_place("option", [self.options(values) for values in drawn])


def too_often_at_one_place(name: str, drawn: Sequence[Sequence[Option]]) -> Iterator[str]:
    """Yield that the right one of the options of many learners stands too often at one place."""
    places = [[option.right for option in options].index(True) for options in drawn]
    most = max(places.count(place) for place in set(places))
    if most > _OFTENEST * len(places):
        yield (
            f"the right {name} stands at the same place for {most} of {len(places)} learners: "
            "draw the order by draw.shuffled"
        )
