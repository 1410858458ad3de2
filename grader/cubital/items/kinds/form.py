"""The form of an item: all that the learner's side needs, as plain data, with no item at hand.

A form holds the question, what is chosen from, and how an answer is read and said in words. It
does not tell which answer is right, what a slip rests on, or the mark scheme: those stay with the
item's judgement. An option's key is still the item's own word for it, which can name a slip, since
answers are saved under it; who gives forms out as files gives the options other keys.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import UnionType
from typing import Any, ClassVar, NamedTuple, Self, get_args, get_origin, get_type_hints

Answer = Mapping[str, Any]


class Offered(NamedTuple):
    """One option, step, row or column: its key in the saved answer, and its text on the page."""

    key: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Form:
    """One question with one learner's values; a subclass for each kind says how it is answered.

    ``kind`` names it in data and chooses the page's field; ``holds`` is the key of a saved answer
    under which it stands as it was entered; ``by_hand`` tells that a person marks it.
    """

    kind: ClassVar[str] = ""
    holds: ClassVar[str] = ""
    by_hand: ClassVar[bool] = False

    id: str
    title: str
    points: float
    question: str

    @property
    def label(self) -> str:
        """The words over the field."""
        return f"Your answer: {self.title}"

    @property
    def hint(self) -> str:
        """The words that say how to answer; empty where the field itself says it."""
        return ""

    @property
    def offered(self) -> tuple[str, ...]:
        """What is chosen from, in the order shown; nothing where the learner writes."""
        return ()

    def parts(self) -> dict[str, object]:
        """Return what the page shows beside the question, as plain data."""
        return {}

    def read(self, typed: Any) -> dict[str, Any]:
        """Return what was entered as an answer in plain data.

        Raises
        ------
        UnreadableAnswerError
            It is no answer of this form; the text says what to do.
        """
        raise NotImplementedError

    def in_words(self, answer: Answer) -> str:
        """Say a saved answer in words."""
        raise NotImplementedError

    def entered(self, answer: Answer) -> Any:
        """Return a saved answer as it was entered."""
        return answer.get(self.holds, dict(answer))

    def saved_as(self, answer: Answer) -> str:
        """Say what was saved, to follow the time; empty where the field shows it as it is read."""
        return ""

    def is_whole(self, answer: Answer) -> bool:
        """Tell whether nothing of a saved answer is left open."""
        return True

    def data(self) -> dict[str, Any]:
        """Return the form as JSON holds it; `cubital.items.kinds.form_of` reads it back."""
        own = {one.name: _plain(getattr(self, one.name)) for one in fields(self)}
        return {"kind": self.kind} | own

    @classmethod
    def of(cls, data: Mapping[str, Any]) -> Self:
        """Return the form that `data` gave.

        Raises
        ------
        ValueError
            Something is missing, unknown or not of its type; the text names it.
        """
        hints = get_type_hints(cls)
        names = [one.name for one in fields(cls)]
        if odd := sorted(set(names) ^ (set(data) - {"kind"})):
            raise ValueError(f"not a form of kind {cls.kind}: {odd[0]} is missing or unknown")
        return cls(**{name: _typed(name, hints[name], data[name]) for name in names})


def keyed(listed: tuple[Offered, ...]) -> list[dict[str, str]]:
    """Return what is offered as the page takes it."""
    return [one._asdict() for one in listed]


def _plain(value: Any) -> Any:
    if isinstance(value, Offered):
        return value._asdict()
    return [_plain(one) for one in value] if isinstance(value, tuple) else value


def _typed(name: str, hint: Any, value: Any) -> Any:
    """Return a value from JSON as the annotation ``hint`` wants it, or raise."""
    if get_origin(hint) is UnionType:
        for one in get_args(hint):
            try:
                return _typed(name, one, value)
            except ValueError:
                continue
    elif get_origin(hint) is tuple:
        wanted = get_args(hint)
        if isinstance(value, list) and (wanted[-1] is ... or len(wanted) == len(value)):
            each = [wanted[0]] * len(value) if wanted[-1] is ... else wanted
            return tuple(_typed(name, one, part) for one, part in zip(each, value, strict=True))
    elif hint is Offered:
        if isinstance(value, Mapping) and set(value) == set(Offered._fields):
            return Offered(**{key: _typed(f"{name}.{key}", str, value[key]) for key in value})
    elif isinstance(value, bool):
        if hint is bool:
            return value
    elif isinstance(value, (int, float) if hint is float else hint):
        return value
    raise ValueError(f"not a form: {name} is {value!r:.40}")
