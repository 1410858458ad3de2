"""Say of each of a dozen short trials whether it shows something: six do, six do not.

Hits count only as far as they go beyond the false alarms: who always says yes, or always no, gets
nothing for it. Which of the pool's trials a learner gets is allocated, see
`cubital.handin.released.allocating`. Simulated, not clinically validated.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar, NamedTuple, Self

from cubital import calc
from cubital.items.kinds.base import Mistake, Values
from cubital.items.kinds.choice import Option
from cubital.items.kinds.form import Answer, keyed, renamed
from cubital.items.kinds.key import Believed, Judgement, Truth
from cubital.items.kinds.on_pictures.pictured import (
    SEALED,
    OnPictures,
    PictureItem,
    PictureKey,
    Told,
    known,
)
from cubital.items.kinds.on_pictures.tally import Tally, tallied, written
from cubital.items.kinds.plain import Offered
from cubital.items.typed.quantity import UnreadableAnswerError
from cubital.scene.files import planning

YES, NO = "shows", "does-not-show"
MISSED, INVENTED, CLOSING = "missed", "invented", "closing"
CLOSING_SHARE = 0.25  # of the points, where a closing question is asked
NOT_VALIDATED = (
    "No clinicians' readings validate these trials yet, so their points do not decide whether "
    "the course is passed."
)


class Count(NamedTuple):
    """What was said of trials that show it, and of those that do not."""

    hits: int
    targets: int
    false_alarms: int
    catches: int

    @property
    def beyond(self) -> float:
        """The share of hits less that of false alarms, and nothing below 0 [-]."""
        hit = self.hits / self.targets if self.targets else 1.0
        false = self.false_alarms / self.catches if self.catches else 0.0
        return max(hit - false, 0.0)

    def in_words(self) -> str:
        """Say both with their exact intervals."""
        parts = [
            f"{name}: {of(number, total)}"
            for name, number, total in (
                ("Hits", self.hits, self.targets),
                ("False alarms", self.false_alarms, self.catches),
            )
            if total
        ]
        return ". ".join(parts) + "."


def of(number: int, total: int) -> str:
    """Say a count of a total with its exact 95 % interval (Clopper-Pearson).

    Examples
    --------
    >>> of(5, 6)
    '5 of 6 (95 % interval 36 to 100 %)'
    """
    low, high = calc.clopper_pearson_interval(number, total)
    return f"{number} of {total} (95 % interval {100 * low:.0f} to {100 * high:.0f} %)"


@dataclass(frozen=True, kw_only=True)
class TrialsForm(OnPictures):
    """The names of the trials, what can be said of each, and the closing question if there is one.

    A trial is answered under its number in the order shown, from 1.
    """

    kind: ClassVar[str] = "trials"
    in_parts: ClassVar[bool] = True

    trials: tuple[str, ...]
    options: tuple[Offered, ...]
    closing: str
    ways: tuple[Offered, ...]

    @property
    def pictures(self) -> tuple[str, ...]:
        """The trials' names."""
        return self.trials

    def truth(self, told: Told) -> Truth:
        """Return the truth of each trial by its name."""
        return {name: told(name)["truth"] for name in self.trials}

    @property
    def hint(self) -> str:
        """The words that say how to answer."""
        more = " Then the question below them." if self.closing else ""
        return f"One answer for each of the {len(self.trials)} trials.{more}"

    @property
    def offered(self) -> tuple[str, ...]:
        """What can be said of a trial, and the ways of the closing question."""
        return tuple(one.text for one in (*self.options, *self.ways))

    def numbers(self) -> list[str]:
        """Return the trials' numbers as they are saved."""
        return [str(number) for number in range(1, len(self.trials) + 1)]

    def parts(self) -> dict[str, object]:
        """Return what can be said, and the closing question."""
        return {
            "options": keyed(self.options),
            "closing": self.closing,
            "ways": keyed(self.ways),
            "trials": self.numbers(),
        }

    def keys(self) -> tuple[str, ...]:
        """Return the keys of what can be said."""
        return tuple(one.key for one in (*self.options, *self.ways))

    def with_keys(self, names: Mapping[str, str]) -> Self:
        """Return the form with other keys for what can be said."""
        options, ways = renamed(self.options, names), renamed(self.ways, names)
        return replace(self, options=options, ways=ways)

    def read(self, typed: Any) -> dict[str, Any]:
        """Return what is said of each trial as far as it is said, and the closing answer."""
        if not isinstance(typed, Mapping) or not isinstance(typed.get("said"), Mapping):
            raise UnreadableAnswerError("Say of at least one trial what it shows.")
        said, way = typed["said"], typed.get("way")
        if not said and way is None:
            raise UnreadableAnswerError("Say of at least one trial what it shows.")
        numbers = self.numbers()
        if not set(said) <= set(numbers):
            raise UnreadableAnswerError("There is no such trial.")
        if not all(one in [option.key for option in self.options] for one in said.values()):
            raise UnreadableAnswerError("Choose one of the answers for each trial.")
        if way is not None and way not in [one.key for one in self.ways]:
            raise UnreadableAnswerError("Choose one of the ways below the trials.")
        return {"said": {one: said[one] for one in numbers if one in said}, "way": way}

    def entered(self, answer: Answer) -> dict[str, Any]:
        """Return a saved answer as it was entered."""
        return dict(answer)

    def missing(self, answer: Answer) -> str:
        """Say how many trials are left, and whether the closing question is."""
        left = len(self.trials) - len(answer["said"])
        parts = ["one trial" if left == 1 else f"{left} trials"] if left else []
        if self.closing and answer.get("way") is None:
            parts.append("the question below the trials")
        return " and ".join(parts)

    def saved_as(self, answer: Answer) -> str:
        """Say how many trials are answered."""
        return f", {len(answer['said'])} of {len(self.trials)} trials answered"

    def in_words(self, answer: Answer) -> str:
        """Say how often each was said, and of which trials."""
        parts = []
        for option in self.options:
            own = [number for number, one in answer["said"].items() if one == option.key]
            if own:
                parts.append(f"{option.text.rstrip('.')}: trial {', '.join(own)}")
        parts += [way.text.rstrip(".") for way in self.ways if way.key == answer.get("way")]
        return "; ".join(parts) + "."


@dataclass(frozen=True, kw_only=True)
class TrialsKey(PictureKey):
    """What is looked for in the trials, or what is always right to say of them.

    ``looked_for`` stands in a trial's truth under `seen` where it shows; ``always`` is the option
    that is right of every trial, empty where ``yes`` or ``no`` is. ``way`` is the closing answer.
    """

    kind: ClassVar[str] = TrialsForm.kind

    looked_for: str
    always: str
    yes: str
    no: str
    way: str
    missed: str
    invented: str
    believed: tuple[Believed, ...]
    hidden: str

    def right(self, told: Truth) -> str:
        """Return the option that is right of one trial."""
        if self.always:
            return self.always
        return self.yes if self.looked_for in told["trial"]["seen"] else self.no

    def rights(self, form: TrialsForm, truth: Truth) -> dict[str, str]:
        """Return the right option of each trial by its number."""
        named = zip(form.numbers(), form.trials, strict=True)
        return {number: self.right(truth[name]) for number, name in named}

    def count(self, form: TrialsForm, answer: Answer, truth: Truth) -> Count:
        """Count hits and false alarms; a trial left open counts as answered wrong."""
        return counted(self.rights(form, truth), answer["said"], yes=self.always or self.yes)

    def tally(self, form: TrialsForm, answer: Answer, truth: Truth) -> dict[str, Tally]:
        """Count the trials that were answered, by band."""
        rights, said = self.rights(form, truth), answer["said"]
        return tallied(
            (
                truth[name]["trial"]["band"],
                rights[number] == self.yes,
                said[number] == self.yes,
            )
            for number, name in zip(form.numbers(), form.trials, strict=True)
            if number in said
        )

    def _judge(self, form: TrialsForm, answer: Answer, truth: Truth | None) -> Judgement:
        given, told = form.read(answer), known(truth)
        found = self._judged(form, given, told)
        if self.always:  # nothing in the picture tells it
            return found
        return replace(found, tally=written(self.tally(form, given, told)))

    def _judged(self, form: TrialsForm, given: Answer, told: Truth) -> Judgement:
        count = self.count(form, given, told)
        closes = not form.closing or given["way"] == self.way
        rest = CLOSING_SHARE if form.closing else 0.0
        share = (1 - rest) * count.beyond + rest * closes
        words = f"{count.in_words()} {NOT_VALIDATED}"
        unseen = [number for number, name in self._hidden(form, told)]
        if unseen:
            words = f"{words} {self.hidden} (trial {', '.join(unseen)})."
        if share == 1:
            return self.judged("right", f"Right of every trial. {words}")
        points = round(self.points * share, 2)
        left = len(form.trials) - len(given["said"])
        if left:
            words += f" {left} of the trials are left open."
        misses = count.targets - count.hits
        if count.beyond == 1:
            why = dict(self.believed).get(str(given["way"]), "")
            if not why:
                return Judgement("wrong", points, f"The trials: right. {words} Below them: open.")
            return Judgement(
                "slip",
                points,
                f"The trials: right. {words} Below: {why}.",
                f"{CLOSING}-{given['way']}",
                why,
            )
        key = MISSED if misses >= count.false_alarms else INVENTED
        why = self.missed if key == MISSED else self.invented
        return Judgement("slip", points, f"{words} Reading like this {why}.", key, why)

    def _hidden(self, form: TrialsForm, truth: Truth) -> list[tuple[str, str]]:
        """Return the trials in which what is looked for is there, and cannot be seen."""
        named = zip(form.numbers(), form.trials, strict=True)
        return [
            (number, name)
            for number, name in named
            if self.hidden and truth[name]["trial"]["what"] == f"{self.looked_for}-unseen"
        ]

    def happening(self, truth: Truth) -> str:
        """Say what one trial shows."""
        seen = truth["trial"]["seen"]
        return f"{seen[0]} shows" if seen else "nothing of the kind shows"

    def frame_to_show(self, truth: Truth) -> int:
        """Return the frame in which most is changed, else the first."""
        changed = [row["most_frame"] for row in truth["changes"]]
        return int(changed[0]) if changed else 0


def counted(rights: Mapping[str, str], said: Mapping[str, str], *, yes: str) -> Count:
    """Count what was said of trials; one left open is a miss or a false alarm.

    Examples
    --------
    >>> counted({"1": "y", "2": "n", "3": "y"}, {"1": "y", "2": "y"}, yes="y")
    Count(hits=1, targets=2, false_alarms=1, catches=1)
    """
    targets = [number for number, right in rights.items() if right == yes]
    catches = [number for number in rights if number not in targets]
    hits = sum(said.get(number) == yes for number in targets)
    rejected = sum(said.get(number) == rights[number] for number in catches)
    return Count(hits, len(targets), len(catches) - rejected, len(catches))


@dataclass(frozen=True)
class TrialsItem(PictureItem):
    """Say of each trial whether it shows something.

    ``looked_for`` is what it shows in half of them, ``catches`` what is there in the others, in
    turn, each in each of ``bands``. Where ``always`` is set, that option is right of all. ``ways``
    are the answers to ``closing``, of which the one without a misconception is right.
    """

    kind: ClassVar[str] = TrialsForm.kind

    looked_for: str = ""
    catches: tuple[str, ...] = ()
    bands: tuple[str, ...] = ("clear", "middling", "faint")
    each: int = 2
    options: tuple[Offered, ...] = ()
    always: str = ""
    closing: str = ""
    ways: tuple[Option, ...] = ()
    missed: str = ""
    invented: str = ""
    hidden: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "pool", dict(Counter(self.cells)))
        object.__setattr__(self, "size_name", planning.size_name(self.cells[0]))

    @property
    def cells(self) -> tuple[str, ...]:
        """The kind of picture of each trial of a paper: those that show it first."""
        shows = [(self.looked_for, band) for band in self.bands for _ in range(self.each)]
        turns = [
            (self.catches[(number + place) % len(self.catches)], band)
            for place, band in enumerate(self.bands)
            for number in range(self.each)
        ]
        return tuple(planning.trial_kind(*one) for one in (*shows, *turns))

    @property
    def few(self) -> tuple[str, ...]:
        """The kinds for practice: half of each."""
        return self.cells[:: self.each]

    def form(self, values: Values) -> TrialsForm:
        """Return the form at these values."""
        return TrialsForm(
            **self.form_parts(values),
            **self.size_parts(),
            trials=tuple(values["trials"]),
            options=self.options,
            closing=self.closing,
            ways=tuple(way.offered for way in self._ways(values)),
        )

    def _ways(self, values: Values) -> list[Option]:
        turn = values.get("turn", 0) % max(len(self.ways), 1)
        return [*self.ways[turn:], *self.ways[:turn]]

    def key(self, values: Values, *, seal: str = "") -> TrialsKey:
        """Return the key, which the trials' truth completes."""
        return TrialsKey(
            **self.key_parts(values),
            looked_for=self.looked_for,
            always=self.always,
            yes=YES,
            no=NO,
            way=next((way.key for way in self.ways if not way.misconception), ""),
            missed=self.missed,
            invented=self.invented,
            believed=tuple(
                Believed(way.key, way.misconception) for way in self.ways if way.misconception
            ),
            hidden=self.hidden,
        )

    def solution(self, values: Values, truth: Truth | None = None) -> dict[str, Any]:
        """Return what is right of each trial, and the closing answer."""
        key = self.key(values)
        said = key.rights(self.form(values), known(truth))
        return {"said": said, "way": key.way or None}

    def slip_answers(self, values: Values, truth: Truth | None = None) -> dict[str, dict[str, Any]]:
        """Return one trial missed, one invented, and each wrong way."""
        right = self.solution(values, truth)
        found = {}
        others = [one.key for one in self.options]
        for slip, kind in ((MISSED, self.always or YES), (INVENTED, NO)):
            at = next((n for n, one in right["said"].items() if one == kind), None)
            if at is not None:
                other = next(one for one in others if one != kind)
                found[slip] = right | {"said": right["said"] | {at: other}}
        for way in self.ways:
            if way.misconception:
                found[f"{CLOSING}-{way.key}"] = right | {"way": way.key}
        return found

    def right_in_words(self, values: Values, truth: Truth | None = None) -> str:
        """Say what is right of each trial, if the truth is at hand."""
        return self.in_words(values, self.solution(values, truth)) if truth else SEALED

    def tolerance_in_words(self, values: Values) -> str:
        """Say how the points are shared."""
        rest = f"; {CLOSING_SHARE:.0%} of the points are for what is asked below" * bool(self.ways)
        return f"the share of hits less that of false alarms{rest}"

    def mistakes(self, values: Values) -> Sequence[Mistake]:
        """Return what is believed by who misses or invents, or takes another way."""
        found = [Mistake(MISSED, "trials that show it are missed", self.missed)]
        if not self.always:
            found.append(Mistake(INVENTED, "seen in trials that do not show it", self.invented))
        return found + [
            Mistake(f"{CLOSING}-{way.key}", way.text, way.misconception)
            for way in self.ways
            if way.misconception
        ]
