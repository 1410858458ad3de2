"""The data tables of the course: the only reader of `assets/`, which refuses what is wrong in a
row, in a department's figures or in the judges' sheets.

Every table is read once, on first use. Rows are frozen; numbers keep their source and how far
that source was seen.
"""

import functools
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any

from cubital.tables.approving import check_approval
from cubital.tables.files import asset, course_folder, csv_rows, merged, read_toml
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
    "Curriculum",
    "Expected",
    "Limit",
    "Objective",
    "Profile",
    "Reference",
    "course_folder",
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
# What of the profile a release records and follows, and so what a course folder may set.
FOLLOWED = (
    "department",
    "hospital",
    "notice",
    "working_distance_mm",
    "window_mm",
    "depth_reach_mm",
    "picture_width_mm",
    "picture_height_mm",
    "light_output_lm",
    "run_time_h",
    "charge_time_h",
    "stored_pictures",
    "ratio_limit",
    "attempt_limit",
    "vesicants",
)
# What of the profile refreshing follows: a course folder may set it, with who approved it and when,
# and its releases tell it to the learner's computer. No question and no mark follows it.
REFRESHED = (
    "critical_due_days",
    "critical_grace_days",
    "critical_due_rests_on",
    "critical_due_approved_by",
    "critical_due_approved_on",
)
# What a course folder may set besides: no question follows it.
BESIDES = ("approved_by", "approved_on")
_MM2_PER_M2 = 1_000_000  # exact
CURRICULUM_FILE = "curriculum.toml"


@functools.cache
def gauges() -> tuple[Gauge, ...]:
    """Return the catheter sizes, thinnest first."""
    return csv_rows("sizing/gauges.csv", Gauge)


@functools.cache
def needle_tubes() -> tuple[NeedleTube, ...]:
    """Return the needle tube sizes, thinnest first."""
    return csv_rows("sizing/needle-tubes.csv", NeedleTube)


@functools.cache
def drop_factors() -> tuple[DropFactor, ...]:
    """Return the drop factors of infusion sets, the standard's own first."""
    return csv_rows("sizing/drop-factors.csv", DropFactor)


@functools.cache
def ratio_evidence() -> tuple[RatioEvidence, ...]:
    """Return the catheter-to-vein ratios in circulation, smallest first."""
    return csv_rows("sizing/ratio-evidence.csv", RatioEvidence)


@functools.cache
def therapies() -> tuple[Therapy, ...]:
    """Return the therapies with the flow each usually needs."""
    return csv_rows("sizing/therapies.csv", Therapy)


@functools.cache
def joint_limits() -> tuple[JointLimit, ...]:
    """Return which lengths, veins and therapies go with each gauge and age."""
    return csv_rows("sizing/joint-limits.csv", JointLimit)


@functools.cache
def fluids() -> Mapping[str, FluidRow]:
    """Return the fluids by name."""
    return MappingProxyType({row.name: row for row in csv_rows("sizing/fluids.csv", FluidRow)})


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
    return MappingProxyType({row.name: row for row in csv_rows("quantities.csv", Limit)})


@functools.cache
def water() -> Water:
    """Return the coefficients for liquid water."""
    table = asset("sizing/water.toml")
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
        if isinstance(value, list | tuple) and all(isinstance(part, str) for part in value):
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
    """Return the local profile; a file, or a folder's local-profile.toml, replaces single keys.

    Raises
    ------
    ValueError
        A key is unknown or cannot be set, or a value is of the wrong type or impossible; the text
        names file and key, and what is allowed.
    """
    merged = dict(_shipped_profile())
    if path is not None:
        own = Path(path)
        if own.is_dir():
            own = own / PROFILE_FILE
            path = own if own.is_file() else None
        if path is not None:
            changes = _flat_profile(read_toml(own), own)
            able = (*FOLLOWED, *REFRESHED, *BESIDES)
            fixed = [key for key in changes if key not in able]
            if fixed:
                raise ValueError(
                    f"{own}: {fixed[0]} cannot be set here, since nothing in a release follows it; "
                    f"what can be: {', '.join(able)}"
                )
            merged |= changes
            _check_figures(merged, own)
            _check_approved(changes, own)
            check_approval(merged["approved_by"], merged["approved_on"], own)
    return Profile(**merged)


def followed(profile: Profile) -> dict[str, Any]:
    """Return the figures that a release records and follows, by name, in the order of the file."""
    return {name: getattr(profile, name) for name in FOLLOWED}


def refreshed(profile: Profile) -> dict[str, Any]:
    """Return what refreshing follows of a profile, by name, in the order of the file."""
    return {name: getattr(profile, name) for name in REFRESHED}


def recorded_days(told: Mapping[str, Any], where: Path) -> dict[str, Any]:
    """Return what a release recorded for refreshing; one that misstates any raises ValueError."""
    kinds = Profile.__annotations__
    found = {name: _profile_value(name, told.get(name), kinds[name], where) for name in REFRESHED}
    _check_limits(found, where)
    _check_approved(found, where)
    return found


def recorded_figures(told: Mapping[str, Any], where: Path) -> dict[str, Any]:
    """Return the figures that a release recorded; one that lacks or misstates any raises."""
    odd = [f"does not record {name}" for name in FOLLOWED if name not in told]
    odd += [f"records {name!r:.40}" for name in told if name not in FOLLOWED]
    if odd:
        raise ValueError(
            f"{where} {odd[0]}: it was made by another edition of the course; use the course that "
            "made the release"
        )
    kinds = Profile.__annotations__
    found = {name: _profile_value(name, told[name], kinds[name], where) for name in FOLLOWED}
    _check_figures(found, where)
    return found


def _check_figures(figures: Mapping[str, Any], where: Path) -> None:
    """Hold the figures to what the items can ask about, each alone and together."""
    _check_limits(figures, where)
    wide, high = figures["picture_width_mm"], figures["picture_height_mm"]
    if high >= wide:
        raise ValueError(
            f"{where}: picture_height_mm is {high}: it must be below picture_width_mm, {wide}; the "
            "long side is the width"
        )
    if figures["window_mm"] > figures["working_distance_mm"] / 4:
        raise ValueError(
            f"{where}: window_mm is {figures['window_mm']}: it must be at most a quarter of "
            f"working_distance_mm, {figures['working_distance_mm']}"
        )
    lit = figures["light_output_lm"] / (wide * high) * _MM2_PER_M2
    allowed = limits()["profile_picture_light_lx"]
    if not allowed.low <= lit <= allowed.high:
        raise ValueError(
            f"{where}: light_output_lm is {figures['light_output_lm']}: over a picture of {wide} "
            f"by {high} mm that is {lit:.0f} lx, and it must be from {allowed.low:g} to "
            f"{allowed.high:g} lx"
        )
    if not figures["vesicants"] or not all(drug.strip() for drug in figures["vesicants"]):
        raise ValueError(f"{where}: vesicants must name one drug at least, and none by nothing")


def _check_limits(figures: Mapping[str, Any], where: Path) -> None:
    for name in figures:
        limit = limits().get(f"profile_{name}")
        if limit and not limit.low <= figures[name] <= limit.high:
            unit = f" {limit.unit}" if limit.unit else ""
            raise ValueError(
                f"{where}: {name} is {figures[name]}: {limit.quantity} must be from {limit.low:g} "
                f"to {limit.high:g}{unit}"
            )


def _check_approved(changes: Mapping[str, Any], where: Path) -> None:
    """Let nobody set when knowledge is due without saying who approved it, why, and when."""
    if not set(changes) & set(REFRESHED):
        return
    for name in REFRESHED[2:]:
        if not str(changes.get(name, "")).strip():
            raise ValueError(
                f"{where}: {name} is missing: whoever sets when knowledge is due says what that "
                "rests on, who approved it, and on which day"
            )
    try:
        date.fromisoformat(changes["critical_due_approved_on"])
    except ValueError:
        raise ValueError(
            f"{where}: critical_due_approved_on is {changes['critical_due_approved_on']!r}: write "
            "the day as 2026-05-04"
        ) from None


def curriculum(path: Path | None = None, *, folder: Path | None = None) -> Curriculum:
    """Return the objectives with their items and pass rules, of the course or of another file.

    The share of points that passes comes from the standard-setting sheets, of the course or, by
    ``folder``, of a course folder, unless the file states it.
    """
    told = _curriculum() if path is None else read_toml(path)
    path = course_folder("assets") / CURRICULUM_FILE if path is None else Path(path)
    found = []
    rows = standard(folder)
    for row in told.get("objective", []):
        lists = {name: tuple(row[name]) for name in ("items", "critical")}
        share = row.get("pass_share")
        if share is None:
            share = pass_share(lists["items"], rows)
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
def _curriculum() -> Mapping[str, Any]:
    return read_toml(course_folder("assets") / CURRICULUM_FILE)


@functools.cache
def demo_cohort() -> Mapping[str, Any]:
    """Return the invented cohort that the demo plays."""
    return MappingProxyType(asset("demo-cohort.toml"))
