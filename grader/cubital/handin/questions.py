"""A question as one learner is asked it, with what decides on the answer."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from cubital.items.kinds.form import Form
from cubital.items.kinds.key import Key


@dataclass(frozen=True)
class Question:
    """A form and its key; ``values`` are those that both were worked out from.

    ``described`` tells that it was asked in the described version.
    """

    form: Form
    key: Key
    values: Mapping[str, Any]
    described: bool = False
