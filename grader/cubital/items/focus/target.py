"""Items on the check of projected against true place: on a target, on the arm, and what then."""

from cubital.items.focus.focusing import assumed
from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.ordering import Before, OrderItem, Step
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import ordered, with_wrong

CHECK = "Check the line against the truth"

# --------------------------------------------------------------------- the order of the checks

_STEPS = {
    "lay": "Lay the flat target under the device, at the working distance.",
    "read": (
        "Read the projected marks against the true ones, in the middle and at the edges; turn the "
        "target by a quarter turn and read again."
    ),
    "lamp": "Turn the {lamp} away from the arm.",
    "set": (
        "Over the {limb}: set the distance, level the device, bring the vein to the middle of the "
        "picture."
    ),
    "feel": "Follow the vein with a fingertip: does the line run along its middle?",
    "choose": "Choose the place to go in.",
}


def _draw_checks(draw: Draw) -> dict:
    return {
        "lamp": draw.choose(("examination lamp", "procedure lamp", "reading lamp")),
        "limb": draw.choose(("left forearm", "right forearm", "crook of the elbow")),
        "shown": draw.shuffled(list(_STEPS)),
    }


CHECK_ORDER = OrderItem(
    id="focal-check-order",
    version=2,
    title="From the target to the arm",
    points=2,
    section=CHECK,
    draw_values=_draw_checks,
    ask=lambda v: (
        "It is the first use of the day. You check the device on its target, then take it to a "
        f"patient whose {v['limb']} lies under the {v['lamp']}. Put the steps in order. Where two "
        "orders would do, either is right."
    ),
    steps=lambda v: [
        Step(key, text.format(lamp=v["lamp"], limb=v["limb"])) for key, text in _STEPS.items()
    ],
    rules=(
        Before(
            "marks-read-before-distance",
            "lay",
            "read",
            "reads the marks before the target is at the working distance: what is off then may "
            "be the distance and not the device",
        ),
        Before(
            "arm-before-target",
            "read",
            "set",
            "sets the device over a patient before the check on the target is done: the arm has "
            "no true marks at the edges, where a turned picture shows",
        ),
        Before(
            "felt-under-the-lamp",
            "lamp",
            "feel",
            "judges the line with the lamp still on the arm: it hides the line or a part of it",
        ),
        Before(
            "felt-before-set",
            "set",
            "feel",
            "compares line and finger before the device is set: the line moves with the distance, "
            "and so the comparison is of no use afterwards",
        ),
        Before(
            "chosen-by-line-alone",
            "feel",
            "choose",
            "chooses the place by the line alone: a sharp line can lie beside its vein",
        ),
    ),
)


# --------------------------------------------------------------------------- a check that fails


def _draw_failed(draw: Draw) -> dict:
    wrong = ("middle-only", "another-distance", "target-turned", "wide-veins", "written-down")
    return {
        "corner_mm": draw.step(1.3, 2.2, 0.1),
        "waiting": draw.choose((2, 3, 4, 5)),
        "order": with_wrong(draw, "out-of-use", wrong),
    }


def _failed_options(v: Values) -> list[Option]:
    return ordered(
        v,
        (
            "out-of-use",
            "It is out for today: label and report it, and go on with one that has passed, or "
            "as if there were none.",
        ),
        {
            "middle-only": (
                "It is out at the corners: keep the vein in the middle, where the marks fit, "
                "and go on with that, or by touch.",
                "works round a fault: whatever has turned the picture may be loose, and the middle "
                "need not stay right",
            ),
            "another-distance": (
                "It is out at this distance: find the one at which the corners fit too, and "
                "go on with that today.",
                "looks for a distance that mends a turned picture: there is none, and off the "
                "working distance the line is shifted as well",
            ),
            "target-turned": (
                "Turn the target until all marks fit, report it, and write down a pass.",
                "moves the target to fit the picture: on an arm nothing can be turned to fit",
            ),
            "wide-veins": (
                f"Use it for veins wider than {2 * v['corner_mm']:.1f} mm, where the line "
                "stays over the vein, and do the others by touch.",
                "makes up a limit for a device that has failed: the check decides, not the "
                "width of the vein",
            ),
            "written-down": (
                f"Label it with the {v['corner_mm']:.1f} mm, report it, go on with it for "
                "those who wait, and check it tomorrow.",
                "takes a fault that is written down for one that is mended",
            ),
        },
    )


FAILED = ChoiceItem(
    id="focal-failed-check",
    version=2,
    title="The check fails twice",
    points=2,
    section=CHECK,
    draw_values=_draw_failed,
    ask=lambda v: (
        "At the daily check the middle mark is in place, and the marks at the corners are "
        f"{v['corner_mm']:.1f} mm off, as if the picture were turned about its middle. You set "
        "the target to the working distance anew and read again: the same. "
        f"{assumed().registration_tolerance_mm:.0f} mm is tolerated, and "
        f"{v['waiting']} patients wait. What do you do?"
    ),
    options=_failed_options,
)


# -------------------------------------------------------------------------- line or finger


def _draw_line(draw: Draw) -> dict:
    wrong = ("aim-beside", "sharp-for-on-the-vein", "half-way", "turn-to-fit", "two-veins")
    return {
        "beside_mm": draw.step(1.5, 3.5, 0.1),
        "towards": draw.choose(("the thumb", "the little finger")),
        "order": with_wrong(draw, "finger", wrong),
    }


def _line_options(v: Values) -> list[Option]:
    beside, towards = f"{v['beside_mm']:.1f} mm", v["towards"]
    return ordered(
        v,
        (
            "finger",
            "Believe the finger: the line is not to be used for this, as long as it is not "
            "known what is wrong with the device.",
        ),
        {
            "aim-beside": (
                "Believe the finger: the line is to be used with what is now known: go in "
                f"{beside} beside it, towards {towards}.",
                "corrects by a shift that was seen once: it changes with every movement of device "
                "or arm",
            ),
            "sharp-for-on-the-vein": (
                "Believe the line: it is sharp, so the distance is not what is wrong, and the "
                "line is on the vein.",
                "takes a sharp line for a true one: the fit fails long before sharpness does, and "
                "a device can be out of order",
            ),
            "half-way": (
                "Believe neither: what is wrong with the line is not known, so go in "
                f"half-way, where it is not more than {v['beside_mm'] / 2:.1f} mm off.",
                "takes the mean of a true place and a false one: the vein is not there",
            ),
            "turn-to-fit": (
                "Believe the finger: what is wrong with the line is put right by a turn of "
                "the device, until it is on the vein that you feel.",
                "hides the shift: it now lies along the vein, so forks and valves are shown "
                "beside their place",
            ),
            "two-veins": (
                "Go in at the line: the finger feels one vein and the device shows another, "
                "deeper one beside it.",
                "explains a difference away: a line that no finger confirms is not used",
            ),
        },
    )


LINE_OR_FINGER = ChoiceItem(
    id="focal-line-or-finger",
    version=2,
    title="The line or the finger",
    points=2,
    section=CHECK,
    draw_values=_draw_line,
    ask=lambda v: (
        "You have set the distance with the spacer, levelled the device and brought the vein to "
        "the middle; device and arm are at rest. The line is bright and sharp. You feel again: a "
        f"soft vein that springs back and does not pulse, {v['beside_mm']:.1f} mm beside the "
        f"line, towards {v['towards']}. What do you do?"
    ),
    options=_line_options,
)
