"""Numbers as the figures and tables write them."""

NBSP = "\N{NO-BREAK SPACE}"


def percent(share: float) -> str:
    """A share as a whole percentage: 0.4419 is 44 %."""
    return f"{100 * share:.0f}{NBSP}%"


def measure(value: float, unit: str, digits: int) -> str:
    """A value with so many decimals and its unit."""
    return f"{value:.{digits}f}{NBSP}{unit}"


def rounded(value: float, unit: str) -> str:
    """A value to about three figures and its unit: 4.62, 46.2, 462, 4,620."""
    digits = 2 if value < 10 else 1 if value < 100 else 0
    return f"{value:,.{digits}f}{NBSP}{unit}"


def count(number: int, one: str, many: str) -> str:
    """A number of things in words: 1 drop, 2 drops."""
    return f"{number} {one if number == 1 else many}"
