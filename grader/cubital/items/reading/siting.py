"""Items on choosing the site and the band, once the limb is chosen."""

from collections.abc import Sequence

from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.number import NumberItem
from cubital.items.kinds.ordering import Before, OrderItem, Step
from cubital.items.writing.draw import Draw

BAND = "First the limb, then the site, then the band"
MOVEMENT = "Movement"

# ---------------------------------------------------------------------- the order of choosing

_STEPS = {
    "limb": "Ask, read the notes, look for scars and wristbands: is this limb free?",
    "picture": "Switch the device on and look for bands that are straight for long enough.",
    "pulse": "With no tourniquet on, feel along the chosen band for a pulse.",
    "fills": "Put the tourniquet on and feel again: does the band fill, and spring back?",
    "release": "Let go of the tourniquet.",
    "clean": "Clean the skin, let it dry, and touch the place no more.",
    "again": "Put the tourniquet on again, and go in.",
}

ORDER = OrderItem(
    id="read-order",
    title="From the patient to the band",
    points=2,
    section=BAND,
    draw_values=lambda draw: {"shown": draw.shuffled(tuple(_STEPS))},
    ask=lambda _v: (
        "A patient is to have a catheter in the forearm, and you use a near-infrared device. Put "
        "what you do into order, from the first to the last. The tourniquet is to be on for as "
        "short a time as will do."
    ),
    version=4,
    steps=lambda _v: [Step(key, text) for key, text in _STEPS.items()],
    rules=(
        Before(
            "limb-before-picture",
            "limb",
            "picture",
            "looks at the picture before asking about the limb: it shows no fistula as such, and "
            "no removed lymph nodes, and a dark band tempts",
        ),
        Before(
            "pulse-before-tourniquet",
            "pulse",
            "fills",
            "feels for a pulse with the tourniquet on only: a tight one can hide it",
        ),
        Before(
            "feel-before-cleaning",
            "fills",
            "clean",
            "feels the place again after it was cleaned: the finger brings germs back",
        ),
        Before(
            "tourniquet-left-on",
            "release",
            "clean",
            "cleans under the tourniquet: with rubbing and drying it is on for longer than the 30 "
            "to 60 seconds that one study advises",
        ),
        Before(
            "on-while-it-dries",
            "clean",
            "again",
            "puts the tourniquet on again before the skin is clean and dry: it is then on for "
            "longer than the vein needs to fill",
        ),
        Before(
            "picture-before-pulse",
            "picture",
            "pulse",
            "feels for the pulse of a band before a band is chosen: it has to be felt along the "
            "very line that the needle will take",
        ),
        Before(
            "released-before-it-was-on",
            "fills",
            "release",
            "lets go of a tourniquet that is not on yet, so that it stays on from the feeling to "
            "the needle",
        ),
    ),
)


# ------------------------------------------------------------------------- a band that moves

_MOVES = {
    "vein": "With a fingertip you touch the skin beside one band. This band bows {shift:.1f} mm to "
    "the side, the others stay, and when you let go it comes back.",
    "all": "You do not touch the skin. All bands shift to the side by {shift:.1f} mm, each as much "
    "as the others, and all are as dark as before.",
}


def _draw_move(draw: Draw) -> dict:
    wrong = ("artery", "blocked", "paler", "empty", "processing")
    moves = draw.choose(("vein", "all"))
    return {
        "moves": moves,
        "shift_mm": draw.step(1.5, 4.0, 0.5),
        "order": draw.shuffled(("rolls", "device", *draw.for_all.shuffled(wrong)[:2])),
    }


def _move_options(v: Values) -> Sequence[Option]:
    is_vein = v["moves"] == "vein"
    texts = {
        "rolls": (
            "This vein rolls: plan to hold its skin stretched, or take one that lies still.",
            ""
            if is_vein
            else "takes every move for a vein that rolls: when all bands shift together it was "
            "the device or the arm",
        ),
        "device": (
            "The device or the arm has moved: hold both still, and look again before you choose.",
            ""
            if not is_vein
            else "blames the device where one band moves alone: then all would have shifted",
        ),
        "artery": (
            "It is an artery: a vein would not move.",
            (
                "takes a band that moves for a pulse: the picture shows no pulse, and veins lie "
                "loose in fat"
            ),
        ),
        "blocked": (
            "It is hard with clot: an open vein would stay where it is.",
            "takes a vein that rolls for a clotted one: the finger tells a cord, and open veins "
            "roll as well",
        ),
        "paler": (
            "Nothing: what counts is that the band is as dark as before.",
            "goes by darkness alone: that the band holds still comes before how dark it is",
        ),
        "empty": (
            "The vein has emptied: wait with the tourniquet on until it is full.",
            "takes a move for an empty vein: an emptied stretch pales, and stays in its place",
        ),
        "processing": (
            "The processing has invented it: no real band moves.",
            "takes what moves for invented: noise dances everywhere, and a vein can roll",
        ),
    }
    return [Option(key, *texts[key]) for key in v["order"]]


MOVE = ChoiceItem(
    id="read-move",
    title="A band that moves",
    points=2,
    section=MOVEMENT,
    draw_values=_draw_move,
    ask=lambda v: (
        "You watch the picture before you choose a band. "
        f"{_MOVES[v['moves']].format(shift=v['shift_mm'])} What do you make of it?"
    ),
    options=_move_options,
)


# ------------------------------------------------------------------- straight run, by a ruler


def _draw_run(draw: Draw) -> dict:
    return {
        "ruler_mm": draw.choose((40, 50, 60)),
        "ruler_px": draw.step(220, 340, 1),
        "run_px": draw.step(230, 390, 1),
        "behind_mm": draw.step(4, 8, 1),
        "ahead_mm": draw.step(6, 12, 1),
    }


def _mm_per_px(v: Values) -> float:
    return v["ruler_mm"] / v["ruler_px"]


def _run(v: Values) -> float:
    return v["run_px"] * _mm_per_px(v)


def _usable(v: Values) -> float:
    return _run(v) - v["behind_mm"] - v["ahead_mm"]


STRAIGHT_RUN = NumberItem(
    id="read-straight-run",
    version=2,
    title="How much catheter a straight run takes",
    points=2,
    section=BAND,
    draw_values=_draw_run,
    ask=lambda v: (
        f"A ruler lies on the skin, beside the band: {v['ruler_mm']:.0f} mm of it take up "
        f"{v['ruler_px']:.0f} pixels of the picture. Towards the heart, from a fork up to the "
        f"next valve, the band is straight for {v['run_px']:.0f} pixels. The catheter is to enter "
        f"the vein at least {v['behind_mm']:.0f} mm above the fork, and its end is to stay at "
        f"least {v['ahead_mm']:.0f} mm short of the valve. What length of catheter may lie in the "
        "vein at most? Give one decimal."
    ),
    unit="mm",
    quantity="answered_stretch_mm",
    example="4.5 mm",
    answer=_usable,
    route=lambda v: (
        f"{v['run_px']:.0f} px × {v['ruler_mm']:.0f} mm / {v['ruler_px']:.0f} px = "
        f"{_run(v):.1f} mm; {_run(v):.1f} − {v['behind_mm']:.0f} − {v['ahead_mm']:.0f} = "
        f"{_usable(v):.1f} mm"
    ),
    absolute_tolerance=0.15,
    relative_tolerance=0.01,
    slips=(
        Slip(
            "margins-left-out",
            "the whole run is given: take off both distances that are to be kept",
            _run,
        ),
        Slip(
            "fork-behind-forgotten",
            "only the valve ahead is kept clear of: keep clear of the fork behind the entry as"
            " well",
            lambda v: _run(v) - v["ahead_mm"],
        ),
        Slip(
            "pixels-for-millimetres",
            "pixels are taken for millimetres: convert them by the ruler first",
            lambda v: v["run_px"] - v["behind_mm"] - v["ahead_mm"],
        ),
    ),
)
