"""What a question asks of somebody: a formula, a decision, recognition, an explanation, a
procedure, or recall."""

import functools
from collections.abc import Mapping
from typing import NamedTuple

from cubital.items.kinds.base import Item
from cubital.tables.files import csv_rows

RECOGNITION = "recognition"
LEVELS = ("formula", "decision", RECOGNITION, "explain", "procedure", "recall")
# What the questions of a kind ask; those that ask something else stand in assets/levels.csv.
OF_KIND = {
    "number": "formula",
    "expression": "formula",
    "code": "formula",
    "choice": "decision",
    "decision": "decision",
    "table": "decision",
    "place": "recognition",
    "series": "recognition",
    "trials": "recognition",
    "text": "explain",
    "order": "procedure",
}


class _Row(NamedTuple):
    item: str
    level: str


@functools.cache
def _stated() -> Mapping[str, str]:
    return {row.item: row.level for row in csv_rows("levels.csv", _Row)}


@functools.cache
def standing_apart() -> frozenset[str]:
    """Return the course's questions whose points do not decide: those on recognition.

    No clinicians' readings validate the simulated pictures yet.
    """
    from cubital.items.worksheets import WORKSHEETS  # noqa: PLC0415 - it needs the kinds

    listed = (item for worksheet in WORKSHEETS.values() for item in worksheet)
    return frozenset(item.id for item in listed if level_of(item) == RECOGNITION)


def level_of(item: Item) -> str:
    """Return the level of an item: what is stated of it, else that of its kind."""
    return _stated().get(item.id, OF_KIND[item.kind])
