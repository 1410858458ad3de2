"""Findings at the bedside, checked, and whether a condition on them is met."""

import functools
import re
from collections.abc import Mapping
from typing import Any

from cubital.calc.shared.quantities import single
from cubital.tables import complications as rows

CONDITION = re.compile(r"(?P<key>\w+?)(?:(?P<sign>>=|>|=)(?P<bound>.+))?")
ABSENT = "no "
FLUID = "fluid"  # the drug's class by what it does to tissue; not looked for at the bedside


def checked_findings(findings: Mapping[str, Any]) -> dict[str, Any]:
    """Return findings with their values checked, levels as their place in the row of levels.

    `value = True, False, a level's place, or a length`

    Parameters
    ----------
    findings : mapping of str to bool, str or float
        What was looked for, by the names of `assets/complications/findings.toml`: there or not,
        a level in words, or a length [mm]

    Returns
    -------
    dict
        The same findings, levels as numbers from 0 [-]

    Notes
    -----
    Lengths from 0 to 1000 mm. What is not named was not looked for, which is not the same as
    looked for and absent.

    Examples
    --------
    >>> checked_findings({"cool": True, "pain": "moderate", "oedema_mm": 40})
    {'cool': True, 'pain': 2, 'oedema_mm': 40.0}

    References
    ----------
    course
    """
    known = rows.findings()
    found: dict[str, Any] = {}
    for key, value in findings.items():
        if key not in known:
            raise ValueError(f"no finding is called {key!r}: choose one of {', '.join(known)}")
        row = known[key]
        if row.unit:
            found[key] = single(key, value)
        elif row.levels:
            if value not in row.levels:
                raise ValueError(
                    f"{row.words} is {value!r}: it must be one of {', '.join(row.levels)}"
                )
            found[key] = row.levels.index(value)
        elif isinstance(value, bool):
            found[key] = value
        else:
            raise ValueError(f"{row.words} is {value!r}: it must be True or False")
    return found


@functools.cache
def _parts(condition: str) -> tuple[str, str | None, str | None]:
    match = CONDITION.fullmatch(condition)
    if match is None:
        raise ValueError(f"the condition {condition!r} cannot be read")
    return match["key"], match["sign"], match["bound"]


def key_of(condition: str) -> str:
    """Return the finding that a condition is about."""
    return _parts(condition.removeprefix(ABSENT))[0]


def is_met(condition: str, found: Mapping[str, Any]) -> bool:
    """Return whether a condition is met; one on a finding not looked for is not."""
    if condition.startswith(ABSENT):
        key = condition.removeprefix(ABSENT)
        return key in found and not found[key]
    key, sign, bound = _parts(condition)
    if key not in found:
        return False
    value = found[key]
    if sign is None or bound is None:
        return bool(value)
    if key == FLUID:
        return value == bound
    row = rows.findings()[key]
    limit = float(row.levels.index(bound) if row.levels else bound)
    return value >= limit if sign == ">=" else value > limit


def words_of(condition: str) -> str:
    """Return a condition in words."""
    if condition.startswith(ABSENT):
        return f"no {rows.findings()[condition.removeprefix(ABSENT)].words}"
    key, sign, bound = _parts(condition)
    if key == FLUID:
        return "a drug that does not harm tissue" if bound == "none" else f"what runs in: {bound}"
    row = rows.findings()[key]
    if sign is None or bound == "0":
        return row.words
    if row.levels:
        return row.words if bound == row.levels[1] else f"{row.words}, {bound} or worse"
    return f"{row.words} {'from' if sign == '>=' else 'above'} {bound} {row.unit}"
