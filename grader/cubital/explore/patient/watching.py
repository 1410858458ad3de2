"""What each choice after the insertion leads to: the leak that a look finds, and what is done."""

from __future__ import annotations

import math
from collections.abc import Mapping

from cubital import calc, tables
from cubital.calc.complications.vesicants import VESICANT
from cubital.calc.shared.units import MINUTES_PER_HOUR
from cubital.explore.kit.wording import measure, percent, rounded
from cubital.explore.patient.choices import RESPONSES, SECURED
from cubital.explore.patient.steps import GOOD, MEND, STOP, Step
from cubital.tables.patient import patient
from cubital.tables.scene import limb_sizes


def follow_up_numbers(state: Mapping[str, object]) -> dict[str, object]:
    """The numbers of the follow-up: a leak that starts just after a look, by name."""
    hours = state["look_every_min"] / MINUTES_PER_HOUR
    volume = calc.infiltrated_volume_ml(state["rate_ml_per_h"], time_h=hours)
    radius = limb_sizes()["forearm", "adult"].half_width_mm
    girth = 2 * math.pi * radius
    length = tables.constant("forearm-length-adult").value
    diameter = calc.swelling_diameter_mm(volume)
    told = calc.local_drug(state["drug"])
    graded = calc.infiltration_grade(
        {"oedema_mm": diameter, "girth_differs": True}, drug=state["drug"]
    )
    return {
        **state,
        "volume_ml": volume,
        "diameter_mm": diameter,
        "girth_mm": girth,
        "girth_rise_mm": calc.girth_rise_mm(volume, girth_mm=girth, swollen_length_mm=diameter),
        "limb_share": calc.limb_volume_share(volume, girth_mm=girth, limb_length_mm=length),
        "tissue": told.tissue,
        "is_listed": told.is_listed,
        "list_words": told.words,
        "grade": graded.grade,
        "harms": told.tissue != "none",
    }


def follow_up_steps(state: Mapping[str, object]) -> tuple[Step, ...]:
    """The steps of the follow-up."""
    n = follow_up_numbers(state)
    return (_secured(n["secured"]), _looked(n), _acted(n))


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


def _looked(n: Mapping[str, object]) -> Step:
    leads = (
        f"At worst {rounded(n['volume_ml'], 'mL')} outside the vein before it is seen: a swelling "
        f"{measure(n['diameter_mm'], 'mm', 0)} across, arm {measure(n['girth_rise_mm'], 'mm', 1)} "
        f"thicker, {percent(n['limb_share'], 1)} of the forearm; grade {n['grade']}."
    )
    choice = f"every {measure(n['look_every_min'], 'min', 0)} at {n['rate_ml_per_h']:g} mL/h"
    if n["tissue"] == VESICANT:
        every = patient().vesicant_look_min
        safer = (
            f"No amount of a vesicant is small: on this invented ward every "
            f"{measure(every, 'min', 0)} at the least, elsewhere as the drug's protocol says."
        )
        often_enough = n["look_every_min"] <= every
        return Step("Looked at", choice, leads, GOOD if often_enough else MEND, safer)
    return Step("Looked at", choice, leads, GOOD, "How often: local policy.")


def _acted(n: Mapping[str, object]) -> Step:
    key, name = n["response"], "When it is swollen"
    vesicant = n["tissue"] == VESICANT
    listed = n["list_words"]
    if key == "slow":
        what = "A vesicant goes on into the tissue" if vesicant else "It goes on into the tissue"
        leads = f"{what}: in as long again, {rounded(2 * n['volume_ml'], 'mL')} at the old rate."
        return Step(name, RESPONSES[key], f"{leads} {listed}", STOP, "Stop it at once.")
    first = calc.first_actions("extravasation" if vesicant else "infiltration").steps
    told = f"First actions: {' '.join(first[:2])}"
    leads, verdict, safer = {
        (VESICANT, "leave"): (told, GOOD, ""),
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
        ("none", "remove"): (told, GOOD, ""),
    }.get((n["tissue"], key)) or _acted_on_irritant(key)
    return Step(name, RESPONSES[key], f"{leads} {listed}", verdict, safer)


def _acted_on_irritant(key: str) -> tuple[str, str, str]:
    if key == "leave":
        return "It stays until the pharmacist has said.", GOOD, ""
    leads = "It is out before anybody could say whether it was still needed."
    return leads, MEND, "Stop, line off, and leave it until the pharmacist has said."
