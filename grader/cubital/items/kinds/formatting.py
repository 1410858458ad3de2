"""Numbers as figures, tables and verdicts write them: a no-break space before the unit."""

import math

NBSP = "\N{NO-BREAK SPACE}"


def percent(share: float, digits: int = 0) -> str:
    """A share as a percentage: 0.4419 is 44 %, or 44.2 % with one decimal."""
    return f"{100 * share:.{digits}f}{NBSP}%"


def measure(value: float, unit: str, digits: int) -> str:
    """A value with so many decimals and its unit."""
    return f"{value:.{digits}f}{NBSP}{unit}"


def rounded(value: float, unit: str) -> str:
    """A value to about three figures and its unit: 4.62, 46.2, 462, 4,620."""
    digits = 2 if value < 10 else 1 if value < 100 else 0
    return f"{value:,.{digits}f}{NBSP}{unit}"


def at_least(value: float, unit: str, digits: int) -> str:
    """A lower limit, rounded up so that the written value still meets it."""
    scale = 10**digits
    whole = math.ceil(value * scale - 1e-9)  # a hair, so that 2.11 does not become 2.12
    return measure(whole / scale, unit, digits)
