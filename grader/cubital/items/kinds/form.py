"""The form of an item: all that the learner's side needs, as plain data, with no item at hand.

A form holds the question, what is chosen from, and how an answer is read and said in words. It
does not tell which answer is right, what a slip rests on, or the mark scheme: those stand in the
key. An option's key is still the item's own word for it, which can name a slip, since answers are
saved under it; who gives forms out as files gives the options other keys, by `Form.with_keys`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, Self

from cubital.items.kinds.plain import Offered, Plain

Answer = Mapping[str, Any]


@dataclass(frozen=True, kw_only=True)
class Form(Plain):
    """One question with one learner's values; a subclass for each kind says how it is answered.

    ``kind`` names it in data and chooses the page's field; ``holds`` is the key of a saved answer
    under which it stands as it was entered; ``by_hand`` tells that a person marks it, ``in_code``
    that a code cell of the notebook is its own, and ``in_cell`` that what stands there is read as
    an answer where none was saved; ``in_parts`` that practice tells nothing of an answer before all
    its parts are there. ``optional`` tells that nobody has to answer it.
    """

    called: ClassVar[str] = "a form"
    holds: ClassVar[str] = ""
    by_hand: ClassVar[bool] = False
    in_code: ClassVar[bool] = False
    in_cell: ClassVar[bool] = False
    in_parts: ClassVar[bool] = False

    id: str
    title: str
    points: float
    question: str
    optional: bool

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

    def read_cell(self, source: str) -> dict[str, Any]:
        """Return what is written in a cell of the notebook as an answer, where ``in_cell``.

        Raises
        ------
        UnreadableAnswerError
            It is no answer of this form; the text says what to do.
        """
        raise NotImplementedError

    def written(self, answer: Answer) -> str | None:
        """Return what stands in the item's own cell of the notebook once it is handed in.

        None if it has no such cell. A saved answer of another form stands there as it is, so that
        a person can look at it.
        """
        return None

    def in_words(self, answer: Answer) -> str:
        """Say a saved answer in words."""
        raise NotImplementedError

    def entered(self, answer: Answer) -> Any:
        """Return a saved answer as it was entered."""
        return answer.get(self.holds, dict(answer))

    def saved_as(self, answer: Answer) -> str:
        """Say what was saved, to follow the time; empty where the field shows it as it is read."""
        return ""

    def gives(self, answer: Answer) -> str:
        """Say what a saved answer comes to on the learner's own values; empty if it is no rule."""
        return ""

    def missing(self, answer: Answer) -> str:
        """Name the parts of a saved answer that are left open; empty if none is."""
        return ""

    def keys(self) -> tuple[str, ...]:
        """Return the keys under which answers are saved, in the order shown."""
        return ()

    def with_keys(self, names: Mapping[str, str]) -> Self:
        """Return the form with other keys, such as ones that tell nothing."""
        return self


def keyed(listed: tuple[Offered, ...]) -> list[dict[str, str]]:
    """Return what is offered as the page takes it."""
    return [one._asdict() for one in listed]


def renamed(listed: Sequence[Offered], names: Mapping[str, str]) -> tuple[Offered, ...]:
    """Return what is offered under other keys."""
    return tuple(Offered(names[one.key], one.text) for one in listed)


def answer_with_keys(answer: Any, names: Mapping[str, str]) -> Any:
    """Return an answer with other keys, wherever a key stands in it; all else stays as it is."""
    if isinstance(answer, str):
        return names.get(answer, answer)
    if isinstance(answer, Mapping):
        return {names.get(k, k): answer_with_keys(v, names) for k, v in answer.items()}
    if isinstance(answer, list | tuple):
        return [answer_with_keys(one, names) for one in answer]
    return answer
