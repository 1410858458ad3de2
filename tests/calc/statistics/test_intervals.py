"""Laws of shares, their intervals and the insertions behind a claim."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc

INTERVALS = pytest.mark.parametrize(
    "interval", [calc.wilson_interval, calc.clopper_pearson_interval]
)
LEVEL = st.floats(0.5, 0.999999)


@INTERVALS
@given(st.integers(1, 10**9), LEVEL, st.data())
def test_an_interval_holds_its_share_and_mirrors(interval, trials, level, data):
    successes = data.draw(st.integers(0, trials))
    low, high = interval(successes, trials, confidence=level)
    assert 0 <= low <= successes / trials <= high <= 1
    mirror_low, mirror_high = interval(trials - successes, trials, confidence=level)
    assert (low, high) == pytest.approx((1 - mirror_high, 1 - mirror_low), abs=1e-9)


@INTERVALS
def test_more_trials_and_less_confidence_narrow_the_interval(interval):
    def width(*args, **more):
        low, high = interval(*args, **more)
        return high - low

    assert width(80, 100) < width(8, 10)
    assert width(8, 10, confidence=0.8) < width(8, 10)


@INTERVALS
def test_an_interval_of_arrays_is_that_of_each(interval):
    successes, trials = np.array([[0], [9]]), np.array([20, 10])
    low, high = interval(successes, trials)
    assert low.shape == high.shape == (2, 2)
    for row, column in np.ndindex(2, 2):
        one = interval(int(successes[row, 0]), int(trials[column]))
        assert (low[row, column], high[row, column]) == one
    assert type(interval(3, 7).low) is float


@given(st.integers(0, 60), st.integers(1, 60))
def test_wilson_counts_part_marks_between_the_whole_ones(tenths, trials):
    successes = min(tenths / 10, trials)
    low, high = calc.wilson_interval(successes, trials)
    below, above = np.floor(successes), np.ceil(successes)
    assert calc.wilson_interval(below, trials).low <= low
    assert high <= calc.wilson_interval(above, trials).high


@pytest.mark.parametrize("share", [0.02, 0.31, 0.5, 0.88])
@pytest.mark.parametrize("trials", [7, 40])
def test_clopper_pearson_covers_at_least_its_level_at_every_share(share, trials):
    chance_of = calc.chance_of_at_least
    covered = 0.0
    for x in range(trials + 1):
        low, high = calc.clopper_pearson_interval(x, trials, confidence=0.9)
        if low <= share <= high:
            above = chance_of(x + 1, trials=trials, success_share=share) if x < trials else 0.0
            covered += chance_of(x, trials=trials, success_share=share) - above
    assert covered >= 0.9


@given(st.integers(0, 300), st.integers(1, 300), st.floats(0.5, 0.99999))
def test_the_highest_failure_share_is_the_end_of_a_two_sided_interval(failures, insertions, level):
    failures = min(failures, insertions)
    two_sided = calc.clopper_pearson_interval(failures, insertions, confidence=level)
    one_sided = calc.highest_failure_share(
        failures, insertions=insertions, confidence=(1 + level) / 2
    )
    assert one_sided == pytest.approx(two_sided.high, rel=1e-9)


@given(st.floats(0.01, 0.999), st.integers(0, 30), LEVEL)
def test_insertions_needed_are_just_enough(share, failures, level):
    needed = calc.insertions_needed(share, allowed_failures=failures, confidence=level)
    assert needed > failures

    def highest(insertions):
        return calc.highest_failure_share(failures, insertions=insertions, confidence=level)

    assert highest(needed) <= (1 - share) * (1 + 1e-9)
    if needed - 1 > failures:
        assert highest(needed - 1) >= (1 - share) * (1 - 1e-9)


def test_a_claim_at_its_bound_needs_no_insertion_more():
    assert calc.insertions_needed(0.5, confidence=0.5) == 1
    assert calc.insertions_needed(0.5, confidence=0.75) == 2
    assert calc.insertions_needed(0.9, confidence=1 - 0.9**7) == 7


@given(st.integers(1, 200), st.floats(0.001, 0.999), st.data())
def test_one_chance_falls_as_more_is_asked_and_another_is_certain(trials, share, data):
    asked = data.draw(st.integers(1, trials))
    chance = calc.chance_of_at_least(asked, trials=trials, success_share=share)
    assert 0 <= chance <= calc.chance_of_at_least(asked - 1, trials=trials, success_share=share)
    assert calc.chance_of_at_least(0, trials=trials, success_share=share) == 1
    all_of_them = calc.chance_of_at_least(trials, trials=trials, success_share=share)
    assert all_of_them == pytest.approx(share**trials, rel=1e-9)


@pytest.mark.parametrize(("share", "chance"), [(0, 0), (1, 1)])
def test_a_success_that_never_or_always_comes(share, chance):
    assert calc.chance_of_at_least(3, trials=5, success_share=share) == chance


def test_chances_of_arrays_are_those_of_each():
    chances = calc.chance_of_at_least(np.array([8, 9]), trials=10, success_share=0.8)
    assert chances.tolist() == [
        calc.chance_of_at_least(x, trials=10, success_share=0.8) for x in (8, 9)
    ]


@given(st.lists(st.floats(0, 1), min_size=1, max_size=6))
def test_another_attempt_never_lowers_the_chance_of_success(shares):
    so_far = [calc.success_within_attempts(shares[: n + 1]) for n in range(len(shares))]
    assert so_far == sorted(so_far)
    assert so_far[0] == pytest.approx(shares[0])
    assert so_far[-1] >= max(shares) - 1e-12


@pytest.mark.parametrize(
    ("work", "message"),
    [
        (lambda: calc.wilson_interval(1, 0), "number of trials is 0"),
        (lambda: calc.wilson_interval(-1, 5), "number of successes is -1"),
        (lambda: calc.wilson_interval(6, 5), "number of successes is 6.*at most the 5 trials"),
        (lambda: calc.wilson_interval([2, 6], 5), "number of successes is 6"),
        (lambda: calc.wilson_interval(1.5, "5"), "number of trials is '5'"),
        (lambda: calc.wilson_interval(1, 5, confidence=95), "confidence level is 95"),
        (lambda: calc.clopper_pearson_interval(1.5, 5), "successes is 1.5: it must be a whole"),
        (lambda: calc.clopper_pearson_interval(6, 5), "at most the 5 trials"),
        (lambda: calc.clopper_pearson_interval(float("nan"), 5), "number of successes"),
        (lambda: calc.highest_failure_share(4, insertions=3), "at most the 3 insertions"),
        (lambda: calc.insertions_needed(1), "share of success to claim is 1"),
        (lambda: calc.insertions_needed(0.9, allowed_failures=0.5), "must be a whole number"),
        (lambda: calc.chance_of_at_least(3, trials=2, success_share=0.5), "at most the 2 trials"),
        (lambda: calc.chance_of_at_least(1, trials=2, success_share=80), "success is 80"),
        (lambda: calc.success_within_attempts([]), "one share an attempt"),
        (lambda: calc.success_within_attempts(0.5), "one share an attempt"),
        (lambda: calc.success_within_attempts([0.5, 1.5]), "chance of success is 1.5"),
    ],
)
def test_impossible_counts_and_shares_raise(work, message):
    with pytest.raises(ValueError, match=message):
        work()


@given(st.integers(1, 2000), st.floats(0.5, 0.999999), st.data())
def test_the_ends_of_the_clopper_pearson_interval_by_the_sum_of_binomial_chances(
    trials, level, data
):
    x = data.draw(st.integers(0, trials))
    low, high = calc.clopper_pearson_interval(x, trials, confidence=level)
    if x > 0:
        assert sum_of_chances(range(x, trials + 1), trials, low) == pytest.approx((1 - level) / 2)
    if x < trials:
        assert sum_of_chances(range(x + 1), trials, high) == pytest.approx((1 - level) / 2)


def sum_of_chances(counts, trials, share):
    """Add up the chances of these counts by logarithms of factorials."""
    fixed = math.lgamma(trials + 1)
    yes, no = math.log(share), math.log1p(-share)
    return math.fsum(
        math.exp(
            fixed - math.lgamma(k + 1) - math.lgamma(trials - k + 1) + k * yes + (trials - k) * no
        )
        for k in counts
    )


@given(st.integers(1, 2000), st.floats(1e-6, 1 - 1e-6), st.data())
def test_the_binomial_tail_by_its_sum(trials, share, data):
    asked = data.draw(st.integers(0, trials))
    expected = sum_of_chances(range(asked, trials + 1), trials, share)
    found = calc.chance_of_at_least(asked, trials=trials, success_share=share)
    assert found == pytest.approx(expected, rel=1e-7, abs=1e-12)


@given(st.floats(0.3, 0.99), st.integers(0, 20), st.floats(0.5, 0.999))
def test_the_insertions_needed_by_the_sum_of_binomial_chances(share, failures, confidence):
    needed = calc.insertions_needed(share, allowed_failures=failures, confidence=confidence)
    few = range(failures + 1)
    assert sum_of_chances(few, needed, 1 - share) <= (1 - confidence) * (1 + 1e-9)
    if needed - 1 > failures:
        assert sum_of_chances(few, needed - 1, 1 - share) > (1 - confidence) * (1 - 1e-9)
