"""Items on what comes before a needle: clean skin, a patient handed over."""

from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.text import TextItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import ordered, with_wrong
from cubital.tables.patient import patient

ASSESSMENT = "Assessment"

SIDES = ("left", "right")


# ---------------------------------------------------------------- skin touched after cleaning

_TOUCHED_BY = {
    "finger": "your gloved finger, to feel the vein once more",
    "device": "the edge of the device, which slipped",
    "tourniquet": "the end of the tourniquet",
    "sleeve": "the patient's sleeve",
}


def _draw_touched(draw: Draw) -> dict:
    wrong = ("clean-glove", "short-touch", "wet-in", "dry-swab", "allergic-to")
    return {
        "by": draw.choose(tuple(_TOUCHED_BY)),
        "seconds": draw.step(5, 20, 5),
        "order": with_wrong(draw, "clean-again", wrong),
    }


def _touched_options(v: Values) -> list[Option]:
    return ordered(
        v,
        (
            "clean-again",
            "Clean it with alcohol again, let it dry fully, and touch it no more.",
        ),
        {
            "clean-glove": (
                "Go in: your gloves are clean, and the skin was cleaned a moment ago.",
                "takes clean gloves and a recent wipe for an aseptic place: what touched it was "
                "not sterile",
            ),
            "short-touch": (
                "Go in: it was touched for a moment only.",
                "counts how long it was touched: a moment is enough to carry germs",
            ),
            "wet-in": (
                "Wipe once more with alcohol and go in at once, while it is wet.",
                "takes an antiseptic to work at once: it works while it dries",
            ),
            "dry-swab": (
                "Wipe the place dry with a sterile swab from the pack, and go in.",
                "takes wiping for disinfecting: a dry swab takes off little and kills nothing",
            ),
            "allergic-to": (
                f"Clean it with {patient().allergy}, which goes on working for longer, let it dry, "
                "and go in.",
                "overlooks the allergy that the patient has told of",
            ),
        },
    )


TOUCHED = ChoiceItem(
    id="patient-touched",
    title="Touched once more",
    points=2,
    section=ASSESSMENT,
    draw_values=_draw_touched,
    ask=lambda v: (
        f"The patient is allergic to {patient().allergy}, so the skin was cleaned with alcohol, "
        "as local policy says, and is dry. "
        f"{v['seconds']:.0f} seconds before the needle, the place of entry is touched by "
        f"{_TOUCHED_BY[v['by']]}. What now?"
    ),
    options=_touched_options,
)


# ------------------------------------------------------------------- a patient handed over


def _draw_handed(draw: Draw) -> dict:
    return {
        "side": draw.choose(SIDES),
        "mark": draw.choose(("a pen line", "a dot", "a cross")),
        "drug": draw.choose(("an antibiotic", "a painkiller", "fluid")),
    }


HANDED_OVER = TextItem(
    id="patient-handed-over",
    title="“Just put the needle in”",
    points=3,
    section=ASSESSMENT,
    version=2,
    draw_values=_draw_handed,
    ask=lambda v: (
        f"A patient is to have {v['drug']}. A colleague says: “All is asked and ready. I have "
        f"marked the vein on the {v['side']} arm with {v['mark']}, from the picture. Just put the "
        "needle in.” In four or five sentences, say what you ask, look up, feel and do yourself "
        "before the needle, and why."
    ),
    mark_scheme=(
        "Whose needle it is, is yours to know: let the patient say name and date of birth, read "
        "the wristband, compare with the order, explain, and ask for consent (1 point).",
        "Ask, and look up, allergies (drug, antiseptic, dressing), blood thinners and restrictions "
        "of this arm, before arm and antiseptic are chosen (1 point).",
        "Clean hands; tourniquet off, feel along the mark for a pulse, as a picture shows neither "
        "artery nor depth, and have the vein measured; hands clean again and gloves on, clean the "
        "skin, let it dry, touch it no more (1 point).",
    ),
)
