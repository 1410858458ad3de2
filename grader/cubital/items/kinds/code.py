"""A line or two of Python: a function, tried on inputs that the learner has not seen."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from cubital.items.kinds.base import Values, plain_number
from cubital.items.kinds.form import Answer, Form
from cubital.items.kinds.key import Judgement, Truth
from cubital.items.kinds.tried import Inputs, TriedItem, TriedKey, named
from cubital.items.typed.function_body import first_line, read_body, with_first_line
from cubital.items.typed.parsing import shown
from cubital.items.typed.quantity import UnreadableAnswerError

_LONGEST_SHOWN = 300  # characters of an answer of another form


@dataclass(frozen=True, kw_only=True)
class CodeForm(Form):
    """The function's name, and the inputs of the learner's own call by their names."""

    kind: ClassVar[str] = "code"
    holds: ClassVar[str] = "code"
    in_code: ClassVar[bool] = True

    function: str
    inputs: Inputs

    @property
    def first_line(self) -> str:
        """The line that the function begins with; what comes below it is typed."""
        return first_line(self.function, [name for name, _ in self.inputs])

    @property
    def hint(self) -> str:
        """The words that say how to answer."""
        return "Python: what comes below the line above. The last line is return and the number."

    def parts(self) -> dict[str, object]:
        """Return what stands before the box, and what each name stands for."""
        return {"before": self.first_line, "names": named(self.inputs)}

    def read(self, typed: Any) -> dict[str, Any]:
        """Return the function's lines as they were typed, or its results where it was run.

        Raises
        ------
        UnreadableAnswerError
            The lines are no Python; the words say where. Nothing of them is run here.
        """
        if isinstance(typed, str):
            return {"code": read_body(typed, self.first_line)}
        return {"results": [plain_number(result) for result in typed]}

    def source(self, answer: Answer) -> str:
        """Return the whole function.

        Raises
        ------
        UnreadableAnswerError
            The saved answer is of another form.
        """
        return with_first_line(self.first_line, read_body(str(answer.get("code")), self.first_line))

    def written(self, answer: Answer) -> str:
        """Return the whole function."""
        try:
            return self.source(answer)
        except UnreadableAnswerError:
            saved = json.dumps(dict(answer))[:_LONGEST_SHOWN]
            return f"{self.first_line}\n    pass  # saved, and no Python: {saved}"

    def in_words(self, answer: Answer) -> str:
        """Say what the function gave on the learner's own values, or else how it is written."""
        if "code" in answer:
            return f"“{shown(str(answer['code']))}”"
        values = ", ".join(f"{name} = {value:g}" for name, value in self.inputs)
        return f"{self.function}({values}) gave {answer['results'][0]:.4g}"


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
