"""Items on attempts: the chance of success, what a small study shows, and when to hand on."""

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import ordered, with_wrong
from cubital.items.writing.wording import per_cent, with_article

INSERTION = "Insertion"

SHARE_TOLERANCE = 0.0055  # two decimals, or whole per cent, are asked for


# ---------------------------------------------------------------------- chance within two


def within(*shares: float) -> float:
    """Return the chance that one of the attempts succeeds, each share that of its own attempt."""
    return calc.success_within_attempts(shares)


def _draw_within(draw: Draw) -> dict:
    first = draw.step(0.62, 0.86, 0.01)
    return {"first_share": first, "second_share": round(first - draw.step(0.1, 0.25, 0.01), 2)}


WITHIN_TWO = NumberItem(
    id="patient-within-two",
    title="Within two attempts",
    points=2,
    section=INSERTION,
    draw_values=_draw_within,
    ask=lambda v: (
        f"You tell a patient what to expect. On your ward {per_cent(v['first_share'])} of first "
        f"attempts succeed. Of second attempts, made on those whose first failed, "
        f"{per_cent(v['second_share'])} succeed. What is the chance that the catheter is in "
        "within two attempts? Give two decimals, or whole per cent."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="0.62 or 62 %",
    answer=lambda v: within(v["first_share"], v["second_share"]),
    absolute_tolerance=SHARE_TOLERANCE,
    slips=(
        Slip(
            "same-chance-again",
            "the second attempt is given the chance of the first: it is made on those whose "
            "first failed, who are harder",
            lambda v: within(v["first_share"], v["first_share"]),
        ),
        Slip(
            "both-for-either",
            "the two chances are multiplied: that would be both attempts succeeding",
            lambda v: v["first_share"] * v["second_share"],
        ),
        Slip(
            "averaged-chances",
            "the mean of the two chances is taken: a second attempt can only add to the first",
            lambda v: (v["first_share"] + v["second_share"]) / 2,
        ),
        Slip(
            "failed-for-succeeded",
            "the share that fails twice is given: the catheter is in with the rest",
            lambda v: 1 - within(v["first_share"], v["second_share"]),
        ),
    ),
    route=lambda v: (
        f"{100 * (1 - v['first_share']):.0f} % fail first, and of these "
        f"{100 * (1 - v['second_share']):.0f} % again: "
        f"1 - {1 - v['first_share']:.2f} × {1 - v['second_share']:.2f} = "
        f"{within(v['first_share'], v['second_share']):.2f}"
    ),
)


# ---------------------------------------------------------------------------- none failed


# Each about a twentieth more than the one before: then no share is much more often the answer.
_INSERTIONS = tuple(sorted({round(18 * 1.05**step) for step in range(36)}))


def _highest(v: Values) -> float:
    return calc.highest_failure_share(0, insertions=v["insertions"])


NONE_FAILED = NumberItem(
    id="patient-none-failed",
    version=2,
    title="None failed",
    points=2,
    section=INSERTION,
    draw_values=lambda draw: {"insertions": draw.choose(_INSERTIONS)},
    ask=lambda v: (
        f"A colleague reads of {v['insertions']:.0f} catheters with enough of their length in the "
        "vein. None failed, and she writes “cannot fail” into the ward's guide. Up to what share "
        "of failures is not ruled out, at a confidence of 95 %? The lesson's rule will do. Give "
        "per cent with one decimal, or a decimal number with three."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="23.4 % or 0.234",
    answer=_highest,
    relative_tolerance=0.09,  # the rule lies up to 9 % above the exact share
    slips=(
        Slip(
            "none-for-never",
            "none in a few is taken for never: chance alone can leave out a failure",
            lambda _v: 0.0,
        ),
        Slip(
            "one-for-three",
            "one over the number is taken, as if the next were the first to fail: the lesson's "
            "rule is three over the number",
            lambda v: 1 / v["insertions"],
        ),
        Slip(
            "failed-for-succeeded",
            "what succeeds at the least is given, not what may fail at the most",
            lambda v: 1 - _highest(v),
        ),
        Slip(
            "per-cent-sign-missing",
            "per cent are typed without their sign: 12 is 1200 %, and 12 % is 0.12",
            lambda v: 100 * _highest(v),
        ),
    ),
    route=lambda v: (
        f"three over the number, 3 / {v['insertions']:.0f} = {3 / v['insertions']:.3f}; exactly "
        f"1 - 0.05^(1/{v['insertions']:.0f}) = {_highest(v):.3f}"
    ),
)


# ------------------------------------------------------------------------------ hand on

_NUMBER_WORDS = ("no", "one", "two", "three", "four")
_URGENT = {
    "sepsis": "an antibiotic for sepsis, which is due now",
    "bleeding": "blood, for a bleeding that goes on",
    "pressure": "fluid, for a blood pressure that is falling",
}


def attempts_made(limit: float) -> str:
    """Say as many attempts as local policy allows, in words."""
    whole = int(limit)
    number = _NUMBER_WORDS[whole] if whole < len(_NUMBER_WORDS) else str(whole)
    return f"{number} attempt{'' if whole == 1 else 's'}"


def _draw_cannot_wait(draw: Draw) -> dict:
    wrong = (
        "urgent-once-more",
        "warm-and-wait",
        "note-for-next",
        "own-route",
        "place-counted-anew",
    )
    return {
        "attempt_limit": draw.policy["attempt_limit"],
        "gauge": draw.choose((22, 20)),
        "drug": draw.choose(tuple(_URGENT)),
        "order": with_wrong(draw, "call-now", wrong),
    }


def _cannot_wait_options(v: Values) -> list[Option]:
    return ordered(
        v,
        (
            "call-now",
            "Say that it cannot wait: it is now for those who use ultrasound or, if it is in "
            "the local policy, go into the bone.",
        ),
        {
            "urgent-once-more": (
                "It cannot wait, and one more is for you: what is urgent stands above the "
                "local policy. Ultrasound is for later.",
                "lets urgency lift the limit: a further attempt is the least likely to succeed, "
                "and it costs the time that the patient does not have",
            ),
            "warm-and-wait": (
                "Say that it has to wait for a quarter of an hour while the arm is warmed; "
                "then it is for those who use ultrasound.",
                "does for what is urgent what suits a patient who can wait: nobody has been told",
            ),
            "note-for-next": (
                "Write down that it cannot wait, and that it is for those who come next, with "
                "ultrasound or a midline.",
                "hands on by a note: what cannot wait is said to a person",
            ),
            "own-route": (
                "It cannot wait, so it is now for you to go into a muscle or a big vein of "
                "the neck; say so to the prescriber later.",
                "changes the route alone: a muscle or a vein of the neck is for the prescriber to "
                "order, and for somebody trained in it",
            ),
            "place-counted-anew": (
                f"One more with {with_article(v['gauge'])} catheter on a faint band that nobody "
                "tried: it is a new vein.",
                "counts each vein anew: the limit is for one person and one patient",
            ),
        },
    )


CANNOT_WAIT = ChoiceItem(
    id="patient-cannot-wait",
    title="It cannot wait",
    points=2,
    section=INSERTION,
    critical=True,
    version=4,
    draw_values=_draw_cannot_wait,
    ask=lambda v: (
        f"A patient needs {_URGENT[v['drug']]}. Your department allows one person "
        f"{attempts_made(v['attempt_limit'])} at a patient. You have made "
        f"{attempts_made(v['attempt_limit'])} with {with_article(v['gauge'])} catheter, "
        "without success. The tourniquet is off, the needle is out and safe, and you press. "
        "What now?"
    ),
    options=_cannot_wait_options,
)
