"""One patient, third phase: how often the site is looked at, and what has run by then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, rounded
from cubital.calc.shared.units import MINUTES_PER_HOUR
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words
from cubital.explore.patient import choices
from cubital.explore.patient.sketch import draw_steps, in_words, readings
from cubital.items.patient.case import PhaseVerdict, Step, phase_verdict
from cubital.items.patient.case_follow_up import (
    FollowUpChoices,
    FollowUpNumbers,
    follow_up_numbers,
    follow_up_steps,
)

SIZE, BOX, MOST_ML = (440, 384), (66, 424, 170, 324), 250
CURVE_POINTS = 40


class PatientFollowUp(Explorer):
    """The choices afterwards, with the volume outside the vein until it is seen."""

    inputs = ("secured", "drug", "rate_ml_per_h", "look_every_min", "response")
    title = traitlets.Unicode("One patient: follow-up").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} The worst case: all of it runs outside the vein from just after one look to "
        "the next. Size of the arm and shape of the swelling are teaching assumptions; the scale "
        "is an older one that lives on in policies."
    ).tag(sync=True)
    secured, drug = choices.secured(), choices.drug()
    rate_ml_per_h, look_every_min = choices.rate(), choices.look_every()
    response = choices.response()

    def __init__(self, *, shared: choices.OnePatient | None = None, **start: object) -> None:
        super().__init__(**start)
        if shared is not None:
            shared.share(self, self.inputs)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """What the choices lead to, and whether it is acceptable."""
        n = follow_up_numbers(FollowUpChoices.of(state))
        steps = follow_up_steps(n)
        judged = phase_verdict(steps)
        return Picture(
            svg=_draw(n, steps),
            alt=plain_words(
                f"A list: {in_words(steps)}. {judged.verdict}. Below, a straight line of the "
                "volume outside the vein against the minutes since it began to leak, at "
                f"{measure(n.rate_ml_per_h, 'mL/h', 0)}. Ringed: the next look after "
                f"{measure(n.look_every_min, 'minutes', 0)}, {rounded(n.volume_ml, 'mL')}."
            ),
            spoken=plain_words(f"{judged.verdict}. {rounded(n.volume_ml, 'mL')} outside."),
            readings=readings(steps),
            numbers=JudgedFollowUp(**vars(n), **vars(judged)),
        )


@dataclass(frozen=True, kw_only=True)
class JudgedFollowUp(FollowUpNumbers, PhaseVerdict):
    """The numbers of the follow-up, and the verdict on the choices."""


def _draw(n: FollowUpNumbers, steps: tuple[Step, ...]) -> str:
    end = tables.limits()["look_every_min"].usual_high
    plot = Plot(
        Scale(0, end, 30, "minutes since it began to leak"),
        Scale(0, MOST_ML, 50, "volume outside the vein, mL"),
        size=SIZE,
        box=BOX,
    )
    minutes = np.linspace(1, end, CURVE_POINTS)
    volumes = calc.infiltrated_volume_ml(n.rate_ml_per_h, time_h=minutes / MINUTES_PER_HOUR)
    draw_steps(plot.sheet, steps, 46)
    plot.curve(minutes, volumes, colour=drawing.VEIN, width=3)
    waited = measure(n.look_every_min, "min", 0)
    outside = f"found after {waited}: {rounded(n.volume_ml, 'mL')} outside"
    plot.mark(n.look_every_min, n.volume_ml, outside)
    return plot.svg()
