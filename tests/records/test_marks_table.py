"""The marks table: no formula, no false zero, nothing lost on the way through a reader."""

import csv
import io

import pytest

from cubital.handin.passing import Decision
from cubital.handin.principles.records import TALK, Record
from cubital.handin.principles.standing import Attempt, standing
from cubital.handin.results import MARKED, STATES
from cubital.records.marks_table import marks_csv, safe

from ..recording import Told


def read(text):
    assert text[0] == "\ufeff"
    return list(csv.DictReader(io.StringIO(text[1:], newline="")))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("=1+1", "'=1+1"),
        ("+44 20", "'+44 20"),
        ("-2", "'-2"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\t=1", "' =1"),
        ("\r=1", "' =1"),
        ("\tname", "' name"),
        ("\rname", "' name"),
        ("＝1", "'＝1"),  # full width
        ("＋1", "'＋1"),
        ("－1", "'－1"),
        ("＠x", "'＠x"),
        ("﹦1", "'﹦1"),  # small form
        (" =1", "' =1"),
        ("\u200b=1", "'\u200b=1"),  # zero-width space before it
        ('"=1', "'\"=1"),
        ("a;=1", "a;'=1"),  # a reader that separates by semicolons splits here
        ("a\n=1", "a =1"),
        ("O'Hara", "O'Hara"),
        ("Brandt-Okonkwo", "Brandt-Okonkwo"),
        ("Søren; Tau", "Søren; Tau"),
        ("", ""),
        (" ", " "),
    ],
)
def test_no_text_is_left_a_formula(text, expected):
    assert safe(text) == expected


def test_what_the_course_decides_stands_last(cohort, sheet, all_right):
    near = Decision("too near to decide: a parallel form", "why", 189, 275, 188.65, 11.302)
    found = cohort([sheet(who, all_right()) for who in ("l1", "l2")], decisions={"l1": near})
    one, other = read(marks_csv(found))
    names = [
        f"course_{part}"
        for part in ("state", "reason", "points", "max", "pass_mark", "standard_error")
    ]
    assert list(one)[-6:] == names
    told = [near.state, "why", "189", "275", "188.65", "11.30"]
    assert [one[name] for name in names] == told
    assert [other[name] for name in names] == [""] * 6


def test_each_principle_has_how_a_learner_stands_on_it_before_the_course(cohort, sheet, all_right):
    def stands(*attempts, records=()):
        return [standing("nerve", "l", [Attempt(1, "r", passed) for passed in attempts], records)]

    talk = Record(TALK, "nerve", "l", 1, "Eva", "2027-03-05T10:00:00+00:00", "misread")
    found = cohort(
        [sheet(who, all_right()) for who in ("l1", "l2", "l3", "l4", "l5")],
        principles={
            "l1": stands(True),
            "l2": stands(False),
            "l3": stands(False, records=[talk]),
            "l4": stands(),
        },
    )
    rows = read(marks_csv(found))
    names = ["principle nerve", "principle nerve passed", "principle nerve what_to_do"]
    assert list(rows[0])[-9:-6] == names
    told = [[row[name] for name in names] for row in rows]
    assert [row[:2] for row in told] == [
        ["passed", "yes"],
        ["missed; a talk is due", "no"],
        ["missed; talked through on 2027-03-05", "no"],
        ["not answered and marked yet", ""],
        ["", ""],  # who is not on the roster
    ]
    assert [row[2] for row in told] == [
        "",
        "Talk it through, and record that.",
        "Hand out a retake: two new cases of this principle, and a third.",
        "",
        "",
    ]


def test_hostile_words_pass_through_the_whole_table_harmless(cohort, unmarked, recorder):
    text = marks_csv(
        cohort([unmarked("l1", "held", '=HYPERLINK("x","y")')], names={"l1": "=cmd|' /C calc'!A1"})
    )
    (row,) = read(text)
    seen = Told(row["state"], float(row["total"]) if row["total"] else None, row["reason"])
    does = "has formulas for a name and for the words of a reason"
    recorder.saw(does, Told("held", None), seen, most=24)
    assert row["name"] == "'=cmd|' /C calc'!A1"
    assert row["reason"] == '\'=HYPERLINK("x","y")'


def test_every_field_is_quoted(cohort, sheet, all_right):
    text = marks_csv(cohort([sheet("l1", all_right())]))
    lines = text[1:].split("\r\n")
    assert lines.pop() == ""
    for line in lines:
        assert line.startswith('"')
        assert line.endswith('"')
        assert len(line.split('","')) == len(next(csv.reader([line])))


@pytest.mark.parametrize("state", [state for state in STATES if state != MARKED])
def test_who_is_not_marked_has_a_state_and_no_number(cohort, sheet, unmarked, all_right, state):
    results = [sheet("l1", all_right()), unmarked("l2", state, "because of 7 things")]
    _, row = read(marks_csv(cohort(results)))
    assert (row["state"], row["reason"]) == (state, "because of 7 things")
    empty = {
        key: value
        for key, value in row.items()
        if key.startswith(("sizing-", "cannot-size-")) or key in {"points_so_far", "total", "max"}
    }
    assert len(empty) == 19 + 2 * 16  # and a state and a reason for each item
    assert set(empty.values()) == {""}


def test_roster_learner_without_a_result_is_missing(cohort, sheet, all_right):
    names = {"l2": "Two", "l1": "One"}
    rows = read(marks_csv(cohort([sheet("l1", all_right())], names=names)))
    assert [(row["learner"], row["state"]) for row in rows] == [("l2", "missing"), ("l1", "marked")]
    assert rows[0]["total"] == ""


def test_marks_by_hand_count(cohort, sheet, row, all_right):
    # 16 items of 2 points but for one of 3: 33. Wrong ratio -2, half of French -1: 30.
    rows = all_right(sizing_ratio=row("sizing-ratio", 0.0), sizing_french=row("sizing-french", 1.0))
    (line,) = read(marks_csv(cohort([sheet("l1", rows)])))
    assert (line["points_so_far"], line["total"], line["max"]) == ("30", "30", "33")
    assert (line["sizing-ratio"], line["sizing-french"]) == ("0", "1")
    assert line["objective size-dimensions"] == "shown"
    assert line["submitted_at"] == "2026-03-02T09:30:00+00:00"


def test_total_stays_open_while_a_hand_mark_is_open(cohort, sheet, row, all_right):
    rows = all_right(sizing_reasons=row("sizing-reasons", None, full=3.0))
    (line,) = read(marks_csv(cohort([sheet("l1", rows)])))
    assert (line["points_so_far"], line["total"]) == ("30", "")
    assert line["sizing-reasons"] == ""
    assert line["waiting_for_hand_marking"] == "sizing-reasons"
