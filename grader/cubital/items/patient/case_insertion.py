"""The lesson's patient: how the catheter lies, the chance of each attempt, how it is judged."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent
from cubital.calc.shared.units import MINUTES_PER_HOUR
from cubital.items.patient.case import GOOD, MEND, STOP, PhaseChoices, Step
from cubital.tables import reaching as evidence
from cubital.tables.patient import patient

AFTER_BLOOD = {
    "lower": "lower, on a little, slide; needle to the sharps box",
    "slide": "slide the catheter off at once",
    "straight": "push straight on to the hub",
    "bed": "lower, on a little, slide; needle left on the bed",
}
CATHETERS = ((24, 19), (22, 25), (20, 32), (20, 48), (18, 32))
"""Gauge and length of the catheters on the trolley."""
ATTEMPTS_SHOWN = 4

ESCALATE = (
    "Stop here and hand on, as local policy says: a colleague with ultrasound, then a midline or a "
    "central line; in an emergency, bone."
)

IN_AN_ARTERY = {
    "lower": "The blood is an artery's, bright and in beats, and the catheter goes on into it.",
    "slide": "The blood is an artery's, bright and in beats, and the catheter slides into it.",
    "straight": "Through its far wall: it bleeds on both sides, and a blood thinner lets it go on.",
    "bed": "An artery bleeds, and the next hand finds the needle.",
}
"""What each way to go on leads to where the vessel pulsates."""
NOT_HERE = "It is an artery: choose a vein first."

NOT_RECKONED = (
    "The chance is not reckoned: the ward's count is of catheters within the local limit."
)


@dataclass(frozen=True, kw_only=True)
class InsertionChoices(PhaseChoices):
    """The choices of the insertion: vein, catheter, angle [degrees], and what is done."""

    vein: str
    catheter: str
    insertion_angle_deg: float
    after_blood: str
    attempt: int


@dataclass(frozen=True, kw_only=True)
class InsertionNumbers(InsertionChoices):
    """How the catheter lies in the vein, what it lets through, and the chance of each attempt."""

    gauge: int
    length_mm: float
    """Of the catheter."""
    ratio: float
    """Outer diameter of the catheter over the vein's diameter."""
    share: float
    """Of the catheter's length, in the vein."""
    in_vein_mm: float
    straight_mm: float
    """Length for which the vein is straight."""
    near_wall_mm: float
    """From the skin to the near wall, along the needle."""
    room_mm: float
    """Between the walls, along the needle."""
    lowered_deg: float
    lowered_room_mm: float
    """Between the walls, along the lowered needle."""
    sure_room_mm: float
    """Room that is left with the uncertainty of depth, diameter and angle."""
    needle_lead_mm: float
    """How far the needle's tip is ahead of the catheter's end."""
    failed_share: float
    """Share of catheters that failed in the study's band."""
    flow_ml_per_min: float
    order_time_min: float
    """How long the order takes at the catheter's nominal flow."""
    chance_here: float
    """Of this attempt, among those that come to it."""
    chances: list[float]
    """Of success within the first attempt, the first two, and so on."""
    chance_allowed: float
    """Of success within the attempts that local policy allows."""
    is_reckoned: bool
    """Whether the chances apply: the catheter is within the local limit."""
    limit: int
    """Attempts that local policy allows."""


def catheter(key: str) -> tuple[int, float]:
    """Return gauge and length [mm] of a catheter on the trolley."""
    gauge, length = key.split("-")
    return calc.gauge(int(gauge)).gauge, float(length)


def catheter_words() -> dict[str, str]:
    """Return the catheters on the trolley in words, by their keys."""
    return {f"{g}-{long}": f"{g} gauge, {long} mm long" for g, long in CATHETERS}


def attempt_shares(share: float) -> list[float]:
    """Return the chance of each attempt among those that come to it.

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
    """Return the share in the vein from which none failed in one study."""
    return max(row.low for row in evidence.survival() if row.measure == "fraction")


def insertion_numbers(choices: InsertionChoices) -> InsertionNumbers:
    """Compute how the catheter lies, and the chance of each attempt."""
    gauge, length = catheter(choices.catheter)
    row, vein = calc.gauge(gauge), patient().veins[choices.vein]
    approach = {
        "near_wall_depth_mm": vein.depth_mm,
        "insertion_angle_deg": choices.insertion_angle_deg,
    }
    ratio = calc.catheter_to_vein_ratio(row.outer_upper_mm, vein_diameter_mm=vein.diameter_mm)
    share = calc.fraction_in_vein(length, **approach)
    shares = attempt_shares(0 if vein.pulsates else share)
    limit = tables.profile().attempt_limit
    flow = row.nominal_flow_ml_per_min
    lowered = min(tables.constant("lowered-angle").value, choices.insertion_angle_deg)
    reach = calc.reach_along_needle(vein_diameter_mm=vein.diameter_mm, **approach)
    return InsertionNumbers(
        **vars(choices),
        gauge=gauge,
        length_mm=length,
        ratio=ratio,
        share=share,
        in_vein_mm=calc.length_in_vein_mm(length, **approach),
        straight_mm=vein.straight_mm,
        near_wall_mm=calc.track_length_mm(
            vein.depth_mm, insertion_angle_deg=choices.insertion_angle_deg
        ),
        room_mm=calc.track_length_mm(
            vein.diameter_mm, insertion_angle_deg=choices.insertion_angle_deg
        ),
        lowered_deg=lowered,
        lowered_room_mm=calc.track_length_mm(vein.diameter_mm, insertion_angle_deg=lowered),
        sure_room_mm=reach.sure_room_mm,
        needle_lead_mm=tables.constant("needle-lead").value,
        failed_share=calc.survival_band(share, measure="fraction").failed_share,
        flow_ml_per_min=flow,
        order_time_min=MINUTES_PER_HOUR
        * calc.infusion_time_h(patient().order_ml, rate_ml_per_h=flow * MINUTES_PER_HOUR),
        chance_here=shares[choices.attempt - 1],
        chances=[calc.success_within_attempts(shares[:k]) for k in range(1, len(shares) + 1)],
        chance_allowed=calc.success_within_attempts(shares[:limit]),
        is_reckoned=ratio <= tables.profile().ratio_limit,
        limit=limit,
    )


def insertion_steps(n: InsertionNumbers) -> tuple[Step, ...]:
    """Judge the choices of the insertion, one by one."""
    return (_vessel(n), _size(n), _lies(n), _when_blood(n), _attempts(n))


def _vessel(n: InsertionNumbers) -> Step:
    key = n.vein
    if patient().veins[key].pulsates:
        leads = f"{key} pulsates when it is felt: bright blood, and harm to the hand."
        return Step("Vein", key, leads, STOP, "Feel first; choose another.")
    return Step("Vein", key, "It does not pulsate.", GOOD)


def _size(n: InsertionNumbers) -> Step:
    limit = tables.profile().ratio_limit
    leads = (
        f"Takes {percent(n.ratio, 1)} of the vein (local limit {percent(limit)}); nominal "
        f"{measure(n.flow_ml_per_min, 'mL/min', 0)}, enough for the order, which is to run over "
        f"{measure(patient().order_min, 'min', 0)}: set that rate."
    )
    name, choice = "Size", catheter_words()[n.catheter]
    if patient().veins[n.vein].pulsates:
        return Step(name, choice, f"Takes {percent(n.ratio, 1)} of the vessel.", MEND, NOT_HERE)
    if n.ratio > limit:
        return Step(name, choice, leads, MEND, "A thinner catheter or a wider vein.")
    return Step(name, choice, leads, GOOD)


def _lies(n: InsertionNumbers) -> Step:
    inside = measure(n.in_vein_mm, "mm", 1)
    extremes: dict[float, str] = {0: "none failed", 1: "all failed"}
    failed = extremes.get(n.failed_share, f"{percent(n.failed_share)} failed")
    leads = (
        f"{inside} in the vein, {percent(n.share, 1)}: in one small study {failed}. "
        f"Far wall {measure(n.room_mm, 'mm', 1)} behind the near one."
    )
    name, choice = "Length and angle", measure(n.insertion_angle_deg, "degrees", 0)
    if patient().veins[n.vein].pulsates:
        leads = f"{inside} would lie in the artery."
        return Step(name, choice, leads, MEND, NOT_HERE)
    if n.in_vein_mm > n.straight_mm:
        safer = f"Only {measure(n.straight_mm, 'mm', 0)} are straight: a shorter catheter."
        return Step(name, choice, leads, MEND, safer)
    if n.share < share_wanted():
        safer = f"Longer, steeper or a shallower vein, for {percent(share_wanted())}."
        return Step(name, choice, leads, MEND, safer)
    return Step(name, choice, leads, GOOD)


def _when_blood(n: InsertionNumbers) -> Step:
    key = n.after_blood
    if patient().veins[n.vein].pulsates:
        safer = " ".join(calc.first_actions("arterial_puncture").steps)
        return Step("When blood shows", AFTER_BLOOD[key], IN_AN_ARTERY[key], STOP, safer)
    room = measure(n.lowered_room_mm, "mm", 1)
    lead = measure(n.needle_lead_mm, "mm", 0)
    leads, verdict, safer = {
        "lower": (f"Lowered, there are {room} of room; the needle harms nobody.", GOOD, ""),
        "slide": (
            f"The catheter's end is {lead} behind: it meets the wall and crumples. Take it out; "
            "that was an attempt.",
            MEND,
            "The next time lower, go on a little, then slide.",
        ),
        "straight": (
            f"The far wall is {measure(n.room_mm, 'mm', 1)} away, {n.length_mm:g} mm are "
            "pushed: through it. On a blood thinner it bleeds longer.",
            STOP,
            "Lower first.",
        ),
        "bed": (f"Lowered, {room} of room; the next hand finds the needle.", STOP, "Sharps box."),
    }[key]
    return Step("When blood shows", AFTER_BLOOD[key], leads, verdict, safer)


def _attempts(n: InsertionNumbers) -> Step:
    limit, number = n.limit, n.attempt
    leads = (
        f"This attempt {percent(n.chance_here)}, within the {limit} allowed "
        f"{percent(n.chance_allowed)}."
    )
    name, choice = "Attempt", f"number {number}"
    if patient().veins[n.vein].pulsates:
        leads = f"Attempt {number} of {limit} allowed: none on an artery ends in a vein."
        return Step(name, choice, leads, STOP, "Another vessel, after pressing; or hand on.")
    if not n.is_reckoned:
        leads = NOT_RECKONED
    if number > limit:
        here = f" This attempt: {percent(n.chance_here)}." if n.is_reckoned else ""
        leads = f"Local policy allows {limit}.{here}"
        return Step(name, choice, leads, STOP, ESCALATE)
    if number == limit:
        return Step(name, choice, leads, GOOD, f"If it fails: {ESCALATE[:1].lower()}{ESCALATE[1:]}")
    safer = "If it fails: another place, better seen and felt; if there is none, hand on now."
    return Step(name, choice, leads, GOOD, safer)
