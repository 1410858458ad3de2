"""Items on attempts: the chance of success, and what a small study shows."""

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent

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
    version=2,
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
            "the second attempt is given the chance of the first: use its own, since the "
            "patients who are left are harder",
            lambda v: within(v["first_share"], v["first_share"]),
        ),
        Slip(
            "both-for-either",
            "the two chances are multiplied, as if both had to succeed: multiply the chances "
            "to fail",
            lambda v: v["first_share"] * v["second_share"],
        ),
        Slip(
            "averaged-chances",
            "the mean of the two chances is taken: add what the second attempt gains to the first",
            lambda v: (v["first_share"] + v["second_share"]) / 2,
        ),
        Slip(
            "failed-for-succeeded",
            "the share that fails twice is given: take it off the whole",
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
    title="Optional: none failed",
    optional=True,
    points=2,
    section=INSERTION,
    draw_values=lambda draw: {"insertions": draw.choose(_INSERTIONS)},
    ask=lambda v: (
        f"A colleague reads of {v['insertions']:.0f} catheters with enough of their length in "
        "the vein. None failed, and she writes “cannot fail” into the ward's guide. How "
        "large may the true share of failures still be, at a confidence of 95 %? The "
        "lesson's rule is exact enough. Give per cent with one decimal, or a decimal number "
        "with three."
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
            ("no failure among a few is taken for never: reckon with three divided by the number"),
            lambda _v: 0.0,
        ),
        Slip(
            "one-for-three",
            "one divided by the number is taken: divide three by it, as the rule says",
            lambda v: 1 / v["insertions"],
        ),
        Slip(
            "per-cent-sign-missing",
            "per cent are typed without their sign: type 12 % or 0.12",
            lambda v: 100 * _highest(v),
        ),
    ),
    route=lambda v: (
        f"three over the number, 3 / {v['insertions']:.0f} = {3 / v['insertions']:.3f}; exactly "
        f"1 - 0.05^(1/{v['insertions']:.0f}) = {_highest(v):.3f}"
    ),
)
