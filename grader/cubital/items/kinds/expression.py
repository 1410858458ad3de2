"""One line of Python that computes a number: judged from its text alone, never run."""

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, ClassVar

from cubital.items.kinds.base import Values
from cubital.items.kinds.form import Answer, Form
from cubital.items.kinds.key import Judgement, Truth
from cubital.items.kinds.tried import Inputs, TriedItem, TriedKey, named
from cubital.items.typed.arithmetic import LONGEST_EXPRESSION, Expression, read_expression
from cubital.items.typed.function_body import first_line
from cubital.items.typed.python_cell import expression_in_cell
from cubital.items.typed.quantity import UnreadableAnswerError

_RETURN = re.compile(r"^return\b\s*")


@dataclass(frozen=True, kw_only=True)
class ExpressionForm(Form):
    """The name of the function that the line stands in, and the learner's own inputs by name."""

    kind: ClassVar[str] = "expression"
    holds: ClassVar[str] = "typed"
    in_code: ClassVar[bool] = True
    in_cell: ClassVar[bool] = True

    function: str
    inputs: Inputs

    @property
    def parameters(self) -> tuple[str, ...]:
        """The names that stand for numbers in the line."""
        return tuple(name for name, _ in self.inputs)

    @property
    def hint(self) -> str:
        """The words that say how to answer."""
        return (
            "One line with the names above. Signs: + and -, * for times, / for divided by, ** for "
            "power, and parentheses; sqrt(...) is a root. Type a decimal point, and no units. For "
            f"example, 2 * {self.parameters[0]} is twice the first."
        )

    def parts(self) -> dict[str, object]:
        """Return what stands before the box, and what each name stands for."""
        return {"before": "return", "names": named(self.inputs)}

    def read(self, typed: Any) -> dict[str, Any]:
        """Return the text as it was typed, and the line that was read in it.

        The word that stands before the box may have been typed once more, and the line may go over
        several lines.

        Raises
        ------
        UnreadableAnswerError
            It is no arithmetic, see `read_expression`.
        """
        text = str(typed).strip()
        line = _RETURN.sub("", " ".join(text.split())) if len(text) <= LONGEST_EXPRESSION else text
        return {"typed": text, "expression": read_expression(line, self.parameters).source}

    def read_cell(self, source: str) -> dict[str, Any]:
        """Return the line that stands in a cell with the function.

        Raises
        ------
        NotWrittenError
            The cell is as it was handed out.
        UnreadableAnswerError
            The cell holds something else, or the line is no arithmetic.
        """
        line = expression_in_cell(source, self.function, self.parameters)
        return {"expression": read_expression(line, self.parameters).source}

    def written(self, answer: Answer) -> str:
        """Return the function with the line in it."""
        try:
            line = f"return {read_expression(_text(answer), self.parameters).source}"
        except (KeyError, TypeError, UnreadableAnswerError):
            line = f"pass  # saved, and no line: {json.dumps(dict(answer))[:LONGEST_EXPRESSION]}"
        return f"{first_line(self.function, self.parameters)}\n    {line}"

    def entered(self, answer: Answer) -> Any:
        """Return the text as it was typed; of one that was read in a cell, the line."""
        return answer.get("typed", answer.get("expression", dict(answer)))

    def in_words(self, answer: Answer) -> str:
        """Say the line, and what it gives on the learner's own values."""
        line = " ".join(_text(answer).split())
        try:
            return f"{line}, which gives {self.value(answer):.4g} on your values"
        except UnreadableAnswerError:
            return f"{line}, which gives no number on your values"

    def value(self, answer: Answer) -> float:
        """Return what the line gives on the learner's own values.

        Raises
        ------
        UnreadableAnswerError
            It gives no number, as where it divides by zero.
        """
        return read_expression(_text(answer), self.parameters).value(dict(self.inputs))

    def saved_as(self, answer: Answer) -> str:
        """Say the line, where it is not what was typed."""
        line = _text(answer)
        return "" if answer.get("typed", line) == line else f" as {line}"

    def gives(self, answer: Answer) -> str:
        """Say what the line gives on the learner's own values."""
        try:
            return f"On your values it gives {self.value(answer):.6g}."
        except UnreadableAnswerError as error:
            return f"On your values it gives no number. {error}"


@dataclass(frozen=True, kw_only=True)
class ExpressionKey(TriedKey):
    """The inputs that a learner's line is computed on, and what it must give."""

    kind: ClassVar[str] = ExpressionForm.kind

    def _judge(self, form: ExpressionForm, answer: Answer, truth: Truth | None) -> Judgement:
        try:
            line = read_expression(_text(answer), form.parameters)
        except UnreadableAnswerError as error:
            return self.judged("refused", str(error))
        return self._tried(line)

    def _tried(self, line: Expression) -> Judgement:
        numbers = []
        for place, case in enumerate(self.cases):
            try:
                numbers.append(line.value(dict(case)))
            except UnreadableAnswerError as error:
                whose = "other" if place else "your own"
                return self.judged("wrong", f"{error} It does so on {whose} values.")
        return self.told(numbers)


@dataclass(frozen=True)
class ExpressionItem(TriedItem):
    """A line that the learner writes: computed by the marker, on inputs that nobody has seen too.

    ``line`` is a right one, ``slip_lines`` one for each slip, as somebody writes them.
    """

    kind: ClassVar[str] = ExpressionForm.kind

    line: str = ""
    slip_lines: Mapping[str, str] = field(default_factory=dict)

    def form(self, values: Values) -> ExpressionForm:
        """Return the form at these values."""
        return ExpressionForm(
            **self.form_parts(values), function=self.function, inputs=tuple(values.items())
        )

    def key(self, values: Values, *, seal: str = "") -> ExpressionKey:
        """Return the key of the learner's own inputs and of the hidden ones."""
        return ExpressionKey(**self.tried_parts(values, self.cases(values, seal)))

    def solution(self, values: Values, truth: Truth | None = None) -> str:
        """Return a right line."""
        return self.line

    def slip_answers(self, values: Values, truth: Truth | None = None) -> dict[str, str]:
        """Return a line with each slip that can be made at these values."""
        return {key: self.slip_lines[key] for key in self.slip_values(values)}

    def plain_faults(self) -> Iterator[str]:
        """Yield what is wrong with the function's name and the lines."""
        yield from super().plain_faults()
        if {slip.key for slip in self.slips} != set(self.slip_lines):
            yield "slip_lines must hold a line for each slip, by its key"

    def faults_at(self, values: Values) -> Iterator[str]:
        """Yield where a line is not marked as what it is."""
        if found := list(super().faults_at(values)):
            yield from found
            return
        for slip, line in ((None, self.line), *self.slip_answers(values).items()):
            told = self.judge(values, self.read(line, values))
            if (told.outcome, told.slip) != ("slip" if slip else "right", slip):
                yield f"the line of {slip or 'the right answer'} is told as {told.message!r}"


def _text(answer: Answer) -> str:
    text = answer["expression"]
    if not isinstance(text, str):
        raise TypeError(f"{text!r:.40} is not a line")
    return text
