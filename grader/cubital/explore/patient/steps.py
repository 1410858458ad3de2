"""What each choice made for one patient leads to: computed, judged, with what is safer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from cubital import calc, tables
from cubital.calc.shared.units import MINUTES_PER_HOUR
from cubital.calc.sizing.size_choice import FITS, MEASURED_BY
from cubital.explore.kit.explorer import Reading
from cubital.explore.kit.wording import measure, percent
from cubital.explore.patient.choices import (
    AFTER_BLOOD,
    ARMS,
    ASKED,
    ATTEMPTS_SHOWN,
    CLEANED,
    FELT,
    CatheterChoice,
    catheter,
)
from cubital.tables import reaching as evidence
from cubital.tables.patient import patient

GOOD, MEND, STOP = "as it should be", "mend this first", "not acceptable"
ESCALATE = (
    "Stop here and hand on, as local policy says: a colleague with ultrasound, then a midline or a "
    "central line; in an emergency, bone."
)

NOT_RECKONED = (
    "The chance is not reckoned: the ward's count is of catheters within the local limit."
)


@dataclass(frozen=True)
class Step:
    """One choice, what it leads to, how that is judged, and what is safer."""

    name: str
    choice: str
    leads_to: str
    verdict: str
    safer: str = ""

    def reading(self) -> Reading:
        """The step as a line beside a figure."""
        note = f"{self.leads_to} {self.safer}".strip()
        return Reading(self.name, self.verdict, note)


def overall(steps: tuple[Step, ...]) -> str:
    """The verdict on a phase: one choice that is not acceptable outweighs all that went well."""
    stops = sum(step.verdict == STOP for step in steps)
    mends = sum(step.verdict == MEND for step in steps)
    if stops:
        return f"Stop: {stops} not acceptable, whatever else went well"
    if mends:
        return f"Not yet: {mends} to mend first"
    return "Go on: nothing is missing"


def flow_needed_ml_per_min() -> float:
    """The flow that the order needs."""
    return patient().order_ml / patient().order_min


def sizing(state: Mapping[str, object]) -> calc.Sizing:
    """What can be said about a catheter for the chosen vein, as it was measured."""
    return calc.size_catheter(
        flow_needed_ml_per_min=flow_needed_ml_per_min(),
        vein_diameter_mm=patient().veins[state["vein"]].diameter_mm,
        measured_by=state["measured_by"],
        ratio_limit=tables.profile().ratio_limit,
        allowed_gauges=[row.gauge for row in tables.joint_limits() if row.age_group == "adult"],
    )


# Assessment ------------------------------------------------------------------------------------


def assessment_steps(state: Mapping[str, object]) -> tuple[Step, ...]:
    """The steps of the assessment."""
    return (
        _asked(state["asked"]),
        _arm(state["arm"]),
        _felt(state["felt"], state["vein"]),
        _cleaned(state["cleaned"]),
        _measured(state),
    )


def _asked(key: str) -> Step:
    who = patient()
    told = f"an allergy to {who.allergy}; {who.blood_thinner}"
    leads, verdict, safer = {
        "all": (f"You know: {told}.", GOOD, ""),
        "some": (f"Not known: {told}.", MEND, "Ask for both, and look in the notes."),
        "none": (
            "The order may be another patient's, and nobody has agreed.",
            STOP,
            "Ask for name and date of birth, read the band, explain, get consent.",
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


def _measured(state: Mapping[str, object]) -> Step:
    sized, row = sizing(state), patient().veins[state["vein"]]
    choice = f"{state['vein']} by {MEASURED_BY[state['measured_by']]}"
    name = "Vein and size"
    if state["measured_by"] != "ultrasound":
        safer = "Ultrasound, tourniquet off."
        why = sized.reason.partition(" Measure")[0]
        return Step(name, choice, f"{state['vein']}: {why[:1].lower()}{why[1:]}", MEND, safer)
    found = (
        f"{state['vein']}: {measure(row.diameter_mm, 'mm', 1)} wide, near wall "
        f"{measure(row.depth_mm, 'mm', 1)} deep, straight for {measure(row.straight_mm, 'mm', 0)}"
    )
    if sized.verdict != FITS:
        takes = f"{found}; {sized.gauge} gauge would take {percent(sized.ratio, 1)} of it."
        return Step(name, choice, takes, MEND, "Another vein.")
    return Step(name, choice, f"{found}; thinnest for the flow: {sized.gauge} gauge.", GOOD)


# Insertion -------------------------------------------------------------------------------------


def attempt_shares(share: float) -> list[float]:
    """The chance of each attempt among those that come to it.

    The first is the invented ward's own count, whatever the catheter; each later one falls as the
    second did in a study of children. None where nothing would lie in a vein.
    """
    if share <= 0:
        return [0.0] * ATTEMPTS_SHOWN
    first = tables.constant("first-attempt-ward").value
    falls = (
        tables.constant("second-attempt-success-children").value
        / tables.constant("first-attempt-success-children").value
    )
    return [first * falls**number for number in range(ATTEMPTS_SHOWN)]


@cache
def share_wanted() -> float:
    """The share in the vein from which none failed in one study."""
    return max(row.low for row in evidence.survival() if row.measure == "fraction")


def insertion_numbers(state: Mapping[str, object]) -> dict[str, object]:
    """The numbers of an insertion, by name."""
    gauge, length = catheter(state["catheter"])
    row, vein = calc.gauge(gauge), patient().veins[state["vein"]]
    way = {
        "near_wall_depth_mm": vein.depth_mm,
        "insertion_angle_deg": state["insertion_angle_deg"],
    }
    ratio = calc.catheter_to_vein_ratio(row.outer_upper_mm, vein_diameter_mm=vein.diameter_mm)
    share = calc.fraction_in_vein(length, **way)
    shares = attempt_shares(0 if vein.pulsates else share)
    limit = tables.profile().attempt_limit
    flow = row.nominal_flow_ml_per_min
    lowered = min(tables.constant("lowered-angle").value, state["insertion_angle_deg"])
    reach = calc.reach_along_needle(vein_diameter_mm=vein.diameter_mm, **way)
    return {
        **state,
        "gauge": gauge,
        "length_mm": length,
        "ratio": ratio,
        "share": share,
        "in_vein_mm": calc.length_in_vein_mm(length, **way),
        "straight_mm": vein.straight_mm,
        "near_wall_mm": calc.track_length_mm(
            vein.depth_mm, insertion_angle_deg=state["insertion_angle_deg"]
        ),
        "room_mm": calc.track_length_mm(
            vein.diameter_mm, insertion_angle_deg=state["insertion_angle_deg"]
        ),
        "lowered_deg": lowered,
        "lowered_room_mm": calc.track_length_mm(vein.diameter_mm, insertion_angle_deg=lowered),
        "sure_room_mm": reach.sure_room_mm,
        "needle_lead_mm": tables.constant("needle-lead").value,
        "failed_share": calc.survival_band(share, measure="fraction").failed_share,
        "flow_ml_per_min": flow,
        "order_time_min": MINUTES_PER_HOUR
        * calc.infusion_time_h(patient().order_ml, rate_ml_per_h=flow * MINUTES_PER_HOUR),
        "chance_here": shares[state["attempt"] - 1],
        "chances": [calc.success_within_attempts(shares[:k]) for k in range(1, len(shares) + 1)],
        "chance_allowed": calc.success_within_attempts(shares[:limit]),
        "is_reckoned": ratio <= tables.profile().ratio_limit,
        "limit": limit,
    }


def insertion_steps(state: Mapping[str, object]) -> tuple[Step, ...]:
    """The steps of the insertion."""
    n = insertion_numbers(state)
    return (_vessel(n), _size(n), _lies(n), _when_blood(n), _attempts(n))


def _vessel(n: Mapping[str, object]) -> Step:
    key = n["vein"]
    if patient().veins[key].pulsates:
        leads = f"{key} pulsates when it is felt: bright blood, and harm to the hand."
        return Step("Vein", key, leads, STOP, "Feel first; choose another.")
    return Step("Vein", key, "It does not pulsate.", GOOD)


def _size(n: Mapping[str, object]) -> Step:
    limit = tables.profile().ratio_limit
    leads = (
        f"Takes {percent(n['ratio'], 1)} of the vein (local limit {percent(limit)}); nominal "
        f"{measure(n['flow_ml_per_min'], 'mL/min', 0)}, so the order runs in "
        f"{measure(n['order_time_min'], 'min', 1)} at the soonest."
    )
    name, choice = "Size", CatheterChoice("24-19").options()[n["catheter"]]
    if n["ratio"] > limit:
        return Step(name, choice, leads, MEND, "A thinner catheter or a wider vein.")
    return Step(name, choice, leads, GOOD)


def _lies(n: Mapping[str, object]) -> Step:
    inside = measure(n["in_vein_mm"], "mm", 1)
    failed = {0: "none failed", 1: "all failed"}.get(
        n["failed_share"], f"{percent(n['failed_share'])} failed"
    )
    leads = (
        f"{inside} in the vein, {percent(n['share'], 1)}: in one small study {failed}. "
        f"Far wall {measure(n['room_mm'], 'mm', 1)} behind the near one."
    )
    name, choice = "Length and angle", measure(n["insertion_angle_deg"], "degrees", 0)
    if n["in_vein_mm"] > n["straight_mm"]:
        safer = f"Only {measure(n['straight_mm'], 'mm', 0)} are straight: a shorter catheter."
        return Step(name, choice, leads, MEND, safer)
    if n["share"] < share_wanted():
        safer = f"Longer, steeper or a shallower vein, for {percent(share_wanted())}."
        return Step(name, choice, leads, MEND, safer)
    return Step(name, choice, leads, GOOD)


def _when_blood(n: Mapping[str, object]) -> Step:
    key = n["after_blood"]
    room = measure(n["lowered_room_mm"], "mm", 1)
    lead = measure(n["needle_lead_mm"], "mm", 0)
    leads, verdict, safer = {
        "lower": (f"Lowered, there are {room} of room; the needle harms nobody.", GOOD, ""),
        "slide": (
            f"The catheter's end is {lead} behind: it meets the wall and crumples. Take it out; "
            "that was an attempt.",
            MEND,
            "The next time lower, go on a little, then slide.",
        ),
        "straight": (
            f"The far wall is {measure(n['room_mm'], 'mm', 1)} away, {n['length_mm']:g} mm are "
            "pushed: through it. On a blood thinner it bleeds longer.",
            STOP,
            "Lower first.",
        ),
        "bed": (f"Lowered, {room} of room; the next hand finds the needle.", STOP, "Sharps box."),
    }[key]
    return Step("When blood shows", AFTER_BLOOD[key], leads, verdict, safer)


def _attempts(n: Mapping[str, object]) -> Step:
    limit, number = n["limit"], n["attempt"]
    leads = (
        f"This attempt {percent(n['chance_here'])}, within the {limit} allowed "
        f"{percent(n['chance_allowed'])}."
    )
    if patient().veins[n["vein"]].pulsates:
        leads = "No attempt on an artery ends in a vein."
    elif not n["is_reckoned"]:
        leads = NOT_RECKONED
    name, choice = "Attempt", f"number {number}"
    if number > limit:
        here = f" This attempt: {percent(n['chance_here'])}." if n["is_reckoned"] else ""
        leads = f"Local policy allows {limit}.{here}"
        return Step(name, choice, leads, STOP, ESCALATE)
    if number == limit:
        return Step(name, choice, leads, GOOD, f"If it fails: {ESCALATE[:1].lower()}{ESCALATE[1:]}")
    safer = "If it fails: another place, better seen and felt; if there is none, hand on now."
    return Step(name, choice, leads, GOOD, safer)
