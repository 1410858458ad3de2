"""Items on when not to use it: in an emergency, and by what stands in its way."""

from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.tabling import Column, Row, TableItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import listed, with_wrong

OFF = "When the device stays on its hook"


# ------------------------------------------------------------------------------- an emergency


def _draw_emergency(draw: Draw) -> dict:
    wrong = (
        "waits-for-picture",
        "check-skipped",
        "room-darkened",
        "hands-taken-away",
        "better-vein",
    )
    return {
        "place": draw.choose(
            ("in the crook of the {} elbow", "in the {} forearm", "on the back of the {} hand")
        ),
        "side": draw.choose(("left", "right")),
        "minutes": draw.step(2, 5, 1),
        "order": with_wrong(draw, "by-touch", wrong),
    }


def _emergency_options(v: Values) -> list[Option]:
    other = {"left": "right", "right": "left"}[v["side"]]
    texts = (
        Option(
            "by-touch",
            "Go in now, in the vein that you feel; if it is missed, take the next route of "
            "local policy.",
        ),
        Option(
            "waits-for-picture",
            f"Wait: {v['minutes']:.0f} minutes are well spent if the first attempt succeeds by "
            "the picture and not by touch.",
            "lets an aid delay an emergency: a vein that can be felt is there now",
        ),
        Option(
            "check-skipped",
            "Have it brought, and switch it on without the check of local policy: in an "
            "emergency there is no time for it.",
            "drops the check in a hurry: a picture beside the vein costs more time than none",
        ),
        Option(
            "room-darkened",
            "Turn down the lights and draw the blinds, so that the picture is good when the "
            "device comes.",
            "darkens the room for a picture: the others need the light for patient, drugs and "
            "needle",
        ),
        Option(
            "hands-taken-away",
            "Let the colleague fetch it and hold it over the vein that you feel; if it is "
            "missed, take the next in the picture.",
            "takes hands from the patient for a picture",
        ),
        Option(
            "better-vein",
            "Go in without the device, but not in the vein that you feel: take the next, if "
            f"it is straighter, on the {other} arm.",
            "looks for a better vein while a good one can be felt",
        ),
    )
    return listed(v, texts)


EMERGENCY = ChoiceItem(
    id="ready-emergency",
    version=2,
    title="An emergency, and the device is elsewhere",
    points=2,
    section=OFF,
    draw_values=_draw_emergency,
    ask=lambda v: (
        "A patient collapses and needs a drug at once. You can feel a good vein "
        f"{v['place'].format(v['side'])}, and the catheter is in your hand. A colleague says: "
        f"“Wait, I'll fetch the vein-imaging device, I'm back in {v['minutes']:.0f} minutes.” What "
        "do you do?"
    ),
    options=_emergency_options,
)


# -------------------------------------------------------------------------- what stands in its way

_COLUMNS = (
    Column("use", "Use it"),
    Column("first", "Put something right, then use it"),
    Column("without", "Do without it for this patient"),
    Column("nobody", "Nobody uses it: label and report"),
)

_ROWS = {
    row.key: row
    for row in (
        Row(
            "agrees-to-look",
            "It is ready. The patient agrees to looking, but to no stored picture.",
            "use",
            {
                "first": "waits for consent to a picture: looking needs no stored one",
                "without": "takes a no to the picture for a no to looking",
                "nobody": "finds a fault with the device in what a patient decides",
            },
        ),
        Row(
            "thin-skin",
            "It is ready. The skin is thin but unbroken, and a stand holds the device off it.",
            "use",
            {
                "first": "looks for something to put right: held off, it does not touch the skin",
                "without": "takes thin skin for broken: held off, the device does not harm it",
                "nobody": "finds a fault with the device in the patient's skin",
            },
        ),
        Row(
            "little-charge",
            "The charge will not last for this patient. The charger is free, and there is time.",
            "first",
            {
                "use": "lets the picture go out half way: that costs an attempt",
                "without": "goes without, though there is time to charge it",
                "nobody": "takes an empty battery for a fault",
            },
        ),
        Row(
            "not-marked",
            "It looks clean. Nobody has marked it as cleaned, and nobody knows.",
            "first",
            {
                "use": "takes what looks clean for clean",
                "without": "leaves it as it is, though wiped and dry it can be used",
                "nobody": "reports as a fault what a wipe puts right",
            },
        ),
        Row(
            "store-full",
            "The night's pictures are not copied yet, and the store is full. This patient's record "
            "must have a picture.",
            "first",
            {
                "use": "lets a new picture overwrite one that was not copied",
                "without": "leaves the loss to the next who stores a picture",
                "nobody": "takes a full store for a fault: copied and emptied, it has room",
            },
        ),
        Row(
            "infected-skin",
            "It is ready. The skin over the only vein that shows is infected.",
            "without",
            {
                "use": "brings device and needle to infected skin",
                "first": "would wipe an infection away: cleaning does not make the place fit",
                "nobody": "blames the device for the skin: for other patients it is ready",
            },
        ),
        Row(
            "refused",
            "It is ready. You have explained it once, and the patient still says no to it.",
            "without",
            {
                "use": "uses it against the patient's will",
                "first": "goes on persuading: explain once, then respect the answer",
                "nobody": "finds a fault with the device in what a patient decides",
            },
        ),
        Row(
            "excluded",
            "It is ready. Its instructions for use exclude patients like this one.",
            "without",
            {
                "use": "sets a judgement of their own above the instructions",
                "first": "looks for a setting that lifts an exclusion: there is none",
                "nobody": "takes it from those patients, too, for whom it is meant",
            },
        ),
        Row(
            "fails-twice",
            "Window clean, distance right: the marks fail for the second time.",
            "nobody",
            {
                "use": "trusts a picture that falls beside the vein",
                "first": "checks until it passes: a second no is a no",
                "without": "hangs it back unlabelled, for the next to take",
            },
        ),
        Row(
            "swollen-battery",
            "Its battery is swollen and has grown hot on the charger.",
            "nobody",
            {
                "use": "uses a battery that is failing: it can burn",
                "first": "lets it cool and charges it again: a swollen battery is not charged",
                "without": "leaves it where it is, for the next to charge",
            },
        ),
        Row(
            "cracked",
            "It has fallen, and its housing is cracked. The picture is good.",
            "nobody",
            {
                "use": "trusts a good picture: a crack holds dirt and lets fluid in",
                "first": "wipes or tapes a crack: it stays one",
                "without": "hangs it back unlabelled, for the next to take",
            },
        ),
    )
}


def _draw_rows(draw: Draw) -> dict:
    """One row of each column, and one more."""
    by_column = [[key for key, row in _ROWS.items() if row.right == c.key] for c in _COLUMNS]
    rows = [draw.choose(keys) for keys in by_column]
    rows.append(draw.choose([key for key in _ROWS if key not in rows]))
    return {"rows": draw.shuffled(rows)}


def _rows(v: Values) -> list[Row]:
    return [_ROWS[key] for key in v["rows"]]


USE_OR_NOT = TableItem(
    id="ready-use-or-not",
    title="Used, put right, left off, or reported",
    points=2,
    section=OFF,
    draw_values=_draw_rows,
    ask=lambda _v: (
        "What happens to the device? In each row, only what the row says speaks against "
        "using the device. Everything else is in order, and it is not an emergency. Choose "
        "one answer for each row."
    ),
    columns=lambda _v: _COLUMNS,
    rows=_rows,
)
