"""One patient, first phase: what is asked, felt, cleaned and measured before any needle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
import traitlets

from cubital.explore.kit.drawing import Sheet
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture
from cubital.explore.kit.section import plain_words
from cubital.explore.patient import choices
from cubital.explore.patient.sketch import draw_steps, in_words, readings
from cubital.items.patient.case import PhaseVerdict, phase_verdict
from cubital.items.patient.case_assessment import (
    ARMS,
    AssessmentChoices,
    assessment_steps,
    sizing,
)
from cubital.scene.anatomy.person import anatomy
from cubital.scene.anatomy.vessels import Scene, Vessel, View
from cubital.scene.light import picture, processing
from cubital.tables.patient import patient

SEED = 80
VIEW = View(360, 240, 0.25, turn_deg=90)
ACROSS_MM = {"A": -17, "B": 0, "C": 17}
POINTS, WANDER_MM, SHOWN_MM = 41, 1.6, 96
FILTER_MM, GAIN = 6, 1.5
WIDTH, HEIGHT = 440, 160


class PatientAssessment(Explorer):
    """The choices before the needle, with the picture of the arm."""

    inputs = ("asked", "arm", "felt", "cleaned", "measured_by", "vein")
    title = traitlets.Unicode("One patient: assessment").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Patient, veins and order are invented; the left arm is the right one, "
        "mirrored. The judgements follow common practice and the invented ward's policy."
    ).tag(sync=True)
    asked, arm, felt = choices.asked(), choices.arm(), choices.felt()
    cleaned, measured_by = choices.cleaned(), choices.measured_by()
    vein = choices.VeinChoice("C")

    def __init__(self, *, shared: choices.OnePatient | None = None, **start: object) -> None:
        super().__init__(**start)
        if shared is not None:
            shared.share(self, self.inputs)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """What the choices lead to, and whether it is safe to go on."""
        chosen = AssessmentChoices.of(state)
        steps = assessment_steps(chosen)
        numbers = assessment_numbers(chosen)
        sheet = Sheet(WIDTH, HEIGHT)
        draw_steps(sheet, steps, 22)
        return Picture(
            svg=sheet.svg(),
            alt=plain_words(
                "A grey picture of a forearm lying across it, with three dark bands along it: "
                f"{', '.join(row.words for row in patient().veins.values())}. It is "
                f"{ARMS[chosen.arm]}; chosen is {chosen.vein}. Below, a list: "
                f"{in_words(steps)}. {numbers.verdict}."
            ),
            spoken=f"{numbers.verdict}.",
            readings=readings(steps),
            numbers=numbers,
            frame=arm_frame(chosen.arm),
        )


@dataclass(frozen=True, kw_only=True)
class AssessmentNumbers(AssessmentChoices, PhaseVerdict):
    """The choices, the verdict on them, and the catheter for the vein as it was measured."""

    gauge: int | None
    ratio: float | None
    """Outer diameter of that catheter over the vein's; both None where no vein was sized."""


def assessment_numbers(chosen: AssessmentChoices) -> AssessmentNumbers:
    """Size the catheter for the chosen vein and judge the choices together."""
    sized = sizing(chosen)
    return AssessmentNumbers(
        **vars(chosen),
        **vars(phase_verdict(assessment_steps(chosen))),
        gauge=sized.gauge,
        ratio=sized.ratio,
    )


@cache
def arm_frame(arm: str) -> np.ndarray:
    """The processed picture of the right arm; the left is its mirror."""
    if arm == "left":
        return np.ascontiguousarray(arm_frame("right")[:, ::-1])
    frame = picture.frame(arm_scene())
    return processing.process(frame, filter_mm=FILTER_MM, mm_per_px=VIEW.mm_per_px, gain=GAIN)


@cache
def arm_scene() -> Scene:
    """A forearm with the patient's three vessels, which wander a little."""
    person = anatomy("forearm", seed=SEED, artery=False)
    along = np.linspace(-SHOWN_MM / 2, SHOWN_MM / 2, POINTS)
    vessels = []
    for number, (key, row) in enumerate(patient().veins.items()):
        wander = WANDER_MM * np.sin(2 * np.pi * along / SHOWN_MM + 2 * number)
        vessels.append(
            Vessel(
                key,
                "artery" if row.pulsates else "vein",
                ACROSS_MM[key] + wander,
                along,
                np.full(POINTS, row.depth_mm),
                np.full(POINTS, row.diameter_mm),
            )
        )
    person = replace(person, vessels=tuple(vessels), valves=(), confluences=())
    return Scene(person, view=VIEW, seed=SEED)
