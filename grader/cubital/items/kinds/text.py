"""A free text, marked by hand against a mark scheme."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar

from cubital.items.kinds.base import Item, Values
from cubital.items.kinds.form import Answer, Form
from cubital.items.kinds.key import Judgement, Key, Truth
from cubital.items.typed.quantity import UnreadableAnswerError

_LONGEST_TEXT = 4000


@dataclass(frozen=True, kw_only=True)
class TextForm(Form):
    """A text of at most ``longest`` characters."""

    kind: ClassVar[str] = "text"
    holds: ClassVar[str] = "text"
    by_hand: ClassVar[bool] = True

    longest: int = _LONGEST_TEXT

    @property
    def hint(self) -> str:
        """The words that say how to answer."""
        return "No program marks this. Write nothing that tells who a patient or colleague is."

    def read(self, typed: Any) -> dict[str, Any]:
        """Return the text, stripped, or raise if it is empty or too long."""
        text = str(typed).strip()
        if not text:
            raise UnreadableAnswerError("Nothing is written yet.")
        if len(text) > self.longest:
            raise UnreadableAnswerError(
                f"The text has {len(text)} characters; at most {self.longest} are taken."
            )
        return {"text": text}

    def written(self, answer: Answer) -> str:
        """Return the text in a fenced block, so that nothing in it acts on the page that shows it.

        What was saved and is no text stands there as it is.
        """
        text = answer.get("text")
        return fenced(
            text if isinstance(text, str) else json.dumps(dict(answer), ensure_ascii=False)
        )

    def in_words(self, answer: Answer) -> str:
        """Return the text."""
        return str(answer["text"])


def fenced(text: str) -> str:
    """Return ``text`` as a Markdown block that shows it letter for letter."""
    fence = "~~~"
    while fence in text:
        fence += "~"
    return f"{fence}text\n{text}\n{fence}"


@dataclass(frozen=True, kw_only=True)
class TextKey(Key):
    """What gives each point: read by the person who marks."""

    kind: ClassVar[str] = TextForm.kind
    needs: ClassVar[str] = "person"

    mark_scheme: tuple[str, ...]

    def _judge(self, form: TextForm, answer: Answer, truth: Truth | None) -> Judgement:
        form.read(answer["text"])
        return self.judged("waiting", "Waits to be marked by hand.")


@dataclass(frozen=True)
class TextItem(Item):
    """A free text; ``mark_scheme`` says what gives each point."""

    kind: ClassVar[str] = TextForm.kind
    needs: ClassVar[str] = TextKey.needs

    mark_scheme: tuple[str, ...] = field(default=())

    def form(self, values: Values) -> TextForm:
        """Return the form at these values."""
        return TextForm(**self.form_parts(values))

    def key(self, values: Values, *, seal: str = "") -> TextKey:
        """Return the mark scheme."""
        return TextKey(**self.key_parts(values), mark_scheme=tuple(self.mark_scheme))

    def solution(self, values: Values, truth: Truth | None = None) -> str:
        """Return a text that says all that the mark scheme asks for."""
        return " ".join(self.mark_scheme)

    def right_in_words(self, values: Values, truth: Truth | None = None) -> str:
        """Say the mark scheme."""
        return "Marked by hand. " + self.solution(values)

    def tolerance_in_words(self, values: Values) -> str:
        """Say who decides."""
        return "a person marks it"

    def plain_faults(self) -> Iterator[str]:
        """Yield that the mark scheme is missing."""
        if not self.mark_scheme:
            yield "mark_scheme is empty: say what gives each point"

    def faults_over(self, drawn: Sequence[Values]) -> Iterator[str]:
        """Yield nothing: all learners may be asked the same, since a person reads the answers."""
        yield from ()
