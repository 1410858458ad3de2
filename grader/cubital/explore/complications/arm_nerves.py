"""What lies beside the veins of forearm and hand, drawn: nerves and arteries."""

from __future__ import annotations

from cubital.explore.kit import drawing
from cubital.explore.kit.arm import View, courses
from cubital.explore.kit.arm_sheet import DRAWN, ArmSheet, Label
from cubital.explore.kit.drawing import Beside, StaticFigure

NERVE, ARTERY, VEIN = drawing.NERVE, drawing.MARKER, drawing.VEIN
PALM = (
    Label(("tendon of", "the biceps"), (6, -50), -70, "thumb"),
    Label(("cephalic vein",), (23.5, -30), -28, "thumb", VEIN),
    Label(("lateral cutaneous", "nerve of the", "forearm"), (26, 60), 34, "thumb", NERVE),
    Label(
        ("superficial branch", "of the radial nerve,", "beside the vein"),
        (38, 150),
        128,
        "thumb",
        NERVE,
    ),
    Label(("radial artery,", "the pulse"), (24, 215), 202, "thumb", ARTERY),
    Label(("medial cutaneous", "nerve of the", "forearm"), (-38, -22), -74, "little finger", NERVE),
    Label(("brachial artery",), (-8, -10), -8, "little finger", ARTERY),
    Label(("median nerve",), (-13, 6), 18, "little finger", NERVE),
    Label(("basilic vein",), (-44, 56), 52, "little finger", VEIN),
    Label(("ulnar artery",), (-29, 140), 130, "little finger", ARTERY),
    Label(("ulnar nerve",), (-31.2, 190), 178, "little finger", NERVE),
    Label(("median nerve",), (5, 236), 232, "little finger", NERVE),
)
BACK = (
    Label(("posterior", "cutaneous nerve", "of the forearm"), (11, 48), 22, "thumb", NERVE),
    Label(("medial cutaneous", "nerve of the", "forearm"), (-46, 100), 78, "little finger", NERVE),
    Label(("basilic vein",), (-33, 150), 142, "little finger", VEIN),
    Label(
        ("ulnar nerve,", "branch to the", "back of the hand"),
        (-34, 212),
        205,
        "little finger",
        NERVE,
    ),
    Label(("superficial branch", "of the radial nerve"), (33, 200), 160, "thumb", NERVE),
    Label(("cephalic vein",), (31, 248), 206, "thumb", VEIN),
    Label(("radial artery,", "between the", "thumb's tendons"), (23, 262), 232, "thumb", ARTERY),
)
VEIN_KEY, NERVE_KEY = ("vein", "vein under the skin"), ("nerve", "nerve under the skin")
DEEP_KEY, ARTERY_KEY = ("deep nerve", "nerve below muscle"), ("artery", "artery, deeper")
KEYS: dict[View, tuple[tuple[str, str], ...]] = {
    "palm": (VEIN_KEY, NERVE_KEY, DEEP_KEY, ARTERY_KEY),
    "back": (VEIN_KEY, NERVE_KEY, ARTERY_KEY),
}
PALM_WORDS = (
    "A drawing of a right forearm and hand from the palm's side, the hand below, the thumb at the "
    "left: veins as lines, nerves dotted, arteries in dashes. Across the elbow, from the thumb's "
    "side to the little finger's: the cephalic vein; the lateral cutaneous nerve of the forearm; "
    "the tendon of the biceps; the brachial artery; the median nerve; the medial cutaneous nerve "
    "of the forearm; the basilic vein; another branch of that nerve. The lateral cutaneous nerve "
    "comes out beside the tendon and runs close to the cephalic vein, deeper than it, to the ball "
    "of the thumb. The medial cutaneous nerve comes down with the basilic vein and divides above "
    "the elbow: one branch crosses over the median cubital vein and runs down the little finger's "
    "side of the forearm, the other goes round to the back. The median cubital vein slants across "
    "the elbow, over the artery and the median nerve, which lie deeper. Below the elbow the "
    "artery divides: the radial artery runs to the thumb's side of the wrist, where the pulse is "
    "felt, the ulnar artery to the little finger's side, with the ulnar nerve beyond it. "
    "The median nerve runs down the middle, below muscle, and lies at the inside of the wrist "
    "under small veins. On the thumb's side, about 9 cm above the tip of the radius, the "
    "superficial branch of the radial nerve comes up from below muscle and lies beside the "
    "cephalic vein."
)
BACK_WORDS = (
    "A drawing of the same right forearm and hand from the back, the hand below, the thumb at the "
    "right. On the thumb's side the superficial branch of the radial nerve comes round above the "
    "wrist and divides: one branch passes under the cephalic vein to the thumb, others run over "
    "the back of the hand to index and middle finger. On the little finger's side a branch of "
    "the ulnar nerve comes round above the wrist, passes under the basilic vein and divides for "
    "ring and little finger. The posterior cutaneous nerve of the forearm runs from the outer "
    "side of the elbow down the middle of the forearm to the wrist. The medial cutaneous nerve "
    "of the forearm runs beside the basilic vein. At the base of the thumb, between the thumb's "
    "tendons, the radial artery passes under the cephalic vein, deeper. The veins are those of "
    "the network on the back of the hand, the cephalic, the basilic and the accessory cephalic "
    "vein: on the back of the hand a nerve runs near each of them."
)
CAPTIONS: dict[View, str] = {
    "palm": f"Nerves and arteries of a right arm, from the palm's side. {DRAWN}; small branches "
    "are left out. Nerves and vessels run differently in every person, and no near-infrared "
    "picture shows a nerve: feel for the pulse, and stop at an electric pain.",
    "back": "Nerves and arteries of a right arm, from the back. Not clinically validated; small "
    "branches are left out, and every person differs.",
}


def arm_nerves_picture() -> Beside:
    """Forearm and hand from both sides: the nerves and arteries that a needle can meet."""
    return Beside((_side("palm", PALM, PALM_WORDS), _side("back", BACK, BACK_WORDS)))


def _side(view: View, labels: tuple[Label, ...], words: str) -> StaticFigure:
    arm = ArmSheet(view)
    if view == "palm":
        arm.tendon()
    for course in courses(view, "vein", "artery", "nerve"):
        arm.draw(course)
    for label in labels:
        arm.label(label)
    arm.key(*KEYS[view])
    return StaticFigure(
        alt=words,
        svg=arm.sheet.svg(),
        caption=CAPTIONS[view],
    )
