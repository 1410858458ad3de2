"""The tables of the two short lessons: known sources, and no number, dose or colour."""

import re

import pytest

from cubital import tables
from cubital.explore.patient.short_tables import child_site_table, result_table
from cubital.tables.patient import child_sites, spoilt_results


@pytest.mark.parametrize("rows", [spoilt_results(), child_sites()], ids=["results", "sites"])
def test_every_row_has_a_known_source_and_is_seen_no_farther_than_it(rows):
    seen = ["memory", "second-hand", "abstract", "read"]
    known = tables.bibliography()
    assert len({row.key for row in rows}) == len(rows)
    for row in rows:
        assert seen.index(row.seen) <= seen.index(known[row.source].seen), row.key


@pytest.mark.parametrize("table", [result_table(), child_site_table()], ids=["results", "sites"])
def test_a_table_shows_every_row_and_no_number_no_colour_and_no_dose(table):
    html = table._repr_html_()
    rows = spoilt_results() if table.caption == "What spoils a result" else child_sites()
    assert len(table.rows) == len(rows)
    for row, shown in zip(rows, table.rows, strict=True):
        assert row.source == "common-practice" or f"[{row.source}]" in shown[-1]
    said = re.sub(r"\[[a-z0-9-]+\]", "", " ".join(cell for row in table.rows for cell in row))
    assert not re.search(r"\d|\b(green|blue|red|purple|yellow) (tube|cap)|\bmg\b|%", said)
    assert "<caption" in html


def test_what_must_not_be_overlooked_is_there():
    by_key = {row.key: row for row in spoilt_results()}
    assert "above a running infusion" in by_key["infusion"].cause
    assert "Label at the bedside" in by_key["label"].instead
    assert "local laboratory" in by_key["order"].instead
    (scalp,) = (row for row in child_sites() if row.key == "scalp")
    assert "only where local policy has it" in scalp.whom
    assert "feel for a pulse" in scalp.caution
