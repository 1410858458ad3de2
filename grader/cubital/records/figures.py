"""A number of the report: with its interval, or the words that stand in its place."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Figure:
    """A number with its 95 % interval, or the words that stand in their place."""

    value: float | None = None
    low: float | None = None
    high: float | None = None
    words: str = ""
