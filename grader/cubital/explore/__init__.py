"""The lessons' interactive figures and their tables."""

from cubital.explore.kit.explorer import Explorer, Picture, Reading
from cubital.explore.sizing.drip import DripAndTime
from cubital.explore.sizing.fit import EndOnFit
from cubital.explore.sizing.flow import BoreAndFlow
from cubital.explore.sizing.lesson_tables import (
    choice_table,
    gauge_figure,
    gauge_table,
    needle_table,
    ratio_evidence_table,
    sources,
)

__all__ = [
    "BoreAndFlow",
    "DripAndTime",
    "EndOnFit",
    "Explorer",
    "Picture",
    "Reading",
    "choice_table",
    "gauge_figure",
    "gauge_table",
    "needle_table",
    "ratio_evidence_table",
    "sources",
]
