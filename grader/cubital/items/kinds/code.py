"""A line or two of Python: a function, tried on inputs that the learner has not seen."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from cubital.items.kinds.base import Values, plain_number
from cubital.items.kinds.form import Answer, Form
from cubital.items.kinds.key import Judgement, Truth
from cubital.items.kinds.tried import Inputs, TriedItem, TriedKey


@dataclass(frozen=True, kw_only=True)
class CodeForm(Form):
    """The function's name, and the inputs of the learner's own call by their names."""

    kind: ClassVar[str] = "code"
    holds: ClassVar[str] = "results"

    function: str
    inputs: Inputs

    def read(self, typed: Any) -> dict[str, Any]:
        """Return the results of the learner's function as plain numbers."""
        return {"results": [plain_number(result) for result in typed]}

    def in_words(self, answer: Answer) -> str:
        """Say what the function gave on the learner's own values."""
        shown = ", ".join(f"{name} = {value:g}" for name, value in self.inputs)
        return f"{self.function}({shown}) gave {answer['results'][0]:.4g}"


@dataclass(frozen=True, kw_only=True)
class CodeKey(TriedKey):
    """The inputs that a learner's function is called with, and what it must give."""

    kind: ClassVar[str] = CodeForm.kind
    needs: ClassVar[str] = "results"

    def _judge(self, form: CodeForm, answer: Answer, truth: Truth | None) -> Judgement:
        results = answer["results"]
        if len(results) != len(self.cases):
            return self.judged("refused", "The function was not tried on every input.")
        try:
            numbers = [plain_number(result) for result in results]
        except ValueError as error:
            return self.judged("refused", f"The function must give a plain number: {error}")
        return self.told(numbers)


@dataclass(frozen=True)
class CodeItem(TriedItem):
    """A function that the learner writes; its results are judged, not its text."""

    kind: ClassVar[str] = CodeForm.kind
    needs: ClassVar[str] = CodeKey.needs

    def form(self, values: Values) -> CodeForm:
        """Return the form at these values."""
        return CodeForm(
            **self.form_parts(values), function=self.function, inputs=tuple(values.items())
        )

    def key(self, values: Values, *, seal: str = "") -> CodeKey:
        """Return the key of the learner's own inputs and of the hidden ones."""
        return self.key_of(values, self.cases(values, seal))

    def key_of(self, values: Values, cases: Sequence[Values]) -> CodeKey:
        """Return the key of some inputs."""
        return CodeKey(**self.tried_parts(values, cases))

    def judge_results(self, cases: Sequence[Values], results: Sequence[Any]) -> Judgement:
        """Mark the function's results on ``cases``."""
        key = self.key_of(cases[0], cases)
        return key.judge(self.form(cases[0]), {"results": list(results)})

    def solution(self, values: Values, truth: Truth | None = None) -> list[float]:
        """Return what a right function gives on the learner's own values."""
        return [self.answer(values)]

    def slip_answers(self, values: Values, truth: Truth | None = None) -> dict[str, list[float]]:
        """Return what a function with each slip gives on the learner's own values."""
        return {key: [number] for key, number in self.slip_values(values).items()}

    def right_in_words(self, values: Values, truth: Truth | None = None) -> str:
        """Say what a right function gives on the learner's own values."""
        return f"{self.answer(values):.6g}, from {self.function}(...)"
