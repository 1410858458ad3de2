"""Items on what runs in: fluid to add to a drug, the dose that went in, time for looking."""

from cubital import calc
from cubital.calc.shared.units import MINUTES_PER_HOUR
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw

INSERTION = "Insertion"
FOLLOW_UP = "Follow-up"

_WHOLE = 0.5  # half of the last digit where whole numbers are asked for


# ------------------------------------------------------------------- fluid to add to a drug


def _draw_added(draw: Draw) -> dict:
    strong, step = draw.choose(((50, 250), (100, 500)))
    dose = draw.step(500, 2000, step)
    return {
        "vial_ml": dose / strong,
        "dose_mg": dose,
        "greatest_mg_per_ml": draw.choose([s for s in (4, 5, 8, 10) if dose % s == 0]),
    }


def _least_ml(v: Values) -> float:
    """The least volume that keeps the strength to what is allowed."""
    return v["dose_mg"] / v["greatest_mg_per_ml"]


ADDED_FLUID = NumberItem(
    id="patient-added-fluid",
    version=2,
    title="How much fluid to add",
    points=2,
    section=INSERTION,
    draw_values=_draw_added,
    ask=lambda v: (
        f"{v['dose_mg']:,.0f} mg of an antibiotic are dissolved in {v['vial_ml']:.0f} mL. Its "
        f"label allows at most {v['greatest_mg_per_ml']:.0f} mg/mL by a vein of the arm; the "
        f"{v['vial_ml']:.0f} mL count as part of the whole. How much fluid, at the least, must be "
        "added to them? Give whole millilitres."
    ),
    unit="mL",
    quantity="answered_added_ml",
    example="85 mL",
    answer=lambda v: _least_ml(v) - v["vial_ml"],
    absolute_tolerance=1,
    slips=(
        Slip(
            "whole-for-added",
            "the whole volume is given: take off what the drug is dissolved in already",
            _least_ml,
        ),
        Slip(
            "as-much-again",
            "as much again is added, whatever the strength: work out the volume from the dose "
            "and the label's limit",
            lambda v: v["vial_ml"],
        ),
    ),
    route=lambda v: (
        f"{v['dose_mg']:,.0f} mg / {v['greatest_mg_per_ml']:.0f} mg/mL = {_least_ml(v):.0f} mL in "
        f"all, less {v['vial_ml']:.0f} mL = {_least_ml(v) - v['vial_ml']:.0f} mL"
    ),
)


# ------------------------------------------------------------- dose that went in at the least


def _draw_least(draw: Draw) -> dict:
    whole_min = draw.choose((30, 45, 60))
    last_look_min = draw.step(10, whole_min - 15, 5)
    return {
        "dose_mg": draw.choose((500, 600, 750, 900, 1000, 1200, 1500)),
        "bag_ml": draw.choose((50, 100, 150)),
        "whole_min": whole_min,
        "last_look_min": last_look_min,
        "stopped_min": last_look_min + draw.choose((6, 8, 10, 12)),
    }


def _run_mg(v: Values, minutes: float) -> float:
    """What has run in so many minutes, by the volume and the drug in it."""
    rate = calc.infusion_rate_ml_per_h(v["bag_ml"], time_h=v["whole_min"] / MINUTES_PER_HOUR)
    return rate * minutes / MINUTES_PER_HOUR * v["dose_mg"] / v["bag_ml"]


LEAST_DOSE = NumberItem(
    id="patient-least-dose",
    version=2,
    title="How much of the dose went in at the least",
    points=2,
    section=FOLLOW_UP,
    draw_values=_draw_least,
    ask=lambda v: (
        f"{v['dose_mg']:,.0f} mg of an antibiotic in {v['bag_ml']:.0f} mL run evenly over "
        f"{v['whole_min']:.0f} minutes. At minute {v['last_look_min']:.0f} you looked and "
        f"felt, and all was well. At minute {v['stopped_min']:.0f} it is swollen, and you "
        "stop. The prescriber asks how much of the drug the patient has had. Suppose that "
        "you saw rightly at that last look. How much is it at the least? Give whole "
        "milligrams."
    ),
    unit="mg",
    quantity="answered_least_dose_mg",
    example="65 mg",
    answer=lambda v: _run_mg(v, v["last_look_min"]),
    absolute_tolerance=1,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "all-that-ran",
            "all that has run is counted: stop at the last good look, since the rest may lie "
            "in the tissue",
            lambda v: _run_mg(v, v["stopped_min"]),
        ),
        Slip(
            "half-way-leak",
            "the leak is said to have begun half-way: count only up to the last good look",
            lambda v: _run_mg(v, (v["last_look_min"] + v["stopped_min"]) / 2),
        ),
        Slip(
            "doubtful-for-least",
            "what ran since the last look is given, which is doubtful: give what ran before it",
            lambda v: _run_mg(v, v["stopped_min"] - v["last_look_min"]),
        ),
        Slip(
            "millilitres-for-milligrams",
            "the volume is given: convert it to the drug in it",
            lambda v: _run_mg(v, v["last_look_min"]) * v["bag_ml"] / v["dose_mg"],
        ),
    ),
    route=lambda v: (
        f"what ran by the last good look, {v['last_look_min']:.0f} of "
        f"{v['whole_min']:.0f} minutes: {v['last_look_min']:.0f} / {v['whole_min']:.0f} × "
        f"{v['dose_mg']:,.0f} mg = {_run_mg(v, v['last_look_min']):,.0f} mg"
    ),
)


# ------------------------------------------------------------------------- time for looking


def _draw_looking(draw: Draw) -> dict:
    return {
        "shift_h": draw.choose((8, 12)),
        "quiet": draw.step(4, 8, 1),
        "quiet_every_h": draw.choose((2, 4)),
        "watched": draw.step(1, 2, 1),
        "watched_every_min": draw.choose((15, 20, 30)),
        "look_min": draw.choose((1.5, 2, 2.5, 3)),
    }


def _quiet_min(v: Values) -> float:
    return v["look_min"] * v["quiet"] * v["shift_h"] / v["quiet_every_h"]


def _watched_min(v: Values) -> float:
    every_h = v["watched_every_min"] / MINUTES_PER_HOUR
    return v["look_min"] * v["watched"] * v["shift_h"] / every_h


def _looking_min(v: Values) -> float:
    return _quiet_min(v) + _watched_min(v)


def _patients(count: float) -> str:
    return f"{count:.0f} patient{'' if count == 1 else 's'}"


LOOKING_TIME = NumberItem(
    id="patient-looking-time",
    version=2,
    title="Time for looking",
    points=2,
    section=FOLLOW_UP,
    draw_values=_draw_looking,
    ask=lambda v: (
        f"You plan a shift of {v['shift_h']:.0f} hours. The policy of a ward asks for a look "
        f"at each catheter every {v['quiet_every_h']:.0f} hours, and every "
        f"{v['watched_every_min']:.0f} minutes where a vesicant runs. {_patients(v['quiet'])} "
        f"have a catheter without a vesicant, and in {_patients(v['watched'])} a vesicant "
        "runs all the time. Do not count the look as you take over, but count the one at the "
        f"end of the shift. A look takes {v['look_min']:g} minutes. How many minutes of the "
        "shift do you spend on looking?"
    ),
    unit="min",
    quantity="answered_looking_min",
    example="25 min",
    answer=_looking_min,
    absolute_tolerance=_WHOLE,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "watched-left-out",
            "only the looks every few hours are counted: add those at the vesicants, which "
            "take most of the time",
            _quiet_min,
        ),
        Slip(
            "quiet-left-out",
            "only the looks at the vesicants are counted: add those at all other catheters",
            _watched_min,
        ),
        Slip(
            "all-at-the-longer",
            "all catheters are looked at equally seldom: count the vesicants at their own, "
            "shorter interval",
            lambda v: _quiet_min(v) * (v["quiet"] + v["watched"]) / v["quiet"],
        ),
    ),
    route=lambda v: (
        f"{v['quiet']:.0f} × {v['shift_h'] / v['quiet_every_h']:.0f} and {v['watched']:.0f} × "
        f"{MINUTES_PER_HOUR * v['shift_h'] / v['watched_every_min']:.0f} looks, "
        f"{v['look_min']:g} min each: {_quiet_min(v):g} + {_watched_min(v):g} = "
        f"{_looking_min(v):g} min"
    ),
)
