"""The item on what the finger tells of a dark band."""

from collections.abc import Mapping

from cubital.items.kinds.tabling import Column, Row, TableItem

FEEL = "Look, feel, compare"

_ROWS_SHOWN = 5

_COLUMNS = {
    "open": "a vein, open here",
    "artery": "an artery",
    "cord": "a scarred or clotted vein",
    "fistula": "a fistula",
}

# What is felt and seen -> the column that is right, and what is believed by who takes another.
_FELT: Mapping[str, tuple[str, str, Mapping[str, str]]] = {
    "soft": (
        "Soft, and springs back when the finger lets go",
        "open",
        {
            "artery": "takes bounce for a beat: a vein gives and comes back once, when you let go",
            "cord": "takes any vein that can be felt for a hard one",
            "fistula": "takes a full, soft vein for a fistula, though nothing buzzes",
        },
    ),
    "fuller": (
        "Fuller and firmer once the tourniquet is on, and flat again without it",
        "open",
        {
            "artery": "expects an artery to swell behind a tourniquet: blood dams up in veins",
            "cord": "expects a clotted vein to fill: a cord feels the same with and without a "
            "tourniquet",
            "fistula": "takes what a tourniquet fills for a fistula: one is full without it",
        },
    ),
    "refills": (
        "Stroked empty, the band fills again from the hand, and gives under the finger",
        "open",
        {
            "artery": "expects an artery to be stroked empty and filled from the hand",
            "cord": "expects a clotted vein to empty and fill: its clot stays where it is",
            "fistula": "takes a refill from the hand for a fistula's flow, though nothing buzzes",
        },
    ),
    "beats": (
        "A beat in time with the patient's pulse, and no buzz",
        "artery",
        {
            "open": "takes what beats for a vein: it is not a place for the needle",
            "cord": "overlooks the beat: a cord lies still under the finger",
            "fistula": "takes a plain beat for the buzz of a fistula",
        },
    ),
    "beat-lost": (
        "A beat before the tourniquet went on; with it on, none",
        "artery",
        {
            "open": "trusts the finger after the tourniquet: a tight one can hide a pulse",
            "cord": "takes a pulse that a tight tourniquet hides for a blocked vein",
            "fistula": "takes a plain beat for the buzz of a fistula",
        },
    ),
    "string": (
        "Hard, and rolls under the finger like a string; the picture shows it dark",
        "cord",
        {
            "open": "goes by the dark band: scarred and clotted veins can look dark as well",
            "artery": "takes what is hard for an artery, though nothing beats",
            "fistula": "takes a hard string for a fistula, though nothing buzzes",
        },
    ),
    "sore": (
        "Firm all along and sore to the touch, with no beat; it does not give",
        "cord",
        {
            "open": "passes over what is sore and does not give: an open vein is soft",
            "artery": "takes what is firm for an artery, though nothing beats",
            "fistula": "takes a sore, firm line for a fistula, though nothing buzzes",
        },
    ),
    "same": (
        "Hard and as full without the tourniquet as with it; nothing beats or buzzes",
        "cord",
        {
            "open": "takes a full vein for an open one: what a clot fills stays full",
            "artery": "takes what is always full for an artery, though nothing beats",
            "fistula": "takes what is always full for a fistula, though nothing buzzes",
        },
    ),
    "buzz": (
        "A steady buzz under the finger, over a very broad band",
        "fistula",
        {
            "open": "takes the broad band of a fistula for a good vein: it is never for you",
            "artery": "takes the buzz for a beat: a thrill goes on between the beats",
            "cord": "overlooks the buzz: in a clotted vein nothing moves",
        },
    ),
    "scar-buzz": (
        "Beside a scar at the wrist, a thrill that does not stop between beats",
        "fistula",
        {
            "open": "passes over scar and thrill: this arm is left alone",
            "artery": "takes the thrill for a beat: an artery rests between beats",
            "cord": "takes the scar for a scarred vein: the thrill tells that blood rushes through",
        },
    ),
}


def _row(key: str) -> Row:
    text, right, misconceptions = _FELT[key]
    return Row(key, text, right, misconceptions)


FINGER = TableItem(
    id="read-finger",
    title="What the finger tells",
    points=2,
    section=FEEL,
    draw_values=lambda draw: {"rows": draw.shuffled(tuple(_FELT))[:_ROWS_SHOWN]},
    ask=lambda _v: (
        "Each of these was felt on a dark band, before the skin was cleaned. What does it speak "
        "for most? An answer may fit several rows, or none."
    ),
    columns=lambda _v: [Column(key, text) for key, text in _COLUMNS.items()],
    rows=lambda v: [_row(key) for key in v["rows"]],
)
