"""Items on a picture that has not changed: what it is worth, and what a series of them shows."""

from cubital import calc
from cubital.items.complications.leaks import PICTURE
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.choice import Option
from cubital.items.kinds.number import NumberItem
from cubital.items.kinds.on_pictures.series import SeriesItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent

_FULL = 100  # per cent in one

# ------------------------------------------------------------------- what an unchanged picture says


def _draw_unchanged(draw: Draw) -> dict:
    return {
        "leaking_share": draw.step(0.3, 0.8, 0.05),
        "shown_share": draw.step(0.2, 0.6, 0.05),
    }


def _unseen(v: Values) -> float:
    """The share of all these sites that leak and show no change."""
    leaking = calc.check("answered_share", v["leaking_share"])
    return leaking * (1 - calc.check("answered_share", v["shown_share"]))


def _still_leaking(v: Values) -> float:
    """Leaks among the unchanged pictures: of those, all sites that do not leak are the rest."""
    return _unseen(v) / (_unseen(v) + 1 - v["leaking_share"])


UNCHANGED = NumberItem(
    id="comp-unchanged",
    version=3,
    title="What an unchanged picture is worth",
    points=2,
    section=PICTURE,
    draw_values=_draw_unchanged,
    ask=lambda v: (
        "Suppose that of 100 sites where the patient says that it burns and feels tight, "
        f"{_FULL * v['leaking_share']:.0f} leak. The near-infrared picture changes in "
        f"{per_cent(v['shown_share'])} of the leaks, and never where nothing leaks. Your patient "
        "says that it burns and feels tight, and the picture is unchanged. How likely is it that "
        "the site leaks all the same? Count the sites with an unchanged picture. Give two "
        "decimals, or whole per cent."
    ),
    unit="",
    quantity="answered_share",
    most=1,
    example="0.85 or 85 %",
    answer=_still_leaking,
    absolute_tolerance=0.0055,
    slips=(
        Slip(
            "unchanged-rules-out",
            "an unchanged picture is taken to rule a leak out: count the many leaks that it misses",
            lambda _v: 0.0,
        ),
        Slip(
            "sign-left-out",
            "the picture is left out altogether: count it, since it lowers the chance a little",
            lambda v: v["leaking_share"],
        ),
        Slip(
            "missed-for-predicted",
            "the share of the leaks that the picture misses is given: look among the unchanged"
            " pictures",
            lambda v: 1 - v["shown_share"],
        ),
        Slip(
            "counted-among-all",
            "the missed leaks are counted among all the sites: count them among the unchanged "
            "pictures",
            _unseen,
        ),
    ),
    route=lambda v: (
        f"of 100 sites {_FULL * v['leaking_share']:.0f} leak and {_FULL * _unseen(v):.1f} of them "
        f"look unchanged, as do the other {_FULL * (1 - v['leaking_share']):.0f}; "
        f"{_FULL * _unseen(v):.1f} / {_FULL * (_unseen(v) + 1 - v['leaking_share']):.1f} = "
        f"{_still_leaking(v):.2f}"
    ),
)


# ------------------------------------------------------------------------- a series of pictures

LEAK, BRUISE, NO_CHANGE = "leak", "bruise", "no-change"

_HAPPENS = (
    Option(
        LEAK,
        "Clear fluid leaks: in a patch that grows, the dark bands fade and blur; elsewhere they "
        "stay.",
    ),
    Option(
        BRUISE,
        "Blood leaks: a dark patch without sharp edges appears over a band and grows.",
    ),
    Option(
        "shift",
        "The arm moves: all the bands shift together, by several millimetres, and no band changes.",
    ),
    Option(
        "flush",
        "The vein is flushed: a pale gap runs along one band, and the band darkens again.",
    ),
    Option(
        NO_CHANGE,
        "No change shows, and this rules nothing out: stop, feel, compare with the other arm, ask.",
    ),
)


def _what_happens(_v: Values) -> tuple[Option, ...]:
    return _HAPPENS


SERIES = SeriesItem(
    id="comp-series",
    title="What happens under an infusion",
    points=4,
    section=PICTURE,
    minutes=3,
    draw_values=lambda draw: {"picture": draw.choose(draw.pictures)},
    ask=lambda _v: (
        "Near-infrared pictures of one place, taken one after the other. A catheter lies in one "
        "of the veins, and the patient has said that it feels odd. Step through the pictures. What "
        "happens? If anything does, choose the first picture in which you are sure of it, and mark "
        "where it begins: the middle of the place that fades, pales or darkens. Grain that "
        "flickers, and a picture that stirs as a whole by less than 1 mm, as by hand it does, are "
        "no change. If nothing changes, choose that alone."
    ),
    pool={
        "series-infiltration": 2,
        "series-infiltration-unseen": 3,
        "series-haematoma": 2,
        "series-nothing": 1,
    },
    options=_what_happens,
    happened={"infiltration": LEAK, "haematoma": BRUISE},
    unseen=NO_CHANGE,
    misconceptions={
        LEAK: "overlooks bands that fade and blur in a patch that grows: clear fluid gathers over "
        "the vein there",
        BRUISE: "overlooks a dark patch that grows, or takes it for something else: blood outside "
        "the vein is dark, clear fluid is not",
        NO_CHANGE: "sees a change where the picture only stirs and flickers; and if something "
        "leaks here, it is the hand that finds it",
    },
    within_frames=6,  # a leak fades the bands slowly: at first within the grain
    within_mm=12.0,
)
