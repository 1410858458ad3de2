"""What is due when, a row a lesson, on the page and in the terminal."""

from datetime import UTC, datetime, timedelta

from cubital import tables
from cubital.refresh.critical import CriticalStanding
from cubital.refresh.due import in_lessons, in_lines, note, standings_of
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
        Standing(FLOW, NOW),
        Standing(FLOW, NOW - timedelta(days=3)),
        Standing(FLOW, NOW + timedelta(days=30)),
        Standing(FLOW, NOW + timedelta(days=21)),
    )
    assert rows(*found) == {"Catheter sizing": ["2", "2", "1", "31 March 2027"]}


def test_nothing_is_begun_before_the_first_review_and_each_lesson_has_a_row():
    found = standings_of(ReviewLog("ada.alder"), NOW)
    told = rows(*found)
    assert len(told) == len(with_worksheets())
    assert sum(int(row[2]) for row in told.values()) == len(found)
    assert {(row[0], row[1], row[3]) for row in told.values()} == {("0", "0", "-")}
    assert note() in in_lines(found, NOW)


def test_what_must_be_right_and_is_late_is_counted_beside_what_is_due():
    due = NOW - timedelta(days=31)
    late = CriticalStanding(due, NOW - timedelta(days=1), missed=False)
    still = CriticalStanding(due, NOW + timedelta(days=1), missed=False)
    found = (Standing(FLOW, due, True, late), Standing(FLOW, due, True, still))
    assert rows(*found)["Catheter sizing"][0] == "2 (1 late)"


def test_the_note_says_whose_rule_it_is_and_that_it_is_of_knowledge():
    assert "due after 180 days at the latest, and late 30 days after that" in note()
    assert (
        "approved by: Lead nurse for vascular access, Ward 4 (invented), 2 November 2026" in note()
    )
    assert "nothing on competence" in note()
