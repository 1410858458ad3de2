"""Items on blood in the chamber, the flush and the drip afterwards."""

from cubital import calc, tables
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.number import NumberItem
from cubital.items.kinds.text import TextItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import listed, with_wrong
from cubital.items.writing.wording import sentence_case, with_article

BLOOD = "Blood in the chamber"
THEN = "Then: lower, advance, slide"
AFTERWARDS = "Afterwards: flush, secure, watch"

PLACES = ("left forearm", "right forearm", "back of the left hand", "back of the right hand")


# --------------------------------------------------------------------------- what blood proves


def _draw_blood(draw: Draw) -> dict:
    wrong = ("catheter-in", "no-pulse-so-vein", "still-in", "open-vein", "in-or-out")
    return {
        "gauge": draw.choose((22, 20, 18)),
        "place": draw.choose(PLACES),
        "order": with_wrong(draw, "needle-met-blood", wrong),
    }


def _blood_options(v: Values) -> list[Option]:
    return listed(
        v,
        (
            Option(
                "needle-met-blood",
                "That the needle has met blood; where its tip and the catheter are has still "
                "to be found out.",
            ),
            Option(
                "catheter-in",
                "That needle and catheter are in; whether the vein is open has still to be "
                "found out.",
                "overlooks that the catheter's end is behind the needle's tip: it may still be "
                "outside",
            ),
            Option(
                "no-pulse-so-vein",
                "That the vessel is a vein; whether the needle and the catheter are in it has "
                "still to be seen.",
                "takes blood that does not pulsate for venous: its absence does not rule an "
                "artery out",
            ),
            Option(
                "still-in",
                "That the tip is in the vein while the chamber is red; where the catheter is "
                "has still to be seen.",
                "takes a red chamber for a tip that is still in: it stays red when the needle has "
                "gone through the far wall",
            ),
            Option(
                "open-vein",
                "That the vein is open further on, so that the fluid will run into it.",
                "takes blood at the needle for an open vein further on",
            ),
            Option(
                "in-or-out",
                "That the tip lies in the vein now: outside it there would be no blood.",
                "takes blood for being in and no blood for being outside: a needle that went "
                "through has met blood too, and a thin needle or an empty vein is slow to show it",
            ),
        ),
    )


BLOOD_PROVES = ChoiceItem(
    id="reach-blood-proves",
    version=2,
    title="What blood in the chamber proves",
    points=2,
    section=BLOOD,
    draw_values=_draw_blood,
    ask=lambda v: (
        f"You put {with_article(v['gauge'])} catheter into the {v['place']}. Dark blood, without "
        "a pulse, shows in the chamber. What does that prove?"
    ),
    options=_blood_options,
)


# --------------------------------------------------------------------------------- the flush

_SIGNS = {
    "swelling": "the skin over the tip rises a little",
    "resistance": "the plunger meets resistance",
    "pain": "the patient says that it hurts above the tip",
}


def _draw_flush(draw: Draw) -> dict:
    wrong = ("blood-returns", "force", "unchanged-so-in", "drip-runs", "more-volume")
    return {
        "gauge": draw.choose((22, 20, 18)),
        "sign": draw.choose(tuple(_SIGNS)),
        "place": draw.choose(PLACES),
        "order": with_wrong(draw, "stop", wrong),
    }


def _flush_options(v: Values) -> list[Option]:
    return listed(
        v,
        (
            Option(
                "stop",
                "Stop: nothing runs through it as long as it is not clear what is wrong and "
                "put right.",
            ),
            Option(
                "blood-returns",
                "Stop, and draw back: as long as blood comes, it is clear that the tip is in "
                "the vein, and it is used.",
                "takes blood that comes back for proof: the tip can be in the vein while the "
                "fluid runs out beside it",
            ),
            Option(
                "force",
                "Press harder, once and briefly: what is wrong is a small clot or a kink, and "
                "gives way.",
                "forces a flush: that can burst the vein or push a clot on",
            ),
            Option(
                "unchanged-so-in",
                "Stop, and look at the picture: as long as it is not changed, nothing is "
                "wrong, and it is used.",
                "takes an unchanged picture for a good flush: clear fluid changes it little",
            ),
            Option(
                "drip-runs",
                "Stop, and connect the drip: as long as it runs well, nothing is wrong with "
                "it, and it is used.",
                "takes a drip that runs for proof: for a while it runs into the tissue as well",
            ),
            Option(
                "more-volume",
                "Give the rest of it slowly, and look again when it is in: what is wrong is "
                "clear by then.",
                "goes on to be sure: the sign is there already, and more fluid does more harm",
            ),
        ),
    )


FLUSH = ChoiceItem(
    id="reach-flush",
    version=2,
    title="A flush that does not go as it should",
    points=2,
    section=AFTERWARDS,
    draw_values=_draw_flush,
    ask=lambda v: (
        f"{sentence_case(with_article(v['gauge']))} catheter is in, on the {v['place']}, and blood "
        f"came back. You flush gently with saline, and {_SIGNS[v['sign']]}. What do you do?"
    ),
    options=_flush_options,
)


# ------------------------------------------------------------------ a tourniquet that was left on

_ROOM_C = 22.0


def _standstill(v: Values, *, share: str = "high") -> float:
    """The height at which the column of fluid balances the vein behind the tourniquet."""
    pressure = getattr(calc.vein_pressure_under_cuff_mmhg(v["cuff_mmhg"]), share)
    return _column_mm(pressure)


def _column_mm(pressure_mmhg: float) -> float:
    saline = calc.fluid("saline", temperature_c=_ROOM_C)
    per_mm = calc.hydrostatic_pressure_pa(1, density_kg_per_m3=saline.density_kg_per_m3)
    return pressure_mmhg * tables.constant("pascal-per-mmhg").value / per_mm


STANDSTILL = NumberItem(
    id="reach-standstill",
    version=2,
    title="Optional: a tourniquet under the sleeve",
    optional=True,
    points=2,
    section=AFTERWARDS,
    draw_values=lambda draw: {"cuff_mmhg": draw.step(30, 75, 5)},
    ask=lambda v: (
        f"A tourniquet was left on at {v['cuff_mmhg']:.0f} mmHg above a hand vein, and saline at "
        "room temperature drips into it. Behind a tourniquet the pressure in the vein is 70 to "
        "80 % of the tourniquet's own; reckon with the higher. Up to what height of the bag above "
        "the vein does the drip stand still? Work it out, or read it off the lesson's figure. "
        "Whole millimetres will do."
    ),
    unit="mm",
    quantity="height_mm",
    example="520 mm",
    answer=_standstill,
    relative_tolerance=0.02,
    slips=(
        Slip(
            "lower-end",
            "the lower end of the range is taken: reckon with the higher one, to be sure that "
            "it runs",
            lambda v: _standstill(v, share="low"),
        ),
        Slip(
            "tourniquet-for-vein",
            "the tourniquet's own pressure is taken: use the pressure in the vein",
            lambda v: _column_mm(v["cuff_mmhg"]),
        ),
        Slip(
            "mercury-for-water",
            "millimetres of mercury are taken for millimetres of fluid: convert them, since "
            "mercury is much heavier",
            lambda v: calc.vein_pressure_under_cuff_mmhg(v["cuff_mmhg"]).high,
        ),
    ),
    route=lambda v: (
        f"80 % of {v['cuff_mmhg']:.0f} mmHg = {0.8 * v['cuff_mmhg']:.0f} mmHg; each mmHg holds up "
        f"{_column_mm(1):.2f} mm of saline; {0.8 * v['cuff_mmhg']:.0f} × {_column_mm(1):.2f} mm = "
        f"{_standstill(v):.0f} mm"
    ),
)


# ------------------------------------------------------------------------------ in own words


def _draw_after_blood(draw: Draw) -> dict:
    return {"gauge": draw.choose((22, 20, 18)), "place": draw.choose(PLACES)}


AFTER_BLOOD = TextItem(
    id="reach-after-blood",
    title="Tell a learner what comes after the blood",
    points=3,
    section=THEN,
    draw_values=_draw_after_blood,
    ask=lambda v: (
        f"A learner puts {with_article(v['gauge'])} catheter into the {v['place']}, sees blood in "
        "the chamber and says: “I'm in.” In four or five sentences, tell them what is still "
        "open, what to do next, and what to check before anything is connected."
    ),
    mark_scheme=(
        "Blood proves only that the needle's opening has met blood: the catheter may be outside, "
        "the needle may have gone on through the far wall, and it may be an artery (1 point).",
        "Stop; lower the needle; advance needle and catheter a little together; hold the needle "
        "still and slide the catheter off it without force; never put the needle back (1 point).",
        "Tourniquet off; flush gently: no resistance, no swelling, no pain; look and feel, as "
        "neither blood that comes back, nor a running drip, nor the picture confirms where the "
        "tip is (1 point).",
    ),
)
