"""Numbers as figures, tables and verdicts write them: a no-break space before the unit."""

import math

NBSP = "\N{NO-BREAK SPACE}"


def percent(share: float, digits: int = 0) -> str:
    """Write a share as a percentage, in whole per cent or with so many decimals.

    >>> [percent(0.4419, digits).replace(NBSP, " ") for digits in (0, 1)]
    ['44 %', '44.2 %']
    """
    return f"{100 * share:.{digits}f}{NBSP}%"  # 100: per cent


def measure(value: float, unit: str, digits: int) -> str:
    """Write a value with so many decimals and its unit."""
    return f"{value:.{digits}f}{NBSP}{unit}"


def rounded(value: float, unit: str) -> str:
    """Write a value to about three figures and its unit.

    >>> [rounded(value, "mL").replace(NBSP, " ") for value in (4.617, 46.17, 461.7, 4617)]
    ['4.62 mL', '46.2 mL', '462 mL', '4,617 mL']
    """
    digits = 2 if value < 10 else 1 if value < 100 else 0  # 10, 100: three figures
    return f"{value:,.{digits}f}{NBSP}{unit}"


def at_least(value: float, unit: str, digits: int) -> str:
    """Write a lower limit, rounded up so that the written value still meets it.

    >>> [at_least(value, "mm", 2).replace(NBSP, " ") for value in (2.1101, 2.11)]
    ['2.12 mm', '2.11 mm']
    """
    scale = 10**digits  # 10: decimals
    whole = math.ceil(value * scale - 1e-9)  # a hair, so that 2.11 does not become 2.12
    return measure(whole / scale, unit, digits)
