"""A table to fill in: one of the same few columns for each row."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar, NamedTuple, Self

from cubital.items.kinds.base import Item, Mistake, Values, repeated
from cubital.items.kinds.form import Answer, Form, keyed, renamed
from cubital.items.kinds.key import Believed, Judgement, Key, Truth
from cubital.items.kinds.plain import Offered
from cubital.items.typed.quantity import UnreadableAnswerError


@dataclass(frozen=True)
class Column:
    """One answer that a row can have."""

    key: str
    text: str


@dataclass(frozen=True)
class Row:
    """One line of the table: its right column, and what is believed by who takes another.

    ``misconceptions`` maps each wrong column's key to the end of "Putting this there ...", as in
    "takes a mark for a sign".
    """

    key: str
    text: str
    right: str
    misconceptions: Mapping[str, str]


@dataclass(frozen=True, kw_only=True)
class TableForm(Form):
    """The rows, and the columns that each can be put into."""

    kind: ClassVar[str] = "table"
    holds: ClassVar[str] = "cells"

    rows: tuple[Offered, ...]
    columns: tuple[Offered, ...]

    @property
    def hint(self) -> str:
        """The words that say how to answer."""
        return "One answer a row."

    @property
    def offered(self) -> tuple[str, ...]:
        """Each row's text with the columns'."""
        columns = " | ".join(column.text for column in self.columns)
        return tuple(f"{row.text} [{columns}]" for row in self.rows)

    def parts(self) -> dict[str, object]:
        """Return the rows and the columns."""
        return {"rows": keyed(self.rows), "columns": keyed(self.columns)}

    def keys(self) -> tuple[str, ...]:
        """Return the rows' keys and the columns'."""
        return tuple(dict.fromkeys(one.key for one in (*self.rows, *self.columns)))

    def with_keys(self, names: Mapping[str, str]) -> Self:
        """Return the form with other keys for rows and columns."""
        rows, columns = renamed(self.rows, names), renamed(self.columns, names)
        return replace(self, rows=rows, columns=columns)

    def read(self, typed: Any) -> dict[str, Any]:
        """Return the column chosen for each row, as far as the table is filled in."""
        if not isinstance(typed, Mapping) or not typed:
            raise UnreadableAnswerError("Fill in at least one row.")
        rows, columns = dict(self.rows), dict(self.columns)
        if not set(typed) <= set(rows) or not all(isinstance(key, str) for key in typed.values()):
            raise UnreadableAnswerError("The table has no such row.")
        if not set(typed.values()) <= set(columns):
            raise UnreadableAnswerError("Choose one of the columns for each row.")
        return {"cells": {row: typed[row] for row in rows if row in typed}}

    def in_words(self, answer: Answer) -> str:
        """Say each row with its column."""
        columns = dict(self.columns)
        return "; ".join(
            f"{row.text.rstrip('.')}: {columns[answer['cells'][row.key]]}"
            for row in self.rows
            if row.key in answer["cells"]
        )

    def saved_as(self, answer: Answer) -> str:
        """Say how many rows are filled in."""
        return f", {len(answer['cells'])} of {len(self.rows)} rows filled in"

    def missing(self, answer: Answer) -> str:
        """Say how many rows are not filled in."""
        left = len(self.rows) - len(answer["cells"])
        return "" if left <= 0 else "one row" if left == 1 else f"{left} rows"


class RowKey(NamedTuple):
    """A row's right column, and what is believed by who takes another."""

    key: str
    text: str
    right: str
    wrong: tuple[Believed, ...]


@dataclass(frozen=True, kw_only=True)
class TableKey(Key):
    """The right column of each row; each gives its share of the points."""

    kind: ClassVar[str] = TableForm.kind

    rows: tuple[RowKey, ...]

    def _judge(self, form: TableForm, answer: Answer, truth: Truth | None) -> Judgement:
        cells, rows = form.read(answer["cells"])["cells"], self.rows
        right = [row for row in rows if cells.get(row.key) == row.right]
        wrong = [row for row in rows if row.key in cells and row not in right]
        if len(right) == len(rows):
            return self.judged("right", "Right.")
        words = f"{len(right)} of {len(rows)} rows are right."
        for row in wrong:
            why = dict(row.wrong)[cells[row.key]]
            words += f" Putting “{row.text.rstrip('.')}” there {why}."
        if len(right) + len(wrong) < len(rows):
            words += f" {len(rows) - len(right) - len(wrong)} are not filled in."
        points = round(self.points * len(right) / len(rows), 2)
        if not wrong:
            return Judgement("wrong", points, words)
        first, column = wrong[0], cells[wrong[0].key]
        why = f"“{first.text.rstrip('.')}”: {dict(first.wrong)[column]}"
        return Judgement("slip", points, words, slip_key(first.key, column), why)


@dataclass(frozen=True)
class TableItem(Item):
    """A table to fill in; each row gives its share of the points."""

    kind: ClassVar[str] = TableForm.kind

    columns: Callable[[Values], Sequence[Column]] = lambda _values: ()
    rows: Callable[[Values], Sequence[Row]] = lambda _values: ()

    def form(self, values: Values) -> TableForm:
        """Return the form at these values."""
        return TableForm(
            **self.form_parts(values),
            rows=tuple(Offered(row.key, row.text) for row in self.rows(values)),
            columns=tuple(Offered(one.key, one.text) for one in self.columns(values)),
        )

    def key(self, values: Values, *, seal: str = "") -> TableKey:
        """Return the key at these values."""
        rows = tuple(
            RowKey(
                row.key,
                row.text,
                row.right,
                tuple(Believed(*one) for one in row.misconceptions.items()),
            )
            for row in self.rows(values)
        )
        return TableKey(**self.key_parts(values), rows=rows)

    def solution(self, values: Values, truth: Truth | None = None) -> dict[str, str]:
        """Return the table filled in right."""
        return {row.key: row.right for row in self.rows(values)}

    def slip_answers(self, values: Values, truth: Truth | None = None) -> dict[str, dict[str, str]]:
        """Return, for each slip, the table with just that one row wrong."""
        right = self.solution(values)
        return {
            slip_key(row.key, column): right | {row.key: column}
            for row in self.rows(values)
            for column in row.misconceptions
        }

    def mistakes(self, values: Values) -> Sequence[Mistake]:
        """Return each row in each wrong column."""
        columns = {column.key: column.text for column in self.columns(values)}
        return [
            Mistake(slip_key(row.key, key), f"{row.text.rstrip('.')}: {columns[key]}", why)
            for row in self.rows(values)
            for key, why in row.misconceptions.items()
        ]

    def tolerance_in_words(self, values: Values) -> str:
        """Say how the points are shared."""
        return "each row gives its share of the points"

    def tallies(self, values: Values) -> Mapping[str, Sequence[str]]:
        """Return each row with its right column."""
        return {
            "Row and its right column": [f"{row.key}: {row.right}" for row in self.rows(values)]
        }

    def faults_at(self, values: Values) -> Iterator[str]:
        """Yield what is wrong with rows and columns."""
        columns = [column.key for column in self.columns(values)]
        rows = self.rows(values)
        yield from (f"two rows have the key {key!r}" for key in repeated([r.key for r in rows]))
        if len(rows) < 2 or len(columns) < 2:
            yield "a table needs two rows and two columns at least"
        for row in rows:
            if row.right not in columns:
                yield f"row {row.key!r}: right is {row.right!r}, which is no column"
            elif set(row.misconceptions) != set(columns) - {row.right}:
                yield f"row {row.key!r} needs one misconception for each column but the right one"


def slip_key(row: str, column: str) -> str:
    """Return the name of the slip of putting a row into a wrong column."""
    return f"{row}-as-{column}"
