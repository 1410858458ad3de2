"""The pre-use check."""

import functools
from typing import NamedTuple

from cubital.tables.reading import asset


class CheckStep(NamedTuple):
    """One question of the pre-use check, and what to do when the answer is no."""

    key: str
    ask: str
    why: str
    if_not: str
    stops: bool
    kind: str
    source: str
    seen: str


@functools.cache
def pre_use_check() -> tuple[CheckStep, ...]:
    """Return the questions of the pre-use check, in order."""
    table = asset("pre-use-check.toml")
    return tuple(CheckStep(key=key, **row) for key, row in table.items())
