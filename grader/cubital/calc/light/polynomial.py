"""A smooth function of several quantities as a polynomial of their logarithms."""

import functools
import itertools
from typing import NamedTuple

import numpy as np


@functools.cache
def powers(most: tuple[int, ...], degree: int) -> tuple[tuple[int, ...], ...]:
    """Return the powers of every term, each up to its own and all up to a total, in fixed order.

    Examples
    --------
    >>> powers((1, 2), 2)
    ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1))
    """
    every = itertools.product(*(range(power + 1) for power in most))
    return tuple(term for term in every if sum(term) <= degree)


def _by_power(values: np.ndarray, degree: int) -> np.ndarray:
    """Return the powers 0 to degree of an array along a new last axis."""
    found = np.empty((*values.shape, degree + 1))
    found[..., 0] = 1
    for power in range(1, degree + 1):
        np.multiply(found[..., power - 1], values, out=found[..., power])
    return found


class Polynomial(NamedTuple):
    """Coefficients of the terms of `powers`, for logarithms scaled to -1 at low and 1 at high.

    ``shifts`` are added to the quantities before the logarithm. Outside low to high a quantity
    counts as the nearer of the two. ``most`` is the highest power of each, ``degree`` that of all.

    Examples
    --------
    >>> product = Polynomial((1.0, 1.0), (4.0, 9.0), (0.0, 0.0), (1, 1), 1, (0.0, 1.0, 2.0))
    >>> float(product(np.array(2.0), np.array(9.0)))
    1.0
    """

    low: tuple[float, ...]
    high: tuple[float, ...]
    shifts: tuple[float, ...]
    most: tuple[int, ...]
    degree: int
    coefficients: tuple[float, ...]

    def scaled(self, number: int, values: np.ndarray) -> np.ndarray:
        """Return the scaled logarithm of one quantity."""
        shift = self.shifts[number]
        low, high = np.log([self.low[number] + shift, self.high[number] + shift])
        middle, half = (high + low) / 2, (high - low) / 2
        return np.clip((np.log(np.asarray(values) + shift) - middle) / half, -1, 1)

    def terms(self, *quantities: np.ndarray) -> np.ndarray:
        """Return every term without its coefficient, along a new last axis: what a fit needs."""
        factors = [
            _by_power(self.scaled(number, values), self.degree)
            for number, values in enumerate(quantities)
        ]
        chosen = np.array(powers(self.most, self.degree))
        return np.prod(
            [factor[..., chosen[:, number]] for number, factor in enumerate(factors)], axis=0
        )

    def __call__(self, first: np.ndarray, *others: np.ndarray) -> np.ndarray:
        """Return the polynomial's value; quick where the others vary less than the first."""
        table, inner = _laid_out(self)
        others = np.broadcast_arrays(*others)
        factors = [
            _by_power(self.scaled(number, values), self.degree)
            for number, values in enumerate(others, start=1)
        ]
        terms = np.ones((*others[0].shape, len(inner)))
        for factor, chosen in zip(factors, inner.T, strict=True):
            terms *= factor[..., chosen]
        by_power = terms @ table
        x = self.scaled(0, first)
        result = np.zeros(np.broadcast_shapes(x.shape, by_power.shape[:-1]))
        for power in range(self.degree, -1, -1):
            result = result * x + by_power[..., power]
        return result


@functools.lru_cache(maxsize=8)  # 8: more fits than there are
def _laid_out(polynomial: Polynomial) -> tuple[np.ndarray, np.ndarray]:
    """Return coefficients by the powers of the others and of the first, and the former."""
    inner = powers(polynomial.most[1:], polynomial.degree)
    place = {term: number for number, term in enumerate(inner)}
    table = np.zeros((len(inner), polynomial.degree + 1))
    every = powers(polynomial.most, polynomial.degree)
    for term, value in zip(every, polynomial.coefficients, strict=True):
        table[place[term[1:]], term[0]] = value
    return table, np.array(inner)
