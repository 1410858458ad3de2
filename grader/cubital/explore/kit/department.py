"""The department whose figures a lesson shows: the one whose file the learner opened last.

A lesson's kernel works in the learner's folder of lessons; elsewhere the figures are the course's.
"""

from pathlib import Path
from typing import NamedTuple

from cubital import calc, tables
from cubital.handin.released.department import department_of

_OF_THE_DEVICE = (
    "working_distance_mm",
    "window_mm",
    "picture_width_mm",
    "picture_height_mm",
    "light_output_lm",
)


class Said(NamedTuple):
    """What a cell of a lesson says otherwise for a department; without ``shipped`` it is added."""

    cell: str
    own: str
    shipped: str = ""


def profile_in_use(folder: Path | None = None) -> tables.Profile:
    """Return the figures of the learner in whose folder of lessons, or another, we are."""
    return department_of((folder or Path.cwd()).resolve().parent).profile


def device_of(profile: tables.Profile) -> calc.ViewDevice:
    """Return a department's device; what the course assumes of lens and projector holds for any."""
    own = {name: getattr(profile, name) for name in _OF_THE_DEVICE}
    return calc.scenario_device()._replace(**own)


def device_in_use() -> calc.ViewDevice:
    """Return the device of the department whose figures the lesson shows."""
    return device_of(profile_in_use())


def whose(profile: tables.Profile) -> str:
    """Say whose figures these are; a department that gave no name of its own is “your department”.

    >>> whose(tables.profile())
    'your department'
    """
    shipped = tables.profile()
    if (profile.department, profile.hospital) == (shipped.department, shipped.hospital):
        return "your department"
    return f"{profile.department}, {profile.hospital}"
