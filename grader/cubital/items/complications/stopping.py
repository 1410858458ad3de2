"""Items on when to stop: a nerve met by the needle, and a vesicant outside the vein."""

from cubital.items.complications.bleeding import FIRST, TWO
from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import listed, with_wrong

# ----------------------------------------------------------------------------- nerve contact

_FELT = (
    ("halfway up the forearm, on the thumb side", "into the thumb"),
    ("halfway up the forearm, on the thumb side", "over the back of the hand"),
    ("in the crook of the elbow", "down to the little finger"),
    ("in the crook of the elbow", "along the inside of the forearm"),
)


def _draw_nerve(draw: Draw) -> dict:
    wrong = (
        "blood-so-clear-of-nerve",
        "fades-so-in",
        "flush-and-ask",
        "same-place",
        "no-note",
        "beside-a-nerve",
    )
    place, where = draw.choose(_FELT)
    return {
        "place": place,
        "where": where,
        "gauge": draw.choose((22, 20)),
        "order": with_wrong(draw, "out-and-ask-again", wrong),
    }


def _nerve_options(v: Values) -> list[Option]:
    return listed(
        v,
        (
            Option(
                "out-and-ask-again",
                "Loosen the tourniquet, take the needle out and go elsewhere; write down "
                "where it tingled, and ask again later.",
            ),
            Option(
                "blood-so-clear-of-nerve",
                "Go on, and slide the catheter off: blood came back, so the tip is in the vein and "
                "not at a nerve.",
                "takes blood in the chamber for a needle that is clear of the nerve: it can have "
                "met both",
            ),
            Option(
                "fades-so-in",
                "Hold the needle still until the tingling fades, then slide the catheter off "
                "and fix it; write down where it was.",
                "takes tingling that fades for a nerve that is free: the tip is still at it",
            ),
            Option(
                "flush-and-ask",
                "Flush slowly with saline, ask again, and take the needle out only if it "
                "comes back; write down where it tingled.",
                "tries it out on the nerve: what is injected there does harm of its own",
            ),
            Option(
                "same-place",
                "Loosen the tourniquet, take the needle out, and go in again a finger's "
                "breadth higher on the same vein.",
                "goes on where a nerve was met: it runs along there, and no picture shows it",
            ),
            Option(
                "no-note",
                "Loosen the tourniquet, take the needle out and use the other arm; if it has "
                "gone by then, there is nothing to write down.",
                "keeps it out of the notes: harm to a nerve can show later, and nobody would ask "
                "again",
            ),
            Option(
                "beside-a-nerve",
                "Loosen the tourniquet, draw the needle back until the tingling stops, and go "
                "on at a flatter angle.",
                "searches on with the needle beside a nerve that nobody sees",
            ),
        ),
    )


NERVE = ChoiceItem(
    id="comp-nerve",
    title="Tingling with blood in the chamber",
    points=2,
    section=TWO,
    critical=True,
    version=4,
    draw_values=_draw_nerve,
    ask=lambda v: (
        f"A {v['gauge']} G needle is in a vein {v['place']}, and blood shows in the chamber. As "
        f"you advance, the patient says that it tingles {v['where']}. What do you do?"
    ),
    options=_nerve_options,
)


# --------------------------------------------------------------------------------- a vesicant

# What the patient cannot be without goes on elsewhere as soon as the leak is stopped: drugs that
# hold up the blood pressure, and dobutamine, which drives the heart and is no vasopressor. After
# most of the leaks seen by lewis-2017 the drug was started again in another vein. That a sudden
# stop can let the pressure fall is in dopamine-label; dobutamine-label says that its effect on the
# pressure ends rapidly, not that this is dangerous. All else here is common practice, from memory.
# These are parts of names: noradrenaline and norepinephrine are two names of one drug.
_CANNOT_PAUSE = (
    "adrenaline",
    "epinephrine",
    "dopamine",
    "dobutamine",
    "vasopress",
    "phenylephrine",
    "metaraminol",
)
_SIGNS = (
    "The patient says that it burns, and the skin over the tip is firm and cool",
    "The patient says that it stings, and this forearm is thicker than the other",
    "The patient, who is confused, pulls the arm away, and the skin over the tip is tight",
)


def _draw_vesicant(draw: Draw) -> dict:
    wrong = ("out-at-once", "flush-through", "slower", "cold-pack", "blood-returns", "see-redness")
    return {
        "drug": draw.choose(draw.policy["vesicants"]),
        "signs": draw.choose(_SIGNS),
        "order": with_wrong(draw, "stop-and-leave", wrong),
    }


def _vesicant_options(v: Values) -> list[Option]:
    done = "Stop, line off, leave the catheter in and unflushed, "
    if any(name in v["drug"].casefold() for name in _CANNOT_PAUSE):
        done += "call for help and the protocol, and start it elsewhere now."
    else:
        done += "and call for help and the protocol."
    return listed(
        v,
        (
            Option(
                "stop-and-leave",
                done,
            ),
            Option(
                "out-at-once",
                "Stop, line off, take the catheter out, call for help, and put a new one into "
                "the other arm without delay.",
                "does what is done for saline: with the catheter goes the way to draw the drug "
                "back or to give an antidote",
            ),
            Option(
                "flush-through",
                "Stop, line off, flush what is left in the catheter through with 10 mL of "
                "saline, and call for help.",
                "flushes to thin the drug: that pushes what is in the catheter into the tissue, "
                "and spreads it",
            ),
            Option(
                "slower",
                "Halve the rate and call a doctor to look: the patient needs the drug.",
                "goes on with it more slowly: it harms here at any rate, and it can be given "
                "elsewhere",
            ),
            Option(
                "cold-pack",
                "Stop, line off, put a cold pack on before anything else, and call for help "
                "and the protocol then.",
                "takes cold for right with every drug: with some it does harm, so the protocol of "
                "the drug comes first",
            ),
            Option(
                "blood-returns",
                "Draw back at once: if blood comes, the tip is in the vein, and the drug can "
                "run on.",
                "takes blood that comes back for proof: the tip can be in the vein while the drug "
                "runs out beside it",
            ),
            Option(
                "see-redness",
                "Look for redness and blanching. If there is neither, let it run and look again in "
                "10 minutes.",
                "waits for a colour: it comes late, and skin tone can hide it",
            ),
        ),
    )


VESICANT = ChoiceItem(
    id="comp-vesicant",
    title="A drug that harms tissue",
    points=2,
    section=FIRST,
    critical=True,
    version=5,
    draw_values=_draw_vesicant,
    ask=lambda v: (
        f"Into a forearm runs what your department's list names as a vesicant: {v['drug']}. "
        f"{v['signs']}. The pump has not alarmed. What do you do first?"
    ),
    options=_vesicant_options,
)
