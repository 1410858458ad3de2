"""Items on the whole: its steps in order, and how what was done is judged."""

from collections.abc import Sequence

from cubital.items.kinds.base import Values
from cubital.items.kinds.ordering import Before, OrderItem, Step
from cubital.items.kinds.tabling import Column, Row, TableItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.wording import per_cent

INSERTION = "Insertion"
JUDGED = "How your choices are judged"

# --------------------------------------------------------------------------- steps in order

_STEPS = (
    Step(
        "who",
        "Let the patient say name and date of birth, read the wristband, and ask for consent.",
    ),
    Step("ask", "Ask about allergies, blood thinners and restrictions of an arm."),
    Step("feel", "Clean hands; feel for a pulse, with no tourniquet; have the vein measured."),
    Step(
        "clean",
        "Clean hands again, and gloves; with no tourniquet on, clean the skin, let it dry, and "
        "touch it no more.",
    ),
    Step(
        "in",
        "Tourniquet on; when the vein is full, go in; at blood, lower, go on a little, slide the "
        "catheter off.",
    ),
    Step("off", "Tourniquet off; the needle into the sharps box, by your own hand."),
    Step("end", "Flush without force, secure the hub, write down place, size and attempts."),
)

ORDER = OrderItem(
    id="patient-order",
    title="From the door to the note",
    points=2,
    section=INSERTION,
    draw_values=lambda draw: {
        "drug": draw.choose(("an antibiotic", "saline", "a painkiller", "a drug against sickness")),
        "shown": draw.shuffled([step.key for step in _STEPS]),
    },
    ask=lambda v: (
        f"An adult, whom you have not met, is to have {v['drug']} by a vein of the forearm. The "
        "tourniquet is at hand and not on. Put the steps in order."
    ),
    version=4,
    steps=lambda _v: _STEPS,
    rules=(
        Before(
            "asks-before-who",
            "who",
            "ask",
            "asks and looks things up before it is clear who the patient is: the answers may "
            "be matched with another patient's order",
        ),
        Before(
            "touches-before-consent",
            "who",
            "feel",
            "takes hold of an arm before the patient has been named and has agreed",
        ),
        Before(
            "needle-before-asking",
            "ask",
            "clean",
            "chooses arm and antiseptic before asking what this patient must not have",
        ),
        Before(
            "feels-too-late",
            "feel",
            "clean",
            "feels for the pulse when the skin has been cleaned: the finger brings germs back",
        ),
        Before(
            "in-before-clean",
            "clean",
            "in",
            "goes in through skin that has not been cleaned",
        ),
        Before(
            "empties-the-vein",
            "in",
            "off",
            "clears up before the catheter is in: without a tourniquet the vein is emptier, and "
            "the needle is still needed",
        ),
        Before(
            "needle-lies-about",
            "off",
            "end",
            "flushes and writes with the tourniquet on and the needle lying: the flush is pressed "
            "out through the wall, and the next hand finds the needle",
        ),
    ),
)

# ------------------------------------------------------------------- how what was done is judged

GOOD, MEND, STOP = "good", "mend", "stop"

_OVER_THE_LIMIT = 0.03


def _rows(v: Values) -> dict[str, Row]:
    ratio, limit = v["ratio_limit"], int(v["attempt_limit"])
    rows = (
        Row(
            "thinner",
            "The patient takes a blood thinner. You go on, and will press longer.",
            GOOD,
            {
                MEND: "puts it off because of a blood thinner: it is a reason to press longer",
                STOP: "takes a blood thinner for a ban on needles",
            },
        ),
        Row(
            "faint",
            "You take the faint band: it was measured, is soft and does not pulsate.",
            GOOD,
            {
                MEND: "waits for a sharp band: faint means deeper here, not thinner",
                STOP: "takes a faint band for no vein, though finger and ultrasound say it is one",
            },
        ),
        Row(
            "last-allowed",
            f"You make attempt {limit} of the {limit} allowed, on another vein, felt and measured, "
            "that promises well.",
            GOOD,
            {
                MEND: "finds something to mend where nothing is: handing on earlier is right when "
                "you expect to fail, and here you do not",
                STOP: "counts the last attempt that is allowed as one too many",
            },
        ),
        Row(
            "hand-on-early",
            "No vein is seen or felt, and it was hard the last time. You call the colleague with "
            "ultrasound before the first attempt.",
            GOOD,
            {
                MEND: "would use up the attempts first: the limit says how many at most, not how "
                "many must be made",
                STOP: "takes handing on early for giving up: it spares the patient attempts that "
                "are likely to fail",
            },
        ),
        Row(
            "wet",
            "The needle is about to go in, and the antiseptic is still wet.",
            MEND,
            {
                GOOD: "takes an antiseptic to work at once: it works while it dries",
                STOP: "refuses altogether what a short wait puts right",
            },
        ),
        Row(
            "gloves",
            "You are about to begin. Gloves are on, and the hands in them were not cleaned.",
            MEND,
            {
                GOOD: "takes gloves for clean hands",
                STOP: "refuses altogether what clean hands and new gloves put right",
            },
        ),
        Row(
            "tight",
            f"Of the measured vein the catheter would take {per_cent(ratio + _OVER_THE_LIMIT)}; "
            f"local policy allows {per_cent(ratio)}.",
            MEND,
            {
                GOOD: "lets a little over the limit pass: less blood flows beside the catheter",
                STOP: "refuses altogether what a thinner catheter or a wider vein puts right",
            },
        ),
        Row(
            "round",
            "Tape goes round the arm and hides the place.",
            MEND,
            {
                GOOD: "takes firm tape for good tape: round an arm it can act as a tourniquet, and "
                "nobody sees what is under it",
                STOP: "gives a good catheter up for a dressing that can be done anew",
            },
        ),
        Row(
            "not-felt",
            "The needle is about to go into a sharp band that nobody has felt.",
            STOP,
            {
                GOOD: "takes a sharp band for a vein: it may be an artery",
                MEND: "takes feeling for a pulse for a detail: it may be an artery, and feeling "
                "comes before any needle",
            },
        ),
        Row(
            "restricted",
            "Local policy keeps the side free where the lymph nodes were taken out. You go in "
            "there with great care, and have asked nobody.",
            STOP,
            {
                GOOD: "takes a good vein for a free arm",
                MEND: "takes care for a substitute for permission: policy and the patient decide "
                "on this arm, before the needle",
            },
        ),
        Row(
            "bed",
            "The used needle lies on the bed until the dressing is on.",
            STOP,
            {
                GOOD: "leaves the needle lying: the next hand finds it",
                MEND: "takes clearing up later for enough: the harm is done by then",
            },
        ),
        Row(
            "beyond",
            f"You make attempt {limit + 1}, where {limit} {'is' if limit == 1 else 'are'} allowed, "
            "as this vein shows so well.",
            STOP,
            {
                GOOD: "lets a good picture lift the limit",
                MEND: "takes the limit for a guide that can be bent a little",
            },
        ),
        Row(
            "slower",
            "The place is swollen. You let it run slower, and watch.",
            STOP,
            {
                GOOD: "takes slower for safe: it goes on into the tissue",
                MEND: "would watch a leak before stopping it",
            },
        ),
    )
    return {row.key: row for row in rows}


_KEYS = {
    GOOD: ("thinner", "faint", "last-allowed", "hand-on-early"),
    MEND: ("wet", "gloves", "tight", "round"),
    STOP: ("not-felt", "restricted", "bed", "beyond", "slower"),
}
ROWS_SHOWN = 5


def _draw_judged(draw: Draw) -> dict:
    """Draw at least one row of each verdict."""
    drawn = {verdict: draw.shuffled(keys) for verdict, keys in _KEYS.items()}
    first = [keys[0] for keys in drawn.values()]
    rest = draw.shuffled([key for keys in drawn.values() for key in keys[1:]])
    return {
        "ratio_limit": draw.policy["ratio_limit"],
        "attempt_limit": draw.policy["attempt_limit"],
        "rows": draw.shuffled([*first, *rest[: ROWS_SHOWN - len(first)]]),
    }


def _shown(v: Values) -> Sequence[Row]:
    rows = _rows(v)
    return [rows[key] for key in v["rows"]]


TABLE = TableItem(
    id="patient-judged",
    title="Go on, mend it, or not acceptable",
    version=2,
    points=2,
    section=JUDGED,
    draw_values=_draw_judged,
    ask=lambda _v: (
        "What do you make of each of these? “Mend this first” means that you put it right "
        "before you go on. “Not acceptable” means that it must not happen at all, however "
        "well the rest goes. The patient has agreed, and it is not an emergency."
    ),
    columns=lambda _v: (
        Column(GOOD, "as it should be"),
        Column(MEND, "mend this first"),
        Column(STOP, "not acceptable"),
    ),
    rows=_shown,
)
