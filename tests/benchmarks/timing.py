"""Times taken by turns, so that a slow moment of the machine falls on both sides of a ratio."""

import statistics
from collections.abc import Callable
from time import perf_counter


def once(work: Callable[[], object]) -> float:
    """Return the seconds that one call takes."""
    start = perf_counter()
    work()
    return perf_counter() - start


def by_turns(*measures: Callable[[], float], times: int) -> list[float]:
    """Take each measure in turn, again and again, and return the median of each."""
    taken = [[measure() for measure in measures] for _ in range(times)]
    return [statistics.median(column) for column in zip(*taken, strict=True)]
