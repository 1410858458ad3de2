"""Values between the rows of a table of wavelengths, and what sources spread over."""

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

import numpy as np

from cubital.calc.shared.quantities import checked, written
from cubital.calc.shared.units import Number, plain


class Spread(NamedTuple):
    """How far sources disagree: least and greatest value, and the keys of the sources."""

    low: Number
    high: Number
    sources: tuple[str, ...]


@checked
def interpolate(
    wavelength_nm: Number, *, table: str, rows: Iterable[tuple[float, float]]
) -> Number:
    """Return a value between the rows of a table, by a straight line.

    Outside the rows it raises ValueError: nothing is extrapolated.

    Examples
    --------
    >>> interpolate(805, table="made up", rows=[(800, 2.0), (810, 4.0)])
    3.0
    """
    known, values = np.array([*rows]).T
    asked = np.asarray(wavelength_nm)
    outside = (asked < known[0]) | (asked > known[-1])
    if outside.any():
        first = written(asked[outside].flat[0])
        raise ValueError(
            f"wavelength is {first} nm: the table {table} goes from {written(known[0])} "
            f"to {written(known[-1])} nm"
        )
    return plain(np.interp(asked, known, values))


def chosen(rows: Mapping[str, Any], key: str, *, kind: str) -> Any:
    """Return the row of a key; an unknown one raises ValueError with the keys there are.

    Examples
    --------
    >>> chosen({"a": 1}, "b", kind="table of water")
    Traceback (most recent call last):
    ValueError: no table of water is called 'b': choose one of a
    """
    if key not in rows:
        raise ValueError(f"no {kind} is called {key!r}: choose one of {', '.join(rows)}")
    return rows[key]


def spread(values: Mapping[str, Number]) -> Spread:
    """Return the least and the greatest of what several sources give.

    Examples
    --------
    >>> spread({"one": 3.0, "other": 2.0})
    Spread(low=2.0, high=3.0, sources=('one', 'other'))
    """
    together = np.broadcast_arrays(*values.values())
    return Spread(plain(np.min(together, 0)), plain(np.max(together, 0)), tuple(values))
