"""What was answered in short trials, counted by band of difficulty, and how a result keeps it.

A trial that was left open is not in it: its points are lost, and it tells nothing of how well
somebody tells one picture from another.
"""

import json
from collections.abc import Iterable, Mapping
from typing import NamedTuple

_SORTS = 4  # of counts


class Tally(NamedTuple):
    """Answers to trials that show what is looked for, and to those that do not."""

    hits: int = 0
    misses: int = 0
    false_alarms: int = 0
    correct_rejections: int = 0

    @property
    def signals(self) -> int:
        """Answers to trials that show what is looked for."""
        return self.hits + self.misses

    @property
    def noise(self) -> int:
        """Answers to trials that do not."""
        return self.false_alarms + self.correct_rejections


def tallied(answered: Iterable[tuple[str, bool, bool]]) -> dict[str, Tally]:
    """Count answers by band; each is the trial's band, whether it shows, and whether it was called.

    Examples
    --------
    >>> tallied([("clear", True, True), ("faint", False, True), ("clear", True, False)])["clear"]
    Tally(hits=1, misses=1, false_alarms=0, correct_rejections=0)
    """
    counts: dict[str, list[int]] = {}
    for band, shows, called in answered:
        sort = (0 if called else 1) if shows else (2 if called else 3)  # in the order of `Tally`
        counts.setdefault(band, [0] * _SORTS)[sort] += 1
    return {band: Tally(*row) for band, row in counts.items()}


def written(tallies: Mapping[str, Tally]) -> str:
    """Return counts as the text that a result keeps.

    Examples
    --------
    >>> written({"clear": Tally(2, 0, 1, 1)})
    '{"clear": [2, 0, 1, 1]}'
    """
    return json.dumps({band: list(row) for band, row in tallies.items()})


def read(text: str) -> dict[str, Tally]:
    """Return the counts of such a text; none of an empty one.

    Raises
    ------
    ValueError
        It is another text.
    """
    if not text:
        return {}
    told = json.loads(text)
    if not isinstance(told, dict) or not all(map(_is_row, told.values())):
        raise ValueError(f"{text!r:.60} holds no counts by band")
    return {band: Tally(*row) for band, row in told.items()}


def _is_row(row: object) -> bool:
    return (
        isinstance(row, list)
        and len(row) == _SORTS
        and all(type(one) is int and one >= 0 for one in row)
    )
