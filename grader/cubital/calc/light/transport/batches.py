"""Photons in batches: each with a seed of its own, over the cores, and scored with its error."""

import math
from collections.abc import Callable, Iterator
from typing import NamedTuple, TypeVar

import numpy as np

from cubital.calc.shared.quantities import checked, single_whole

FEWEST = 100  # batches at least: a standard error is then itself known to 7 %
LARGEST = 50_000  # photons: so that progress is reported and cores end together
Result = TypeVar("Result")


class Score(NamedTuple):
    """What was measured, with its standard error: one of each, or arrays of them.

    Examples
    --------
    >>> Score(0.46, 0.002).standard_error
    0.002
    """

    value: float | np.ndarray
    standard_error: float | np.ndarray


def batch_sizes(photons: int) -> np.ndarray:
    """Return how many photons each batch has; it depends on nothing but their number.

    Examples
    --------
    >>> sizes = batch_sizes(1050)
    >>> len(sizes), int(sizes.min()), int(sizes.max()), int(sizes.sum())
    (100, 10, 11, 1050)
    """
    count = max(FEWEST, math.ceil(photons / LARGEST))
    return np.diff(np.arange(count + 1) * photons // count)


def batch_seed(seed: int, number: int) -> np.ndarray:
    """Return the generator's first state for one batch.

    Examples
    --------
    >>> len(batch_seed(1, 0)), bool((batch_seed(1, 0) == batch_seed(1, 1)).any())
    (4, False)
    """
    words = 4  # 4: the state of xoshiro256+ in words of 64 bits
    return np.random.SeedSequence([seed, number]).generate_state(words, np.uint64)


@checked(form=single_whole)
def available_cores(cores: int | None) -> int:
    """Return how many cores to use: as asked, or all that this process may use.

    Examples
    --------
    >>> available_cores(3), available_cores(None) >= 1
    (3, True)
    """
    import os  # noqa: PLC0415 - on use, as the next: importing the calculations stays quick

    if cores is not None:
        return cores
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def in_order(
    work: Callable[[int, int], Result],
    sizes: np.ndarray,
    *,
    cores: int | None,
    progress: Callable[[int, int], object] | None,
) -> Iterator[Result]:
    """Yield what ``work(number, size)`` gave for each batch, in order, a few computed ahead.

    Examples
    --------
    >>> list(in_order(lambda number, size: number * size, [5, 5, 6], cores=2, progress=None))
    [0, 5, 12]
    """
    from collections import deque  # noqa: PLC0415
    from concurrent.futures import ThreadPoolExecutor  # noqa: PLC0415

    threads = available_cores(cores)
    if threads == 1:  # where there may be no threads at all
        yield from _one_by_one(work, sizes, progress)
        return
    total, done, waiting, todo = int(sum(sizes)), 0, deque(), iter(enumerate(sizes))
    with ThreadPoolExecutor(threads) as pool:
        try:
            while True:
                while len(waiting) <= 2 * threads and (upcoming := next(todo, None)):
                    waiting.append((int(upcoming[1]), pool.submit(work, *upcoming)))
                if not waiting:
                    return
                size, result = waiting.popleft()
                yield result.result()
                done += size
                if progress is not None:
                    progress(done, total)
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def _one_by_one(
    work: Callable[[int, int], Result],
    sizes: np.ndarray,
    progress: Callable[[int, int], object] | None,
) -> Iterator[Result]:
    total, done = int(sum(sizes)), 0
    for number, size in enumerate(sizes):
        yield work(number, size)
        done += int(size)
        if progress is not None:
            progress(done, total)


class Moments:
    """Sums over batches, from which mean and standard error follow; their size stays.

    Examples
    --------
    >>> moments = Moments(1)
    >>> for tally in (2.0, 4.0, 6.0):
    ...     moments.add(np.array([tally]), 10)
    >>> score = moments.score(0)
    >>> round(score.value, 6), round(score.standard_error, 6)
    (0.4, 0.11547)
    """

    def __init__(self, length: int | tuple[int, ...]) -> None:
        self.photons, self.batches, self.squared_sizes = 0, 0, 0.0
        self.total, self.squared, self.by_size = (np.zeros(length) for _ in range(3))  # 3 sums

    def add(self, tally: np.ndarray, size: int) -> None:
        """Add what a batch of photons scored."""
        self.photons += int(size)
        self.batches += 1
        self.squared_sizes += float(size) ** 2
        self.total += tally
        self.squared += tally**2
        self.by_size += tally * float(size)

    def score(self, part: int | slice | tuple, factor: float | np.ndarray = 1.0) -> Score:
        """Return a part of the tally per photon, times a factor."""
        mean = self.total[part] / self.photons
        spread = (
            self.squared[part]
            - 2 * mean * self.by_size[part]
            + np.square(mean) * self.squared_sizes
        )
        spread = np.maximum(spread, 0) * (self.batches / (self.batches - 1))
        return Score(*_plain(mean * factor, np.sqrt(spread) / self.photons * factor))


def _plain(*values: np.ndarray) -> Iterator[float | np.ndarray]:
    return (float(value) if np.ndim(value) == 0 else value for value in values)
