"""Tables of complications: findings, scales, what tells them apart, first actions, rates."""

import functools
from typing import Any, NamedTuple

from cubital.tables.files import asset, csv_rows

FILE = "complications/findings.toml"


class Finding(NamedTuple):
    """What is looked for at the bedside: there or not, a level, or a length [mm]."""

    key: str
    words: str
    levels: tuple[str, ...] = ()
    unit: str = ""
    from_picture: bool = False


class GradeRow(NamedTuple):
    """A row of a scale: one condition of each group must be met, or any of the course's own.

    ``if_colour_hidden``: groups with which the row is not ruled out where its colour is not seen.
    """

    grade: int
    words: str
    needs: tuple[tuple[str, ...], ...] = ()
    or_any: tuple[str, ...] = ()
    if_colour_hidden: tuple[tuple[str, ...], ...] = ()


class Scale(NamedTuple):
    """A published scale with its standing and the rule that fills its gaps."""

    key: str
    words: str
    standing: str
    since: int
    rule: str
    kind: str
    source: str
    seen: str
    standing_source: str
    grades: tuple[GradeRow, ...]
    left: int | None = None
    any_amount_grade: int | None = None
    any_amount_of: tuple[str, ...] = ()


class Complication(NamedTuple):
    """A complication and the first things usually done; what goes by grade has its own source."""

    key: str
    words: str
    first: tuple[str, ...]
    by_grade: dict[int, tuple[str, ...]]
    kind: str
    source: str
    seen: str
    by_grade_kind: str = ""
    by_grade_source: str = ""
    by_grade_seen: str = ""


class Skin(NamedTuple):
    """What skin tone can hide, and what to look for instead."""

    hidden: tuple[str, ...]
    instead: tuple[str, ...]
    words: str
    kind: str
    source: str
    seen: str


class Sign(NamedTuple):
    """What a finding says about a complication: for, against or neither, and how strongly."""

    complication: str
    condition: str
    speaks: str
    weight: float
    weight_kind: str
    kind: str
    source: str
    seen: str
    note: str


class DrugClass(NamedTuple):
    """A class of drugs by what it does outside the vein."""

    key: str
    words: str
    examples: tuple[str, ...]
    tissue: str
    harms_by: str
    differs: str
    kind: str
    source: str
    seen: str


class Rate(NamedTuple):
    """How often something happens."""

    key: str
    words: str
    share: float
    low: float | None
    high: float | None
    events: float | None
    trials: float | None
    kind: str
    source: str
    seen: str
    note: str


def _lists_as_tuples(row: dict[str, Any]) -> dict[str, Any]:
    return {key: tuple(v) if isinstance(v, list) else v for key, v in row.items()}


@functools.cache
def caution() -> str:
    """Return the sentence that goes with everything here."""
    return str(asset(FILE)["caution"])


@functools.cache
def skin() -> Skin:
    """Return what skin tone can hide."""
    return Skin(**_lists_as_tuples(asset(FILE)["skin"]))


@functools.cache
def findings() -> dict[str, Finding]:
    """Return the findings by key."""
    rows = asset(FILE)["finding"]
    return {key: Finding(key=key, **_lists_as_tuples(row)) for key, row in rows.items()}


def _grade(row: dict[str, Any]) -> GradeRow:
    needs, hidden = (
        tuple(tuple(group) for group in row.get(name, [])) for name in ("needs", "if_colour_hidden")
    )
    return GradeRow(row["grade"], row["words"], needs, tuple(row.get("or_any", [])), hidden)


@functools.cache
def scales() -> dict[str, Scale]:
    """Return the scales by key; their rows from 0 upwards."""
    found = {}
    for key, row in asset(FILE)["scale"].items():
        grades = tuple(_grade(grade) for grade in row.pop("grade"))
        found[key] = Scale(key=key, grades=grades, **_lists_as_tuples(row))
    return found


@functools.cache
def complications() -> dict[str, Complication]:
    """Return the complications by key."""
    found = {}
    for key, row in asset(FILE)["complication"].items():
        parts = row.pop("by_grade", [])
        by_grade = {grade: tuple(part["first"]) for part in parts for grade in part["grades"]}
        found[key] = Complication(key=key, by_grade=by_grade, **_lists_as_tuples(row))
    return found


@functools.cache
def signs() -> tuple[Sign, ...]:
    """Return what each finding says about each complication."""
    return csv_rows("complications/signs.csv", Sign)


@functools.cache
def drug_classes() -> dict[str, DrugClass]:
    """Return the classes of drugs by key."""
    return {row.key: row for row in csv_rows("complications/drug-classes.csv", DrugClass)}


@functools.cache
def rates() -> dict[str, Rate]:
    """Return how often complications happen, by key."""
    return {row.key: row for row in csv_rows("complications/rates.csv", Rate)}


class Infusate(NamedTuple):
    """A fluid or a drug as it is given, with osmolarity and pH."""

    key: str
    words: str
    osmolarity_mosm_per_l: float
    osmolarity_low: float
    osmolarity_high: float
    ph: float
    ph_low: float
    ph_high: float
    kind: str
    source: str
    seen: str
    note: str


class InfusateLimit(NamedTuple):
    """One of the limits in circulation; ``at_limit`` says what the very figure means."""

    key: str
    words: str
    osmolarity_mosm_per_l: float
    at_limit: str
    ph_low: float | None
    ph_high: float | None
    kind: str
    source: str
    seen: str
    note: str


@functools.cache
def infusates() -> dict[str, Infusate]:
    """Return the infusates by key."""
    return {row.key: row for row in csv_rows("complications/infusates.csv", Infusate)}


@functools.cache
def infusate_limits() -> tuple[InfusateLimit, ...]:
    """Return the limits in circulation, strictest osmolarity first."""
    return csv_rows("complications/infusate-limits.csv", InfusateLimit)
