"""The invented patient of the lesson on one patient."""

import functools
from collections.abc import Mapping
from typing import NamedTuple

from cubital.tables.files import asset, csv_rows


class PatientVein(NamedTuple):
    """One vessel as it was found by ultrasound without a tourniquet."""

    words: str
    depth_mm: float
    diameter_mm: float
    straight_mm: float
    pulsates: bool


class Patient(NamedTuple):
    """The patient, the order and the vessels to choose from."""

    notice: str
    words: str
    restricted_arm: str
    restriction: str
    allergy: str
    blood_thinner: str
    order_words: str
    order_ml: float
    order_min: float
    bag_ml: float
    vesicant_look_min: float
    veins: Mapping[str, PatientVein]


@functools.cache
def patient() -> Patient:
    """Return the patient of the lesson."""
    table = asset("patient/path.toml")
    told = {key: table[key] for key in Patient._fields if key in table}
    return Patient(
        **told,
        order_words=table["order"]["words"],
        order_ml=table["order"]["volume_ml"],
        order_min=table["order"]["time_min"],
        bag_ml=table["bag"]["volume_ml"],
        vesicant_look_min=table["look"]["vesicant_every_min"],
        veins={key: PatientVein(**row) for key, row in table["vein"].items()},
    )


class SpoiltResult(NamedTuple):
    """What spoils the result of a blood sample, and what is done instead."""

    key: str
    cause: str
    result: str
    instead: str
    kind: str
    source: str
    seen: str


@functools.cache
def spoilt_results() -> tuple[SpoiltResult, ...]:
    """Return what spoils results, in the order in which it can happen."""
    return csv_rows("patient/spoilt-results.csv", SpoiltResult)


class ChildSite(NamedTuple):
    """A site for a child's catheter: for whom, and what to mind there."""

    key: str
    site: str
    whom: str
    caution: str
    kind: str
    source: str
    seen: str


@functools.cache
def child_sites() -> tuple[ChildSite, ...]:
    """Return the sites, the one that is expected to last longest first."""
    return csv_rows("patient/child-sites.csv", ChildSite)
