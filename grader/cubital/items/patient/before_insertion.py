"""Items on what comes before a needle: the arm, the pulse, clean skin, a patient handed over."""

from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.text import TextItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import ordered, with_wrong
from cubital.tables.patient import patient

ASSESSMENT = "Assessment"

SIDES = ("left", "right")


# ------------------------------------------------------------------- an arm with a restriction

RESTRICTIONS = {
    "fistula": "has a fistula for dialysis",
    "nodes": "is the one on whose side the lymph nodes of the armpit were taken out, and local "
    "policy keeps it free",
    "weak": "has been weak and numb since a stroke",
    "infected": "is red, hot and swollen at the elbow",
}


def _draw_arm(draw: Draw) -> dict:
    wrong = (
        "clear-picture",
        "lower-down",
        "small-needle-allowed",
        "no-tourniquet",
        "went-well-before",
    )
    return {
        "restriction": draw.choose(tuple(RESTRICTIONS)),
        "side": draw.choose(SIDES),
        "order": with_wrong(draw, "other-arm", wrong),
    }


def _arm_options(v: Values) -> list[Option]:
    return ordered(
        v,
        (
            "other-arm",
            "The other one, with ultrasound if need be; should it have no vein, it is for "
            "others to decide.",
        ),
        {
            "clear-picture": (
                f"The {v['side']} forearm: the picture is better there, so that the first vein "
                "will do.",
                "takes a good picture for a free arm: the picture does not know of restrictions",
            ),
            "lower-down": (
                f"The back of the {v['side']} hand, though it is the same arm; it is a good "
                "way from the trouble, and will do.",
                "thinks that a restriction ends further down: it holds for the whole limb",
            ),
            "small-needle-allowed": (
                f"The {v['side']} arm, though only with a thin catheter: it is for one short "
                "dose, and a thin vein will do.",
                "lets a thin needle or a short stay lift a restriction: it holds for every needle",
            ),
            "no-tourniquet": (
                f"The {v['side']} arm, though with great care and no tourniquet: it is that "
                "which does the harm there.",
                "thinks that only the tourniquet is forbidden: so are the needle and what runs in",
            ),
            "went-well-before": (
                f"The {v['side']} arm, if the patient is for it: it went well there the last "
                "time, and it is theirs to decide.",
                "takes one time without harm for leave: who may decide has not decided",
            ),
        },
    )


ARM = ChoiceItem(
    id="patient-arm",
    title="The arm with the better veins",
    points=2,
    section=ASSESSMENT,
    critical=True,
    version=3,
    draw_values=_draw_arm,
    ask=lambda v: (
        f"The near-infrared picture shows sharp bands on the {v['side']} arm and hardly any on the "
        f"other. The {v['side']} arm {RESTRICTIONS[v['restriction']]}. It is not an emergency. "
        "Which arm do you take?"
    ),
    options=_arm_options,
)


# ------------------------------------------------------------------------ a pulse not felt


_COVERED = {
    "tight": "with the tourniquet tight",
    "two-gloves": "through two pairs of gloves",
    "hard": "pressing down hard with the thumb",
}


def _draw_pulse(draw: Draw) -> dict:
    wrong = ("picture-so-vein", "no-beat", "patient-at-ease", "thinner-needle", "no-pulse-so-vein")
    return {
        "covered": draw.choose(tuple(_COVERED)),
        "place": draw.choose(("in the forearm", "in the crook of the elbow")),
        "order": with_wrong(draw, "feel-again", wrong),
    }


def _pulse_options(v: Values) -> list[Option]:
    return ordered(
        v,
        (
            "feel-again",
            "Feel it yourself before you go in, lightly, with bare skin, while no tourniquet "
            "is on.",
        ),
        {
            "picture-so-vein": (
                "Go in: the sharpest band of all is a vein, and you need not feel it yourself.",
                "takes the sharpest band for a vein: in the lesson it was the one that pulsated",
            ),
            "no-beat": (
                "Go in: two people need not feel for a pulse that is not there.",
                "takes a pulse that could not be felt for one that is not there",
            ),
            "patient-at-ease": (
                "Ask, before you go in, whether the patient can feel it throb there, while no "
                "tourniquet is on.",
                "leaves it to the patient to feel an artery, which one seldom does at rest",
            ),
            "thinner-needle": (
                "Go in lightly, with a thinner catheter, while no tourniquet is on, and stop "
                "if it is an artery.",
                "makes an artery's puncture smaller instead of finding it first",
            ),
            "no-pulse-so-vein": (
                "Go in slowly, and stop if the blood is bright or beats; if not, go on.",
                "leaves it to the blood: it can be dark, and need not beat, in an artery as well",
            ),
        },
    )


PULSE = ChoiceItem(
    id="patient-pulse",
    title="No pulse under the finger",
    points=2,
    section=ASSESSMENT,
    critical=True,
    version=4,
    draw_values=_draw_pulse,
    ask=lambda v: (
        f"A colleague has felt for a pulse over a sharp band {v['place']}, "
        f"{_COVERED[v['covered']]}, and says that there is none. The skin is not cleaned yet. "
        "What do you do?"
    ),
    options=_pulse_options,
)


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
                "thinks that an antiseptic works at once: it works while it dries",
            ),
            "dry-swab": (
                "Wipe the place dry with a sterile swab from the pack, and go in.",
                "takes wiping for disinfecting: a dry swab takes off little and kills nothing",
            ),
            "allergic-to": (
                f"Clean it with {patient().allergy}, which goes on working for longer, let it dry, "
                "and go in.",
                "forgets the allergy that the patient has told of",
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
        "the band, compare with the order, explain, and ask for consent (1 point).",
        "Ask, and look up, allergies (drug, antiseptic, dressing), blood thinners and restrictions "
        "of this arm, before arm and antiseptic are chosen (1 point).",
        "Clean hands; tourniquet off, feel along the mark for a pulse, as a picture shows neither "
        "artery nor depth, and have the vein measured; hands clean again and gloves on, clean the "
        "skin, let it dry, touch it no more (1 point).",
    ),
)
