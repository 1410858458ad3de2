"""Table of how catheters lasted, by how much of them lay in the vein and how deep it was."""

import functools
from typing import NamedTuple

from cubital.tables.files import csv_rows


class Survival(NamedTuple):
    """A band of one study: what share of catheters failed in it.

    ``measure`` is fraction (of the catheter in the vein) [-], depth or length [mm]; a band holds
    ``low`` and all below ``high``.
    """

    measure: str
    low: float
    high: float
    failed_share: float | None
    failed_low: float | None
    failed_high: float | None
    patients: int
    kind: str
    source: str
    seen: str
    standing: str


@functools.cache
def survival() -> tuple[Survival, ...]:
    """Return the bands, lowest first within a measure."""
    return csv_rows("reaching/catheter-survival.csv", Survival)
