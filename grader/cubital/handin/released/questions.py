"""A question as one learner is asked it, with what decides on the answer."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from cubital.items.kinds.form import Form, answer_with_keys
from cubital.items.kinds.key import Key


@dataclass(frozen=True)
class Question:
    """A form and its key; ``values`` are those that both were worked out from.

    ``names`` tells, for an answer to a paper, what each key in it is called by the form here.
    ``described`` tells that it was asked in the described version.
    """

    form: Form
    key: Key
    values: Mapping[str, Any]
    names: Mapping[str, str] = field(default_factory=dict)
    described: bool = False

    def answer(self, saved: Mapping[str, Any]) -> dict[str, Any]:
        """Return an answer that was saved to a paper as the form here takes it."""
        translated: dict[str, Any] = answer_with_keys(saved, self.names)
        return translated

    def as_entered(self, entered: Any) -> Any:
        """Return what is entered here as it is entered on the paper."""
        return answer_with_keys(entered, {key: name for name, key in self.names.items()})
