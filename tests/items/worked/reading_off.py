"""What stands in a table of worked numbers where there is no number worked by pencil."""

from typing import NamedTuple


class Read(NamedTuple):
    """A number read off a figure of the lesson, and how far off that reading may be."""

    number: float
    within: float


# A slip whose number a test of the worksheet's own holds to a law instead.
BY_LAW = None
