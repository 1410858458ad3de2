"""The data tables of the course: the only module that reads `assets/`.

Every table is read once, on first use. Rows are frozen; numbers keep their source and how far
that source was seen.
"""

import functools
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from cubital.tables.reading import asset, course_folder, csv_rows, merged, read_toml
from cubital.tables.rows import (
    Constant,
    Curriculum,
    DropFactor,
    FluidRow,
    Gauge,
    JointLimit,
    Limit,
    NeedleTube,
    Objective,
    Profile,
    RatioEvidence,
    Reference,
    Therapy,
    Water,
)
from cubital.tables.standard import Expected, pass_share, setting, standard

__all__ = [
    "Expected",
    "pass_share",
    "setting",
    "standard",
]  # of other modules; the rest is defined here

KINDS = (
    "exact",
    "measured",
    "standard",
    "guideline",
    "common practice",
    "teaching assumption",
)
SEEN = ("read", "abstract", "second-hand", "memory")
PROFILE_FILE = "local-profile.toml"
CURRICULUM_FILE = "curriculum.toml"


@functools.cache
def gauges() -> tuple[Gauge, ...]:
    """Return the catheter sizes, thinnest first."""
    return csv_rows("gauges.csv", Gauge)


@functools.cache
def needle_tubes() -> tuple[NeedleTube, ...]:
    """Return the needle tube sizes, thinnest first."""
    return csv_rows("needle-tubes.csv", NeedleTube)


@functools.cache
def drop_factors() -> tuple[DropFactor, ...]:
    """Return the drop factors of infusion sets, the standard's own first."""
    return csv_rows("drop-factors.csv", DropFactor)


@functools.cache
def ratio_evidence() -> tuple[RatioEvidence, ...]:
    """Return the catheter-to-vein ratios in circulation, smallest first."""
    return csv_rows("ratio-evidence.csv", RatioEvidence)


@functools.cache
def therapies() -> tuple[Therapy, ...]:
    """Return the therapies with the flow each usually needs."""
    return csv_rows("therapies.csv", Therapy)


@functools.cache
def joint_limits() -> tuple[JointLimit, ...]:
    """Return which lengths, veins and therapies go with each gauge and age."""
    return csv_rows("joint-limits.csv", JointLimit)


@functools.cache
def fluids() -> Mapping[str, FluidRow]:
    """Return the fluids by name."""
    return MappingProxyType({row.name: row for row in csv_rows("fluids.csv", FluidRow)})


@functools.cache
def constants() -> Mapping[str, Constant]:
    """Return all constants by key."""
    return MappingProxyType({k: Constant(**row) for k, row in merged("constants").items()})


def constant(key: str) -> Constant:
    """Return one constant by its key."""
    try:
        return constants()[key]
    except KeyError:
        raise KeyError(f"no constant is called {key!r}: choose one of {[*constants()]}") from None


@functools.cache
def limits() -> Mapping[str, Limit]:
    """Return the limits by the name of the quantity with its unit, such as vein_diameter_mm."""
    return MappingProxyType({key: Limit(**row) for key, row in merged("limits").items()})


@functools.cache
def water() -> Water:
    """Return the coefficients for liquid water."""
    table = asset("water.toml")
    viscosity, density = table["viscosity"], table["density"]
    return Water(
        viscosity_a=tuple(viscosity["a"]),
        viscosity_b=tuple(viscosity["b"]),
        reference_temperature_k=viscosity["reference_temperature_k"],
        density_numerator=tuple(density["numerator"]),
        density_denominator=density["denominator"],
        sources=(viscosity["source"], density["source"]),
    )


@functools.cache
def bibliography() -> Mapping[str, Reference]:
    """Return the sources by key."""
    found = merged("bibliography")
    return MappingProxyType({key: Reference(key=key, **row) for key, row in found.items()})


def _flat_profile(table: Mapping[str, Any], path: Path) -> dict[str, Any]:
    """Lay the sections of a profile side by side and check each key and type."""
    known = Profile.__annotations__
    flat: dict[str, Any] = {}
    for section, values in table.items():
        if not isinstance(values, dict):
            raise ValueError(f"{path}: {section!r} stands outside a section")
        for key, value in values.items():
            if key not in known:
                raise ValueError(f"{path}: no key {key!r} is known in section [{section}]")
            flat[key] = _profile_value(key, value, known[key], path)
    return flat


def _profile_value(key: str, value: Any, kind: Any, path: Path) -> Any:
    if kind == tuple[str, ...]:
        if isinstance(value, list) and all(isinstance(part, str) for part in value):
            return tuple(value)
        raise ValueError(f"{path}: {key} is {value!r}: it must be a list of words")
    accepted = (int, float) if kind is float else kind
    if isinstance(value, bool) or not isinstance(value, accepted):
        raise ValueError(f"{path}: {key} is {value!r}: it must be of type {kind.__name__}")
    if kind is not str and not 0 < value < float("inf"):
        raise ValueError(f"{path}: {key} is {value!r}: it must be above 0")
    return value


@functools.cache
def _shipped_profile() -> Mapping[str, Any]:
    path = course_folder("assets") / PROFILE_FILE
    return MappingProxyType(_flat_profile(read_toml(path), path))


def profile(path: Path | None = None) -> Profile:
    """Return the local profile; a file, or a folder's local-profile.toml, replaces single keys."""
    merged = dict(_shipped_profile())
    if path is not None:
        own = Path(path)
        if own.is_dir():
            own = own / PROFILE_FILE
            path = own if own.is_file() else None
        if path is not None:
            merged |= _flat_profile(read_toml(own), own)
    result = Profile(**merged)
    limit = limits()["ratio_limit"]
    if not limit.low <= result.ratio_limit <= limit.high:
        raise ValueError(
            f"{limit.quantity} is {result.ratio_limit}: it must be from {limit.low} to {limit.high}"
        )
    return result


def curriculum(path: Path | None = None, *, folder: Path | None = None) -> Curriculum:
    """Return the objectives with their items and pass rules, of the course or of another file.

    The share of points that passes comes from the standard-setting sheets, of the course or, by
    ``folder``, of a course folder, unless the file states it.
    """
    path = course_folder("assets") / CURRICULUM_FILE if path is None else Path(path)
    found = []
    for row in read_toml(path).get("objective", []):
        lists = {name: tuple(row[name]) for name in ("items", "critical")}
        share = row.get("pass_share")
        if share is None:
            share = pass_share(lists["items"], standard(folder))
        found.append(Objective(**{**row, **lists, "pass_share": share}))
    for row in found:
        if not set(row.critical) <= set(row.items):
            raise ValueError(f"{path}: a critical item of {row.key!r} is not among its items")
        if not 0 < row.pass_share <= 1:
            raise ValueError(f"{path}: pass_share of {row.key!r} must be above 0 and at most 1")
    if len({row.key for row in found}) != len(found):
        raise ValueError(f"{path}: two objectives have the same key")
    return Curriculum(tuple(found))


@functools.cache
def demo_cohort() -> Mapping[str, Any]:
    """Return the invented cohort that the demo plays."""
    return MappingProxyType(asset("demo-cohort.toml"))
