"""What a review's time counts as at the very edges: the first day, now, and the same number."""

from datetime import UTC, datetime, timedelta

from cubital.refresh.reviews import Review
from cubital.refresh.schedule import sensible_times

NOW = datetime(2027, 3, 10, 9, 0, tzinfo=UTC)
FIRST_DAY = datetime(2026, 1, 1, tzinfo=UTC)  # since when logs are kept
DAY = timedelta(days=1)


def review(number, at, name="s"):
    return Review(number, at, f"{name}{number}/x", "flow", "x", "right", "good")


def test_a_review_of_this_very_moment_is_not_in_the_future():
    here, later = review(1, NOW), review(2, NOW - DAY)
    assert sensible_times([here, later], NOW)[here.id] == NOW


def test_the_first_day_of_logs_is_one_of_them():
    first = review(1, FIRST_DAY)
    assert sensible_times([first], NOW) == {first.id: FIRST_DAY}


def test_only_a_review_that_was_added_later_tells_that_a_time_in_the_future_has_passed():
    """Two computers' logs give the same number to reviews of which neither came later."""
    ahead, beside = review(2, NOW + 9 * DAY), review(2, NOW - 5 * DAY, "t")
    assert sensible_times([ahead, beside], NOW)[ahead.id] == NOW
    after = review(3, NOW - 2 * DAY)
    assert sensible_times([ahead, beside, after], NOW)[ahead.id] == NOW - 2 * DAY
