"""Items that join attempts, chances, time and the device, and what is handed over."""

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.kinds.text import TextItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent, sentence_case, with_article

INSERTION = "Insertion"
FOLLOW_UP = "Follow-up"

_MINUTES = 60  # in an hour

# --------------------------------------------------------------- one more, or call the colleague


def _draw_until_in(draw: Draw) -> dict:
    return {
        "attempt_min": draw.step(4, 9, 1),
        "success_share": draw.choose((0.35, 0.4, 0.45, 0.55, 0.6, 0.65)),
        "comes_min": draw.step(10, 30, 1),
        "needs_min": draw.step(5, 12, 1),
    }


def _fails(v: Values) -> float:
    return 1 - calc.success_within_attempts([v["success_share"]])


def _colleague_min(v: Values) -> float:
    return v["comes_min"] + v["needs_min"]


def _until_in(v: Values) -> float:
    return v["attempt_min"] + _fails(v) * _colleague_min(v)


UNTIL_IN = NumberItem(
    id="whole-until-in",
    version=2,
    title="Optional: one more attempt, or call at once",
    optional=True,
    points=2,
    section=INSERTION,
    draw_values=_draw_until_in,
    ask=lambda v: (
        "Your first attempt has failed. Suppose that policy allows you one more. It takes "
        f"{v['attempt_min']:.0f} minutes, and on your ward {per_cent(v['success_share'])} of "
        "such attempts succeed. If it fails, you call the colleague with ultrasound there "
        f"and then. The colleague comes {v['comes_min']:.0f} minutes after that call and "
        f"takes {v['needs_min']:.0f} minutes. Suppose that the colleague succeeds. How many "
        "minutes from now is the catheter in, on average? Give one decimal."
    ),
    unit="min",
    quantity="answered_until_in_min",
    example="41.5 min",
    answer=_until_in,
    absolute_tolerance=0.11,
    slips=(
        Slip(
            "failed-for-succeeded",
            (
                "the colleague's time is counted for the attempts that succeed: count it for "
                "those that fail"
            ),
            lambda v: v["attempt_min"] + (1 - _fails(v)) * _colleague_min(v),
        ),
        Slip(
            "colleague-every-time",
            "the colleague's time is counted every time: count it only when the attempt fails",
            lambda v: v["attempt_min"] + _colleague_min(v),
        ),
        Slip(
            "own-time-only-if-it-fails",
            "your own attempt is counted only when it fails: always count its time",
            lambda v: _fails(v) * (v["attempt_min"] + _colleague_min(v)),
        ),
        Slip(
            "waiting-only",
            "only the time until the colleague comes is counted: add the insertion itself",
            lambda v: v["attempt_min"] + _fails(v) * v["comes_min"],
        ),
    ),
    route=lambda v: (
        f"{v['comes_min']:.0f} + {v['needs_min']:.0f} = {_colleague_min(v):.0f} min from the call, "
        f"for the {per_cent(_fails(v))} that fail: {v['attempt_min']:.0f} + "
        f"{_fails(v):.2f} × {_colleague_min(v):.0f} = {_until_in(v):.1f} min; called at once, "
        f"{_colleague_min(v):.0f} min"
    ),
)


# ------------------------------------------------------------- how many patients a charge serves


def _draw_per_charge(draw: Draw) -> dict:
    return {
        "run_time_h": draw.policy["run_time_h"],
        "on_min": draw.step(5, 12, 1),
        "success_share": draw.choose((0.55, 0.6, 0.65, 0.7, 0.75, 0.8)),
    }


def _patients(v: Values, attempts: float) -> float:
    """The patients that a charge serves, on average, at a mean number of attempts each."""
    return v["run_time_h"] * _MINUTES / (v["on_min"] * attempts)


def _mean_attempts(v: Values) -> float:
    """One each, and a second for those whose first failed."""
    return 1 + _fails(v)


PER_CHARGE = NumberItem(
    id="whole-per-charge",
    version=2,
    title="Optional: how many patients one charge serves",
    optional=True,
    points=2,
    section=INSERTION,
    draw_values=_draw_per_charge,
    ask=lambda v: (
        f"Suppose a ward where one person makes at most two attempts at a patient and then hands "
        f"on to ultrasound. {per_cent(v['success_share'])} of first attempts succeed; all others "
        f"get a second one. The near-infrared device is on for {v['on_min']:.0f} minutes at each "
        f"attempt, and off in between. Fully charged, it runs for {v['run_time_h']:.1f} h. How "
        "many patients does one charge serve, on average? Type the number alone, with one decimal."
    ),
    unit="",
    quantity="answered_patients_per_charge",
    example="40.5",
    answer=lambda v: _patients(v, _mean_attempts(v)),
    absolute_tolerance=0.06,
    relative_tolerance=0.003,
    slips=(
        Slip(
            "one-attempt-each",
            "one attempt a patient is reckoned: add a second for those whose first failed",
            lambda v: _patients(v, 1),
        ),
        Slip(
            "two-attempts-each",
            "two attempts a patient are reckoned: count a second only where the first failed",
            lambda v: _patients(v, 2),
        ),
        Slip(
            "failed-for-succeeded",
            "the second attempt is reckoned for those whose first succeeded: count it for "
            "those that failed",
            lambda v: _patients(v, 1 + v["success_share"]),
        ),
        Slip(
            "limit-left-out",
            "attempts are reckoned until one succeeds: stop after two, when others take over",
            lambda v: _patients(v, 1 / v["success_share"]),
        ),
    ),
    route=lambda v: (
        f"1 + {1 - v['success_share']:.2f} = {_mean_attempts(v):.2f} attempts a patient, "
        f"{v['on_min']:.0f} min each: {_mean_attempts(v) * v['on_min']:.1f} min; "
        f"{v['run_time_h'] * _MINUTES:.0f} min / {_mean_attempts(v) * v['on_min']:.1f} min = "
        f"{_patients(v, _mean_attempts(v)):.1f}"
    ),
)


# ------------------------------------------------------------------------- in your own words


def _draw_night(draw: Draw) -> dict:
    return {
        "gauge": draw.choose((22, 20)),
        "share": draw.step(0.36, 0.48, 0.02),
        "rate_ml_per_h": draw.step(60, 120, 10),
        "side": draw.choose(("left", "right")),
    }


NIGHT = TextItem(
    id="whole-night",
    title="Hand over for the night",
    points=3,
    section=FOLLOW_UP,
    draw_values=_draw_night,
    ask=lambda v: (
        "At 22:00 you hand a patient over. "
        f"{sentence_case(with_article(v['gauge']))} catheter went into "
        f"the {v['side']} forearm at the second attempt; by ultrasound {per_cent(v['share'])} of "
        f"it lies in the vein. Saline runs at {v['rate_ml_per_h']:.0f} mL/h. At 21:40 you looked "
        "and felt, and all was well. Your colleague says: "
        "“The picture was clear and blood came back, so I need not wake the patient before "
        "morning.” In four or five sentences, tell the colleague what is known of this catheter "
        "and what is not, what to do during the night and why, and when to stop and whom to call."
    ),
    mark_scheme=(
        "Known: little of the catheter lies in the vein, less than the 65 % of the course, so it "
        "slips more easily; a clear picture and blood that came back say nothing of later, and no "
        "picture rules out a leak (1 point).",
        "Look, feel, compare both arms and ask the patient, as often as local policy says: what "
        "can be outside is the rate times the time between two looks, and a pump need not alarm "
        "(1 point).",
        "Stop the pump at swelling, coolness or a complaint, and do not just slow it; note when "
        "all was well last, tell the prescriber; do not begin a new count of attempts here, but "
        "call whom local policy names, and let no vesicant run by this catheter (1 point).",
    ),
)
