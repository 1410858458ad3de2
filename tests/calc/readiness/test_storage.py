"""A store that overwrites its oldest picture, held against one that does it."""

from collections import deque

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import poisson

from cubital import calc


@given(st.integers(0, 300), st.integers(1, 60))
def test_what_is_stored_is_what_a_ring_holds(taken, capacity):
    ring = deque(range(1, taken + 1), maxlen=capacity)
    found = calc.stored_range(taken, stored_pictures=capacity)
    assert list(range(found.first, found.last + 1)) == list(ring)
    assert found.lost + len(ring) == taken


@given(st.floats(0.5, 60), st.integers(1, 200))
def test_a_picture_is_lost_when_the_store_has_been_filled_again(rate, capacity):
    ring, taken = deque(maxlen=capacity), 0
    while not taken or 0 in ring:
        ring.append(taken)
        taken += 1
    expected = (taken - 1) / rate
    assert calc.time_to_loss_h(rate, stored_pictures=capacity) == pytest.approx(expected)


@given(st.floats(0.01, 1500), st.integers(1, 1200))
def test_the_chance_of_loss_is_the_tail_of_a_poisson_count(mean, capacity):
    chance = calc.chance_of_loss(mean, stored_pictures=capacity)
    assert chance == pytest.approx(poisson(mean).sf(capacity - 1), rel=1e-8, abs=1e-12)


@pytest.mark.parametrize(("mean", "capacity"), [(1e6, 1_000_000), (998_000.0, 1_000_000), (1e5, 1)])
def test_large_stores_are_counted_too(mean, capacity):
    chance = calc.chance_of_loss(mean, stored_pictures=capacity)
    assert chance == pytest.approx(poisson(mean).sf(capacity - 1), rel=1e-5)


def test_the_chance_of_loss_is_that_of_simulated_days():
    """20 000 days at 12 pictures expected and room for 16: known to 0.0025, three are allowed."""
    generator = np.random.default_rng(3)
    gaps = generator.exponential(1 / 12, (20_000, 16))
    lost = (gaps.sum(axis=1) <= 1).mean()
    assert calc.chance_of_loss(12, stored_pictures=16) == pytest.approx(lost, abs=0.0075)


@given(st.floats(0.1, 500), st.integers(1, 500))
def test_more_use_and_less_room_lose_more(mean, capacity):
    base = calc.chance_of_loss(mean, stored_pictures=capacity)
    assert calc.chance_of_loss(mean * 1.1, stored_pictures=capacity) >= base - 1e-12
    assert calc.chance_of_loss(mean, stored_pictures=capacity + 1) <= base + 1e-12
    assert 0 <= base <= 1


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: calc.stored_range(2.5, stored_pictures=10),
            "pictures taken is 2.5: it must be a wh",
        ),
        (lambda: calc.stored_range(-1, stored_pictures=10), "number of pictures taken is -1"),
        (lambda: calc.time_to_loss_h(0, stored_pictures=10), "pictures taken an hour is 0 1/h"),
        (lambda: calc.chance_of_loss([1, 2], stored_pictures=10), "must be a single number"),
        (lambda: calc.chance_of_loss(5, stored_pictures=0), "the store holds is 0"),
    ],
)
def test_impossible_input_raises(call, message):
    with pytest.raises(ValueError, match=message):
        call()
