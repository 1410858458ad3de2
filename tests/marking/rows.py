"""All that a gradebook holds, table by table, with what a row is of instead of its id."""

import sqlite3
from collections.abc import Iterable, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any

# A table -> the columns that say what a row is of, in an order in which they can be found.
OF = {
    "assignment": ("name",),
    "notebook": ("assignment_id", "name"),
    "base_cell": ("notebook_id", "type", "name"),
    "source_cell": ("notebook_id", "name"),
    "submitted_assignment": ("assignment_id", "student_id"),
    "submitted_notebook": ("notebook_id", "assignment_id"),
    "grade": ("notebook_id", "cell_id"),
    "comment": ("notebook_id", "cell_id"),
}
Row = Mapping[str, Any]
Rows = dict[str, list[Row]]


def with_ids(gradebook: Path) -> Rows:
    """All rows of all tables as they are."""
    with closing(sqlite3.connect(gradebook)) as db:
        db.row_factory = sqlite3.Row
        tables = [
            name for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type='table'")
        ]
        return {
            table: in_order(map(dict, db.execute(f'SELECT * FROM "{table}"')))
            for table in sorted(tables)
        }


def of(gradebook: Path) -> Rows:
    """All rows of all tables; an id is what its row is of."""
    rows = with_ids(gradebook)
    known: dict[Any, str] = {}
    for table, columns in OF.items():
        for row in rows[table]:
            parts = (known.get(row[column], row[column]) for column in columns)
            known[row["id"]] = f"{table}: {' / '.join(map(str, parts))}"
    assert len(set(known.values())) == len(known) > len(OF)
    return {
        table: in_order(
            {key: known.get(value, value) for key, value in row.items()} for row in found
        )
        for table, found in rows.items()
    }


def without_names(rows: Rows) -> Rows:
    """The same without the learners' names, which nbgrader's own marking does not know."""
    nameless = {"first_name": None, "last_name": None}
    return rows | {"student": [row | nameless for row in rows["student"]]}


def in_order(rows: Iterable[Row]) -> list[Row]:
    return sorted(rows, key=lambda row: str(sorted(row.items())))
