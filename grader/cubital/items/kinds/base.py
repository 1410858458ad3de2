"""What an exercise item is, and how an answer to it is judged. Pure: values in, judgement out."""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING, Any, ClassVar

from cubital.items.kinds.form import Form
from cubital.items.kinds.key import Judgement, Key, Truth
from cubital.items.writing.draw import Draw

if TYPE_CHECKING:
    from cubital.items.writing.claiming import Claim

Values = Mapping[str, Any]

# Redraws before an item's author is told that its slips cannot be told apart.
_MOST_DRAWS = 200
_FEWEST_DISTINCT = 4  # sets of values, over all learners
COMES_OUT_WHEN = "This is what comes out when"


@dataclass(frozen=True)
class Slip:
    """A mistake that leads to a number of its own.

    ``misconception`` completes "This is what comes out when ..."; ``value`` computes that
    number by ``cubital.calc`` with the mistake put in, or returns None where the mistake
    cannot be made with these values.
    """

    key: str
    misconception: str
    value: Callable[[Values], float | None]


@dataclass(frozen=True)
class Mistake:
    """One slip at the drawn values: what it leads to, and what it rests on."""

    key: str
    leads_to: str
    misconception: str


@dataclass(frozen=True)
class Item:
    """One question of a worksheet: it makes the learner's form, and judges the answer.

    A subclass for each kind says how; `cubital.items.kinds.KINDS` lists them. ``needs`` says what
    judging takes beside values and answer: nothing, a picture's ``truth``, the ``results`` of a
    learner's function, or a ``person``. ``leads`` is what a slip's misconception completes.
    Nobody has to answer an ``optional`` item: it gives evidence for no objective, and no pass mark
    counts it; its ``lesson`` is named where that is not its worksheet's.
    """

    id: str
    title: str
    points: float
    section: str
    draw_values: Callable[[Draw], dict[str, Any]]
    ask: Callable[[Values], str]
    version: int = 1
    critical: bool = False
    optional: bool = False
    minutes: float = 2.0
    lesson: str = ""

    kind: ClassVar[str] = ""
    needs: ClassVar[str] = ""
    leads: ClassVar[str] = "This answer"
    missing_key: ClassVar[str] = ""  # what a KeyError in an author's functions may come from

    def values(
        self,
        release: str,
        learner: str,
        policy: Mapping[str, Any],
        pictures: Sequence[str] = (),
        *,
        for_papers: bool = False,
    ) -> dict[str, Any]:
        """Draw this learner's values; draw again while they do not serve, see `collides`.

        ``for_papers`` is for papers, which lie side by side in one file, see `Draw`.
        """
        for attempt in range(_MOST_DRAWS):
            draw = Draw(
                release,
                learner,
                self.id,
                attempt,
                policy,
                pictures=pictures,
                for_papers=for_papers,
            )
            values = self.draw_values(draw)
            if not self.collides(values):
                return values
        raise RuntimeError(
            f"{self.id}: no values in {_MOST_DRAWS} draws keep its slips apart, and its answer out "
            "of the question"
        )

    def collides(self, values: Values) -> bool:  # kinds without numbers never do
        """Tell whether these values cannot be asked: two of its numbers, say, are too close."""
        return False

    # ------------------------------------------------------------------------------- the form

    def form(self, values: Values) -> Form:
        """Return what the learner's side gets of this item at these values."""
        raise NotImplementedError

    def form_parts(self, values: Values) -> dict[str, Any]:
        """Return what the forms of all kinds have."""
        return {
            "id": self.id,
            "title": self.title,
            "points": self.points,
            "question": self.ask(values),
            "optional": self.optional,
        }

    def read(self, typed: Any, values: Values) -> dict[str, Any]:
        """Check the form of what a learner entered and return it as plain JSON data."""
        return self.form(values).read(typed)

    def in_words(self, values: Values, answer: Mapping[str, Any]) -> str:
        """Say a saved answer in words."""
        return self.form(values).in_words(answer)

    # -------------------------------------------------------------------------- the judgement

    def key(self, values: Values, *, seal: str = "") -> Key:
        """Return what answers at these values are judged by; ``seal`` fixes what is hidden."""
        raise NotImplementedError

    def key_parts(self, values: Values) -> dict[str, Any]:
        """Return what the keys of all kinds have."""
        return {
            "points": self.points,
            "section": self.section,
            "route": self.route_to(values),
            "version": self.version,
            "critical": self.critical,
        }

    def judge(
        self, values: Values, answer: Mapping[str, Any] | None, truth: Truth | None = None
    ) -> Judgement:
        """Mark an answer that `read` returned; anything else is refused with no points.

        ``truth`` is that of the picture that the item is about, if it is.
        """
        return self.key(values).judge(self.form(values), answer, truth)

    # ------------------------------------------------------------------------ what is known

    def route_to(self, values: Values) -> str:
        """Say how the right answer comes about; empty where the item does not say."""
        return ""

    def solution(self, values: Values, truth: Truth | None = None) -> Any:
        """Return what somebody enters who is right; ``truth`` is the picture's, where it needs."""
        raise NotImplementedError

    def slip_answers(self, values: Values, truth: Truth | None = None) -> Mapping[str, Any]:
        """Return, by slip, what somebody enters who makes it, where it can be made."""
        return {}

    def right_in_words(self, values: Values, truth: Truth | None = None) -> str:
        """Say the right answer."""
        form = self.form(values)
        return form.in_words(form.read(self.solution(values, truth)))

    def tolerance_in_words(self, values: Values) -> str:
        """Say how far off is right still."""
        return "nothing, it is right or it is not"

    def mistakes(self, values: Values) -> Sequence[Mistake]:
        """Return the slips that the item knows at these values, also those that cannot be made."""
        return ()

    def slip_keys(self, draws: Iterable[Values]) -> set[str]:
        """Return the keys of all slips that the item may offer; it draws only where they vary."""
        return {mistake.key for values in draws for mistake in self.mistakes(values)}

    def outcomes(self, values: Values) -> Mapping[str, float | None]:
        """Return the right number and each slip's, by the names of the bank; none elsewhere."""
        return {}

    def tallies(self, values: Values) -> Mapping[str, Sequence[str]]:
        """Return what the bank counts over many learners, such as which option is right."""
        return {}

    def claims(self) -> Sequence["Claim"]:
        """Return what clinicians are to sign of this item; nothing where its key is computed."""
        return ()

    # ---------------------------------------------------------------------- an author's faults

    def plain_faults(self) -> Iterator[str]:
        """Yield what is wrong with the item whatever is drawn."""
        yield from ()

    def faults_at(self, values: Values) -> Iterator[str]:
        """Yield what is wrong with the item for one learner's values."""
        yield from ()

    def faults_over(self, drawn: Sequence[Values]) -> Iterator[str]:
        """Yield what shows only over the values of many learners."""
        distinct = len({json.dumps(values, sort_keys=True) for values in drawn})
        if distinct < _FEWEST_DISTINCT:
            yield (
                f"all learners together get {distinct} different sets of values; "
                f"{_FEWEST_DISTINCT} at least, so that they do not share answers"
            )


def plain_number(value: Any) -> float:
    """Return ``value`` as a float if it is a finite plain number, and raise otherwise."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{value!r:.40} is not a number")
    try:
        number = float(value)
    except OverflowError:
        raise ValueError("a number of more than 300 digits is not taken") from None
    if not isfinite(number):
        raise ValueError(f"{number} is not a finite number")
    return number


def repeated(texts: Sequence[str]) -> list[str]:
    """Return the texts that stand there more than once, each once."""
    return [text for text in dict.fromkeys(texts) if list(texts).count(text) > 1]
