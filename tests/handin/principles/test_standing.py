"""How a learner stands on a principle: every way through talk, retake, practice and decision."""

import pytest

from cubital.handin.principles import records
from cubital.handin.principles.records import Record
from cubital.handin.principles.standing import (
    STATES,
    Attempt,
    attempt_at,
    since,
    standing,
    told_now,
)
from cubital.handin.results import HELD, MARKED, SubmissionResult

TALK = Record("talk", "nerve", "ann", 1, "Eva", "2027-03-05", "misread")
FIRST_RETAKE = Record("retake", "nerve", "ann", 2, "Eva", "2027-03-06")
OBSERVED = Record("observed", "nerve", "ann", 2, "Olu", "2027-03-09")
SECOND_RETAKE = Record("retake", "nerve", "ann", 3, "Eva", "2027-03-10")
YES = Record("decision", "nerve", "ann", 3, "Eva", "2027-03-12", "passed")
NO = Record("decision", "nerve", "ann", 3, "Eva", "2027-03-12", "not-passed")
ALL = (TALK, FIRST_RETAKE, OBSERVED, SECOND_RETAKE)


def stands(told, *found):
    """Return a standing by attempts told as a text: + passed, - missed, ? not marked yet."""
    marks = {"+": True, "-": False, "?": None}
    attempts = [Attempt(number, "r", marks[one]) for number, one in enumerate(told, 1)]
    return standing("nerve", "ann", attempts, found)


@pytest.mark.parametrize(
    ("told", "found", "state", "words", "retake"),
    [
        ("", (), "open", "not answered and marked yet", False),
        ("?", (), "open", "not answered and marked yet", False),
        ("+", (), "passed", "passed", False),
        ("-", (), "missed", "missed; a talk is due", False),
        ("-", ALL[:1], "talked", "missed; talked through on 2027-03-05", True),
        ("-", ALL[:2], "handed out", "a retake was handed out on 2027-03-06, attempt 2", False),
        ("-?", ALL[:2], "handed out", "a retake was handed out on 2027-03-06, attempt 2", False),
        ("-+", ALL[:2], "passed", "passed at attempt 2", False),
        (
            "--",
            ALL[:2],
            "missed again",
            "missed at the retake as well; practice has to be observed",
            False,
        ),
        (
            "--",
            ALL[:3],
            "watched",
            "missed twice; practice was observed on 2027-03-09",
            True,
        ),
        ("--", ALL, "handed out", "a retake was handed out on 2027-03-10, attempt 3", False),
        ("--+", ALL, "passed", "passed at attempt 3", False),
        ("---", ALL, "to decide", "missed at attempt 3; the educator decides", False),
        ("---", (*ALL, YES), "decided", "passed by the decision of Eva on 2027-03-12", False),
        ("---", (*ALL, NO), "decided", "not passed by the decision of Eva on 2027-03-12", False),
    ],
)
def test_each_step_of_the_way_has_its_state(told, found, state, words, retake):
    one = stands(told, *found)
    assert (one.state, one.in_words, one.may_retake) == (state, words, retake)
    assert one.state in STATES
    assert len(one.attempts) == len(told)  # all are kept


def test_a_talk_alone_opens_no_second_retake_and_practice_alone_no_first():
    assert not stands("-", OBSERVED).may_retake
    assert not stands("--", TALK, FIRST_RETAKE).may_retake


def test_a_mark_that_is_put_right_passes_whatever_was_recorded():
    assert stands("+", *ALL).in_words == "passed"


def test_the_questions_of_what_is_passed_count_as_right_and_no_others():
    right = {"nerve-first": True, "nerve-second": True}
    assert since([stands("-+", *ALL[:2])]) == right
    assert since([stands("---", *ALL, YES)]) == right
    for told, found in (("-", ()), ("--", ALL[:3]), ("---", (*ALL, NO)), ("", ())):
        assert since([stands(told, *found)]) == {}


def handed_in(passed, at):
    return Attempt(1, "r", passed, f"2027-03-05T{at}+00:00")


def test_who_was_told_what_is_right_passes_by_no_later_hand_in_of_the_same_paper():
    missed = standing("nerve", "ann", [handed_in(False, "08:00:00")], ())
    told = told_now(missed, 1, by="feedback", at="2027-03-05T12:00:00+00:00")
    assert (told.kind, told.attempt, told.code) == ("told", 1, "2027-03-05T08:00:00+00:00")
    after = standing("nerve", "ann", [handed_in(True, "09:00:00")], [told])
    assert (after.state, after.passed) == ("missed", False)
    assert "made after the feedback" in after.to_do
    assert since([after]) == {"nerve-first": False, "nerve-second": False}
    again = standing("nerve", "ann", [after.attempts[0]], [told])
    assert told_now(again, 1, by="feedback", at="2027-03-06") is None  # once for an attempt


def test_the_same_hand_in_marked_anew_and_an_earlier_one_that_is_chosen_do_count():
    missed = standing("nerve", "ann", [handed_in(False, "08:00:00")], ())
    told = told_now(missed, 1, by="feedback", at="2027-03-05T12:00:00+00:00")
    for at in ("08:00:00", "07:00:00"):
        assert standing("nerve", "ann", [handed_in(True, at)], [told]).passed


def test_nobody_is_told_of_what_was_not_missed():
    for told in ("", "+", "?"):
        assert told_now(stands(told), 1, by="feedback", at="2027-03-05") is None
    assert told_now(stands("-"), 2, by="feedback", at="2027-03-05") is None


def test_a_retake_that_nobody_handed_out_counts_for_nothing():
    assert stands("-+").state == "missed"
    assert stands("-+", TALK).state == "talked"
    assert len(stands("-+", TALK).attempts) == 1


@pytest.mark.parametrize(
    ("first", "second", "passed"),
    [(2, 2, True), (2, 0, False), (0, 0, False), (None, 2, None), (None, 0, False)],
)
def test_both_that_must_be_right_make_it_passed_and_the_third_does_not_count(
    first, second, passed, row
):
    rows = (row("nerve-first", first), row("nerve-second", second), row("nerve-other", 0.0))
    result = SubmissionResult("ann", "complications", "spring", MARKED, items=rows)
    assert attempt_at(result, "nerve", 1).passed is passed


def test_what_was_not_marked_decides_nothing(row):
    rows = (row("nerve-first", 0.0), row("nerve-second", 0.0))
    held = SubmissionResult("ann", "complications", "spring", HELD, items=rows)
    alone = SubmissionResult("ann", "complications", "spring", MARKED, items=rows[:1])
    assert attempt_at(held, "nerve", 1).passed is None
    assert attempt_at(alone, "nerve", 1).passed is None


def test_records_are_only_added_to(tmp_path):
    for one in ALL:
        records.add_records(tmp_path, [one])
    assert records.read_records(tmp_path) == list(ALL)
    other = Record("talk", "pulse", "ann", 1, "Eva", "2027-03-05", "other")
    records.add_records(tmp_path, [other])
    found = records.read_records(tmp_path)
    assert records.of_learner(found, "pulse", "ann") == (other,)
    assert records.of_learner(found, "nerve", "ann") == ALL


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        '{"format": "x", "records": []}',
        '{"format": "cubital-second-chances/1", "records": [{"kind": "talk"}]}',
        '{"format": "cubital-second-chances/1", "records": [{"kind": "tea", "principle": "nerve", '
        '"learner": "ann", "attempt": 1, "by": "", "at": "", "code": ""}]}',
    ],
)
def test_a_file_that_is_not_ours_is_told_by_its_name(tmp_path, text):
    (tmp_path / records.FILE).write_text(text)
    with pytest.raises(ValueError, match=records.FILE):
        records.read_records(tmp_path)


@pytest.mark.parametrize("at", ["2027-03-05T08:00:00+00:00", "2027-03-05T07:00:00+00:00", ""])
def test_whatever_time_a_hand_in_says_it_passes_nothing_if_it_came_after_the_learner_was_told(at):
    missed = standing("nerve", "ann", [handed_in(False, "08:00:00")], ())
    told = told_now(missed, 1, by="feedback", at="2027-03-05T12:00:00+00:00")
    for arrived, passed in (
        ("2027-03-05T08:05:00.250000+00:00", True),  # it was there before
        ("2027-03-05T12:00:00.900000+00:00", True),  # as far as a record to the second tells
        ("2027-03-05T12:30:00+00:00", False),
    ):
        found = standing("nerve", "ann", [Attempt(1, "r", True, at, arrived=arrived)], [told])
        assert (found.passed, found.told_before) == (passed, not passed)
