"""Items on wiping the device, skin that cannot warn, and a check that can miss a fault."""

from math import ceil, floor

from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import ordered, with_wrong
from cubital.items.writing.wording import per_cent

CHECK = "Before use: a check that can say no"
CLEAN = "Between patients: clean device, safe skin"

_S_PER_MIN = 60
_TIMES_A_PATIENT = 2  # before and after, as the local profile says


# ------------------------------------------------------------------------- wipes for a shift


def _draw_wipes(draw: Draw) -> dict:
    return {
        "patients": draw.step(8, 18, 1),
        "wet_min": draw.step(2, 4, 1),
        "dry_after_s": draw.step(40, 85, 5),
    }


def _each_time(v: Values, *, seconds: float = _S_PER_MIN) -> float:
    """How many wipes' wet films fill the contact time."""
    return v["wet_min"] * seconds / v["dry_after_s"]


def _wipes(v: Values, each_time: int, times: int = _TIMES_A_PATIENT) -> float:
    return float(v["patients"] * times * each_time)


WIPES = NumberItem(
    id="ready-wipes",
    version=2,
    title="Wipes for a shift",
    points=2,
    section=CLEAN,
    draw_values=_draw_wipes,
    ask=lambda v: (
        "On your ward you clean the device before and after each patient. Cleaning it after "
        "one patient does not replace cleaning it before the next. The label of the wipes "
        f"says that the surface must stay wet for {v['wet_min']:.0f} minutes. In your rooms "
        f"the surface is dry {v['dry_after_s']:.0f} seconds after a wipe. Each time it is "
        "dry, you take a new wipe at once, until the surface has been wet for the whole "
        f"time. How many wipes do you need for a shift with {v['patients']:.0f} patients?"
    ),
    unit="wipes",
    quantity="answered_wipes",
    example="24 wipes",
    answer=lambda v: _wipes(v, ceil(_each_time(v))),
    absolute_tolerance=0.4,  # a count
    slips=(
        Slip(
            "rounded-down",
            "the number of wipes for one cleaning is rounded down: round up, so that the "
            "surface stays wet to the end",
            lambda v: _wipes(v, floor(_each_time(v))),
        ),
        Slip(
            "only-after-the-patient",
            (
                "one cleaning for each patient is counted: clean before and after, as the ward's "
                "rule says"
            ),
            lambda v: _wipes(v, ceil(_each_time(v)), times=1),
        ),
        Slip(
            "dry-for-done",
            (
                "one wipe is taken to be enough for one cleaning: wipe again when the surface "
                "dries before the time is over"
            ),
            lambda v: _wipes(v, 1),
        ),
    ),
    route=lambda v: (
        f"{v['wet_min']:.0f} min = {_S_PER_MIN * v['wet_min']:.0f} s; "
        f"{_S_PER_MIN * v['wet_min']:.0f} ÷ {v['dry_after_s']:.0f} = {_each_time(v):.1f}, so "
        f"{ceil(_each_time(v))} wipes each time; {v['patients']:.0f} × {_TIMES_A_PATIENT} × "
        f"{ceil(_each_time(v))} = {_wipes(v, ceil(_each_time(v))):.0f} wipes"
    ),
)


# ------------------------------------------------------------------------ skin that cannot feel

_CANNOT_FEEL = (
    "has had a stroke and feels nothing in the arm",
    "has a nerve block in the arm",
    "is sedated and cannot answer",
    "has no feeling in the hands, from diabetes",
)


def _draw_numb_skin(draw: Draw) -> dict:
    wrong = (
        "asks-only",
        "no-limit-no-harm",
        "cloth-under-it",
        "looks-afterwards",
        "eye-limit-for-skin",
        "tried-on-a-glove",
    )
    return {
        "why": draw.choose(_CANNOT_FEEL),
        "minutes": draw.step(4, 12, 1),
        "order": with_wrong(draw, "held-off-and-watched", wrong),
    }


def _numb_skin_options(v: Values) -> list[Option]:
    minutes = f"{v['minutes']:.0f} minutes"
    return ordered(
        v,
        (
            "held-off-and-watched",
            "Hold it off the skin, look at the skin often, and switch it off when nobody looks at "
            "the picture.",
        ),
        {
            "asks-only": (
                "Let it rest on the skin, ask now and then whether it feels warm, and take it "
                "off if it does.",
                "waits for a warning that this patient cannot give",
            ),
            "no-limit-no-harm": (
                "Let it rest on the skin: beyond a few seconds there is no limit for skin, so "
                f"{minutes} cannot be too long.",
                "takes a limit that is missing for safety: there is none because people draw back "
                "from heat, and this patient does not",
            ),
            "cloth-under-it": (
                "Lay a folded cloth under its edge, so that it rests softly and does not have to "
                "be held.",
                "lays a cloth under it, which holds the warmth in and hides the skin",
            ),
            "looks-afterwards": (
                f"Let it rest on the skin for the {minutes}, and look at the skin well when you "
                "have finished.",
                (
                    "looks only when it is over: where the patient feels nothing, your eyes have "
                    "to warn in time"
                ),
            ),
            "eye-limit-for-skin": (
                "Let it rest on the skin if, by its instructions, the light is well below the "
                "limit for eyes.",
                "takes the limit for eyes for one of warmth on skin: a device that rests on it "
                "gives warmth of its own as well",
            ),
            "tried-on-a-glove": (
                "Touch its window with your gloved hand first: if that does not feel warm, let it "
                "rest on the skin.",
                (
                    "tests for a moment, through a glove, a device that will rest on bare skin "
                    "for minutes"
                ),
            ),
        },
    )


NUMB_SKIN = ChoiceItem(
    id="ready-numb-skin",
    version=2,
    title="Skin that cannot warn",
    points=2,
    section=CLEAN,
    draw_values=_draw_numb_skin,
    ask=lambda v: (
        f"A patient {v['why']}. The skin is unbroken. You look for a vein with the device for "
        f"about {v['minutes']:.0f} minutes, and it would be steadier resting on the skin. What do "
        "you do?"
    ),
    options=_numb_skin_options,
)


# -------------------------------------------------------------------- a fault that comes and goes


def _draw_missed(draw: Draw) -> dict:
    return {"shows_share": draw.step(0.06, 0.12, 0.01), "checks": draw.step(5, 7, 1)}


def _missed(v: Values) -> float:
    return (1 - v["shows_share"]) ** v["checks"]


MISSED_FAULT = NumberItem(
    id="ready-missed-fault",
    version=2,
    title="A fault that comes and goes",
    points=2,
    section=CHECK,
    draw_values=_draw_missed,
    ask=lambda v: (
        "A loose part now and then lets the whole picture slip. Whenever the device is switched "
        f"on, the chance that the fault shows is {per_cent(v['shows_share'])}. The marks are "
        f"checked once a day, each time with the device just switched on. What is the chance that "
        f"all checks of {v['checks']:.0f} days pass, although the fault is there? Whole per cent "
        "will do."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="35 %",
    answer=_missed,
    absolute_tolerance=0.008,  # whole per cent
    slips=(
        Slip(
            "found-for-missed",
            "the chance that some check finds it is given: give the chance that all miss it",
            lambda v: 1 - _missed(v),
        ),
        Slip(
            "one-check-for-all",
            "the chance that one check misses it is given: multiply once for each check",
            lambda v: 1 - v["shows_share"],
        ),
        Slip(
            "chances-added",
            "the chances of the checks are added up: multiply the chances to miss it",
            lambda v: 1 - v["checks"] * v["shows_share"],
        ),
        Slip(
            "shows-every-time",
            "the chance that it shows is multiplied by itself: use the chance that a check "
            "misses it",
            lambda v: v["shows_share"] ** v["checks"],
        ),
    ),
    route=lambda v: (
        f"one check misses it with 100 % − {per_cent(v['shows_share'])} = "
        f"{per_cent(1 - v['shows_share'])}; {1 - v['shows_share']:.2f} multiplied by itself, "
        f"{v['checks']:.0f} times over, is {per_cent(_missed(v))}"
    ),
)
