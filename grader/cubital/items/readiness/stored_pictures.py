"""Items on stored pictures: when they go, which are lost, the end of a shift, whose they are."""

from cubital import calc
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.number import NumberItem
from cubital.items.kinds.ordering import Before, OrderItem, Step
from cubital.items.kinds.text import TextItem
from cubital.items.readiness.charge import BATTERIES
from cubital.items.writing.draw import Draw

STORED = "Stored pictures: when the oldest goes"
PRIVACY = "A picture without a name is still a clinical picture"


# --------------------------------------------------------------------- shifts until one is lost


def _draw_shifts(draw: Draw) -> dict:
    return {
        "stored_pictures": draw.policy["stored_pictures"],
        "patients": draw.step(8, 18, 1),
        "pictures_each": draw.step(2, 4, 1),
        "pictures_to_keep": draw.step(40, 120, 10),
    }


def _a_shift(v: Values) -> float:
    return v["patients"] * v["pictures_each"]


def _room(v: Values) -> float:
    """The new picture by which the oldest of those to keep goes."""
    return v["stored_pictures"] - v["pictures_to_keep"] + 1


def _shifts(v: Values, pictures: float) -> float:
    """The shifts in which so many pictures are taken."""
    return calc.time_to_loss_h(_a_shift(v), stored_pictures=pictures)


SHIFTS = NumberItem(
    id="ready-shifts-until-lost",
    version=3,
    title="Optional: shifts until a picture is overwritten",
    optional=True,
    points=2,
    section=STORED,
    draw_values=_draw_shifts,
    ask=lambda v: (
        f"The device keeps {v['stored_pictures']:.0f} pictures, and its store is full. The latest "
        f"{v['pictures_to_keep']:.0f} in it belong in the records and are not copied yet. Your "
        f"ward takes {v['pictures_each']:.0f} pictures of each patient, with {v['patients']:.0f} "
        "patients a shift. After how many shifts, on average, is the first of those to keep "
        "overwritten? Give one decimal."
    ),
    unit="shifts",
    quantity="answered_shifts",
    example="1.5 shifts",
    answer=lambda v: _shifts(v, _room(v)),
    absolute_tolerance=0.12,  # one decimal, and a room of one picture less: up to 0.05 and 1 in 16
    slips=(
        Slip(
            "whole-store-for-room",
            "the whole store is taken for room: take off those that are to be kept",
            lambda v: _shifts(v, v["stored_pictures"]),
        ),
        Slip(
            "kept-for-room",
            "the pictures to keep are taken for the room that is left: take them off the store",
            lambda v: _shifts(v, v["pictures_to_keep"]),
        ),
        Slip(
            "patients-for-pictures",
            "one picture a patient is reckoned with: multiply by the pictures of each",
            lambda v: _room(v) / v["patients"],
        ),
    ),
    route=lambda v: (
        f"{v['stored_pictures']:.0f} − {v['pictures_to_keep']:.0f} + 1 = {_room(v):.0f} new "
        f"pictures; {v['patients']:.0f} × {v['pictures_each']:.0f} = {_a_shift(v):.0f} a shift; "
        f"{_room(v):.0f} ÷ {_a_shift(v):.0f} = {_shifts(v, _room(v)):.1f} shifts"
    ),
)


# ------------------------------------------------------------------------ which ones are lost


def _draw_lost(draw: Draw) -> dict:
    store = draw.policy["stored_pictures"]
    lost = draw.step(40, 120, 1)
    return {
        "stored_pictures": store,
        "pictures_taken": store + lost,
        "first": lost - draw.step(4, 20, 1),
        "last": lost + draw.step(4, 20, 1),
    }


def _overwritten(v: Values) -> int:
    """The number of the last picture that is overwritten."""
    return calc.stored_range(int(v["pictures_taken"]), stored_pictures=v["stored_pictures"]).lost


def _series(first: float, last: float) -> float:
    """How many pictures there are from one number to another, both counted."""
    return last - first + 1


LOST = NumberItem(
    id="ready-lost",
    version=2,
    title="Which of the pictures are gone",
    points=2,
    section=STORED,
    draw_values=_draw_lost,
    ask=lambda v: (
        f"The device keeps {v['stored_pictures']:.0f} pictures. Since the store was last empty, "
        f"{v['pictures_taken']:.0f} have been taken, counted from 1. Those of your patient are "
        f"numbers {v['first']:.0f} to {v['last']:.0f}, and none was copied. How many of your "
        "patient's pictures are overwritten?"
    ),
    unit="pictures",
    quantity="answered_pictures",
    example="3 pictures",
    answer=lambda v: _series(v["first"], _overwritten(v)),
    absolute_tolerance=0.4,  # a count
    slips=(
        Slip(
            "all-overwritten",
            "all overwritten pictures are counted: count this patient's alone",
            _overwritten,
        ),
        Slip(
            "still-there-for-lost",
            "the pictures that are still there are counted: count the oldest, which go first",
            lambda v: _series(_overwritten(v) + 1, v["last"]),
        ),
        Slip(
            "first-not-counted",
            "the first picture is not counted: count both the first and the last",
            lambda v: _series(v["first"] + 1, _overwritten(v)),
        ),
        Slip(
            "whole-series-at-once",
            "a patient's pictures are taken to go all at once: count them one by one",
            lambda v: _series(v["first"], v["last"]),
        ),
    ),
    route=lambda v: (
        f"{v['pictures_taken']:.0f} − {v['stored_pictures']:.0f} = {_overwritten(v)}, so numbers 1 "
        f"to {_overwritten(v)} are gone; from {v['first']:.0f} to {_overwritten(v)} that is "
        f"{_series(v['first'], _overwritten(v)):.0f} pictures"
    ),
)


# ---------------------------------------------------------------------------- end of the shift

_STEPS = (
    Step("copy", "Copy the pictures that belong in the records."),
    Step("look", "Open the copies and look at them."),
    Step("delete", "Delete the pictures from the device, with its buttons."),
    Step("wipe", "Wipe it, handle and buttons too, and let it dry."),
    Step("charge", "Hang it on its hook and put it on charge."),
    Step("lamp", "Look that the charging light is on."),
)

END_OF_SHIFT = OrderItem(
    id="ready-end-of-shift",
    version=2,
    title="The end of the shift",
    points=2,
    section=BATTERIES,
    draw_values=lambda draw: {
        "shift": draw.choose(("day", "night")),
        "pictures": draw.step(12, 60, 1),
        "shown": draw.shuffled([step.key for step in _STEPS]),
    },
    ask=lambda v: (
        f"Your {v['shift']} shift is over, and the device has {v['pictures']:.0f} new pictures in "
        "it. Local policy says: copy what belongs in the records, then empty the store. Put the "
        "steps in order, each done once, so that no picture is lost and the next shift finds the "
        "device clean and charging."
    ),
    steps=lambda _v: _STEPS,
    rules=(
        Before(
            "looks-before-copying",
            "copy",
            "look",
            "looks before there are copies: what you see then is the device's own store",
        ),
        Before(
            "deletes-on-trust",
            "look",
            "delete",
            "deletes on trust: a copy that nobody has opened may be empty",
        ),
        Before(
            "handled-after-wiping",
            "delete",
            "wipe",
            "wipes it and goes on pressing its buttons: it is handled again after cleaning",
        ),
        Before(
            "charged-uncleaned",
            "wipe",
            "charge",
            "hangs it up before it is clean: the next user finds it charged and believes "
            "that it is ready",
        ),
        Before(
            "light-before-charging",
            "charge",
            "lamp",
            "looks at the light before it is on charge: a plug that does not hold goes unseen",
        ),
    ),
)


# ----------------------------------------------------------------------------- nobody's picture

_MARKS = (
    "a large tattoo on the forearm",
    "a burn scar across the forearm",
    "a fistula at the wrist",
    "a birthmark on the back of the hand",
)

_HOURS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven")

NOBODYS_PICTURE = TextItem(
    id="ready-nobodys-picture",
    title="Nobody's picture",
    points=3,
    section=PRIVACY,
    draw_values=lambda draw: {
        "mark": draw.choose(_MARKS),
        "beside": draw.choose(("part of a wristband", "a ring", "a relative's hand")),
        "hour": draw.choose(_HOURS),
        "room": draw.step(1, 9, 1),
    },
    ask=lambda v: (
        f"A stored picture shows {v['mark']}, with {v['beside']} beside it. It was taken in room "
        f"{v['room']:.0f} at ten past {v['hour']}. A colleague wants to copy it to their own "
        "telephone, for a teaching talk: “There's no name on it, so it's nobody's.” The patient "
        "agreed to the needle; nobody has asked about a picture. In four or five sentences, "
        "tell them who could say whose arm it is, what consent is missing, and what may be done "
        "with the picture."
    ),
    mark_scheme=(
        "The person can be told without a name: by the mark on the skin, by what lies beside it, "
        "or by time and room beside the ward's list; names at least two of these. Covering the "
        "mark is not enough by itself (1 point).",
        "Consent to the needle is not consent to a picture: that is asked for apart, and again for "
        "teaching; it can be refused or withdrawn (1 point).",
        "It is a clinical picture: kept, shown and deleted by local policy only; never on one's "
        "own telephone or by a private message (1 point).",
    ),
)
