"""What is due when, a row a lesson, on the page and in the terminal."""

from datetime import UTC, datetime, timedelta

from cubital import tables
from cubital.refresh.due import NOTE, in_lessons, in_lines, standings_of
from cubital.refresh.reviews import ReviewLog
from cubital.refresh.schedule import Standing
from cubital.tables.course import with_worksheets

NOW = datetime(2027, 3, 10, 9, 0, tzinfo=UTC)
FLOW = tables.curriculum().objective("flow")


def rows(*found):
    """The table's rows by lesson: due, kept, not begun, next due."""
    table = in_lessons(found, NOW)
    return {row[0]["text"]: [cell["text"] for cell in row[1:]] for row in table["rows"]}


def test_a_lessons_row_counts_what_is_due_kept_and_not_begun_and_says_the_next_day():
    found = (
        Standing(FLOW),
        Standing(FLOW, NOW, 0.9),
        Standing(FLOW, NOW - timedelta(days=3), 0.5),
        Standing(FLOW, NOW + timedelta(days=30), 0.9),
        Standing(FLOW, NOW + timedelta(days=21), 0.9),
    )
    assert rows(*found) == {"Catheter sizing": ["2", "2", "1", "31 March 2027"]}


def test_nothing_is_begun_before_the_first_review_and_each_lesson_has_a_row():
    found = standings_of(ReviewLog("ada.alder"), NOW)
    told = rows(*found)
    assert len(told) == len(with_worksheets())
    assert sum(int(row[2]) for row in told.values()) == len(found)
    assert {(row[0], row[1], row[3]) for row in told.values()} == {("0", "0", "-")}
    assert NOTE in in_lines(found, NOW)
