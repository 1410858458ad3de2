"""Items that ask for a table: one of the same few columns for each row."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from cubital.items.kinds.base import Item, Judgement, Values
from cubital.items.kinds.quantity import UnreadableAnswerError


@dataclass(frozen=True)
class Column:
    """One answer that a row can have."""

    key: str
    text: str


@dataclass(frozen=True)
class Row:
    """One line of the table: its right column, and what is believed by who takes another.

    ``misconceptions`` maps each wrong column's key to the end of "This is put there by someone
    who ...".
    """

    key: str
    text: str
    right: str
    misconceptions: Mapping[str, str]


@dataclass(frozen=True)
class TableItem(Item):
    """A table to fill in; each row gives its share of the points."""

    kind: ClassVar[str] = "table"

    columns: Callable[[Values], Sequence[Column]] = lambda _values: ()
    rows: Callable[[Values], Sequence[Row]] = lambda _values: ()

    def read(self, typed: Any, values: Values) -> dict[str, Any]:
        """Return the column chosen for each row, as far as the table is filled in."""
        if not isinstance(typed, Mapping) or not typed:
            raise UnreadableAnswerError("Fill in at least one row.")
        rows = {row.key for row in self.rows(values)}
        columns = {column.key for column in self.columns(values)}
        if not set(typed) <= rows or not all(isinstance(key, str) for key in typed.values()):
            raise UnreadableAnswerError("The table has no such row.")
        if not set(typed.values()) <= columns:
            raise UnreadableAnswerError("Choose one of the columns for each row.")
        return {"cells": {row.key: typed[row.key] for row in self.rows(values) if row.key in typed}}

    def slip_key(self, row: str, column: str) -> str:
        """Return the name of the slip of putting a row into a wrong column."""
        return f"{row}-as-{column}"

    def _judge(self, values: Values, answer: Mapping[str, Any]) -> Judgement:
        cells = self.read(answer["cells"], values)["cells"]
        rows = self.rows(values)
        right = [row for row in rows if cells.get(row.key) == row.right]
        wrong = [row for row in rows if row.key in cells and row not in right]
        if len(right) == len(rows):
            return self.judged("right", "Right.")
        words = f"{len(right)} of {len(rows)} rows are right."
        for row in wrong:
            why = row.misconceptions[cells[row.key]]
            words += f" “{row.text.rstrip('.')}” is put there by someone who {why}."
        if len(right) + len(wrong) < len(rows):
            words += f" {len(rows) - len(right) - len(wrong)} are not filled in."
        points = round(self.points * len(right) / len(rows), 2)
        if not wrong:
            return Judgement("wrong", points, words)
        first, column = wrong[0], cells[wrong[0].key]
        why = f"“{first.text.rstrip('.')}”: {first.misconceptions[column]}"
        return Judgement("slip", points, words, self.slip_key(first.key, column), why)

    def in_words(self, values: Values, answer: Mapping[str, Any]) -> str:
        """Say each row with its column."""
        columns = {column.key: column.text for column in self.columns(values)}
        return "; ".join(
            f"{row.text.rstrip('.')}: {columns[answer['cells'][row.key]]}"
            for row in self.rows(values)
            if row.key in answer["cells"]
        )

    def solution(self, values: Values) -> dict[str, str]:
        """Return the table filled in right."""
        return {row.key: row.right for row in self.rows(values)}

    def slip_answers(self, values: Values) -> dict[str, dict[str, str]]:
        """Return, for each slip, the table with just that one row wrong."""
        right = self.solution(values)
        return {
            self.slip_key(row.key, column): right | {row.key: column}
            for row in self.rows(values)
            for column in row.misconceptions
        }
