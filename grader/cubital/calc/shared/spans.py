"""A span of values: what is known only from here to there."""

from typing import NamedTuple

from cubital.calc.shared.units import Number


class Span(NamedTuple):
    """From a low to a high value, both in the unit of the quantity.

    Examples
    --------
    >>> Span(0.2, 0.5).high
    0.5
    """

    low: Number
    high: Number
