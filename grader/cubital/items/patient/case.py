"""How the care of the lesson's patient is judged: step by step, and phase by phase."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, Self

GOOD, MEND, STOP = "as it should be", "mend this first", "not acceptable"


@dataclass(frozen=True)
class PhaseChoices:
    """The choices of one phase; a phase's own dataclass names them."""

    @classmethod
    def of(cls, chosen: Mapping[str, Any]) -> Self:
        """Return the phase's choices out of all that were made for the patient."""
        return cls(**{field.name: chosen[field.name] for field in fields(cls)})


@dataclass(frozen=True)
class Step:
    """One choice, what it leads to, how that is judged, and what is safer."""

    name: str
    choice: str
    leads_to: str
    verdict: str
    safer: str = ""


@dataclass(frozen=True, kw_only=True)
class PhaseVerdict:
    """How a phase is judged as a whole."""

    verdict: str
    safe: bool
    """Whether every step is as it should be."""
    stops: int
    """Steps that are not acceptable."""


def overall(steps: tuple[Step, ...]) -> str:
    """Return the verdict on a phase in words.

    One choice that is not acceptable outweighs all that went well.
    """
    stops = sum(step.verdict == STOP for step in steps)
    mends = sum(step.verdict == MEND for step in steps)
    if stops:
        return f"Stop: {stops} not acceptable, whatever else went well"
    if mends:
        return f"Not yet: {mends} to mend first"
    return "Go on: nothing is missing"


def phase_verdict(steps: tuple[Step, ...]) -> PhaseVerdict:
    """Return the verdict on a phase."""
    return PhaseVerdict(
        verdict=overall(steps),
        safe=all(step.verdict == GOOD for step in steps),
        stops=sum(step.verdict == STOP for step in steps),
    )
