"""One patient, read back: every choice with what it led to and what would have been safer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import ipywidgets

from cubital.explore.kit.table import LessonTable
from cubital.explore.patient.choices import OnePatient
from cubital.items.patient.case import GOOD, STOP, Step, overall
from cubital.items.patient.case_assessment import AssessmentChoices, assessment_steps
from cubital.items.patient.case_follow_up import (
    FollowUpChoices,
    follow_up_numbers,
    follow_up_steps,
)
from cubital.items.patient.case_insertion import (
    InsertionChoices,
    insertion_numbers,
    insertion_steps,
)


def all_steps(chosen: Mapping[str, Any]) -> dict[str, tuple[Step, ...]]:
    """The steps of each phase."""
    return {
        "Assessment": assessment_steps(AssessmentChoices.of(chosen)),
        "Insertion": insertion_steps(insertion_numbers(InsertionChoices.of(chosen))),
        "Follow-up": follow_up_steps(follow_up_numbers(FollowUpChoices.of(chosen))),
    }


def read_back_table(chosen: Mapping[str, Any]) -> LessonTable:
    """All choices made for the patient, as they stand."""
    phases = all_steps(chosen)
    every = tuple(step for steps in phases.values() for step in steps)
    stops = [step.name.lower() for step in every if step.verdict == STOP]
    note = (
        f"Not acceptable, whatever else went well: {', '.join(stops)}."
        if stops
        else "All your choices were acceptable."
        if all(step.verdict == GOOD for step in every)
        else "No choice was unacceptable, but some are to be mended first."
    )
    return LessonTable(
        caption=f"Your choices, read back. {overall(every)}.",
        columns=("Step", "Your choice", "What it led to", "Judged", "Safer, or next"),
        rows=tuple(
            (f"{phase}: {step.name}", step.choice, step.leads_to, step.verdict, step.safer or "-")
            for phase, steps in phases.items()
            for step in steps
        ),
        note=f"{note} Simulated, not clinically validated; an invented patient.",
    )


class PatientReadBack(ipywidgets.HTML):  # type: ignore[misc]  # ipywidgets has no types
    """The read-back, kept up to date with the choices."""

    def __init__(self, shared: OnePatient | None = None) -> None:
        self.shared = OnePatient() if shared is None else shared
        super().__init__()
        self.shared.observe(self._renew)
        self._renew(None)

    def table(self) -> LessonTable:
        """The table of the present choices."""
        return read_back_table(self.shared.state())

    def _renew(self, _change: object) -> None:
        self.value = f'<div style="line-height:1.45">{self.table()._repr_html_()}</div>'

    def _repr_mimebundle_(self, **kwargs: object) -> dict[str, object]:
        """The live table; where none can run, the table as it stands."""
        shown = super()._repr_mimebundle_(**kwargs)
        table = self.table()
        return {**shown, "text/plain": repr(table), "text/html": table._repr_html_()}
