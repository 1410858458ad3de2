"""A store of pictures that overwrites its oldest when it is full."""

import math
from typing import NamedTuple

import numpy as np

from cubital.calc.shared.quantities import checked, single_whole
from cubital.calc.shared.units import Number, plain

STEPS_PER_ROOT = 12  # terms of a Poisson sum: beyond 9 roots of the mean they are below 1e-17
LEAST_STEPS = 100  # and for a small store


class StoredRange(NamedTuple):
    """Which pictures are there, by the number in which they were taken, and how many are lost."""

    first: int
    last: int
    lost: int


@checked(form=single_whole)
def stored_range(pictures_taken: int, *, stored_pictures: int) -> StoredRange:
    """Return which pictures a full store still holds.

    `first = max(1, n - capacity + 1)`, `lost = max(0, n - capacity)`

    Parameters
    ----------
    pictures_taken : int
        Number n of pictures taken since the store was emptied [-]
    stored_pictures : int
        Capacity: number of pictures the store holds [-]

    Returns
    -------
    StoredRange
        Number of the oldest and of the newest picture held, and how many are lost [-]

    Notes
    -----
    Taken 0 to 1000000000, capacity 1 to 1000000. The oldest goes without a question, whether it was
    copied or not. With none taken, the first is 1 and the last 0.

    Examples
    --------
    >>> stored_range(350, stored_pictures=340)
    StoredRange(first=11, last=350, lost=10)

    References
    ----------
    course
    """
    lost = max(0, pictures_taken - stored_pictures)
    return StoredRange(first=lost + 1, last=pictures_taken, lost=lost)


@checked("stored_pictures", "pictures_per_h")
def time_to_loss_h(pictures_per_h: Number, *, stored_pictures: Number) -> Number:
    """Return how long a picture is safe, from when it is taken until it is overwritten.

    `time = capacity / rate`

    Parameters
    ----------
    pictures_per_h : float or array
        Pictures taken an hour [1/h]
    stored_pictures : float or array
        Capacity: number of pictures the store holds [-]

    Returns
    -------
    float or ndarray
        Time until as many newer pictures are taken as the store holds [h]

    Notes
    -----
    Rate 0.001 to 100000 per hour, capacity 1 to 1000000. Steady use; on a busy day it is shorter,
    so copy well before. See chance_of_loss for use that comes by chance.

    Examples
    --------
    >>> time_to_loss_h(8, stored_pictures=340)
    42.5

    References
    ----------
    course
    """
    return plain(stored_pictures / pictures_per_h)


@checked("pictures_expected")
@checked("stored_pictures", form=single_whole)
def chance_of_loss(pictures_expected: float, *, stored_pictures: int) -> float:
    """Return the chance that a picture is overwritten before it is copied, with use by chance.

    `P(N >= capacity)`, with N Poisson about the number expected

    Parameters
    ----------
    pictures_expected : float
        Number of newer pictures expected before the next copy: rate times time [-]
    stored_pictures : int
        Capacity: number of pictures the store holds [-]

    Returns
    -------
    float
        Chance that at least as many newer pictures are taken as the store holds [-]

    Notes
    -----
    Expected 0.001 to 1000000, capacity 1 to 1000000. Pictures that come one by one and without
    regard to each other; several for one patient make the chance larger when the store is ample.

    Examples
    --------
    >>> round(chance_of_loss(300, stored_pictures=340), 3)
    0.012

    References
    ----------
    poisson-counts
    """
    capacity = stored_pictures
    if np.ndim(pictures_expected):
        raise ValueError("number of pictures expected must be a single number")
    steps = int(STEPS_PER_ROOT * math.sqrt(capacity)) + LEAST_STEPS
    first = capacity * math.log(pictures_expected) - pictures_expected - math.lgamma(capacity + 1)
    if pictures_expected < capacity:  # upwards from the capacity the terms fall
        ratios = pictures_expected / (capacity + np.arange(1, steps))
        return min(1.0, math.exp(first) * _series(ratios))
    # otherwise the rest of the sum, downwards from the last term below the capacity
    ratios = np.arange(capacity - 1, max(0, capacity - steps), -1) / pictures_expected
    return max(0.0, 1 - math.exp(first) * capacity / pictures_expected * _series(ratios))


def _series(ratios: np.ndarray) -> float:
    """Return 1 + r1 + r1 r2 + r1 r2 r3 + ..."""
    return 1 + float(np.cumprod(ratios).sum())
