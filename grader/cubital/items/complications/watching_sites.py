"""Items on counting at the sites: what a sign is worth, what looking saves, how two agree."""

from cubital import calc
from cubital.items.complications.site_signs import SIGNS
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent

SEVEN = "Seven things that go wrong"
SCALES = "How scales work, and how they stand"

_FULL = 100  # per cent in one

# --------------------------------------------------------------------- what a sign is worth


def _draw_cool(draw: Draw) -> dict:
    leaked, well = draw.step(20, 40, 1), draw.step(60, 120, 5)
    cool_leaked = round(leaked * draw.step(0.5, 0.85, 0.05))
    return {
        "leaked": leaked,
        "well": well,
        "cool_leaked": cool_leaked,
        "cool_well": max(2, round(well * draw.step(0.06, 0.25, 0.01))),
    }


def _cool_with(v: Values) -> float:
    """The share of the sites with a leak that are cool."""
    return calc.sensitivity(v["cool_leaked"], misses=v["leaked"] - v["cool_leaked"]).value


def _cool_without(v: Values) -> float:
    """The share of the sites without a leak that are cool."""
    return 1 - calc.specificity(v["well"] - v["cool_well"], false_alarms=v["cool_well"]).value


def _times_as_often(v: Values) -> float:
    return _cool_with(v) / _cool_without(v)


COOL = NumberItem(
    id="comp-cool",
    version=2,
    title="Optional: what cool skin is worth",
    optional=True,
    points=2,
    section=SIGNS,
    draw_values=_draw_cool,
    ask=lambda v: (
        f"A ward has felt every site at which a patient complained. Of {v['leaked']:.0f} "
        f"sites that leaked, {v['cool_leaked']:.0f} were cooler than the other arm. Of "
        f"{v['well']:.0f} that did not leak, {v['cool_well']:.0f} were. Skin is cool more "
        "often with a leak than without one. How many times as often? Type the number alone, "
        "with one decimal."
    ),
    unit="",
    quantity="answered_times",
    example="1.5",
    answer=_times_as_often,
    absolute_tolerance=0.06,
    relative_tolerance=0.015,  # the two shares may have been rounded on the way
    slips=(
        Slip(
            "counts-for-shares",
            "the two counts are compared: compare shares, since there are more sites without a"
            " leak",
            lambda v: v["cool_leaked"] / v["cool_well"],
        ),
        Slip(
            "found-only",
            "only the sites that leaked are looked at: compare with those that did not",
            _cool_with,
        ),
        Slip(
            "leaks-among-cool",
            "the share of the cool sites that leak is given: compare how often each group is cool",
            lambda v: v["cool_leaked"] / (v["cool_leaked"] + v["cool_well"]),
        ),
    ),
    route=lambda v: (
        f"{v['cool_leaked']:.0f} / {v['leaked']:.0f} = {_cool_with(v):.3f} with a leak; "
        f"{v['cool_well']:.0f} / {v['well']:.0f} = {_cool_without(v):.3f} without; "
        f"{_cool_with(v):.3f} / {_cool_without(v):.3f} = {_times_as_often(v):.1f}"
    ),
)


# ----------------------------------------------------------------------- what looking more saves


def _draw_needed(draw: Draw) -> dict:
    before = draw.step(4.0, 9.0, 0.1)
    return {
        "before_percent": before,
        "after_percent": round(before * (1 - draw.step(0.25, 0.65, 0.01)), 1),
        "every_h": draw.choose((1, 2, 4)),
    }


def _one_in(percent: float) -> float:
    """For how many catheters there is one, at so many per cent."""
    return _FULL / percent


def _needed(v: Values) -> float:
    return _one_in(v["before_percent"] - v["after_percent"])


def _every(hours: float) -> str:
    return "every hour" if hours == 1 else f"every {hours} hours"


NEEDED = NumberItem(
    id="comp-needed",
    version=3,
    title="How many catheters for one infiltration fewer",
    points=2,
    section=SEVEN,
    draw_values=_draw_needed,
    ask=lambda v: (
        f"A ward begins to feel each site {_every(v['every_h'])}. Infiltration goes down from "
        f"{v['before_percent']:.1f} % of the catheters to {v['after_percent']:.1f} %. Suppose "
        "that this is why. How many catheters must be looked after in this way so that there "
        "is one infiltration fewer? Type the number alone. Whole catheters will do, to the "
        "nearest or rounded up."
    ),
    unit="",
    quantity="answered_number_needed",
    example="8",
    answer=_needed,
    absolute_tolerance=1.0,  # rounded to the nearest or up
    slips=(
        Slip(
            "after-only",
            "the catheters for one that still goes wrong are given: take the difference of "
            "before and after",
            lambda v: _one_in(v["after_percent"]),
        ),
        Slip(
            "relative-for-absolute",
            "the decrease is taken as a share of what it was before: take it as a share of all"
            " catheters",
            lambda v: v["before_percent"] / (v["before_percent"] - v["after_percent"]),
        ),
    ),
    route=lambda v: (
        f"{v['before_percent']:.1f} % − {v['after_percent']:.1f} % = "
        f"{v['before_percent'] - v['after_percent']:.1f} % less; 100 / "
        f"{v['before_percent'] - v['after_percent']:.1f} = {_needed(v):.1f} catheters for one fewer"
    ),
)


# -------------------------------------------------------------------------- how well two agree


def _draw_kappa(draw: Draw) -> dict:
    return {
        "both": draw.step(6, 16, 1),
        "first_only": draw.step(2, 7, 1),
        "second_only": draw.step(2, 7, 1),
        "neither": draw.step(20, 40, 1),
    }


def _agreement(v: Values) -> calc.Agreement:
    """Two nurses' calls of phlebitis: a row for each call of the first, a column of the second."""
    return calc.cohen_kappa([[v["both"], v["first_only"]], [v["second_only"], v["neither"]]])


def _kappa(v: Values) -> float:
    return _agreement(v).kappa or 0.0


def _at_half_chance(v: Values) -> float:
    return 2 * _agreement(v).observed - 1


KAPPA = NumberItem(
    id="comp-kappa",
    version=3,
    title="Optional: how well two nurses agree",
    optional=True,
    points=2,
    section=SCALES,
    draw_values=_draw_kappa,
    ask=lambda v: (
        f"Two nurses look at the same {_agreement(v).n} sites and score each by your ward's "
        f"phlebitis scale. Both give grade 2 or more to {v['both']:.0f} of the sites. The "
        f"first nurse alone does so at {v['first_only']:.0f} more sites, the second alone at "
        f"{v['second_only']:.0f}, and neither at {v['neither']:.0f}. Kappa says how far two "
        "people agree beyond chance; the lesson's fold on scales shows how to work it out. "
        "What is kappa here? Type the number alone, with two decimals."
    ),
    unit="",
    quantity="answered_kappa",
    most=1,
    example="0.12",
    answer=_kappa,
    absolute_tolerance=0.015,  # chance may have been rounded to two decimals on the way
    slips=(
        Slip(
            "observed-for-kappa",
            "the share of sites on which they agree is given: take off what comes about by chance",
            lambda v: _agreement(v).observed,
        ),
        Slip(
            "not-over-the-rest",
            "chance is taken off and nothing more: divide by the most that is left above chance",
            lambda v: _agreement(v).observed - _agreement(v).expected,
        ),
        Slip(
            "chance-taken-for-half",
            "chance is taken for a half: work it out from how often each says yes",
            _at_half_chance,
        ),
    ),
    route=lambda v: (
        f"they agree on {per_cent(_agreement(v).observed)} of the sites, by chance on "
        f"{per_cent(_agreement(v).expected)}; ({_agreement(v).observed:.3f} − "
        f"{_agreement(v).expected:.3f}) / (1 − {_agreement(v).expected:.3f}) = {_kappa(v):.2f}"
    ),
)
