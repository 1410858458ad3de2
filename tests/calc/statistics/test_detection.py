"""Laws of telling what is there from what is not."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc

RATE = st.floats(0.000001, 0.999999)
COUNT = st.integers(0, 1000)


@given(st.floats(0.001, 0.999), st.floats(0.001, 0.999))
def test_turning_yes_and_no_about_keeps_d_prime_and_turns_the_criterion(hits, alarms):
    d_prime = calc.d_prime(hits, false_alarm_rate=alarms)
    turned = calc.d_prime(1 - alarms, false_alarm_rate=1 - hits)
    assert turned == pytest.approx(d_prime, abs=1e-9)
    c = calc.criterion(hits, false_alarm_rate=alarms)
    assert calc.criterion(1 - alarms, false_alarm_rate=1 - hits) == pytest.approx(-c, abs=1e-9)


@given(RATE)
def test_guessing_has_a_d_prime_of_0(rate):
    assert calc.d_prime(rate, false_alarm_rate=rate) == 0
    assert (calc.criterion(rate, false_alarm_rate=rate) > 0) == (rate < 0.5)


@given(RATE, RATE, RATE)
def test_more_hits_are_better_and_less_cautious(hits, more, alarms):
    low, high = sorted((hits, more))
    if high - low > 1e-9:
        assert calc.d_prime(low, false_alarm_rate=alarms) < calc.d_prime(
            high, false_alarm_rate=alarms
        )
        assert calc.criterion(low, false_alarm_rate=alarms) > calc.criterion(
            high, false_alarm_rate=alarms
        )


@given(COUNT, COUNT, COUNT, COUNT)
def test_counts_always_give_a_finite_result(hits, misses, alarms, rejections):
    if hits + misses == 0 or alarms + rejections == 0:
        return
    found = calc.detection_from_counts(
        hits, misses=misses, false_alarms=alarms, correct_rejections=rejections
    )
    assert np.isfinite(found).all()
    assert 0 < found.hit_rate < 1
    assert 0 <= found.area <= 1
    assert (found.area > 0.5) == (found.d_prime > 0)
    again = calc.d_prime(found.hit_rate, false_alarm_rate=found.false_alarm_rate)
    assert found.d_prime == pytest.approx(again)
    assert found.criterion == pytest.approx(
        calc.criterion(found.hit_rate, false_alarm_rate=found.false_alarm_rate)
    )


@given(st.integers(1, 200), st.integers(1, 200))
def test_the_correction_never_favours_and_fades_with_the_counts(signals, noise):
    few = calc.detection_from_counts(
        signals, misses=0, false_alarms=0, correct_rejections=noise
    ).d_prime
    more = calc.detection_from_counts(
        10 * signals, misses=0, false_alarms=0, correct_rejections=10 * noise
    ).d_prime
    assert few < more
    ordinary = calc.detection_from_counts(
        800 * signals,
        misses=200 * signals,
        false_alarms=200 * noise,
        correct_rejections=800 * noise,
    )
    assert ordinary.d_prime < calc.d_prime(0.8, false_alarm_rate=0.2)
    assert ordinary.d_prime == pytest.approx(1.6832, abs=5e-3)


def test_sensitivity_and_specificity_are_one_thing_seen_from_two_sides():
    here = calc.sensitivity(17, misses=3)
    there = calc.specificity(17, false_alarms=3)
    assert here == there
    assert here.value == 0.85
    assert (here.low, here.high) == calc.wilson_interval(17, 20)
    assert here.n == 20
    assert type(here.n) is int


def test_a_cohorts_figures_are_those_of_its_sums():
    found = calc.cohort_detection(
        [5, 0, 3], misses=[1, 0, 3], false_alarms=[1, 0, 0], correct_rejections=[5, 0, 6]
    )
    sums = calc.detection_from_counts(8, misses=4, false_alarms=1, correct_rejections=11)
    assert (found.hit_rate, found.false_alarm_rate) == (sums.hit_rate, sums.false_alarm_rate)
    values = (found.d_prime.value, found.criterion.value, found.area.value)
    assert values == (sums.d_prime, sums.criterion, sums.area)
    assert found.d_prime.n == found.criterion.n == 2, "who answered nothing is nobody"


@given(st.lists(st.tuples(*[st.integers(1, 6)] * 4), min_size=2, max_size=12))
def test_turning_yes_and_no_about_turns_a_cohorts_criterion_alone(rows):
    hits, misses, alarms, rejections = map(np.array, zip(*rows, strict=True))
    found = calc.cohort_detection(
        hits, misses=misses, false_alarms=alarms, correct_rejections=rejections
    )
    turned = calc.cohort_detection(
        rejections, misses=alarms, false_alarms=misses, correct_rejections=hits
    )
    assert turned.d_prime == pytest.approx(found.d_prime, abs=1e-9)
    assert turned.criterion[:3] == pytest.approx(
        (-found.criterion.value, -found.criterion.high, -found.criterion.low), abs=1e-9
    )
    assert 0 <= found.area.low <= found.area.value <= found.area.high <= 1


def test_learners_who_all_do_alike_still_leave_chance():
    """Gourevitch and Galanter by hand: p 20.5/21, phi 0.05607; t of 9 degrees 2.2622."""
    found = calc.cohort_detection(
        [2] * 10, misses=0, false_alarms=0, correct_rejections=[2] * 10
    ).d_prime
    p, density = 20.5 / 21, 0.05607
    half = 2.2622 * np.sqrt(2 * p * (1 - p) / (20 * density**2))
    assert found.high - found.value == pytest.approx(half, rel=2e-3)


def test_learners_who_differ_more_leave_more_open():
    alike = {"misses": [3] * 12, "false_alarms": [1] * 12, "correct_rejections": [5] * 12}
    even = calc.cohort_detection([3] * 12, **alike).d_prime
    apart = calc.cohort_detection([6, 0] * 6, **alike | {"misses": [0, 6] * 6}).d_prime
    assert apart.value == even.value
    assert apart.high - apart.low > 1.2 * (even.high - even.low)


def test_arrays_give_what_single_numbers_give():
    hits = np.array([1, 8])
    together = calc.sensitivity(hits, misses=2)
    assert together.value.tolist() == [calc.sensitivity(n, misses=2).value for n in (1, 8)]
    assert together.n.tolist() == [3, 10]
    rates = np.array([0.2, 0.9])
    assert calc.d_prime(rates, false_alarm_rate=0.1).tolist() == [
        calc.d_prime(rate, false_alarm_rate=0.1) for rate in rates.tolist()
    ]
    assert type(calc.d_prime(0.5, false_alarm_rate=0.1)) is float


@pytest.mark.parametrize(
    ("work", "message"),
    [
        (lambda: calc.sensitivity(0, misses=0), "number of trials is 0"),
        (lambda: calc.sensitivity(1.5, misses=0), "hits is 1.5: it must be a whole number"),
        (lambda: calc.specificity(-1, false_alarms=2), "correct rejections is -1"),
        (lambda: calc.d_prime(1, false_alarm_rate=0.2), "hit rate is 1"),
        (lambda: calc.criterion(0.5, false_alarm_rate=0), "false-alarm rate is 0"),
        (
            lambda: calc.detection_from_counts(1, misses=1, false_alarms=0, correct_rejections=0),
            "number of trials is 0",
        ),
        (
            lambda: calc.cohort_detection(
                [1, 0], misses=0, false_alarms=[0, 0], correct_rejections=[1, 0]
            ),
            "learners who answered a trial is 1: it must be 2 or more",
        ),
        (
            lambda: calc.cohort_detection(
                [1, 0], misses=0, false_alarms=[0, 1], correct_rejections=1
            ),
            "number of trials is 0",
        ),
        (
            lambda: calc.cohort_detection([[1, 2]], misses=1, false_alarms=1, correct_rejections=1),
            "more than one number a learner",
        ),
    ],
)
def test_impossible_counts_and_rates_raise(work, message):
    with pytest.raises(ValueError, match=message):
        work()
