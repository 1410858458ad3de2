"""The lesson's patient after the insertion: a leak at the next look, how each choice is judged."""

from __future__ import annotations

import math
from dataclasses import dataclass

from cubital import calc, tables
from cubital.calc.complications.vesicants import VESICANT
from cubital.calc.shared.formatting import measure, percent, rounded
from cubital.calc.shared.units import MINUTES_PER_HOUR
from cubital.items.patient.case import GOOD, MEND, STOP, PhaseChoices, Step
from cubital.tables.patient import patient
from cubital.tables.scene import limb_sizes

SECURED = {
    "held": "hub held, clear dressing, all written down",
    "round": "tape round the arm, nothing written down",
}
DRUGS = ("sodium chloride 0.9 %", "many antibiotics", "noradrenaline", "vinca alkaloids")
RESPONSES = {
    "leave": "stop, line off, leave the catheter in, call",
    "remove": "stop, take the catheter out",
    "slow": "run it slower and watch",
}


@dataclass(frozen=True, kw_only=True)
class FollowUpChoices(PhaseChoices):
    """The choices after the insertion: rate [mL/h], time between looks [min], and what is done."""

    secured: str
    drug: str
    rate_ml_per_h: float
    look_every_min: float
    response: str


@dataclass(frozen=True, kw_only=True)
class FollowUpNumbers(FollowUpChoices):
    """A leak as it is at the next look, if it starts just after the last one."""

    volume_ml: float
    diameter_mm: float
    """Of the swelling."""
    girth_mm: float
    """Of the forearm."""
    girth_rise_mm: float
    limb_share: float
    """Volume outside the vein, of the forearm's."""
    tissue: str
    """What the drug is handled as: none, irritant, vesicant or blood."""
    is_listed: bool
    """Whether the drug is on the local list of vesicants."""
    list_words: str
    grade: int
    """By the infiltration scale."""
    harms: bool


def follow_up_numbers(choices: FollowUpChoices) -> FollowUpNumbers:
    """Compute the leak at its worst: it starts just after one look and runs until the next."""
    hours = choices.look_every_min / MINUTES_PER_HOUR
    volume = calc.infiltrated_volume_ml(choices.rate_ml_per_h, time_h=hours)
    radius = limb_sizes()["forearm", "adult"].half_width_mm
    girth = 2 * math.pi * radius
    length = tables.constant("forearm-length-adult").value
    diameter = calc.swelling_diameter_mm(volume)
    handled = calc.local_drug(choices.drug)
    graded = calc.infiltration_grade(
        {"oedema_mm": diameter, "girth_differs": True}, drug=choices.drug
    )
    return FollowUpNumbers(
        **vars(choices),
        volume_ml=volume,
        diameter_mm=diameter,
        girth_mm=girth,
        girth_rise_mm=calc.girth_rise_mm(volume, girth_mm=girth, swollen_length_mm=diameter),
        limb_share=calc.limb_volume_share(volume, girth_mm=girth, limb_length_mm=length),
        tissue=handled.tissue,
        is_listed=handled.is_listed,
        list_words=handled.words,
        grade=graded.grade,
        harms=handled.tissue != "none",
    )


def follow_up_steps(n: FollowUpNumbers) -> tuple[Step, ...]:
    """Judge the choices after the insertion, one by one."""
    return (_secured(n.secured), _looked(n), _acted(n))


def _secured(key: str) -> Step:
    leads, verdict, safer = {
        "held": ("It stays in place; the next nurse sees the place and knows its day.", GOOD, ""),
        "round": (
            "It can act as a tourniquet and hides the place; nobody knows how long it is in.",
            MEND,
            "Hold the hub, clear dressing; write date, place, size, attempts.",
        ),
    }[key]
    return Step("Secured, written down", SECURED[key], leads, verdict, safer)


def _looked(n: FollowUpNumbers) -> Step:
    leads = (
        f"At worst {rounded(n.volume_ml, 'mL')} outside the vein before it is seen: a swelling "
        f"{measure(n.diameter_mm, 'mm', 0)} across, arm {measure(n.girth_rise_mm, 'mm', 1)} "
        f"thicker, {percent(n.limb_share, 1)} of the forearm; grade {n.grade}."
    )
    choice = f"every {measure(n.look_every_min, 'min', 0)} at {n.rate_ml_per_h:g} mL/h"
    if n.tissue == VESICANT:
        every = patient().vesicant_look_min
        safer = (
            f"No amount of a vesicant is small: on this invented ward every "
            f"{measure(every, 'min', 0)} at the least, elsewhere as the drug's protocol says."
        )
        often_enough = n.look_every_min <= every
        return Step("Looked at", choice, leads, GOOD if often_enough else MEND, safer)
    return Step("Looked at", choice, leads, GOOD, "How often: local policy.")


def _acted(n: FollowUpNumbers) -> Step:
    key, name = n.response, "When it is swollen"
    vesicant = n.tissue == VESICANT
    listed = n.list_words
    if key == "slow":
        what = "A vesicant goes on into the tissue" if vesicant else "It goes on into the tissue"
        leads = f"{what}: in as long again, {rounded(2 * n.volume_ml, 'mL')} at the old rate."
        return Step(name, RESPONSES[key], f"{leads} {listed}", STOP, "Stop it at once.")
    first = calc.first_actions("extravasation" if vesicant else "infiltration").steps
    usual = f"First actions: {' '.join(first[:2])}"
    leads, verdict, safer = {
        (VESICANT, "leave"): (usual, GOOD, ""),
        (VESICANT, "remove"): (
            "The way to draw the drug back, or to give an antidote, is gone.",
            STOP,
            " ".join(first[:3]),
        ),
        ("none", "leave"): (
            "Safe. Then take it out, unless local policy wants it looked at first.",
            GOOD,
            "",
        ),
        ("none", "remove"): (usual, GOOD, ""),
    }.get((n.tissue, key)) or _acted_on_irritant(key)
    return Step(name, RESPONSES[key], f"{leads} {listed}", verdict, safer)


def _acted_on_irritant(key: str) -> tuple[str, str, str]:
    if key == "leave":
        return "It stays until the pharmacist says what to do.", GOOD, ""
    leads = "It is out before anybody could say whether it was still needed."
    return leads, MEND, "Stop, line off, and leave it until the pharmacist says what to do."
