"""What is due when, in words: in the terminal's rows and in the notebook's table."""

import re
from datetime import UTC, datetime, timedelta

from cubital import tables
from cubital.refresh.due import NOTE, due_rows, standings_of, what_is_due
from cubital.refresh.reviews import ReviewLog, add_review
from cubital.refresh.schedule import Standing

NOW = datetime(2027, 3, 10, 9, 0, tzinfo=UTC)
FLOW = tables.curriculum().objective("flow")


def when(days):
    due = None if days is None else NOW + timedelta(days=days)
    ((words, title),) = due_rows((Standing(FLOW, due, 0.9),), NOW)
    assert title == FLOW.title
    return words


def test_a_row_says_the_day_and_since_when_it_is_due():
    assert when(None) == "not begun"
    assert when(0) == "today"
    assert when(-3) == "since 2027-03-07"
    assert when(21) == "2027-03-31"


def test_rows_are_in_the_order_of_their_days_and_what_is_not_begun_comes_last():
    rows = due_rows(
        (
            Standing(FLOW),
            Standing(FLOW, NOW + timedelta(days=9), 0.9),
            Standing(FLOW, NOW - timedelta(days=9), 0.5),
        ),
        NOW,
    )
    assert [words for words, _ in rows] == ["since 2027-03-01", "2027-03-19", "not begun"]


def test_nothing_is_begun_before_the_first_review():
    found = standings_of(ReviewLog("ada.alder"), NOW)
    assert found
    assert {words for words, _ in due_rows(found, NOW)} == {"not begun"}


def refreshed(folder):
    add_review(
        folder,
        folder.name,
        review="s1/sizing-bore-flow",
        objective="flow",
        item="sizing-bore-flow",
        outcome="right",
        rating="good",
        at=datetime.now(UTC),
    )


def test_the_notebooks_table_shows_the_learners_days_and_looks_again_at_the_button(tmp_path):
    folder = tmp_path / "ada.alder" / "refresh"
    folder.mkdir(parents=True)
    button, table = what_is_due(folder).children
    number = len(standings_of(ReviewLog("ada.alder"), NOW))
    assert table.value.count("not begun") == number
    assert NOTE in table.value
    refreshed(folder.parent)
    button.click()
    assert table.value.count("not begun") == number - 1
    assert len(re.findall(r"<td>\d{4}-\d{2}-\d{2}</td>", table.value)) == 1


def test_a_broken_log_is_told_in_the_notebook(tmp_path):
    folder = tmp_path / "ada.alder" / "refresh"
    folder.mkdir(parents=True)
    (folder.parent / "refresh.json").write_text("{", encoding="utf-8")
    _, table = what_is_due(folder).children
    assert "move it away to start afresh" in table.value
