"""A line or two of Python: a function, tried on inputs that the learner has not seen."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, NamedTuple

from cubital.items.kinds.base import COMES_OUT_WHEN, Values, plain_number
from cubital.items.kinds.computed import TOLERANCES_APART, ComputedItem
from cubital.items.kinds.form import Answer, Form
from cubital.items.kinds.key import Judgement, Key, Truth


@dataclass(frozen=True, kw_only=True)
class CodeForm(Form):
    """The function's name, and the inputs of the learner's own call by their names."""

    kind: ClassVar[str] = "code"
    holds: ClassVar[str] = "results"

    function: str
    inputs: tuple[tuple[str, float], ...]

    def read(self, typed: Any) -> dict[str, Any]:
        """Return the results of the learner's function as plain numbers."""
        return {"results": [plain_number(result) for result in typed]}

    def in_words(self, answer: Answer) -> str:
        """Say what the function gave on the learner's own values."""
        shown = ", ".join(f"{name} = {value:g}" for name, value in self.inputs)
        return f"{self.function}({shown}) gave {answer['results'][0]:.4g}"


class SlipResults(NamedTuple):
    """What a function with a slip gives on each input; None where the slip cannot be made."""

    key: str
    results: tuple[float | None, ...]
    misconception: str


@dataclass(frozen=True, kw_only=True)
class CodeKey(Key):
    """The inputs, by their names, and what a right function and one with a slip give on them.

    ``tolerance`` is relative: how far off a result is right still, as a share of it.
    """

    kind: ClassVar[str] = CodeForm.kind
    needs: ClassVar[str] = "results"

    cases: tuple[tuple[tuple[str, float], ...], ...]
    right: tuple[float, ...]
    slips: tuple[SlipResults, ...]
    tolerance: float

    def _judge(self, form: CodeForm, answer: Answer, truth: Truth | None) -> Judgement:
        results = answer["results"]
        if len(results) != len(self.cases):
            return self.judged("refused", "The function was not tried on every input.")
        try:
            numbers = [plain_number(result) for result in results]
        except ValueError as error:
            return self.judged("refused", f"The function must give a plain number: {error}")
        if self._all_equal(numbers, self.right):
            return self.judged("right", "Right, on your values and on others.")
        for slip in self.slips:
            if self._all_equal(numbers, slip.results):
                return self.slipped(COMES_OUT_WHEN, slip.key, slip.misconception)
        return self.judged(
            "wrong",
            "Right on your own values only: the line must work for any values."
            if self._all_equal(numbers[:1], self.right[:1])
            else "Not right, and not one of the slips this item knows.",
        )

    def _all_equal(self, numbers: Sequence[float], wanted: Sequence[float | None]) -> bool:
        return all(
            value is not None and abs(number - value) <= self.tolerance * abs(value)
            for number, value in zip(numbers, wanted, strict=True)
        )


@dataclass(frozen=True)
class CodeItem(ComputedItem):
    """A function that the learner writes; its results are judged, not its text.

    ``draw_values`` draws the inputs of one call. The learner sees those of their own draw;
    the marker draws `HIDDEN_CASES` more from a name that the learner does not know.
    """

    HIDDEN_CASES: ClassVar[int] = 3
    kind: ClassVar[str] = CodeForm.kind
    needs: ClassVar[str] = CodeKey.needs

    function: str = ""

    def form(self, values: Values) -> CodeForm:
        """Return the form at these values."""
        return CodeForm(
            id=self.id,
            title=self.title,
            points=self.points,
            question=self.ask(values),
            function=self.function,
            inputs=tuple(values.items()),
        )

    def cases(self, values: Values, seal: str) -> list[Values]:
        """Return the inputs to try: the learner's own and the hidden ones drawn from ``seal``."""
        hidden = (
            self.values(seal, f"hidden-{number}", {}) for number in range(1, self.HIDDEN_CASES + 1)
        )
        return [values, *hidden]

    def collides(self, values: Values) -> bool:
        """Tell whether a slip would pass for right at these inputs."""
        right = self.answer(values)
        apart = TOLERANCES_APART * self.relative_tolerance * abs(right)
        return any(
            value is not None and abs(value - right) < apart
            for value in (slip.value(values) for slip in self.slips)
        )

    def key(self, values: Values, *, seal: str = "") -> CodeKey:
        """Return the key of the learner's own inputs and of the hidden ones."""
        return self.key_of(values, self.cases(values, seal))

    def key_of(self, values: Values, cases: Sequence[Values]) -> CodeKey:
        """Return the key of some inputs."""
        return CodeKey(
            **self.key_parts(values),
            cases=tuple(tuple(case.items()) for case in cases),
            right=tuple(float(self.answer(case)) for case in cases),
            slips=tuple(
                SlipResults(slip.key, tuple(slip.value(case) for case in cases), slip.misconception)
                for slip in self.slips
            ),
            tolerance=self.relative_tolerance,
        )

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

    def tolerance_in_words(self, values: Values) -> str:
        """Say how far off a result is right still."""
        return f"± {100 * self.relative_tolerance:.3g} %"
