"""What is due when follows from the log alone, whatever its order and whatever the clock said."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital.refresh.reviews import RATINGS, Review
from cubital.refresh.schedule import reviewed, sensible_times, standings
from cubital.tables import Objective

DAY = timedelta(days=1)
START = datetime(2027, 3, 1, 9, 0, tzinfo=UTC)
KEYS = ("flow", "drip", "reach-way")


def objective(key):
    return Objective(key, key, "t", "40-t", "s", (f"{key}-item",), (), 0.7, "watched")


OBJECTIVES = tuple(map(objective, KEYS))


def review(number, at, rating="good", key="flow"):
    return Review(number, at, f"s{number}/{key}", key, f"{key}-item", "right", rating)


def due(reviews, now, key="flow"):
    return standings((objective(key),), reviews, now)[0].due


def played(ratings):
    """Review one objective on the day that it is due, time after time; return the intervals."""
    at, card, days = START, None, []
    for rating in ratings:
        card = reviewed(card, rating, at)
        days.append((card.due - at) / DAY)
        at = card.due
    return days


def test_first_intervals_are_those_of_the_library_s_published_weights():
    """Stability after a first answer is weight 0 to 3, in days, and R falls as a power of time.

    R = (1 + F t / S)^-w20, with w20 = 0.1542 and F such that R is 0.9 at t = S (weights and curve
    read in the library); an interval is in whole days, at least one.
    """
    stability = {"again": 0.212, "hard": 1.2931, "good": 2.3065, "easy": 8.2956}
    f = 0.9 ** (-1 / 0.1542) - 1
    wanted = [max(1, round(s / f * (0.95 ** (-1 / 0.1542) - 1))) for s in stability.values()]
    assert [played([rating])[0] for rating in stability] == wanted == [1, 1, 1, 3]


def test_intervals_grow_with_every_right_answer_until_a_year():
    days = played(["good"] * 12)
    assert days[0] < days[1] < days[2] < days[3]
    assert days == sorted(days)
    assert days[-1] == 365


@pytest.mark.parametrize("right", [2, 3, 5, 8])
def test_an_answer_that_is_not_right_shortens_the_interval(right):
    days = played(["good"] * right + ["again"])
    assert 1 <= days[-1] < days[-2]


def test_easy_waits_longer_than_good():
    assert played(["good", "easy"])[1] > played(["good", "good"])[1]


def test_days_are_whole_and_the_same_every_time():
    ratings = ["good", "again", "good", "easy", "good", "again", "good"]
    assert all(day == int(day) for day in played(ratings))
    assert played(ratings) == played(ratings)


logs = st.lists(
    st.tuples(
        st.integers(1, 8),
        st.datetimes(datetime(1999, 1, 1), datetime(2031, 1, 1), timezones=st.just(UTC)),
        st.sampled_from(RATINGS),
        st.sampled_from(KEYS),
    ),
    max_size=8,
).map(
    lambda rows: [
        Review(number, at, f"s{place}/x", key, "x", "right", rating)
        for place, (number, at, rating, key) in enumerate(rows)
    ]
)
clocks = st.datetimes(datetime(2000, 1, 1), datetime(2030, 1, 1), timezones=st.just(UTC))


@given(logs, clocks, st.randoms())
def test_the_order_in_the_file_changes_nothing(log, now, random):
    mixed = list(log)
    random.shuffle(mixed)
    assert standings(OBJECTIVES, mixed, now) == standings(OBJECTIVES, log, now)


@given(logs, clocks)
def test_whatever_the_clock_said_every_log_replays_to_a_date_within_a_year_of_now(log, now):
    for key, standing in zip(KEYS, standings(OBJECTIVES, log, now), strict=True):
        begun = any(one.objective == key for one in log)
        assert (standing.due is not None) == begun
        if begun:
            assert standing.due <= now + 365 * DAY


@given(logs, clocks)
def test_no_review_is_taken_to_be_in_the_future(log, now):
    times = sensible_times(log, now)
    assert set(times) == {one.id for one in log}
    assert all(at <= now for at in times.values())


def test_right_times_are_taken_as_they_are():
    log = [review(n + 1, START + n * DAY) for n in range(5)]
    times = sensible_times(log, START + 9 * DAY)
    assert times == {one.id: one.at for one in log}


def test_a_time_in_the_future_counts_as_now():
    """A computer that is a few hours ahead of this one."""
    log = [review(1, START + timedelta(hours=5))]
    assert sensible_times(log, START) == {"s1/flow": START}
    assert due(log, START) == START + DAY


def test_a_time_far_in_the_future_does_not_put_an_objective_off_for_years():
    log = [review(1, START + 1000 * DAY)]
    for later in (0, 1, 30, 500):
        assert due(log, START + later * DAY) == START + later * DAY


def test_a_review_after_it_dates_one_from_the_future():
    """The clock was three years ahead; once put right, the next review tells the latest time."""
    ahead = [review(1, START + 1000 * DAY), review(2, START + 1000 * DAY, key="drip")]
    right = review(3, START)
    log = [*ahead, right]
    assert sensible_times(log, START + 5 * DAY) == dict.fromkeys(
        ("s1/flow", "s2/drip", "s3/flow"), START
    )
    assert due(log, START + 5 * DAY, "drip") == START + DAY
    assert due(log, START + 5 * DAY) > START


def test_a_clock_set_back_for_a_while_leaves_no_trace_once_it_is_right():
    log = [review(n + 1, START + n * 3 * DAY) for n in range(4)]
    now = START + 20 * DAY
    before = standings(OBJECTIVES, log, now)
    back = START - 300 * DAY
    assert due(log, back) == back  # asked at once rather than never
    assert standings(OBJECTIVES, log, now) == before


def test_a_review_by_a_clock_that_had_lost_its_battery_counts_as_old_but_not_as_decades_old():
    log = [review(1, START), review(2, START + 3 * DAY)]
    lost = review(3, datetime(2000, 1, 1, 0, 5, tzinfo=UTC), rating="again")
    times = sensible_times([*log, lost], START + 9 * DAY)
    assert times["s3/flow"] == START
    assert START < due([*log, lost], START + 9 * DAY) < START + 60 * DAY


def test_times_that_go_backwards_replay_in_the_order_of_their_times():
    forwards = [review(1, START, "again"), review(2, START + 3 * DAY, "good")]
    backwards = [review(1, START + 3 * DAY, "good"), review(2, START, "again")]
    now = START + 4 * DAY
    assert due(forwards, now) == due(backwards, now)


def test_objectives_stand_in_the_order_given_and_not_begun_has_no_date():
    found = standings(OBJECTIVES, [review(1, START, key="drip")], START + DAY)
    assert [one.objective.key for one in found] == list(KEYS)
    assert [one.due for one in found] == [None, START + DAY, None]
    assert not found[0].is_due(START + DAY)


def test_due_is_a_day_in_the_learners_own_zone():
    """Due at 09:00 UTC on 2 March: that is the 2nd in Tokyo too, and still the 1st in Honolulu."""
    (one,) = standings((objective("flow"),), [review(1, START)], START)
    assert one.due == datetime(2027, 3, 2, 9, 0, tzinfo=UTC)
    tokyo, honolulu = timezone(timedelta(hours=9)), timezone(timedelta(hours=-10))
    assert not one.is_due(datetime(2027, 3, 1, 23, 59, tzinfo=tokyo))
    assert one.is_due(datetime(2027, 3, 2, 0, 1, tzinfo=tokyo))
    assert not one.is_due(datetime(2027, 2, 28, 23, 59, tzinfo=honolulu))
    assert one.is_due(datetime(2027, 3, 1, 0, 1, tzinfo=honolulu))


def test_the_objective_asked_longest_ago_takes_the_earliest_date():
    """By hand: flow and drip on day 0, reach-way on day 1, and each date as the library sets it.

    What was not right, reach-way, makes a question due the next day; flow was asked longest ago.
    """
    log = [
        review(1, START, "easy"),
        review(2, START, "good", "drip"),
        review(3, START + DAY, "again", "reach-way"),
    ]
    # dates: day 1 of drip, day 2 of reach-way and, easy counting as good, day 1 of flow
    found = standings(OBJECTIVES, log, START + DAY)
    assert [one.due for one in found] == [START + n * DAY for n in (1, 1, 2)]
    log.append(review(4, START + 2 * DAY, "again"))
    # a question was asked: one date of day 1 is gone, and the answer makes one due on day 3
    found = standings(OBJECTIVES, log, START + 2 * DAY)
    assert {one.objective.key: one.due for one in found} == {
        "drip": START + DAY, "reach-way": START + 2 * DAY, "flow": START + 3 * DAY,
    }  # fmt: skip


@given(logs, clocks)
def test_as_many_dates_as_objectives_begun_and_they_rise_as_the_turns_come(log, now):
    """The second way: dates counted from the log, turns from when each was asked last."""
    times = sensible_times(log, now)
    found = [one for one in standings(OBJECTIVES, log, now) if one.due]
    assert len(found) == len({one.objective for one in log})

    def last(standing):
        own = [one for one in log if one.objective == standing.objective.key]
        return max((times[one.id], one) for one in own)

    found.sort(key=last)
    assert [one.due for one in found] == sorted(one.due for one in found)


def test_alone_an_objective_is_due_when_the_memory_model_says():
    log = [review(n, START + n * DAY, rating) for n, rating in enumerate(("good", "again", "good"))]
    card = None
    for one in log:
        card = reviewed(card, one.rating, one.at)
    assert due(log, START + 9 * DAY) == card.due
