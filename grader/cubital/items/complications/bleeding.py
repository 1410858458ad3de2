"""Items on bleeding: a haematoma, what is done first, and an artery met by mistake."""

from cubital import calc, tables
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.number import NumberItem
from cubital.items.kinds.ordering import Before, OrderItem, Step
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import listed, with_wrong

HAEMATOMA = "A haematoma grows"
TWO = "Two that must be recognised every time"
FIRST = "What is done first"

ON, OFF = "value", "low"  # the pressure in the vein with the tourniquet on, and with it off

_PRESSED_MIN, _SOONEST_MIN = 3, 1  # the choices of the lesson's figure
# Not 9, which reads nearly as 8 does, and not 3, which reads as a place pressed then does later.
_MINUTES = (2, 4, 5, 6, 7, 8, 10)

# ---------------------------------------------------------------- what the tourniquet drives out


def _draw_haematoma(draw: Draw) -> dict:
    return {
        "minute": draw.choose(_MINUTES),
        "pressed_after_min": draw.choose((None, None, None, _PRESSED_MIN)),
    }


def _blood_ml(v: Values, tourniquet: str, pressed_after_min: float | None = None) -> float:
    pressure = getattr(tables.constant("scene-haematoma-pressure"), tourniquet)
    return calc.haematoma_volume_ml(
        v["minute"], vein_pressure_mmhg=pressure, pressed_after_min=pressed_after_min
    )


def _driven_out(v: Values) -> float:
    pressed = v["pressed_after_min"]
    return _blood_ml(v, ON, pressed) - _blood_ml(v, OFF, pressed)


def _pressed_otherwise(v: Values) -> float:
    other = _SOONEST_MIN if v["pressed_after_min"] is None else None
    return _driven_out({**v, "pressed_after_min": other})


def _pressing(v: Values) -> str:
    pressed = v["pressed_after_min"]
    return "none" if pressed is None else f"after {pressed:.0f} minutes"


DRIVEN_OUT = NumberItem(
    id="comp-haematoma",
    version=2,
    title="What a tourniquet left on drives out",
    points=2,
    section=HAEMATOMA,
    draw_values=_draw_haematoma,
    ask=lambda v: (
        f"Set the lesson's figure of a haematoma to minute {v['minute']:.0f} and firm pressure to "
        f"“{_pressing(v)}”. How much more blood lies outside the vein with the tourniquet left on "
        "than with it taken off at once? Give one decimal."
    ),
    unit="mL",
    quantity="answered_outside_ml",
    example="1.2 mL",
    answer=_driven_out,
    absolute_tolerance=0.11,  # the difference of two readings with one decimal each
    slips=(
        Slip(
            "tourniquet-on-only",
            "all the blood under the tourniquet is given: take off what leaks with it off",
            lambda v: _blood_ml(v, ON, v["pressed_after_min"]),
        ),
        Slip(
            "pressing-set-otherwise",
            "firm pressure is set otherwise than asked: set it as the question says, since it "
            "stops the leak",
            _pressed_otherwise,
        ),
    ),
    route=lambda v: (
        f"{_blood_ml(v, ON, v['pressed_after_min']):.1f} mL with the tourniquet on − "
        f"{_blood_ml(v, OFF, v['pressed_after_min']):.1f} mL with it off = {_driven_out(v):.1f} mL"
    ),
)


# ------------------------------------------------------------------------------ first actions

_PLACES = ("the left forearm", "the right forearm", "the back of the left hand")


def _draw_order(draw: Draw) -> dict:
    return {
        "place": draw.choose(_PLACES),
        "shown": draw.shuffled(("tourniquet", "needle", "press", "look", "hand", "write")),
    }


def _steps(_v: Values) -> tuple[Step, ...]:
    return (
        Step("tourniquet", "Release the tourniquet."),
        Step("needle", "Take the needle out, with a flat dressing at hand."),
        Step(
            "press", "Press firmly with the dressing, the arm straight; longer on blood thinners."
        ),
        Step("look", "Lift the dressing: has the bleeding stopped, is the swelling no larger?"),
        Step("hand", "Check the hand: feeling, warmth, colour of palm and nails."),
        Step(
            "write", "Write down its size and how you left it; tell the patient what to look for."
        ),
    )


BLEEDING_ORDER = OrderItem(
    id="comp-bleeding-order",
    version=2,
    title="A swelling rises at the needle",
    points=2,
    section=FIRST,
    draw_values=_draw_order,
    ask=lambda v: (
        f"You advance a needle in {v['place']}. The tourniquet is on, and a swelling rises "
        "quickly at the tip. The blood was dark and came slowly. What do you do, in which order? "
        "Where two steps can change places, either order is right."
    ),
    steps=_steps,
    rules=(
        Before(
            "needle-before-tourniquet",
            "tourniquet",
            "needle",
            "takes the needle out under the tourniquet: its pressure then drives the blood out "
            "through the hole",
        ),
        Before(
            "press-on-the-needle",
            "needle",
            "press",
            "presses while the needle is still in: its tip can cut the vein's wall",
        ),
        Before(
            "hand-before-pressing",
            "press",
            "hand",
            "looks at the hand while the vein bleeds on: pressing comes first",
        ),
        Before(
            "lift-before-pressing",
            "press",
            "look",
            "looks whether it has stopped before anything was done to stop it",
        ),
        Before(
            "written-before-looked",
            "look",
            "write",
            "writes down how it was left before having looked whether it has stopped",
        ),
        Before(
            "hand-left-out-of-notes",
            "hand",
            "write",
            "finishes the notes before checking the nerves and vessels of the hand, which a "
            "swelling can press on",
        ),
    ),
)


# --------------------------------------------------------------------------------- an artery

_SEEN = (
    "Bright red blood fills the chamber at once. It does not pulsate",
    "Blood shoots back fast and bright. It comes evenly, without beats",
    "The blood comes fast, and it is brighter than you are used to. You see no pulse in it",
)


def _draw_artery(draw: Draw) -> dict:
    wrong = (
        "no-pulse-so-vein",
        "picture-so-vein",
        "flush-to-see",
        "short-press",
        "use-it",
        "redirect",
    )
    return {
        "seen": draw.choose(_SEEN),
        "gauge": draw.choose((22, 20)),
        "place": draw.choose(("in the crook of the elbow", "halfway up the forearm")),
        "order": with_wrong(draw, "out-and-press", wrong),
    }


def _artery_options(v: Values) -> list[Option]:
    texts = (
        Option(
            "out-and-press",
            "Loosen the tourniquet, take the needle out, inject nothing, and press until it "
            "is dry; then look at the hand.",
        ),
        Option(
            "no-pulse-so-vein",
            "Loosen the tourniquet and look for beats. If there are none, bright alone says "
            "little: slide the catheter in as usual.",
            "waits for a pulse: in two of three arterial punctures of donors there was none",
        ),
        Option(
            "picture-so-vein",
            "Stop, and look at the near-infrared picture: if the needle is on the dark line, slide "
            "the catheter in.",
            "asks the picture: it does not tell an artery from a vein",
        ),
        Option(
            "flush-to-see",
            "Loosen the tourniquet, press a little saline in, and feel the place: if there is "
            "no swelling or pain, it is a vein.",
            "injects to find out: what goes into an artery goes on into the hand, and saline runs "
            "there without swelling or pain",
        ),
        Option(
            "short-press",
            "Loosen the tourniquet, take the needle out, put on a dressing with a plaster, "
            "and look at the hand in 10 minutes.",
            "treats it as a vein: an artery bleeds on under a plaster and must be pressed by hand",
        ),
        Option(
            "use-it",
            f"Slide the {v['gauge']} G catheter in and connect the drip slowly, with an eye on "
            "the hand: changing it would cost another attempt.",
            "lets something run into an artery: that can cost the hand",
        ),
        Option(
            "redirect",
            "Loosen the tourniquet, draw back until the tip is just under the skin, feel for "
            "the vein, and go in on the other side of the line.",
            "searches on beside an artery that bleeds: pressing comes first",
        ),
    )
    return listed(v, texts)


ARTERY = ChoiceItem(
    id="comp-artery",
    title="Bright and fast",
    points=2,
    section=TWO,
    version=5,
    draw_values=_draw_artery,
    ask=lambda v: (
        f"You go in {v['place']} with a {v['gauge']} G catheter; it is not yet off the needle, and "
        f"nothing has been injected. {v['seen']}. What do you do?"
    ),
    options=_artery_options,
)
