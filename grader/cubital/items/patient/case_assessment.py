"""The lesson's patient before the needle: what may be chosen, and how each choice is judged."""

from __future__ import annotations

from dataclasses import dataclass

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent
from cubital.calc.sizing.size_choice import FITS, MEASURED_BY, Sizing
from cubital.items.patient.case import GOOD, MEND, STOP, PhaseChoices, Step
from cubital.tables.patient import patient

ASKED = {
    "all": "identity, consent, allergies, blood thinners",
    "some": "identity and consent",
    "none": "nothing: the name is on the door",
}
ARMS = {"right": "the right arm", "left": "the left arm"}
FELT = {"no": "no, the picture shows it well", "yes": "yes, with a finger, for a pulse"}
CLEANED = {
    "alcohol": "clean hands, gloves; alcohol alone, left to dry",
    "chlorhexidine": "clean hands, gloves; chlorhexidine, left to dry",
    "wet": "clean hands, gloves; skin wiped, still wet",
    "gloves": "gloves on, hands not cleaned",
}


@dataclass(frozen=True, kw_only=True)
class AssessmentChoices(PhaseChoices):
    """The choices before the needle, by the keys of the lists above."""

    asked: str
    arm: str
    felt: str
    cleaned: str
    measured_by: str
    vein: str


def flow_needed_ml_per_min() -> float:
    """Return the flow that the order needs."""
    return patient().order_ml / patient().order_min


def sizing(choices: AssessmentChoices) -> Sizing:
    """Return what can be said about a catheter for the chosen vein, as it was measured."""
    sized: Sizing = calc.size_catheter(
        flow_needed_ml_per_min=flow_needed_ml_per_min(),
        vein_diameter_mm=patient().veins[choices.vein].diameter_mm,
        measured_by=choices.measured_by,
        ratio_limit=tables.profile().ratio_limit,
        allowed_gauges=[row.gauge for row in tables.joint_limits() if row.age_group == "adult"],
    )
    return sized


def assessment_steps(choices: AssessmentChoices) -> tuple[Step, ...]:
    """Judge the choices before the needle, one by one."""
    return (
        _asked(choices.asked),
        _arm(choices.arm),
        _felt(choices.felt, choices.vein),
        _cleaned(choices.cleaned),
        _measured(choices),
    )


def _asked(key: str) -> Step:
    who = patient()
    known = f"an allergy to {who.allergy}; {who.blood_thinner}"
    leads, verdict, safer = {
        "all": (f"You know: {known}.", GOOD, ""),
        "some": (f"Not known: {known}.", MEND, "Ask for both, and look in the notes."),
        "none": (
            "The order may be another patient's, and nobody has agreed.",
            STOP,
            "Ask for name and date of birth, read the wristband, explain, get consent.",
        ),
    }[key]
    return Step("Asked first", ASKED[key], leads, verdict, safer)


def _arm(key: str) -> Step:
    who = patient()
    if key == who.restricted_arm:
        leads = f"On this side {who.restriction}: local policy keeps it free, and nobody was asked."
        safer = "The other arm; or ask the patient and who may decide."
        return Step("Arm", ARMS[key], leads, STOP, safer)
    return Step("Arm", ARMS[key], "No restriction on this side.", GOOD)


def _felt(key: str, vein: str) -> Step:
    if key == "no":
        leads = f"{vein} may be an artery: one near the skin can look the same in the picture."
        return Step("Pulse", FELT[key], leads, STOP, "Feel it, tourniquet off, before anything.")
    if patient().veins[vein].pulsates:
        leads = f"{vein} pulsates: an artery until shown otherwise."
        return Step("Pulse", FELT[key], leads, STOP, "Choose another.")
    return Step("Pulse", FELT[key], f"{vein} is soft and does not pulsate.", GOOD)


def _cleaned(key: str) -> Step:
    allergy = patient().allergy
    if key == allergy:
        leads = f"The patient is allergic to {allergy}."
        return Step("Hands and skin", CLEANED[key], leads, STOP, "Another antiseptic by policy.")
    leads, verdict, safer = {
        "alcohol": ("Clean, dry, and not what the patient is allergic to.", GOOD, ""),
        "wet": ("It works while it dries.", MEND, "Let it dry; do not touch or fan."),
        "gloves": ("Gloves do not replace clean hands.", MEND, "Clean hands, then gloves."),
    }[key]
    return Step("Hands and skin", CLEANED[key], leads, verdict, safer)


def _measured(choices: AssessmentChoices) -> Step:
    sized, row = sizing(choices), patient().veins[choices.vein]
    choice = f"{choices.vein} by {MEASURED_BY[choices.measured_by]}"
    name = "Vein and size"
    if choices.measured_by != "ultrasound":
        safer = "Ultrasound, tourniquet off."
        why = sized.reason.partition(" Measure")[0]
        return Step(name, choice, f"{choices.vein}: {why[:1].lower()}{why[1:]}", MEND, safer)
    if sized.ratio is None:  # no catheter that may be used gives the flow
        return Step(name, choice, sized.reason, MEND)
    vessel = (
        f"{choices.vein}: {measure(row.diameter_mm, 'mm', 1)} wide, near wall "
        f"{measure(row.depth_mm, 'mm', 1)} deep, straight for {measure(row.straight_mm, 'mm', 0)}"
    )
    if sized.verdict != FITS:
        takes = f"{vessel}; {sized.gauge} gauge would take {percent(sized.ratio, 1)} of it."
        return Step(name, choice, takes, MEND, "Another vein.")
    return Step(name, choice, f"{vessel}; thinnest for the flow: {sized.gauge} gauge.", GOOD)
