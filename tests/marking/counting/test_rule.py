"""Which hand-in counts: the last in time, else the last; or what the educator chose. Nothing else.

The oracle is the sentence in the guide, worked by hand in tables; what holds for all is tried on
drawn hand-ins.
"""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital.marking.counting import rule
from cubital.marking.counting.choices import NONE, Choice
from cubital.marking.counting.due import Due
from cubital.marking.counting.rule import Basis, Seen, standing
from cubital.marking.marks.attempts import Attempt

SHEET = "catheter-sizing"


def hour(number: float, *, year: int = 2027) -> datetime:
    return datetime(year, 3, 4, tzinfo=UTC) + timedelta(hours=number)


def seen(said: datetime | None, arrived: datetime, *, release: str = "one", **more: Any) -> Seen:
    at = "" if said is None else said.isoformat(timespec="seconds")
    files = more.pop("files", f"{said} {arrived}")
    return Seen(Attempt(SHEET, "ann", release, at, files, 1), arrived, **more)


def chosen(attempt: str, *there: Seen) -> Choice:
    told = tuple(row.attempt.id for row in there)
    return Choice(SHEET, "ann", attempt, "kate", "2027-03-09T08:00:00+00:00", "other", "why", told)


def codes(found: rule.Standing, row: Seen) -> list[str]:
    return [flag.code for flag in found.flags[row.attempt.id]]


NINE, TEN, ELEVEN = (seen(hour(at), hour(30)) for at in (9, 10, 11))
DUE_TEN = {"one": Due(hour(10))}


@pytest.mark.parametrize(
    ("dates", "counts", "by"),
    [
        ({}, ELEVEN, rule.LAST),
        (DUE_TEN, TEN, rule.IN_TIME),  # up to the second
        ({"one": Due(hour(10) - timedelta(seconds=1))}, NINE, rule.IN_TIME),
        ({"one": Due(hour(8), {"ann": hour(11)})}, ELEVEN, rule.IN_TIME),
        ({"one": Due(hour(8), {"ben": hour(11)})}, None, rule.LATE),
        ({"another": Due(hour(8))}, ELEVEN, rule.LAST),
    ],
)
def test_the_last_one_in_time_counts_else_the_last(dates: Any, counts: Any, by: str) -> None:
    found = standing("ann", [TEN, ELEVEN, NINE], Basis(dates))
    assert (found.counts, found.rule) == (counts, by)
    assert found.seen == (NINE, TEN, ELEVEN), "all are listed, in their order"
    late = [row for row in found.seen if rule.LATE in codes(found, row)]
    assert counts not in late
    assert (counts is None) == (late == [NINE, TEN, ELEVEN])


def test_each_hand_in_is_due_with_the_release_it_answers() -> None:
    retake = seen(hour(40), hour(41), release="two")
    dates = {"one": Due(hour(10)), "two": Due(hour(48))}
    assert standing("ann", [TEN, retake], Basis(dates)).counts == retake
    too_late = {"one": Due(hour(10)), "two": Due(hour(39))}
    assert standing("ann", [TEN, retake], Basis(too_late)).counts == TEN


def test_what_comes_after_the_feedback_does_not_count_by_itself_whatever_time_it_says() -> None:
    first = seen(hour(9), hour(12))
    dated_back = seen(hour(8), hour(21))
    later = seen(hour(20), hour(21))
    told = Basis(told={"one": hour(20)})
    found = standing("ann", [first, dated_back, later], told)
    assert (found.counts, found.rule) == (first, rule.LAST)
    assert found.why == "the last before the feedback of 3; no due date is set"
    for row in (dated_back, later):
        assert codes(found, row)[-1:] == [rule.AFTER_FEEDBACK]
        assert found.flags[row.attempt.id][-1].to_look_at
    assert codes(found, first) == []
    in_time = Basis({"one": Due(hour(30))}, told={"one": hour(20)})
    assert standing("ann", [first, later], in_time).counts == first
    by_choice = Basis(choice=chosen(later.attempt.id, first, later), told={"one": hour(20)})
    assert standing("ann", [first, later], by_choice).counts == later
    assert standing("ann", [first, later], Basis()).counts == later  # nobody was told


def test_feedback_tells_what_is_right_in_its_own_release_alone() -> None:
    first, again = seen(hour(9), hour(12)), seen(hour(20), hour(21), release="two")
    assert standing("ann", [first, again], Basis(told={"one": hour(15)})).counts == again


def test_what_was_there_when_the_feedback_was_given_was_made_before_it() -> None:
    first, second = seen(hour(9), hour(12)), seen(hour(10), hour(12))
    assert standing("ann", [first, second], Basis(told={"one": hour(12)})).counts == second
    at_once = hour(12) - timedelta(microseconds=1)
    assert standing("ann", [first, second], Basis(told={"one": at_once})).counts is None


def test_who_was_late_alone_has_none_that_counts_and_is_told_both_dates() -> None:
    found = standing("ann", [ELEVEN], Basis({"one": Due(hour(10).astimezone())}))
    assert (found.counts, found.rule) == (None, rule.LATE)
    assert "2027-03-04 11:00 UTC" in found.why
    assert "was due 2027-03-04 10:00 UTC" in found.why


def test_a_clock_that_runs_ahead_gains_nothing_over_what_is_collected_later() -> None:
    ahead = seen(hour(8, year=2046), hour(12))
    real = seen(hour(20), hour(24))
    found = standing("ann", [ahead, real], Basis())
    assert found.counts == real
    assert codes(found, ahead) == [rule.AHEAD]
    assert codes(found, real) == []
    before = seen(hour(11), hour(24))  # made earlier, and delivered late
    found = standing("ann", [ahead, before], Basis())
    assert found.counts == ahead
    assert rule.PASSED_OVER in codes(found, before)
    assert all(flag.to_look_at for flag in found.flags[before.attempt.id])


def test_a_date_ahead_is_late_by_its_arrival_alone() -> None:
    ahead = seen(hour(8, year=2046), hour(12))
    assert standing("ann", [ahead], Basis({"one": Due(hour(12))})).counts == ahead
    assert standing("ann", [ahead], Basis({"one": Due(hour(11))})).rule == rule.LATE


def test_what_was_there_neither_by_its_date_nor_when_others_were_collected_is_named() -> None:
    basis = Basis({"one": Due(hour(10))}, collectings=(hour(8), hour(12), hour(30)))
    found = standing("ann", [NINE], basis)
    (flag,) = found.flags[NINE.attempt.id]
    assert (flag.code, flag.to_look_at) == (rule.NOT_THERE, True)
    assert "2027-03-04 12:00 UTC" in flag.words
    late = Basis({"one": Due(hour(8.5))}, collectings=(hour(12), hour(30)))
    flags = standing("ann", [NINE], late).flags[NINE.attempt.id]
    assert [(flag.code, flag.to_look_at) for flag in flags] == [
        (rule.LATE, False),
        (rule.NOT_THERE, False),
    ]
    at_once = Basis({"one": Due(hour(10))}, collectings=(hour(8), hour(30)))
    assert codes(standing("ann", [NINE], at_once), NINE) == []


def test_what_is_dated_a_minute_before_it_was_due_and_came_after_a_collecting_is_named() -> None:
    """Hand-ins are often collected within the hour in which they were due."""
    said = seen(hour(10) - timedelta(minutes=1), hour(30))
    basis = Basis({"one": Due(hour(10))}, collectings=(hour(10) + timedelta(minutes=20), hour(30)))
    (flag,) = standing("ann", [said], basis).flags[said.attempt.id]
    assert (flag.code, flag.to_look_at) == (rule.NOT_THERE, True)
    assert "2027-03-04 10:20 UTC" in flag.words


def test_what_is_dated_before_its_release_is_named_and_counts() -> None:
    found = standing("ann", [NINE], Basis(made={"one": hour(10.5)}))
    assert found.counts == NINE
    assert codes(found, NINE) == [rule.BEFORE_RELEASE]
    assert codes(standing("ann", [NINE], Basis(made={"one": hour(9.5)})), NINE) == []


def test_a_choice_wins_over_dates_and_names_who_when_and_why() -> None:
    for attempt, counts in ((NINE.attempt.id, NINE), (NONE, None)):
        basis = Basis(DUE_TEN, chosen(attempt, NINE, TEN, ELEVEN))
        found = standing("ann", [NINE, TEN, ELEVEN], basis)
        assert (found.counts, found.rule) == (counts, rule.CHOSEN)
        assert "kate chose on 2027-03-09" in found.why
        assert "other: why" in found.why


def test_what_comes_after_a_choice_does_not_count_by_itself_and_is_named() -> None:
    found = standing("ann", [NINE, TEN], Basis(choice=chosen(NINE.attempt.id, NINE)))
    assert found.counts == NINE
    (flag,) = found.flags[TEN.attempt.id]
    assert (flag.code, flag.to_look_at) == (rule.AFTER_CHOICE, True)


def test_a_choice_settles_what_looked_wrong_before_it() -> None:
    ahead = seen(hour(8, year=2046), hour(12))
    found = standing("ann", [ahead, TEN], Basis(choice=chosen(TEN.attempt.id, ahead, TEN)))
    assert [flag.to_look_at for flag in found.flags[ahead.attempt.id]] == [False]


def test_what_cannot_be_marked_again_does_not_count_and_says_so() -> None:
    gone = seen(hour(12), hour(30), kept=False)
    torn = seen(None, hour(30), files="")
    torn = Seen(Attempt(SHEET, "ann"), hour(30))
    found = standing("ann", [NINE, gone, torn], Basis())
    assert found.counts == NINE
    assert codes(found, gone) == [rule.NOT_KEPT]
    lost = standing("ann", [NINE, gone], Basis(choice=chosen(gone.attempt.id, NINE, gone)))
    assert lost.counts == NINE
    assert "chose is not kept any more" in lost.why


def test_one_that_would_count_and_whose_files_are_gone_is_not_passed_over_in_silence() -> None:
    for at, said in ((12, True), (8, False)):
        gone = seen(hour(at), hour(30), kept=False)
        (flag,) = standing("ann", [NINE, gone], Basis()).flags[gone.attempt.id]
        assert (flag.code, flag.to_look_at) == (rule.NOT_KEPT, said)


def test_one_without_a_date_counts_where_no_other_has_one() -> None:
    undated = seen(None, hour(30))
    assert standing("ann", [undated, NINE], Basis()).counts == NINE
    assert standing("ann", [undated], Basis()).counts == undated
    assert standing("ann", [undated], Basis({"one": Due(hour(29))})).rule == rule.LATE


moments = st.integers(0, 60).map(hour)
rows = st.lists(
    st.builds(seen, moments, moments, release=st.sampled_from(["one", "two"])),
    max_size=6,
    unique_by=lambda row: row.attempt.id,
)
dues = st.dictionaries(st.sampled_from(["one", "two"]), moments.map(Due))


@given(rows, dues, st.randoms())
def test_what_counts_hangs_on_no_order_and_is_late_never(
    drawn: list[Seen], dates: dict[str, Due], chance: Any
) -> None:
    found = standing("ann", drawn, Basis(dates))
    mixed = [*drawn]
    chance.shuffle(mixed)
    assert standing("ann", mixed, Basis(dates)) == found
    claims = {row: min(row.said, row.arrived) for row in drawn if row.said}
    in_time = [
        row
        for row, at in claims.items()
        if row.attempt.release not in dates or at <= dates[row.attempt.release].at
    ]
    assert (found.counts in in_time) == bool(in_time)
    assert not in_time or claims[found.counts] == max(claims[row] for row in in_time)


@given(rows, dues, st.data())
def test_a_due_date_that_is_put_off_takes_no_hand_in_away(
    drawn: list[Seen], dates: dict[str, Due], data: Any
) -> None:
    before = standing("ann", drawn, Basis(dates)).counts
    later = {key: Due(data.draw(moments.filter(row.at.__le__))) for key, row in dates.items()}
    after = standing("ann", drawn, Basis(later)).counts
    assert before is None or (after is not None and after.at >= before.at)
